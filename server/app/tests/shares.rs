//! Everybody gets a fair share: how much one person, or a connection that says nothing, can ask of a server.

use std::time::Duration;

use crate::common::{Screen, TestServer};
use samebreath_core::live::{Alert, ReportId, Said, SeatCommand, Whose};
use serde_json::json;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use uuid::Uuid;

/// A test that waits this long has hung.
const PATIENCE: Duration = Duration::from_secs(30);

/// In an earlier version, 3,000 reports from one seat made each desk frame 1.6 MB.
#[tokio::test]
async fn what_one_seat_sends_is_read_by_its_allowance_over_both_ways() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let eve = server.join("Eve").await;
    let report = || {
        let report = SeatCommand::Report { report: ReportId(Uuid::now_v7()), said: Said::default() };
        json!({ "kind": "seat", "id": Uuid::now_v7(), "command": serde_json::to_value(report).unwrap() })
    };
    let mut statuses = std::collections::BTreeMap::<u16, u32>::new();
    for _ in 0..400 {
        *statuses.entry(server.post("/api/commands/{stay}", &eve, &report()).await.status).or_default() += 1;
    }
    assert!(statuses[&429] > 200, "{statuses:?}");
    // Every request is charged, even one that only asks who this browser is.
    let mut asked = Vec::new();
    for path in ["/api/me/{stay}", "/api/me", "/api/me/{stay}", "/api/me"] {
        asked.push(server.get(path, &eve).await.status);
    }
    assert!(asked.contains(&429), "{asked:?}");
    desk.until(|s| !s.reports().is_empty()).await;
    assert_eq!(desk.reports().len(), 1, "one entry, however many reports came");
    // Another person is still heard at once.
    let mut ann = server.seat("Ann").await;
    ann.tell_seat(SeatCommand::Stop { reason: None, whose: Whose::Own }).await;
    let stopped = |s: &Screen| {
        s.desk
            .iter()
            .flat_map(|desk| &desk.alerts)
            .any(|alert| matches!(alert, Alert::Stopped(row) if row.name.as_str() == "Ann"))
    };
    desk.until(stopped).await;
    assert!(desk.seen.iter().all(|text| text.len() < 20_000), "frames stay small");
}

#[tokio::test]
async fn a_person_keeps_the_newest_few_screens() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let cookie = server.join("Ann").await;
    let mut screens = Vec::new();
    for _ in 0..7 {
        screens.push(server.connect("seat", &cookie).await);
    }
    for oldest in screens.iter_mut().take(2) {
        assert_eq!(oldest.until_closed().await, 4009);
    }
    let newest = screens.last_mut().unwrap();
    assert_eq!(newest.tell_seat(SeatCommand::GoOn).await, None);
}

/// In an earlier version, half a request head kept the server from stopping, and silent connections never ended.
#[tokio::test]
async fn connections_that_do_not_speak_are_closed_and_do_not_keep_the_server_up() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut silent = TcpStream::connect(server.address).await.unwrap();
    let mut half = TcpStream::connect(server.address).await.unwrap();
    half.write_all(b"GET / HTTP/1.1\r\nHost: x\r\nX-Long: ").await.unwrap();
    let mut huge = TcpStream::connect(server.address).await.unwrap();
    huge.write_all(format!("GET / HTTP/1.1\r\nX-Long: {}\r\n", "x".repeat(40_000)).as_bytes()).await.unwrap();
    let mut answer = Vec::new();
    // The server may answer with 431 or simply close the connection.
    let _ = tokio::time::timeout(PATIENCE, huge.read_to_end(&mut answer))
        .await
        .expect("the server did not end a request with a huge head");
    for stream in [&mut silent, &mut half] {
        let mut rest = Vec::new();
        let ended = tokio::time::timeout(PATIENCE, stream.read_to_end(&mut rest)).await;
        assert!(ended.is_ok(), "a connection that says nothing for ten seconds is closed");
    }
    let mut late = TcpStream::connect(server.address).await.unwrap();
    late.write_all(b"GET / HTTP/1.1\r\nHost: x\r\nX-Long: ").await.unwrap();
    tokio::time::timeout(PATIENCE, server.stop()).await.expect("the server did not stop");
}
