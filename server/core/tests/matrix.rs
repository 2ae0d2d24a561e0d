//! Every command by every role in every state of a class: who may do what, and when. The table beside
//! this file is made by the test (SAMEBREATH_WRITE=1) and read by people; a new command that has no
//! example here fails, by the list of commands that serde itself knows.

use std::fmt::Write as _;
use std::path::Path;

use crate::common::class::{Class, FACILITATOR, HELPER};
use crate::common::examples::{ANN, REPORT, STRANGER, desk_commands, home_log, name, seat_commands};
use crate::common::roll::day;
use samebreath_core::live::{
    Actor, Command, DeskCommand, DeskRole, Entry, Noticed, Refusal, ReportState, SeatCommand, SeatId, Whose,
};
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::group::Enrolled;
use uuid::Uuid;

fn other_commands() -> Vec<Command> {
    vec![
        Command::TakeSeat { name: name("Dot") },
        Command::Arrive { seat: ANN },
        Command::Come { who: Box::new(enrolled()), new_device: false },
        Command::SendWord { person: enrolled().id, comes: false },
        Command::Practise { person: enrolled().id, log: Box::new(home_log()), today: day("2026-10-06") },
        Command::Notice(Noticed::LeadLost),
    ]
}

/// Somebody who was enrolled after the class was made.
fn enrolled() -> Enrolled {
    let person = crate::common::roll::person("Eve");
    Enrolled { id: PersonId(Uuid::from_u128(5)), person }
}

