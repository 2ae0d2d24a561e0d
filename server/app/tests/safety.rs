//! The safety loop over real sockets and a real database: what is shown before it is recorded, who can come in,
//! what a helper may see, and what remains after class.

use std::sync::Arc;

use crate::common::{Screen, TestServer};
use samebreath_core::live::{
    CareEvent, ClassEvent, DeskCommand, DeskRole, Entry, Event, Recorded, ReportId, ReportState, SafetyEvent,
    Said, Screen as SeatScreen, SeatCommand, SeatId, StagePhase, UrgentSign, Where, Why,
};
use samebreath_wire::ServerMessage;
use serde_json::{Value, json};
use sqlx::{Connection, SqliteConnection};
use uuid::Uuid;

async fn ledger(server: &TestServer) -> Vec<Recorded> {
    server.app.store.read_after(server.entry.id, 0).await.unwrap()
}

fn report(urgent: Option<UrgentSign>) -> SeatCommand {
    let said = Said { place: Some(Where::Neck), urgent, ..Said::default() };
    SeatCommand::Report { report: ReportId(Uuid::now_v7()), said }
}

fn stands(screen: &Screen) -> bool {
    screen.stage.as_ref().is_some_and(|stage| stage.moves.last().is_some_and(|m| !m.running))
}

#[tokio::test]
async fn a_safety_pause_is_shown_while_the_ledger_cannot_be_written_and_recorded_after() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let mut ann = server.seat("Ann").await;
    desk.tell_desk(DeskCommand::Start).await;
    ann.until(|s| s.stage.as_ref().is_some_and(|stage| stage.phase == StagePhase::Running)).await;
    // Another program holds the file's write lock, as a backup that copies the file may.
    let url = format!("sqlite://{}", folder.path().join("samebreath.db").display());
    let mut other = SqliteConnection::connect(&url).await.unwrap();
    sqlx::query("begin immediate").execute(&mut other).await.unwrap();
    let (tap, pause, next) = (Uuid::now_v7(), Uuid::now_v7(), Uuid::now_v7());
    let before = ledger(&server).await.len();
    // This key was pressed before the pause and still waits for the ledger, in the write under way or behind it.
    // It must not move the class on.
    desk.send(json!({ "kind": "desk", "id": next, "command": { "do": "next" } })).await;
    let done = json!({ "kind": "seat", "id": tap, "command": { "do": "done", "step": 1 } });
    ann.send(done).await;
    desk.send(json!({ "kind": "desk", "id": pause, "command": { "do": "pause_for_safety" } })).await;
    ann.until(stands).await;
    assert_eq!(ledger(&server).await.len(), before, "the pause is shown, but nothing is on disk yet");
    let acknowledged = |s: &Screen| {
        s.seen.iter().any(|text| text.contains("\"kind\":\"taken\"") && text.contains(&tap.to_string()))
    };
    assert!(!acknowledged(&ann), "a tap is not acknowledged before it is on disk");
    let not_recording = |now: bool| {
        move |s: &Screen| s.seen.iter().any(|text| text.contains(&format!("\"not_recording\",\"now\":{now}")))
    };
    desk.until(not_recording(true)).await;
    let mut late = server.connect("desk", &desk.cookie).await;
    late.until(not_recording(true)).await;
    sqlx::query("rollback").execute(&mut other).await.unwrap();
    desk.until(not_recording(false)).await;
    ann.until(acknowledged).await;
    desk.until(|s| s.seen.iter().any(|text| text.contains(&pause.to_string()) && text.contains("taken")))
        .await;
    let forward = |s: &Screen| {
        s.seen.iter().any(|text| text.contains(&next.to_string()) && text.contains("safety_pause"))
    };
    desk.until(forward).await;
    let lines = ledger(&server).await;
    let paused = lines
        .iter()
        .filter(|r| matches!(r.event, Event::Class(ClassEvent::Moved { why: Why::PausedForSafety, .. })))
        .count();
    assert_eq!(paused, 1);
    assert!(stands(&ann), "the recorded pause is the one that was shown");
    let seqs: Vec<_> = lines.iter().map(|r| r.seq).collect();
    assert_eq!(seqs, (1..=lines.len() as u64).collect::<Vec<_>>());
}

