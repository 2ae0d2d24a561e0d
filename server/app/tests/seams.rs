//! Where two classes, two tabs, two tries or two servers meet, over real sockets and real database files.

use crate::common::{Screen, TestServer, another_class, ledger, stay_of};
use samebreath::session::new::{self, NewSession};
use samebreath_core::drill::Family;
use samebreath_core::file::Source;
use samebreath_core::live::{
    CareEvent, ClassEvent, DeskCommand, Entry, Event, Form, Recorded, ReportId, SafetyEvent, Said,
    SeatCommand, SeatEvent, SeatId, StepId, UrgentSign, Whose,
};
use samebreath_core::people::care::{Of, PersonalForm, Way};
use samebreath_core::plan::draft;
use samebreath_core::time::EpochMs;
use serde_json::{Value, json};
use sqlx::{Connection, SqliteConnection};
use uuid::Uuid;

/// Behaves like a browser with several tabs, which sends all its cookies with every request.
fn both(one: &str, other: &str) -> String {
    format!("{one}; {other}")
}

async fn open(server: &TestServer, cookie: &str, cookies: &str) -> Screen {
    let stay = stay_of(cookie).unwrap();
    let origin = format!("http://{}", server.address);
    // The first cookie is the one for this stay; the others are merely sent along.
    let ordered = both(cookie, cookies);
    let socket = server.handshake("seat", &ordered, Some(&origin)).await.unwrap();
    let mut screen = Screen { cookie: ordered, ..Screen::of(socket) };
    while screen.stage.is_none() {
        screen.hear().await.unwrap();
    }
    assert!(!stay.is_empty());
    screen
}

/// In an earlier version, after a restart tab 1 showed another class, and a stop in that tab was recorded there.
#[tokio::test]
async fn two_classes_in_two_tabs_of_one_browser_work_beside_each_other_through_a_crash() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let (second, links) = another_class(&server).await;
    let (first, desk_a) = (server.entry.clone(), server.use_link(&server.links.desk).await);
    let desk_b = server.use_link(&links.desk).await;
    let mut desk = server.connect("desk", &desk_a).await;
    desk.tell_desk(DeskCommand::Open).await;
    let mut other_desk = server.connect("desk", &desk_b).await;
    other_desk.tell_desk(DeskCommand::Open).await;
    let seat_a = server.join("Ada").await;
    let joined = server.post("/api/join", &seat_a, &json!({ "code": links.code, "name": "Ada" })).await;
    let seat_b = joined.cookie.unwrap();
    let cookies = both(&both(&seat_a, &seat_b), &both(&desk_a, &desk_b));
    let mut tab_a = open(&server, &seat_a, &cookies).await;
    let mut tab_b = open(&server, &seat_b, &cookies).await;
    other_desk.tell_desk(DeskCommand::Start).await;
    tab_b.until(|s| s.stage.as_ref().is_some_and(|stage| stage.number == 1)).await;
    assert_eq!(tab_a.stage.as_ref().unwrap().number, 0, "each tab shows its own class");
    let stop = SeatCommand::Stop { reason: None, whose: Whose::Own };
    assert_eq!(tab_a.tell_seat(stop.clone()).await, None);

    // The server dies without warning. Both tabs come back with all their cookies.
    drop((tab_a, tab_b, desk, other_desk));
    server.stop().await;
    let again = TestServer::start(folder.path()).await;
    let mut tab_a = open(&again, &seat_a, &cookies).await;
    let mut tab_b = open(&again, &seat_b, &cookies).await;
    assert_eq!(tab_a.stage.as_ref().unwrap().number, 0);
    assert_eq!(tab_b.stage.as_ref().unwrap().number, 1);
    assert_eq!(tab_b.tell_seat(SeatCommand::Done { step: StepId(1) }).await, None);
    assert_eq!(tab_a.tell_seat(SeatCommand::GoOn).await, None);
    let stopped = |lines: &[Recorded]| {
        lines
            .iter()
            .filter(|r| matches!(r.event, Event::Safety { what: SafetyEvent::Stopped { .. }, .. }))
            .count()
    };
    let did = |lines: &[Recorded]| {
        lines.iter().filter(|r| matches!(r.event, Event::Seat { what: SeatEvent::Did { .. }, .. })).count()
    };
    let (lines_a, lines_b) = (ledger(&again, &first).await, ledger(&again, &second).await);
    assert_eq!((stopped(&lines_a), did(&lines_a)), (1, 0));
    assert_eq!((stopped(&lines_b), did(&lines_b)), (0, 1));
    // A plain request also names its class, and a page of one class cannot give commands in another.
    let body =
        json!({ "kind": "seat", "id": Uuid::now_v7(), "command": serde_json::to_value(&stop).unwrap() });
    let path = format!("/api/commands/{}", stay_of(&seat_a).unwrap());
    assert_eq!(again.post(&path, &seat_b, &body).await.status, 401, "the cookie is for the other class");
    assert_eq!(again.post(&path, &cookies, &body).await.status, 200);
    assert_eq!(stopped(&ledger(&again, &second).await), 0);
    // The way back lists every unfinished class, with the person's name in it.
    let mine = again.get("/api/me", &cookies).await.json();
    let names: Vec<_> = mine.as_array().unwrap().iter().map(|one| one["name"].clone()).collect();
    assert_eq!(names.iter().filter(|name| **name == json!("Ada")).count(), 2, "{mine}");
    assert_eq!(mine.as_array().unwrap().len(), 4, "two seats and two desks");
    again.stop().await;
}

