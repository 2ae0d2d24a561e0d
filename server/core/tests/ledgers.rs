//! Ledgers of this and of every earlier version, kept as files, are read and mean what they meant.
//!
//! `ledger-0.jsonl` has lines from before they had a version. A new version adds a file and never writes an old one
//! anew; what each meant is said beside it in words that later features do not change.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use crate::common::class::{Class, FACILITATOR, HELPER};
use crate::common::examples;
use samebreath_core::drill::Family;
use samebreath_core::drill::dose::DoseChange;
use samebreath_core::live::{
    Actor, Answer, CareEvent, CheckIn, ClassEvent, Command, DeskCommand, DeskRole, Entry, Heard, HomeLog,
    HowFar, Mark, Recorded, ReportId, ReportState, SafetyEvent, SeatCommand, SeatEvent, SeatId, Session,
    StepId, StopReason, UrgentSign, Whose,
};
use samebreath_core::people::care::{Condition, Of, PersonalForm, Way};
use samebreath_core::people::rules::Felt;
use samebreath_core::plan::StepRequest;
use samebreath_core::text::{Name, Sentence};
use uuid::Uuid;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden")
}

fn ledger(file: &str) -> Vec<Recorded> {
    let text = std::fs::read_to_string(folder().join(file)).unwrap();
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

/// What a ledger says of a class, in lines.
fn meaning(ledger: &[Recorded]) -> String {
    let session = Session::replay(ledger).unwrap();
    let mut text = String::new();
    writeln!(text, "{} lines, lead {:?}, ended {}", session.seq(), session.lead(), session.has_ended())
        .unwrap();
    for step in session.steps() {
        writeln!(text, "step {} rev {}: {}", step.id.0, step.rev, step.step.title).unwrap();
    }
    for m in session.moves() {
        writeln!(text, "at {} step {} from {} ms, runs {}", m.at.0, m.step.0, m.offset_ms, m.running)
            .unwrap();
    }
    for (id, seat) in session.seats() {
        let done: Vec<_> =
            seat.answers.iter().filter(|(_, a)| a.answer == Answer::Done).map(|(step, _)| step.0).collect();
        writeln!(
            text,
            "seat {}: {}, {:?}, did {done:?}, stopped {}, {} precautions, {} forms, swallow {}, mouth {:?}, merged {:?}",
            id.0,
            seat.name,
            seat.place,
            seat.stopped.is_some(),
            seat.precautions.len(),
            seat.forms.len(),
            seat.swallow_cleared_by.is_some(),
            seat.mouth_empty,
            seat.merged_into.map(|into| into.0)
        )
        .unwrap();
        for message in &seat.messages {
            writeln!(text, "  told: {}, read {}", message.text, message.read_at.is_some()).unwrap();
        }
        for log in &seat.practised {
            writeln!(
                text,
                "  did at home: {:?} of {} on {}, hurt {}",
                log.done, log.drill, log.day, log.hurt
            )
            .unwrap();
        }
    }
    for report in session.reports() {
        let urgent = report.said.urgent.is_some();
        writeln!(
            text,
            "report of {}: {:?}, urgent {urgent}, handled {} times, taken back {}",
            report.seat.0,
            report.state,
            report.handled.len(),
            report.taken_back
        )
        .unwrap();
    }
    for follow_up in session.follow_ups() {
        writeln!(text, "follow-up: {}, closed {}", follow_up.what, follow_up.closed_at.is_some()).unwrap();
    }
    text
}

/// A class in which everything happens that can.
fn played() -> Vec<Recorded> {
    let mut c = Class::new(
        "[[step]]\ndrill = \"steady-ah\"\n[[step]]\ndrill = \"tongue-hold-swallow\"\n\
         [[step]]\nclues = \"allotment\"\nminutes = 5\n[[step]]\ndrill = \"neck-five\"\n",
    )
    .staffed();
    let n = |text: &str| -> Name { text.try_into().unwrap() };
    let s = |text: &str| -> Sentence { text.try_into().unwrap() };
    let (ada, ben, cy, dot) = (SeatId(1), SeatId(2), SeatId(3), SeatId(4));
    c.desk(DeskCommand::SayName { name: n("Ines") });
    c.desk(DeskCommand::Expect { name: n("Ada") });
    c.desk(DeskCommand::SetPrecautions { seat: ada, conditions: vec![Condition::Neck] });
    let form = PersonalForm { of: Of::Family(Family::Voice), way: Way::Easier, note: Some(s("slowly")) };
    c.desk(DeskCommand::SetForm { seat: ada, form });
    c.record(FACILITATOR, vec![CareEvent::SwallowKeptOff.of(ada)]);
    c.desk(DeskCommand::Open);
    let came =
        [CareEvent::SentWord { comes: false }, CareEvent::SentWord { comes: true }, CareEvent::NewDevice];
    c.record(Actor::Entry, came.map(|what| what.of(ada)).to_vec());
    c.try_do(Actor::Entry, Command::Arrive { seat: ada }).unwrap();
    c.hear(ada);
    c.join("Ben");
    c.join("Cy");
    c.desk(DeskCommand::AddByPhone { name: n("Dot") });
    c.desk(DeskCommand::SetEntry { to: Entry::Ask });
    let (eve, fay) = (c.join("Eve"), c.join("Fay"));
    c.desk(DeskCommand::LetIn { seat: eve, known_as: None });
    c.desk(DeskCommand::TurnAway { seat: fay });
    let place = Some(s("14 Mill Lane"));
    c.seat(ada, SeatCommand::CheckIn { answers: CheckIn { place, ..CheckIn::default() } });
    c.desk(DeskCommand::ClearSwallow { seats: vec![ada, ben, cy] });
    c.desk(DeskCommand::EndSwallow { seat: cy });
    c.desk(DeskCommand::ClearFamily { seat: ada, family: Family::Neck });
    c.desk(DeskCommand::EndFamily { seat: ada, family: Family::Neck });
    c.desk(DeskCommand::LiftForm { seat: ada, of: Of::Family(Family::Voice) });
    c.desk(DeskCommand::MarkOff { seat: ben });
    c.desk(DeskCommand::Start);
    c.wait_ms(20_000);
    c.desk(DeskCommand::MoreTime { seconds: 10 });
    c.wait_ms(3_000);
    c.desk(DeskCommand::Pause);
    c.wait_ms(3_000);
    c.desk(DeskCommand::GoOn);
    c.wait_ms(8_000);
    let change = DoseChange { reps: Some(6), ..DoseChange::default() };
    c.desk(DeskCommand::SwapDose { step: StepId(1), change: Box::new(change) });
    c.seat(ben, SeatCommand::Done { step: StepId(1) });
    c.seat(ben, SeatCommand::Done { step: StepId(1) });
    c.seat(ben, SeatCommand::Undo { step: StepId(1) });
    c.seat(ben, SeatCommand::HowFar { step: StepId(1), far: HowFar::Target });
    c.seat(cy, SeatCommand::Stop { reason: None, whose: Whose::Own });
    c.seat(cy, SeatCommand::UndoStop);
    c.seat(cy, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    c.desk(DeskCommand::SeeStop { seat: cy });
    c.seat(cy, SeatCommand::GoOn);
    c.desk(DeskCommand::AskRest { seat: cy });
    c.report(ada, 1, Some(Felt::Number(4)), None);
    c.report(ada, 5, Some(Felt::Number(8)), None);
    for to in
        [ReportState::Seen, ReportState::Taken, ReportState::Resting, ReportState::Back, ReportState::Closed]
    {
        c.desk(DeskCommand::HandleReport { report: ReportId(Uuid::from_u128(1)), to });
    }
    c.report(eve, 2, None, Some(UrgentSign::Choking));
    c.seat(eve, SeatCommand::TakeBack { report: ReportId(Uuid::from_u128(2)) });
    c.desk(DeskCommand::Message { seat: ben, text: s("Slowly, please") });
    let message = c.session.mine(ben, c.now).unwrap().message.unwrap().id;
    c.seat(ben, SeatCommand::ReadMessage { message });
    c.desk(DeskCommand::MarkSeat { seat: dot, answer: Mark::Done });
    c.desk(DeskCommand::Next);
    c.wait_ms(2_000);
    c.seat(ben, SeatCommand::ConfirmMouth { empty: true });
    c.desk(DeskCommand::GoOn);
    c.wait_ms(9_000);
    c.presence.seats.get_mut(&ben).unwrap().gone_at = Some(c.now);
    c.silence_ms(9_000);
    c.watch();
    c.try_do(HELPER, Command::Desk(DeskCommand::TakeLost { seat: ben })).unwrap();
    c.try_do(HELPER, Command::Desk(DeskCommand::CloseLost { seat: ben })).unwrap();
    c.hear(ben);
    c.watch();
    c.desk(DeskCommand::PauseForSafety);
    c.wait_ms(5_000);
    c.desk(DeskCommand::Resume);
    c.wait_ms(5_000);
    c.desk(DeskCommand::AskEffort);
    c.seat(ben, SeatCommand::SayEffort { number: 1, score: 6 });
    c.desk(DeskCommand::Insert { after: None, step: StepRequest::Sip { seconds: 30 } });
    c.desk(DeskCommand::Insert { after: None, step: StepRequest::Sip { seconds: 60 } });
    c.desk(DeskCommand::MoveStep { step: StepId(6), after: StepId(4) });
    c.desk(DeskCommand::TakeOut { step: StepId(6) });
    c.desk(DeskCommand::SetTime { step: StepId(3), seconds: 240 });
    c.desk(DeskCommand::MessageAll { text: s("well done") });
    c.desk(DeskCommand::GoTo { step: StepId(3) });
    c.wait_ms(2_000);
    c.desk(DeskCommand::ShowClue);
    c.desk(DeskCommand::ShowHint);
    let word = Some("spade".try_into().unwrap());
    c.seat(ben, SeatCommand::AnswerClue { step: StepId(3), number: 1, word });
    c.desk(DeskCommand::ShowAnswer);
    c.desk(DeskCommand::ShareHealth);
    c.desk(DeskCommand::HandDesk { to: DeskRole::Helper });
    c.presence.desks.remove(&DeskRole::Helper);
    c.silence_ms(120_000);
    c.watch();
    c.presence.desks.insert(DeskRole::Helper, Heard::now(c.now, true));
    c.hear(ben);
    c.watch();
    c.desk(DeskCommand::Merge { from: eve, into: ben });
    c.desk(DeskCommand::Remove { seat: dot, reason: s("hung up") });
    c.seat(cy, SeatCommand::Leave);
    c.seat(cy, SeatCommand::Done { step: StepId(1) });
    let due = "2027-03-09".to_owned().try_into().unwrap();
    c.desk(DeskCommand::AddFollowUp { seat: ada, what: s("call"), owner: n("Ines"), due });
    c.desk(DeskCommand::CloseFollowUp { id: 1, outcome: s("reached") });
    c.record(FACILITATOR, vec![ClassEvent::FollowUpClosed { id: 1 }.into()]);
    c.desk(DeskCommand::SetAttendance { seat: ada, minutes: 20, reason: s("her tablet slept") });
    // Whatever else a person can ask.
    for command in examples::seat_commands() {
        let _ = c.try_do(Actor::Seat(ben), Command::Seat(command));
    }
    c.try_do(HELPER, Command::Desk(DeskCommand::End)).unwrap();
    let log = Box::new(HomeLog { hurt: true, ..examples::home_log() });
    c.record(Actor::Entry, vec![SeatEvent::Practised { log }.of(ada)]);
    c.ledger
}

fn kept_ledgers() -> Vec<PathBuf> {
    let files = std::fs::read_dir(folder()).unwrap().map(|file| file.unwrap().path());
    let mut ledgers: Vec<_> =
        files.filter(|path| path.extension().is_some_and(|end| end == "jsonl")).collect();
    ledgers.sort();
    ledgers
}

#[test]
fn every_kept_ledger_means_what_it_meant() {
    let ledgers = kept_ledgers();
    assert!(ledgers.len() >= 2, "{ledgers:?}");
    for path in ledgers {
        let found = meaning(&ledger(path.file_name().unwrap().to_str().unwrap()));
        let path = path.with_extension("txt");
        if !path.exists() && std::env::var_os("SAMEBREATH_WRITE").is_some() {
            std::fs::write(&path, &found).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap();
        assert_eq!(found, kept, "{} has another meaning now; it must not", path.display());
    }
}

/// Keeps one more ledger, for events that no kept one has. A kept ledger is never written anew.
fn keep(ledger: &[Recorded]) {
    let lines = ledger.iter().map(|recorded| {
        let body = serde_json::to_string(recorded).unwrap();
        body.replacen('{', "{\"v\":1,", 1) + "\n"
    });
    let path = folder().join(format!("ledger-{}.jsonl", kept_ledgers().len()));
    assert!(!path.exists(), "{} is there", path.display());
    std::fs::write(path, lines.collect::<String>()).unwrap();
}

/// The names of the events of a kind, by the list that serde itself has.
fn names<E: serde::de::DeserializeOwned>() -> Vec<String> {
    let Err(error) = serde_json::from_str::<E>(r#"{"event":"no such event"}"#) else {
        panic!("it is unknown")
    };
    let text = error.to_string();
    let (_, list) = text.split_once("expected one of ").unwrap();
    list.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

/// In a ledger all events lie side by side: their names must tell them apart. Each is in a kept ledger.
#[test]
fn the_kept_ledgers_have_every_kind_of_event() {
    let names =
        [names::<ClassEvent>(), names::<SeatEvent>(), names::<SafetyEvent>(), names::<CareEvent>()].concat();
    let known: BTreeSet<&str> = names.iter().map(String::as_str).collect();
    assert_eq!(known.len(), names.len(), "two events have one name");
    let kinds: Vec<String> = played()
        .iter()
        .map(|line| serde_json::to_value(&line.event).unwrap()["event"].as_str().unwrap().to_owned())
        .collect();
    let found: BTreeSet<&str> = kinds.iter().map(String::as_str).collect();
    assert_eq!(
        known.difference(&found).collect::<Vec<_>>(),
        Vec::<&&str>::new(),
        "events that are not played"
    );
    let kept =
        || kept_ledgers().iter().map(|path| std::fs::read_to_string(path).unwrap()).collect::<String>();
    let missing = || {
        let kept = kept();
        let is_missing = |kind: &&str| !kept.contains(&format!("\"event\":\"{kind}\""));
        known.iter().copied().filter(is_missing).collect::<Vec<_>>()
    };
    if !missing().is_empty() && std::env::var_os("SAMEBREATH_WRITE").is_some() {
        keep(&played());
    }
    assert_eq!(
        missing(),
        Vec::<&str>::new(),
        "keep a ledger that has them: run this with SAMEBREATH_WRITE=1"
    );
}