#[tokio::test]
async fn a_forged_pause_shows_nothing_and_takes_no_real_one_back() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let mut ann = server.seat("Ann").await;
    desk.tell_desk(DeskCommand::Start).await;
    ann.until(|s| s.stage.as_ref().is_some_and(|stage| stage.phase == StagePhase::Running)).await;
    let refused = ann.tell_desk(DeskCommand::PauseForSafety).await;
    assert_eq!(refused.as_deref(), Some("not_yours"));
    assert!(!stands(&ann), "the forged pause was not shown");
}

#[tokio::test]
async fn a_join_whose_write_is_unclear_gives_one_seat() {
    let folder = tempfile::tempdir().unwrap();
    let server = Arc::new(TestServer::start(folder.path()).await);
    let mut desk = server.open_desk().await;
    let url = format!("sqlite://{}", folder.path().join("samebreath.db").display());
    let mut other = SqliteConnection::connect(&url).await.unwrap();
    sqlx::query("begin immediate").execute(&mut other).await.unwrap();
    let joining = tokio::spawn({
        let server = Arc::clone(&server);
        async move { server.join("Ann").await }
    });
    desk.until(|s| s.seen.iter().any(|text| text.contains("\"not_recording\",\"now\":true"))).await;
    sqlx::query("rollback").execute(&mut other).await.unwrap();
    joining.await.unwrap();
    let seats = ledger(&server)
        .await
        .iter()
        .filter(|r| matches!(r.event, Event::Care { what: CareEvent::SeatTaken { .. }, .. }))
        .count();
    assert_eq!(seats, 1);
}

#[tokio::test]
async fn two_devices_made_one_person_are_gone_only_when_both_are() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let (mut tablet, mut phone) = (server.seat("Ann").await, server.seat("Ann again").await);
    desk.tell_desk(DeskCommand::Merge { from: SeatId(2), into: SeatId(1) }).await;
    let screen = |wanted| {
        move |s: &Screen| s.desk.as_ref().is_some_and(|d| d.rows.len() == 1 && d.rows[0].screen == wanted)
    };
    desk.until(screen(SeatScreen::Live)).await;
    tablet.socket.close(None).await.unwrap();
    tablet.until_closed().await;
    // Wait for a desk frame that was made after the room heard of the closed socket.
    phone.send(json!({ "kind": "clock_ask", "sent_ms": 1.0, "visible": false, "round_trip_ms": null })).await;
    desk.until(screen(SeatScreen::Off)).await;
    phone.send(json!({ "kind": "clock_ask", "sent_ms": 2.0, "visible": true, "round_trip_ms": null })).await;
    desk.until(screen(SeatScreen::Live)).await;
    phone.socket.close(None).await.unwrap();
    desk.until(screen(SeatScreen::Quiet)).await;
}

#[tokio::test]
async fn whoever_asks_sees_nothing_until_let_in() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    desk.tell_desk(DeskCommand::SetEntry { to: Entry::Ask }).await;
    let body = json!({ "code": server.links.code, "name": "Stranger" });
    let answer = server.post("/api/join", "", &body).await;
    assert_eq!(answer.json()["place"], "asking");
    let cookie = answer.cookie.unwrap();
    let origin = format!("http://{}", server.address);
    let mut socket = Screen::of(server.handshake("seat", &cookie, Some(&origin)).await.unwrap());
    assert_eq!(socket.until_closed().await, 4003);
    assert!(socket.stage.is_none(), "a person who is not let in does not even see the stage");
    assert_eq!(server.get("/api/content/{stay}/1/0", &cookie).await.status, 401);
    desk.until(|s| s.desk.as_ref().is_some_and(|d| d.asking.len() == 1)).await;
    let place = async || server.get("/api/me/{stay}", &cookie).await.json()["place"].clone();
    assert_eq!(place().await, "asking");
    desk.tell_desk(DeskCommand::LetIn { seat: SeatId(1), known_as: None }).await;
    assert_eq!(place().await, "in");
    let mut inside = server.connect("seat", &cookie).await;
    inside.until(|s| s.mine.is_some()).await;
    desk.tell_desk(DeskCommand::Remove { seat: SeatId(1), reason: "by mistake".try_into().unwrap() }).await;
    assert_eq!(inside.until_closed().await, 4003, "a person who loses their place loses their socket");
    assert_eq!(place().await, "removed");
    let late = json!({ "kind": "seat", "id": Uuid::now_v7(), "command": serde_json::to_value(report(None)).unwrap() });
    assert_eq!(
        server.post("/api/commands/{stay}", &cookie, &late).await.status,
        200,
        "a report is still taken"
    );
}