#[tokio::test]
async fn two_people_of_one_browser_in_one_class_have_each_their_own_place() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let (ada, bo) = (server.join("Ada").await, server.join("Bo").await);
    let cookies = both(&ada, &bo);
    let mut ada_tab = open(&server, &ada, &cookies).await;
    let mut bo_tab = open(&server, &bo, &cookies).await;
    ada_tab.tell_seat(SeatCommand::Stop { reason: None, whose: Whose::Own }).await;
    bo_tab.until(|s| s.mine.is_some()).await;
    assert!(!bo_tab.mine.as_ref().unwrap().stopped, "one person's stop does not stop the other");
    let entry = json!({ "code": server.links.code });
    let found = server.post("/api/entry", &ada, &entry).await.json();
    assert_eq!(found["seat"]["name"], "Ada", "using the code again leads to the same seat");
    assert_eq!(server.post("/api/entry", "", &entry).await.json()["seat"], Value::Null);
}

/// In an earlier version, a second try after a timeout made a second Ann and a second class.
#[tokio::test]
async fn what_makes_something_makes_it_once_however_often_it_is_asked() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let (join, invite, begin) = (Uuid::now_v7(), Uuid::now_v7(), Uuid::now_v7());
    let body = json!({ "code": server.links.code, "name": "Ann", "request": join });
    let first = server.post("/api/join", "", &body).await.json();
    let second = server.post("/api/join", "", &body).await.json();
    assert_eq!(first, second);
    let body = json!({ "name": { "name": "Ida", "request": invite } });
    let path = "/api/desk/{stay}/invite";
    let first = server.post(path, &desk.cookie, &body).await.json();
    let second = server.post(path, &desk.cookie, &body).await.json();
    assert_eq!(first["seat"], second["seat"]);
    let seats = ledger(&server, &server.entry).await;
    let seats = seats
        .iter()
        .filter(|r| matches!(r.event, Event::Care { what: CareEvent::SeatTaken { .. }, .. }))
        .count();
    assert_eq!(seats, 2, "Ann and Ida");
    // A link that opens once opens again for the same request, whose answer may have been lost, but for no other.
    let token = server.links.helper.split("#p.").nth(1).unwrap().to_owned();
    let request = Uuid::now_v7();
    for _ in 0..2 {
        let answer = server.post("/api/pass", "", &json!({ "token": token, "request": request })).await;
        assert_eq!(answer.json()["role"], "helper");
    }
    assert_eq!(server.post("/api/pass", "", &json!({ "token": token })).await.status, 404);
    // The planner's class is begun once as well.
    let pass = server.planner().await;
    let new = json!({ "from": "template", "id": "gentle-half-hour", "group": null });
    let plan = server.post("/api/planner/plans", &pass, &new).await.json();
    let url = format!("/api/planner/plans/{}/class", plan["id"].as_str().unwrap());
    let body = json!({ "version": 1, "rehearsal": false, "request": begin });
    let codes = [server.post(&url, &pass, &body).await, server.post(&url, &pass, &body).await];
    let codes = codes.map(|answer| answer.json()["code"].as_str().unwrap().to_owned());
    assert_eq!(codes[0], codes[1]);
    desk.tell_desk(DeskCommand::End).await;
}

