//! What a server meets in a year: a line that cannot be read, a clock that was set back, and a rehearsal whose
//! desk was left.

use std::sync::Arc;
use std::time::Duration;

use crate::common::{TestServer, another_class, ledger, rehearsal};
use samebreath::rehearsal::rehearse;
use samebreath::room::Input;
use samebreath::settings::Cast;
use samebreath_core::live::{Actor, ClassEvent, DeskCommand, DeskRole, Event, Recorded};
use samebreath_core::time::EpochMs;
use samebreath_store::ledger::{Append, NewEvent};
use serde_json::json;
use sqlx::{Connection, SqliteConnection};
use uuid::Uuid;

/// An earlier version could not start when one line could not be read.
#[tokio::test]
async fn an_unreadable_line_stops_its_own_class_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let (broken, links) = another_class(&server).await;
    let (gap, _) = another_class(&server).await;
    server.stop().await;
    let url = format!("sqlite://{}", folder.path().join("samebreath.db").display());
    let mut other = SqliteConnection::connect(&url).await.unwrap();
    for (session, what) in [
        (&broken, "update event set body = '{\"v\":9,' || substr(body, 8)"),
        (&gap, "update event set seq = 7"),
    ] {
        let statement = format!("{what} where session = $1");
        sqlx::query(sqlx::AssertSqlSafe(statement))
            .bind(session.id.to_string())
            .execute(&mut other)
            .await
            .unwrap();
    }
    other.close().await.unwrap();
    let again = TestServer::start(folder.path()).await;
    assert!(again.entry.id != broken.id && again.entry.id != gap.id, "the newest readable class goes on");
    let _desk = again.open_desk().await;
    again.join("Ann").await;
    let refused = again.post("/api/join", "", &json!({ "code": links.code, "name": "Ann" })).await;
    assert_eq!((refused.status, refused.json()["code"].as_str().unwrap()), (500, "unreadable_class"));
    let told = again.get("/api/planner/unreadable", &again.planner().await).await.json();
    let why: Vec<_> =
        told.as_array().unwrap().iter().map(|one| one["why"].as_str().unwrap().to_owned()).collect();
    assert_eq!(why.len(), 2, "{told}");
    assert!(why.iter().any(|why| why.contains("line 1 of a ledger has version 9")), "{why:?}");
    assert!(why.iter().any(|why| why.contains("a gap")), "{why:?}");
}

/// In an earlier version, when the clock was an hour behind, no step was in force and ledger times ran backwards.
#[tokio::test]
async fn a_server_that_comes_back_with_an_earlier_clock_goes_on_where_the_class_was() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    desk.tell_desk(DeskCommand::Start).await;
    // A line like those of a server whose clock is an hour ahead.
    let lines = ledger(&server, &server.entry).await;
    let last = lines.last().unwrap();
    let ahead = EpochMs(last.at.0 + 3_600_000);
    let named =
        Event::from(ClassEvent::DeskNamed { role: DeskRole::Facilitator, name: "Ines".try_into().unwrap() });
    let by = Actor::Desk(DeskRole::Facilitator);
    let recorded = Recorded { seq: last.seq + 1, at: ahead, by, cause: None, event: named };
    server.shutdown.cancel();
    let new = NewEvent { id: Uuid::now_v7(), recorded };
    let appended = server.app.store.append(server.entry.id, last.seq, vec![new]).await;
    assert!(matches!(appended, Append::Committed), "{appended:?}");
    server.stop().await;
    let again = TestServer::start(folder.path()).await;
    assert!(again.app.clock.now() > ahead);
    let cookie = again.use_link(&again.links.desk).await;
    let mut desk = again.connect("desk", &cookie).await;
    assert_eq!(desk.tell_desk(DeskCommand::Next).await, None);
    let times: Vec<_> = ledger(&again, &again.entry).await.iter().map(|line| line.at).collect();
    assert!(times.is_sorted(), "{times:?}");
}

/// In an earlier version, the people of a rehearsal kept its room open for as long as the server ran.
#[tokio::test]
async fn the_people_of_a_rehearsal_go_home_when_its_desk_was_left() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let (entry, links) = rehearsal(&server).await;
    let people = tokio::spawn(rehearse(Arc::clone(&server.app), entry.id, Cast { seed: 1, people: 3 }));
    let mut desk = server.connect("desk", &server.use_link(&links.desk).await).await;
    desk.tell_desk(DeskCommand::Open).await;
    desk.until(|desk| desk.desk.as_ref().is_some_and(|desk| desk.rows.len() == 3)).await;
    drop(desk);
    let room = server.app.hub.room(entry.id).await.unwrap().unwrap();
    while room.ask(|reply| Input::HasDesk { reply }).await.unwrap() {}
    drop(room);
    assert_eq!(server.app.hub.live(), 1);
    later(16).await;
    people.await.unwrap();
    // Somebody may come back until the room is put away.
    later(11).await;
    while server.app.hub.live() > 0 {
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
}

/// Lets `minutes` go by at once.
async fn later(minutes: u64) {
    tokio::time::pause();
    tokio::time::advance(Duration::from_secs(minutes * 60)).await;
    tokio::time::resume();
}