#[tokio::test]
async fn a_colleague_takes_the_desk_by_a_code_and_sees_no_health_notes() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let cookie = server.use_link(&server.links.desk).await;
    let mut desk = server.connect("desk", &cookie).await;
    desk.tell_desk(DeskCommand::Open).await;
    desk.tell_desk(DeskCommand::SayName { name: "Rosamund".try_into().unwrap() }).await;
    let _ann = server.seat("Ann").await;
    desk.tell_desk(DeskCommand::ClearSwallow { seats: vec![SeatId(1)] }).await;
    let code = server.post("/api/desk/{stay}/handover", &cookie, &json!({})).await.json()["code"].clone();
    let code = code.as_str().unwrap().to_lowercase();
    let answer = server.post("/api/pass", "", &json!({ "token": code })).await;
    assert_eq!((answer.status, answer.json()["role"].as_str().unwrap()), (200, "helper"));
    assert_eq!(
        server.post("/api/pass", "", &json!({ "token": code })).await.status,
        404,
        "the code works once"
    );
    let helper_cookie = answer.cookie.unwrap();
    let person = async |cookie: &str| server.get("/api/desk/{stay}/person/1", cookie).await.json();
    assert_eq!(person(&cookie).await["health"]["swallow_cleared_by"], "Rosamund");
    assert_eq!(person(&helper_cookie).await["health"], Value::Null);
    let mut helper = server.connect("desk", &helper_cookie).await;
    let take = DeskCommand::HandDesk { to: DeskRole::Helper };
    assert_eq!(helper.tell_desk(take.clone()).await.as_deref(), Some("still_led"));
    desk.socket.close(None).await.unwrap();
    helper.until(|s| s.desk.as_ref().is_some_and(|d| !d.lead_here)).await;
    assert_eq!(helper.tell_desk(take).await, None);
    helper.until(|s| s.desk.as_ref().is_some_and(|d| d.lead == DeskRole::Helper && d.acts.len() >= 2)).await;
    assert_eq!(server.get("/api/desk/{stay}/person/1", "").await.status, 401);
    let cleared = async |cookie: &str| {
        server.get("/api/desk/{stay}/after", cookie).await.body.contains("swallow_cleared")
    };
    assert!(
        cleared(&cookie).await && !cleared(&helper_cookie).await,
        "a helper does not see it in the timeline either"
    );
    let forms = async |cookie: &str| {
        server.get("/api/desk/{stay}/after", cookie).await.json()["record"]["people"].to_string()
    };
    assert!(!forms(&helper_cookie).await.contains("\"form\""), "nor what was set for people");
    let table = server.get("/api/desk/{stay}/incidents.csv", &helper_cookie).await.body;
    assert!(table.contains("desk handed") && !table.contains("swallow cleared"));
}