/// In an earlier version, commands that changed nothing counted again when they were sent again, even a day later.
#[tokio::test]
async fn a_command_that_changed_nothing_counts_once_too_also_after_a_restart() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let cookie = server.join("Ann").await;
    let mut ann = server.connect("seat", &cookie).await;
    let tired = json!({ "do": "stop", "reason": "tired", "whose": "own" });
    let (first, second, on) = (Uuid::now_v7(), Uuid::now_v7(), Uuid::now_v7());
    for (id, command) in [(first, tired.clone()), (second, tired.clone()), (on, json!({ "do": "go_on" }))] {
        assert_eq!(ann.tell("seat", id, command).await, None);
    }
    drop(ann);
    server.stop().await;
    let again = TestServer::start(folder.path()).await;
    let mut ann = again.connect("seat", &cookie).await;
    let lines = ledger(&again, &again.entry).await.len();
    // The acknowledgements were lost with the first server, so the page sends every command again.
    for (id, command) in [(second, tired.clone()), (on, json!({ "do": "go_on" })), (first, tired)] {
        assert_eq!(ann.tell("seat", id, command).await, None);
    }
    assert_eq!(ledger(&again, &again.entry).await.len(), lines);
    ann.until(|s| s.mine.is_some()).await;
    assert!(!ann.mine.as_ref().unwrap().stopped, "she has gone on, and is not stopped again");
    again.stop().await;
}

/// The report alerts every desk at once, marked as not yet recorded.
#[tokio::test]
async fn an_urgent_report_is_at_every_desk_while_the_ledger_cannot_be_written() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let mut helper = server.connect("desk", &server.use_link(&server.links.helper).await).await;
    let mut ann = server.seat("Ann").await;
    assert_eq!(server.get("/readyz", "").await.status, 200);
    let url = format!("sqlite://{}", folder.path().join("samebreath.db").display());
    let mut other = SqliteConnection::connect(&url).await.unwrap();
    sqlx::query("begin immediate").execute(&mut other).await.unwrap();
    let said = Said { urgent: Some(UrgentSign::Choking), ..Said::default() };
    let report = SeatCommand::Report { report: ReportId(Uuid::now_v7()), said };
    let id = Uuid::now_v7();
    ann.send(json!({ "kind": "seat", "id": id, "command": serde_json::to_value(report).unwrap() })).await;
    for screen in [&mut desk, &mut helper] {
        screen.until(|s| s.reports().first().is_some_and(|r| !r.recorded)).await;
    }
    let acknowledged = |s: &Screen| {
        s.seen.iter().any(|text| text.contains("\"kind\":\"taken\"") && text.contains(&id.to_string()))
    };
    assert!(!acknowledged(&ann), "her screen says that it is on its way until it is on disk");
    let told = |s: &Screen| s.seen.iter().any(|text| text.contains("\"not_recording\",\"now\":true"));
    desk.until(told).await;
    let ready = server.get("/readyz", "").await;
    assert_eq!((ready.status, ready.json()["code"].as_str().unwrap()), (503, "not_recording"));
    assert_eq!(server.get("/healthz", "").await.status, 200);
    // A person who wants to come in is told so, and does not wait for ever.
    let late = server.post("/api/join", "", &json!({ "code": server.links.code, "name": "Late" })).await;
    assert_eq!((late.status, late.json()["code"].as_str().unwrap()), (503, "not_recording"));
    sqlx::query("rollback").execute(&mut other).await.unwrap();
    ann.until(acknowledged).await;
    for screen in [&mut desk, &mut helper] {
        screen.until(|s| s.reports().first().is_some_and(|r| r.recorded)).await;
        assert_eq!(screen.reports().len(), 1);
    }
    assert_eq!(server.get("/readyz", "").await.status, 200);
}

/// Who may join a class with its code when the host has set nothing about it.
#[tokio::test]
async fn a_class_asks_at_the_door_unless_the_host_says_otherwise() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let plan =
        draft::read_plan(Source::new("plan.toml", crate::common::PLAN), &server.app.house.library).unwrap();
    let new = NewSession::of_plan(plan.clone(), server.app.house.rules.clone(), false, Entry::Ask);
    let now = server.app.clock.now();
    let entry = new::new_session(&*server.app.store, new, now).await.unwrap();
    assert!(matches!(
        ledger(&server, &entry).await[1].event,
        Event::Class(ClassEvent::EntrySet { to: Entry::Ask })
    ));
    let rehearsal = NewSession::of_plan(plan, server.app.house.rules.clone(), true, Entry::Ask);
    assert_eq!(rehearsal.entry, Entry::Code, "everybody may come into a rehearsal");
}

