//! A class over real sockets: what one person does is seen by the others.

use crate::common::TestServer;
use samebreath_core::live::{
    DeskCommand, DeskRole, ReportId, ReportState, Said, SeatCommand, StagePhase, Status, StepId, Where, Whose,
};
use samebreath_core::people::rules::{Felt, Strength};
use samebreath_core::plan::StepRequest;
use samebreath_core::plan::minutes::Minutes;
use samebreath_wire::ServerMessage;
use serde_json::json;
use uuid::Uuid;

fn report(id: u128) -> SeatCommand {
    let said =
        Said { place: Some(Where::Neck), strength: Some(Felt::Word(Strength::Quite)), ..Said::default() };
    SeatCommand::Report { report: ReportId(Uuid::from_u128(id)), said }
}

#[tokio::test]
async fn everybody_gets_the_same_stage() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let (mut ann, mut ben) = (server.seat("Ann").await, server.seat("Ben").await);
    let mut wall = server.connect("wall", &server.use_link(&server.links.wall).await).await;
    desk.tell_desk(DeskCommand::Start).await;
    for screen in [&mut ann, &mut ben, &mut wall, &mut desk] {
        screen.until(|s| s.stage.as_ref().is_some_and(|stage| stage.phase == StagePhase::Running)).await;
    }
    let frames = [&ann, &ben, &wall, &desk].map(|s| s.stage.clone().unwrap());
    assert!(frames.windows(2).all(|pair| pair[0] == pair[1]));
    assert!(
        frames[0].moves[0].at > server.app.clock.now(),
        "the move takes effect a moment later, on all screens at once"
    );
}

#[tokio::test]
async fn a_clue_is_shown_to_each_in_their_language_at_the_same_instant() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let mut ann = server.seat("Ann").await;
    let (ben, cleo) = (server.join("Ben").await, server.join("Cleo").await);
    let mut ben = server.connect("seat?in=es", &ben).await;
    for odd in ["seat?in=", "seat?in=an-unheard-of-language-with-a-very-long-name"] {
        server.connect(odd, &cleo).await;
    }
    let mut cleo = server.connect("seat?in=xx", &cleo).await;
    let step = StepRequest::Clues {
        set: "toolbox".try_into().unwrap(),
        only: Vec::new(),
        minutes: Minutes::whole(5).unwrap(),
    };
    for command in [
        DeskCommand::Insert { after: None, step },
        DeskCommand::Start,
        DeskCommand::ShowClue,
        DeskCommand::ShowHint,
        DeskCommand::ShowAnswer,
    ] {
        assert_eq!(desk.tell_desk(command).await, None);
    }
    let answered = |s: &crate::common::Screen| {
        s.stage.as_ref().and_then(|stage| stage.clue.as_ref()).is_some_and(|clue| clue.answer.is_some())
    };
    for screen in [&mut ann, &mut ben, &mut cleo] {
        screen.until(answered).await;
    }
    let clue = |s: &crate::common::Screen| s.stage.clone().unwrap().clue.unwrap();
    assert_eq!(clue(&ann).answer.unwrap().as_str(), "hammer");
    assert_eq!(clue(&ben).answer.unwrap().as_str(), "martillo");
    assert_eq!(clue(&ben).hints[0].as_str(), "Por un lado pega y por el otro arranca.");
    assert_eq!(clue(&ben).from, clue(&ann).from);
    assert_eq!(clue(&cleo), clue(&ann), "a language that the round does not have");
    desk.until(|s| s.desk.as_ref().is_some_and(|d| d.clue.as_ref().is_some_and(|c| c.answer_shown))).await;
    let at_the_desk = desk.desk.clone().unwrap().clue.unwrap();
    assert_eq!(at_the_desk.answer.as_str(), "hammer");
    assert_eq!(at_the_desk.answer_in[0].answer.as_str(), "martillo");
    // The head of a step is also given in the language asked for.
    let now = ben.stage.clone().unwrap().moves.last().unwrap().clone();
    let head = async |tag: &str| {
        let answer = server
            .get(&format!("/api/content/{{stay}}/{}/{}?in={tag}", now.step.0, now.rev), &ben.cookie)
            .await;
        answer.json()["title"].as_str().unwrap().to_owned()
    };
    assert_eq!(
        (head("es").await, head("en").await),
        ("La caja de herramientas".into(), "The toolbox".into())
    );
}

#[tokio::test]
async fn done_stop_and_a_report_reach_the_desk_and_the_answer_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let mut ann = server.seat("Ann").await;
    desk.tell_desk(DeskCommand::Start).await;
    ann.until(|s| s.mine.as_ref().is_some_and(|mine| mine.step == Some(StepId(1)))).await;
    assert_eq!(ann.tell_seat(SeatCommand::Done { step: StepId(1) }).await, None);
    let status = |status| {
        move |s: &crate::common::Screen| {
            s.desk.as_ref().is_some_and(|d| d.rows.first().is_some_and(|row| row.status == status))
        }
    };
    desk.until(status(Status::Done)).await;
    assert_eq!(ann.tell_seat(SeatCommand::Stop { reason: None, whose: Whose::Own }).await, None);
    desk.until(status(Status::Stopped)).await;
    assert_eq!(ann.tell_seat(report(7)).await, None);
    desk.until(status(Status::Discomfort)).await;
    let id = desk.reports()[0].id;
    desk.tell_desk(DeskCommand::HandleReport { report: id, to: ReportState::Seen }).await;
    ann.until(|s| {
        s.mine
            .as_ref()
            .is_some_and(|m| m.reports.first().is_some_and(|r| r.seen_by == Some(DeskRole::Facilitator)))
    })
    .await;
}