#[tokio::test]
async fn the_incident_timeline_can_be_opened_in_a_spreadsheet() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let cookie = server.use_link(&server.links.desk).await;
    let mut desk = server.connect("desk", &cookie).await;
    desk.tell_desk(DeskCommand::Open).await;
    let mut eve = server.seat("Eve").await;
    desk.tell_desk(DeskCommand::Start).await;
    let SeatCommand::Report { report, said } = report(Some(UrgentSign::Faint)) else { unreachable!() };
    let said = Said { words: Some("=cmd|' /C calc'!A0, \"sharp\"".try_into().unwrap()), ..said };
    eve.tell_seat(SeatCommand::Report { report, said }).await;
    desk.tell_desk(DeskCommand::HandleReport { report, to: ReportState::Taken }).await;
    desk.tell_desk(DeskCommand::PauseForSafety).await;
    let due = "2027-03-09".to_owned().try_into().unwrap();
    let what = "Telephone".try_into().unwrap();
    desk.tell_desk(DeskCommand::AddFollowUp {
        seat: SeatId(1),
        what,
        owner: "Otto".try_into().unwrap(),
        due,
    })
    .await;
    let answer = server.get("/api/desk/{stay}/incidents.csv", &cookie).await;
    assert_eq!(answer.headers["content-type"], "text/csv; charset=utf-8");
    assert_eq!(answer.body.matches('\n').count(), answer.body.matches("\r\n").count(), "RFC 4180: CRLF");
    let mut reader = csv::Reader::from_reader(answer.body.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let whats: Vec<_> = rows.iter().map(|row| row[2].to_owned()).collect();
    let expected = ["reported", "report taken", "paused for safety", "follow up added", "follow-up, open"];
    assert_eq!(whats, expected);
    assert_eq!((&rows[0][1], &rows[0][5]), ("Eve", "faint"));
    assert_eq!(&rows[0][6], "'=cmd|' /C calc'!A0, \"sharp\"", "a text is never a formula");
    assert!(rows[0][0].ends_with('Z') && rows[0][0].starts_with("20"), "RFC 3339 in UTC: {}", &rows[0][0]);
    let book = server.get("/api/desk/{stay}/after", &cookie).await.json();
    assert_eq!(book["follow_ups"][0]["due"], "2027-03-09");
    assert_eq!(server.get("/api/desk/{stay}/incidents.csv", "").await.status, 401);
}

#[tokio::test]
async fn a_thousand_taps_and_fifty_reports_are_a_few_desk_frames() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    desk.tell_desk(DeskCommand::Start).await;
    let mut people = Vec::new();
    for n in 0..50 {
        people.push(server.seat(&format!("P{n}")).await);
    }
    desk.until(|s| s.desk.as_ref().is_some_and(|d| d.rows.len() == 50)).await;
    desk.seen.clear();
    let begun = std::time::Instant::now();
    for (n, person) in people.iter_mut().enumerate() {
        for tap in 0..20 {
            let command = if tap % 2 == 0 { "done" } else { "undo" };
            let body = json!({ "do": command, "step": 1 });
            person.send(json!({ "kind": "seat", "id": Uuid::now_v7(), "command": body })).await;
        }
        let urgent = (n % 10 == 9).then_some(UrgentSign::Choking);
        let body = serde_json::to_value(report(urgent)).unwrap();
        person.send(json!({ "kind": "seat", "id": Uuid::now_v7(), "command": body })).await;
    }
    desk.until(|s| s.reports().len() == 50).await;
    let tenths = begun.elapsed().as_millis() / 100 + 1;
    let frames = desk.seen.iter().filter(|text| text.starts_with("{\"kind\":\"desk\"")).count();
    assert!(frames as u128 <= tenths + 1, "{frames} frames in {tenths} tenths of a second");
    let reports = desk.reports();
    assert!(reports[..5].iter().all(|r| r.said.urgent.is_some()), "the urgent ones first");
    assert!(reports[5..].iter().all(|r| r.said.urgent.is_none()));
    let rows = &desk.desk.as_ref().unwrap().rows;
    let urgent: Vec<_> = reports[..5].iter().map(|r| r.seat).collect();
    assert!(
        rows[..5].iter().all(|row| urgent.contains(&row.seat)),
        "urgent ones are first on the roster too"
    );
    let taken = ledger(&server)
        .await
        .iter()
        .filter(|r| matches!(r.event, Event::Safety { what: SafetyEvent::Reported { .. }, .. }))
        .count();
    assert_eq!(taken, 50);
}

#[tokio::test]
async fn reports_are_never_refused_for_being_many() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let mut ann = server.seat("Ann").await;
    for _ in 0..62 {
        let body = serde_json::to_value(report(None)).unwrap();
        ann.send(json!({ "kind": "seat", "id": Uuid::now_v7(), "command": body })).await;
    }
    let mut taken = 0;
    while taken < 62 {
        if let ServerMessage::Taken { .. } = ann.hear().await.unwrap() {
            taken += 1;
        }
    }
}