/// The names serde knows, from what it says about a name that it does not know.
fn known<T: serde::de::DeserializeOwned>() -> Vec<String> {
    let Err(error) = serde_json::from_str::<T>(r#"{"do":"no such command"}"#) else {
        panic!("it is unknown")
    };
    let text = error.to_string();
    let (_, list) = text.split_once("expected one of ").unwrap();
    list.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

fn called(command: &impl serde::Serialize) -> String {
    serde_json::to_value(command).unwrap()["do"].as_str().unwrap().to_owned()
}

#[test]
fn every_command_has_an_example() {
    let desk: Vec<_> = desk_commands().iter().map(called).collect();
    let mut expected = known::<DeskCommand>();
    for name in &desk {
        expected.retain(|known| known != name);
    }
    assert_eq!(expected, Vec::<String>::new(), "desk commands without an example");
    let seat: Vec<_> = seat_commands().iter().map(called).collect();
    let mut expected = known::<SeatCommand>();
    for name in &seat {
        expected.retain(|known| known != name);
    }
    assert_eq!(expected, Vec::<String>::new(), "seat commands without an example");
}

/// The states of a class, each with two people in it, one of whom has a report, and a stranger who asks.
fn states() -> Vec<(&'static str, Class)> {
    const PLAN: &str = "[[step]]\ndrill = \"long-hiss\"\n[[step]]\nclues = \"allotment\"\nminutes = 5\n";
    let waiting = || {
        let mut class = Class::open(PLAN).named();
        let ann = class.join("Ann");
        let ben = class.join("Ben");
        class = class.staffed();
        class.seat(ben, SeatCommand::Stop { reason: None, whose: Whose::Own });
        class.report(ann, 1, None, None);
        class.desk(DeskCommand::ClearSwallow { seats: vec![ben] });
        class.desk(DeskCommand::SetEntry { to: Entry::Ask });
        class.try_do(Actor::Entry, Command::TakeSeat { name: name("Stranger") }).unwrap();
        class.desk(DeskCommand::SetEntry { to: Entry::Code });
        class
    };
    let running = || {
        let mut class = waiting();
        class.desk(DeskCommand::Start);
        class.wait_ms(12_000);
        class
    };
    let mut paused = running();
    paused.desk(DeskCommand::Pause);
    paused.wait_ms(2_000);
    let mut safety = running();
    safety.desk(DeskCommand::PauseForSafety);
    safety.wait_ms(2_000);
    let mut clues = running();
    clues.desk(DeskCommand::Next);
    clues.desk(DeskCommand::ShowClue);
    clues.desk(DeskCommand::AskEffort);
    clues.wait_ms(2_000);
    let mut handed = running();
    handed.desk(DeskCommand::HandDesk { to: DeskRole::Helper });
    let mut ended = running();
    ended.desk(DeskCommand::End);
    vec![
        ("closed", Class::new(PLAN)),
        ("waiting", waiting()),
        ("running", running()),
        ("paused", paused),
        ("safety pause", safety),
        ("clues", clues),
        ("helper leads", handed),
        ("ended", ended),
    ]
}

fn outcome(class: &Class, by: Actor, command: &Command) -> String {
    let ctx = class.context();
    match class.session.decide(&ctx, by, command) {
        Ok(_) => "yes".to_owned(),
        Err(refusal) => refusal.code().to_owned(),
    }
}

const ROLES: [(&str, Actor); 7] = [
    ("facilitator", FACILITATOR),
    ("helper", HELPER),
    ("ann", Actor::Seat(ANN)),
    ("stranger", Actor::Seat(STRANGER)),
    ("nobody's seat", Actor::Seat(SeatId(99))),
    ("entry", Actor::Entry),
    ("watch", Actor::Watch),
];

fn rows() -> Vec<(String, Command)> {
    let desk = desk_commands().into_iter().map(|c| (format!("desk {}", called(&c)), Command::Desk(c)));
    let seat = seat_commands().into_iter().map(|c| (format!("seat {}", called(&c)), Command::Seat(c)));
    let other = other_commands().into_iter().map(|c| {
        let name = match &c {
            Command::TakeSeat { .. } => "take a seat",
            Command::Arrive { .. } => "arrive by link",
            Command::Come { .. } => "come by one's own link",
            Command::SendWord { .. } => "send word",
            Command::Practise { .. } => "say what one did at home",
            Command::Notice(_) => "notice",
            Command::Desk(_) | Command::Seat(_) => unreachable!("listed above"),
        };
        (name.to_owned(), c)
    });
    desk.chain(seat).chain(other).collect()
}

#[test]
fn who_may_do_what_and_when() {
    let states = states();
    let mut table = String::from("command | role");
    for (state, _) in &states {
        write!(table, " | {state}").unwrap();
    }
    table.push('\n');
    for (name, command) in rows() {
        for (role, by) in ROLES {
            let outcomes: Vec<_> = states.iter().map(|(_, class)| outcome(class, by, &command)).collect();
            writeln!(table, "{name} | {role} | {}", outcomes.join(" | ")).unwrap();
        }
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/matrix.txt");
    if std::env::var_os("SAMEBREATH_WRITE").is_some() {
        std::fs::write(&path, &table).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    for (now, before) in table.lines().zip(kept.lines()) {
        assert_eq!(now, before, "if that is meant, write the table anew with SAMEBREATH_WRITE=1");
    }
    assert_eq!(table.lines().count(), kept.lines().count());
}

/// What holds for every row, said apart from the table, so that writing it anew cannot hide a hole.
#[test]
fn no_role_reaches_beyond_itself() {
    for (state, class) in states() {
        for (name, command) in rows() {
            for (role, by) in ROLES {
                let allowed = outcome(&class, by, &command) == "yes";
                let may_ever = match (&command, by) {
                    (Command::Desk(command), Actor::Desk(role)) => {
                        let leads = role == class.session.lead() || !command.rights().for_the_lead;
                        leads && (role == DeskRole::Facilitator || !command.rights().clinical)
                    }
                    (Command::Seat(_), Actor::Seat(seat)) => seat == ANN,
                    (Command::TakeSeat { .. } | Command::Arrive { .. }, Actor::Entry) => true,
                    (
                        Command::Come { .. } | Command::SendWord { .. } | Command::Practise { .. },
                        Actor::Entry,
                    ) => true,
                    (Command::Notice(_), Actor::Watch) => true,
                    _ => false,
                };
                assert!(may_ever || !allowed, "{name} by {role} while {state}");
            }
        }
    }
}

/// Whatever the class does, a person who is in it can stop and report, and a desk can see to it.
#[test]
fn a_report_is_taken_in_every_state() {
    for (state, class) in states().into_iter().skip(1) {
        for command in seat_commands().into_iter().filter(SeatCommand::is_for_safety) {
            let name = called(&command);
            assert_eq!(
                outcome(&class, Actor::Seat(ANN), &Command::Seat(command)),
                "yes",
                "{name} while {state}"
            );
        }
        let see = DeskCommand::HandleReport { report: REPORT, to: ReportState::Seen };
        for by in [FACILITATOR, HELPER] {
            assert_eq!(outcome(&class, by, &Command::Desk(see.clone())), "yes", "{state}");
        }
    }
}

#[test]
fn a_refusal_has_a_name_and_a_sentence() {
    let refusal = Refusal::NoName;
    assert_eq!(refusal.code(), "no_name");
    assert!(refusal.to_string().starts_with("enter your name"));
}