#[tokio::test]
async fn a_command_sent_twice_counts_once() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let cookie = server.join("Ann").await;
    let mut ann = server.connect("seat", &cookie).await;
    let id = Uuid::now_v7();
    let command = serde_json::to_value(report(7)).unwrap();
    assert_eq!(ann.tell("seat", id, command.clone()).await, None);
    assert_eq!(ann.tell("seat", id, command.clone()).await, None);
    let body = json!({ "kind": "seat", "id": id, "command": command });
    assert_eq!(
        server.post("/api/commands/{stay}", &cookie, &body).await.status,
        200,
        "sent by plain request, it still counts once"
    );
    let ledger = server.app.store.read_after(server.entry.id, 0).await.unwrap();
    let caused = ledger.iter().filter(|line| line.cause.is_some_and(|cause| cause.0 == id)).count();
    assert_eq!(caused, 1);
}

#[tokio::test]
async fn a_report_goes_by_plain_request_while_there_is_no_socket() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let cookie = server.join("Ann").await;
    let body =
        json!({ "kind": "seat", "id": Uuid::now_v7(), "command": serde_json::to_value(report(3)).unwrap() });
    assert_eq!(server.post("/api/commands/{stay}", &cookie, &body).await.status, 200);
    desk.until(|s| !s.reports().is_empty()).await;
    assert_eq!(server.post("/api/commands/{stay}", "", &body).await.status, 401);
    let desks = json!({ "kind": "desk", "id": Uuid::now_v7(), "command": { "do": "end" } });
    assert_eq!(server.post("/api/commands/{stay}", &cookie, &desks).await.status, 403);
}

#[tokio::test]
async fn nothing_acknowledged_is_missing_after_a_restart() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let cookie = server.join("Ann").await;
    let mut ann = server.connect("seat", &cookie).await;
    desk.tell_desk(DeskCommand::Start).await;
    ann.tell_seat(report(1)).await;
    ann.until(|s| s.stage.as_ref().is_some_and(|stage| stage.phase == StagePhase::Running)).await;
    let before = ann.stage.clone().unwrap();
    server.stop().await;
    assert_eq!(ann.until_closed().await, 1012);
    let again = TestServer::start(folder.path()).await;
    let mut ann = again.connect("seat", &cookie).await;
    ann.until(|s| s.mine.is_some()).await;
    assert_eq!(ann.stage, Some(before), "the countdown goes on from where it was");
    assert_eq!(ann.mine.unwrap().reports.len(), 1);
}

#[tokio::test]
async fn a_stop_of_the_server_says_when_to_come_back_and_ends_every_socket() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let mut screens = Vec::new();
    for n in 0..20 {
        screens.push(server.seat(&format!("P{n}")).await);
    }
    server.stop().await;
    for mut screen in screens {
        assert_eq!(screen.until_closed().await, 1012);
        assert!(screen.seen.iter().any(|text| text.contains("\"kind\":\"restart\"")));
    }
}

#[tokio::test]
async fn the_clock_is_answered_with_both_stamps() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let mut ann = server.seat("Ann").await;
    let before = server.app.clock.precise_ms();
    ann.send(json!({ "kind": "clock_ask", "sent_ms": 1.5, "visible": true, "round_trip_ms": null })).await;
    loop {
        if let ServerMessage::Clock { sent_ms, received_ms, answered_ms, clock_id } =
            ann.hear().await.unwrap()
        {
            assert!((sent_ms - 1.5).abs() < f64::EPSILON);
            assert!(before <= received_ms && received_ms <= answered_ms);
            assert!(answered_ms <= server.app.clock.precise_ms());
            assert_eq!(clock_id, server.app.clock.id());
            break;
        }
    }
}

#[tokio::test]
async fn a_slow_screen_skips_to_the_newest_stage_and_misses_no_answer() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let mut ann = server.seat("Ann").await;
    desk.tell_desk(DeskCommand::Start).await;
    for _ in 0..60 {
        desk.tell_desk(DeskCommand::AgainStep).await;
    }
    let last = server.app.store.read_after(server.entry.id, 0).await.unwrap().last().unwrap().seq;
    let id = Uuid::now_v7();
    assert_eq!(ann.tell("seat", id, json!({ "do": "done", "step": 1 })).await, None);
    ann.until(|s| s.stage.as_ref().is_some_and(|stage| stage.seq == last)).await;
    let stages = ann.seen.iter().filter(|text| text.starts_with("{\"kind\":\"stage\"")).count();
    assert!(stages <= 62, "{stages}");
}

#[tokio::test]
async fn events_of_another_node_are_read_and_shown() {
    let folder = tempfile::tempdir().unwrap();
    let one = TestServer::start(folder.path()).await;
    let two = one.beside().await;
    let cookie = one.use_link(&one.links.desk).await;
    let mut desk_one = one.connect("desk", &cookie).await;
    let mut desk_two = two.connect("desk", &cookie).await;
    desk_one.tell_desk(DeskCommand::Open).await;
    // The other node has not heard of this event. Its stale append is refused, so it reads on and decides again.
    assert_eq!(desk_two.tell_desk(DeskCommand::Open).await.as_deref(), Some("no_change"));
    assert_eq!(desk_two.tell_desk(DeskCommand::Start).await, None);
    assert_eq!(desk_one.tell_desk(DeskCommand::Start).await.as_deref(), Some("already_started"));
    let ledger = one.app.store.read_after(one.entry.id, 0).await.unwrap();
    let seqs: Vec<_> = ledger.iter().map(|line| line.seq).collect();
    assert_eq!(seqs, [1, 2, 3]);
}
