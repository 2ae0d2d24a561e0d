//! A busy class of forty. Every frame that reached a participant or the wall is checked against the schema of its
//! role and against everything that only others may know, and the log is checked against every name and secret.
#![allow(clippy::unwrap_used, missing_docs, reason = "a test file")]

mod common;

use std::io::Write;
use std::sync::{Arc, Mutex};

use common::{Screen, TestServer};
use jsonschema::Validator;
use samebreath_core::drill::Family;
use samebreath_core::live::{
    CheckIn, Content, DeskCommand, ReportId, ReportState, Said, SeatCommand, SeatId, StepId, Where,
};
use samebreath_core::people::care::{Condition, Of, PersonalForm, Way};
use samebreath_core::rehearse::{self, Act, Moment};
use serde_json::{Value, json};
use tokio::sync::mpsc;
use uuid::Uuid;

fn validator(schema: &str) -> Validator {
    jsonschema::validator_for(&serde_json::from_str(schema).unwrap()).unwrap()
}

/// A person at their own screen, who gives commands when told to and keeps every frame.
struct Player {
    say: mpsc::UnboundedSender<Value>,
    end: tokio::task::JoinHandle<Vec<String>>,
}

impl Player {
    fn sit_down(mut screen: Screen) -> Self {
        let (say, mut said) = mpsc::unbounded_channel::<Value>();
        let end = tokio::spawn(async move {
            loop {
                tokio::select! {
                    biased;
                    command = said.recv() => match command {
                        Some(command) => {
                            screen.send(json!({ "kind": "seat", "id": Uuid::now_v7(), "command": command })).await;
                        }
                        None => break,
                    },
                    heard = screen.hear() => if heard.is_err() { break },
                }
            }
            screen.seen
        });
        Self { say, end }
    }

    fn tell(&self, command: &SeatCommand) {
        // A person who was taken out no longer has a socket.
        let _ = self.say.send(serde_json::to_value(command).unwrap());
    }
}

/// A text that only this person and the desks may know.
fn secret(kind: &str, n: usize) -> String {
    format!("{kind}-secret-{n:02}")
}

#[derive(Clone, Default)]
struct Log(Arc<Mutex<Vec<u8>>>);

impl Write for Log {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap().write(bytes)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn nobody_learns_of_another() {
    let log = Log::default();
    let writer = log.clone();
    tracing_subscriber::fmt()
        .json()
        .with_env_filter("info,samebreath=trace")
        .with_writer(move || writer.clone())
        .init();
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    desk.tell_desk(DeskCommand::SayName { name: "Rosamund".try_into().unwrap() }).await;
    let wall = server.connect("wall", &server.use_link(&server.links.wall).await).await;
    let wall = Player::sit_down(wall);
    let people = rehearse::people(rehearse::MOST_PEOPLE);
    let (mut class, mut one_cookie) = (Vec::new(), String::new());
    for (n, person) in people.iter().enumerate() {
        let screen = server.seat(person.name.as_str()).await;
        one_cookie.clone_from(&screen.cookie);
        let player = Player::sit_down(screen);
        let text = |kind: &str| Some(secret(kind, n).as_str().try_into().unwrap());
        player.tell(&SeatCommand::CheckIn {
            answers: CheckIn { place: text("place"), contact: text("contact"), ..CheckIn::default() },
        });
        class.push(player);
    }
    desk.until(|s| s.desk.as_ref().is_some_and(|d| d.rows.iter().filter(|row| row.checked_in).count() == 40))
        .await;
    for n in 0..40u32 {
        let seat = SeatId(n + 1);
        let text = secret("message", n as usize).as_str().try_into().unwrap();
        desk.tell_desk(DeskCommand::Message { seat, text }).await;
        if n % 3 == 0 {
            desk.tell_desk(DeskCommand::SetPrecautions { seat, conditions: vec![Condition::Neck] }).await;
            let note = Some(secret("note", n as usize).as_str().try_into().unwrap());
            let form = PersonalForm { of: Of::Family(Family::Breath), way: Way::Easier, note };
            desk.tell_desk(DeskCommand::SetForm { seat, form }).await;
        }
    }
    desk.tell_desk(DeskCommand::ClearSwallow { seats: (1..=40).map(SeatId).collect() }).await;
    // A second window, because one may send only so much in a minute.
    let mut desk = server.connect("desk", &desk.cookie).await;
    for step in 1..=5u32 {
        desk.tell_desk(DeskCommand::GoTo { step: StepId(step) }).await;
        if step == 2 {
            desk.tell_desk(DeskCommand::ShowClue).await;
        }
        desk.tell_desk(DeskCommand::AskEffort).await;
        let rev = server.get(&format!("/api/content/{{stay}}/{step}/0"), &desk.cookie).await;
        let content: Content = serde_json::from_str(&rev.body).unwrap();
        for (n, (person, player)) in people.iter().zip(&class).enumerate() {
            let moments = [
                Moment::Step { content: &content, entered: step, of: 5 },
                Moment::Clue { step: StepId(2), number: 1 },
                Moment::Effort { number: step },
            ];
            for (_, act) in moments.into_iter().flat_map(|m| rehearse::acts(person, n as u64, 7, m)) {
                if let Act::Tell(command) = act {
                    player.tell(&command);
                }
            }
            if step == 2 {
                let word = secret("word", n).as_str().try_into().unwrap();
                player.tell(&SeatCommand::AnswerClue { step: StepId(2), number: 1, word: Some(word) });
            }
            if (n + step as usize).is_multiple_of(4) {
                let words = Some(secret("report", n).as_str().try_into().unwrap());
                let said = Said { place: Some(Where::Neck), words, ..Said::default() };
                player.tell(&SeatCommand::Report { report: ReportId(Uuid::now_v7()), said });
            }
        }
    }
    desk.until(|s| s.reports().len() >= 40).await;
    for report in desk.reports() {
        desk.tell_desk(DeskCommand::HandleReport { report: report.id, to: ReportState::Taken }).await;
    }
    desk.tell_desk(DeskCommand::Merge { from: SeatId(2), into: SeatId(1) }).await;
    let reason = "reason-secret".try_into().unwrap();
    desk.tell_desk(DeskCommand::Remove { seat: SeatId(3), reason }).await;
    // Things that are logged: a plain request, an export, a foreign page, a wrong code.
    let by_post =
        json!({ "kind": "seat", "id": Uuid::now_v7(), "command": { "do": "stop", "reason": null } });
    assert_eq!(server.post("/api/commands/{stay}", &one_cookie, &by_post).await.status, 200);
    assert_eq!(server.get("/api/desk/{stay}/incidents.csv", &desk.cookie).await.status, 200);
    assert_eq!(
        server.post("/api/join", "", &json!({ "code": "0000-0000", "name": "Odile" })).await.status,
        404
    );
    desk.tell_desk(DeskCommand::End).await;
    server.shutdown.cancel();