/// A key that was pressed in one step but arrives in the next does nothing.
#[tokio::test]
async fn a_desks_key_names_where_it_was_pressed() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    desk.tell_desk(DeskCommand::Start).await;
    let at = server.app.clock.now();
    let key = async |desk: &mut Screen, command: &str, step: u32, at: EpochMs| {
        let id = Uuid::now_v7();
        let pressed = json!({ "step": step, "clue": 0, "hints": 0, "at": at });
        desk.send(json!({ "kind": "desk", "id": id, "pressed": pressed, "command": { "do": command } }))
            .await;
        loop {
            match desk.hear().await.unwrap() {
                samebreath_wire::ServerMessage::Taken { id: of } if of.0 == id => return None,
                samebreath_wire::ServerMessage::Refused { id: of, code, .. } if of.0 == id => {
                    return Some(code);
                }
                _ => {}
            }
        }
    };
    assert_eq!(key(&mut desk, "next", 1, at).await, None);
    assert_eq!(key(&mut desk, "next", 1, at).await.as_deref(), Some("moved_meanwhile"));
    let minutes_ago = at.plus(-180_000);
    assert_eq!(key(&mut desk, "end", 2, minutes_ago).await.as_deref(), Some("too_late"));
    assert_eq!(key(&mut desk, "next", 2, at).await, None);
}

/// A form that a desk sets for one person reaches each screen of theirs and nobody else's, and a command that is sent
/// again because its answer was lost changes nothing.
#[tokio::test]
async fn a_form_for_one_of_two_anns_reaches_both_her_tabs_once_and_stays_over_a_crash() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let (one, other) = (server.join("Ann").await, server.join("Ann").await);
    let mut her = open(&server, &one, &one).await;
    let mut her_tablet = open(&server, &one, &one).await;
    let mut namesake = open(&server, &other, &other).await;
    desk.tell_desk(DeskCommand::SayName { name: "Odile".try_into().unwrap() }).await;
    desk.tell_desk(DeskCommand::Start).await;
    let set = |seat, way| {
        let form = PersonalForm { of: Of::Family(Family::Breath), way, note: None };
        serde_json::to_value(DeskCommand::SetForm { seat, form }).unwrap()
    };
    let forms = |screen: &Screen| {
        screen.mine.as_ref().map(|mine| mine.forms.iter().map(|step| step.form).collect::<Vec<_>>())
    };
    let is_easier = |screen: &Screen| forms(screen).is_some_and(|forms| forms.contains(&Form::Easier));
    let (easier, hold) = (Uuid::now_v7(), Uuid::now_v7());
    assert_eq!(desk.tell("desk", easier, set(SeatId(1), Way::Easier)).await, None);
    her.until(is_easier).await;
    her_tablet.until(is_easier).await;
    assert_eq!(namesake.tell_seat(SeatCommand::Done { step: StepId(1) }).await, None);
    assert!(!is_easier(&namesake), "her namesake does the drill as it is planned");
    // Later a hold of her own takes its place; then the first command comes once more.
    assert_eq!(desk.tell("desk", hold, set(SeatId(1), Way::OwnHold(5_000))).await, None);
    assert_eq!(desk.tell("desk", easier, set(SeatId(1), Way::Easier)).await, None);
    her.until(|screen| !is_easier(screen)).await;
    her_tablet.until(|screen| !is_easier(screen)).await;
    let forms_set = ledger(&server, &server.entry).await;
    let forms_set =
        forms_set.iter().filter(|r| matches!(r.event, Event::Care { what: CareEvent::FormSet { .. }, .. }));
    assert_eq!(forms_set.count(), 2);
    drop((her, her_tablet, namesake, desk));
    server.stop().await;
    let again = TestServer::start(folder.path()).await;
    let mut her = open(&again, &one, &one).await;
    her.until(|screen| screen.mine.is_some()).await;
    let mine = her.mine.clone().unwrap();
    assert!(mine.forms.iter().any(|step| step.hold_ms == Some(5_000)), "{:?}", mine.forms);
    again.stop().await;
}