    let (for_seat, for_wall) =
        (validator(include_str!("schemas/seat.json")), validator(include_str!("schemas/wall.json")));
    let kinds = ["place", "contact", "message", "note", "word", "report"];
    let mut frames = 0;
    for (n, player) in class.into_iter().enumerate() {
        let seen = player.end.await.unwrap();
        drop(player.say);
        assert!(seen.len() > 20, "{n} saw the class");
        // The first two seats were merged into one person in the end, who sees the reports of both.
        let is_own = |other: usize| other == n || (n < 2 && other < 2);
        for text in &seen {
            frames += 1;
            let value: Value = serde_json::from_str(text).unwrap();
            assert!(for_seat.is_valid(&value), "not a frame for a seat: {text}");
            for other in (0..40).filter(|other| !is_own(*other)) {
                for kind in kinds {
                    assert!(
                        !text.contains(&secret(kind, other)),
                        "person {n} learns about person {other}: {text}"
                    );
                }
                let name = format!("\"{}\"", people[other].name);
                assert!(!text.contains(&name), "person {n} learns the name of person {other}: {text}");
            }
            for kind in ["place", "contact", "note"] {
                assert!(
                    !text.contains(&secret(kind, n)),
                    "a page is not even sent its own person's secret: {text}"
                );
            }
            assert!(!text.contains("reason-secret"));
        }
    }
    assert!(frames > 40 * 20, "{frames}");
    let wall_seen = wall.end.await.unwrap();
    for text in &wall_seen {
        let value: Value = serde_json::from_str(text).unwrap();
        assert!(for_wall.is_valid(&value), "not a frame for a wall: {text}");
    }
    assert!(wall_seen.len() > 10);
    // A schema that accepts anything would prove nothing.
    let stranger = json!({ "kind": "mine", "mine": { "seat": 1, "contact": "Ben, 555 0100" } });
    assert!(!for_seat.is_valid(&stranger) && !for_wall.is_valid(&stranger));

    let bytes = log.0.lock().unwrap().clone();
    let text = String::from_utf8(bytes).unwrap();
    assert!(text.lines().count() >= 2, "the log has lines: {text}");
    assert!(text.contains("command by plain request") && text.contains("incident timeline exported"));
    for line in text.lines() {
        let parsed: Result<Value, _> = serde_json::from_str(line);
        assert!(parsed.is_ok(), "one JSON object a line: {line}");
        let lower = line.to_lowercase();
        assert!(!lower.contains("-secret"), "{line}");
        for person in &people {
            assert!(!line.contains(person.name.as_str()), "{line}");
        }
        for link in [&server.links.desk, &server.links.helper, &server.links.wall, &server.links.code] {
            let token = link.split("#p.").last().unwrap();
            assert!(!line.contains(token), "{line}");
        }
        assert!(!line.contains(desk.cookie.split('=').next_back().unwrap()), "{line}");
    }
}
