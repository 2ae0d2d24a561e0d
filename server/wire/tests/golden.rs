//! Golden messages: one file per kind, the same for Rust and TypeScript; and the generated types.
//!
//! `SAMEBREATH_WRITE=1 cargo test -p samebreath-wire` writes them anew.

use crate::common::{check_file, here};

use samebreath_core::clue::{Game, Verdict};
use samebreath_core::live::{
    Alert, Answer, ClueFrame, CommandId, Counter, Counts, DeskAct, DeskCommand, DeskDid, DeskFrame,
    DeskReport, DeskRole, Entry, Form, Handled, MessageId, Mine, Mouths, Move, MyClue, MyMessage, MyReport,
    Pace, Pressed, ReportId, ReportState, Row, Said, Screen, SeatCommand, SeatId, Stage, StagePhase, Status,
    StepForm, StepId, StepRef, Where, Whose,
};
use samebreath_core::people::rules::{Felt, Strength};
use samebreath_core::plan::timeline::Stretch;
use samebreath_core::time::EpochMs;
use samebreath_wire::{ClientMessage, RoleName, ServerMessage, typescript};
use uuid::Uuid;

const ID: CommandId = CommandId(Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0001));
const REPORT: ReportId = ReportId(Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0002));
const CLOCK: Uuid = Uuid::from_u128(0x0190_0000_0000_4000_8000_0000_0000_0003);

fn said() -> Said {
    Said {
        whose: Whose::Own,
        place: Some(Where::Neck),
        strength: Some(Felt::Number(5)),
        urgent: None,
        words: Some("left side".try_into().unwrap()),
    }
}

fn client_messages() -> Vec<ClientMessage> {
    vec![
        ClientMessage::ClockAsk { sent_ms: 10_000.5, visible: true, round_trip_ms: Some(64.25) },
        ClientMessage::Seat { id: ID, command: SeatCommand::Report { report: REPORT, said: said() } },
        ClientMessage::Desk {
            id: ID,
            pressed: Some(Pressed {
                step: Some(StepId(7)),
                clue: 0,
                hints: 0,
                at: Some(EpochMs(1_790_000_000_900)),
            }),
            command: DeskCommand::MoreTime { seconds: 10 },
        },
    ]
}

fn server_messages() -> Vec<ServerMessage> {
    let stage = Stage {
        seq: 41,
        phase: StagePhase::Running,
        moves: vec![Move {
            at: EpochMs(1_790_000_000_000),
            step: StepId(7),
            rev: 0,
            offset_ms: -5_000,
            running: true,
            stretch: vec![Stretch { span: 2, by_ms: 10_000 }],
        }],
        steps: vec![StepRef { id: StepId(7), rev: 0 }, StepRef { id: StepId(8), rev: 1 }],
        number: 7,
        of: 18,
        clue: Some(ClueFrame {
            number: 3,
            of: 12,
            clue: "It turns kitchen scraps into something the roses love.".try_into().unwrap(),
            hints: vec!["7 letters".try_into().unwrap()],
            letters: None,
            answer: None,
            because: None,
            game: Game::Clue,
            from: EpochMs(1_764_000_000_400),
            counter: Some(Counter { from: EpochMs(1_764_000_000_400), length_ms: 60_000 }),
        }),
        effort: Some(1),
        lead_lost: false,
        safety_pause: None,
        before: None,
        after: None,
    };
    let mine = Mine {
        seat: SeatId(3),
        name: "Odile".try_into().unwrap(),
        partner: Some("Gaston".try_into().unwrap()),
        checked_in: true,
        joins: None,
        step: Some(StepId(7)),
        answer: Some(Answer::Done),
        far: None,
        did: 3,
        forms: vec![
            StepForm { step: StepId(7), form: Form::Full, then: None, hold_ms: Some(8_000) },
            StepForm { step: StepId(8), form: Form::MouthFirst, then: Some(Form::Easier), hold_ms: None },
        ],
        stopped: false,
        reason_given: false,
        rest_asked: false,
        reports: vec![MyReport {
            id: REPORT,
            also: Vec::new(),
            at: EpochMs(1_790_000_000_500),
            said: said(),
            state: ReportState::Taken,
            seen_by: Some(DeskRole::Helper),
            seen_by_name: Some("Otto".try_into().unwrap()),
            over: false,
        }],
        message: Some(MyMessage {
            id: MessageId(40),
            text: "Well done".try_into().unwrap(),
            from: DeskRole::Facilitator,
        }),
        clue: Some(MyClue { number: 2, word: Some(Verdict::Right) }),
        mouth_empty: None,
        effort_said: None,
        home: Vec::new(),
    };
    let row = Row {
        seat: SeatId(3),
        name: "Odile".try_into().unwrap(),
        partner: Some("Gaston".try_into().unwrap()),
        status: Status::Discomfort,
        reason: None,
        rest: None,
        screen: Screen::Live,
        heard_at: Some(EpochMs(1_790_000_000_900)),
        silent: false,
        form: Form::Full,
        checked_in: true,
        exceptions: Vec::new(),
        off_today: false,
        unread: 0,
        has_clue: false,
        new_device: true,
        cannot_come: false,
    };
    let handled = Handled {
        to: ReportState::Taken,
        by: DeskRole::Helper,
        name: Some("Otto".try_into().unwrap()),
        at: EpochMs(1_790_000_003_000),
    };
    let report = DeskReport {
        id: REPORT,
        seat: SeatId(3),
        name: "Odile".try_into().unwrap(),
        at: EpochMs(1_790_000_000_500),
        said: said(),
        strength: Some(Strength::Quite),
        during: Some(StepId(7)),
        during_ms: Some(4_000),
        state: ReportState::Taken,
        handled: vec![handled],
        taken_back: false,
        recorded: true,
        location: Some("12 Mill Lane".try_into().unwrap()),
        contact: None,
    };
    let act = DeskAct {
        seq: 43,
        at: EpochMs(1_790_000_003_000),
        by: DeskRole::Helper,
        name: Some("Otto".try_into().unwrap()),
        did: DeskDid::ReportTaken,
        seat: Some(SeatId(3)),
    };
    let desk = DeskFrame {
        seq: 44,
        lead: DeskRole::Facilitator,
        handed_by: None,
        helper_here: true,
        facilitator_here: true,
        lead_here: true,
        facilitator: None,
        helper: Some("Otto".try_into().unwrap()),
        helper_sees_health: false,
        entry: Entry::Code,
        asking: Vec::new(),
        counts: Counts { discomfort: 1, ..Counts::default() },
        rows: vec![row],
        alerts: vec![Alert::Report(Box::new(report))],
        more_alerts: 0,
        mouths: Some(Mouths { empty: 3, of: 8 }),
        effort: None,
        acts: vec![act],
        clue: None,
        pace: Pace {
            class_ms: 3_600_000,
            started_at: Some(EpochMs(1_789_999_000_000)),
            step_at: Some(EpochMs(1_790_000_000_000)),
            ended_at: None,
        },
        sheet_rev: 0,
    };
    vec![
        ServerMessage::Welcome { role: RoleName::Seat, seat: Some(SeatId(3)), clock_id: CLOCK },
        ServerMessage::Clock {
            sent_ms: 10_000.5,
            received_ms: 54_031.0,
            answered_ms: 54_031.5,
            clock_id: CLOCK,
        },
        ServerMessage::Stage { stage },
        ServerMessage::Mine { mine },
        ServerMessage::Desk { desk: Box::new(desk) },
        ServerMessage::Taken { id: ID },
        ServerMessage::Refused { id: ID, code: "paused".into(), text: "the class is already paused".into() },
        ServerMessage::NotRecording { now: true },
        ServerMessage::Restart { in_ms: 800 },
    ]
}

fn check_golden(side: &str, value: &serde_json::Value) {
    let kind = value["kind"].as_str().unwrap();
    let text = serde_json::to_string_pretty(value).unwrap() + "\n";
    check_file(&here(&format!("golden/{side}/{kind}.json")), &text);
}

#[test]
fn every_kind_of_message_has_its_golden_file() {
    for message in client_messages() {
        let value = serde_json::to_value(&message).unwrap();
        check_golden("client", &value);
        let again = ClientMessage::decode(&value.to_string()).unwrap();
        assert_eq!(again, message);
    }
    for message in server_messages() {
        let value = serde_json::to_value(&message).unwrap();
        check_golden("server", &value);
        assert_eq!(serde_json::from_str::<ServerMessage>(&message.encode()).unwrap(), message);
    }
    let count = |side: &str| std::fs::read_dir(here(&format!("golden/{side}"))).unwrap().count();
    assert_eq!((count("client"), count("server")), (kinds("ClientMessage"), kinds("ServerMessage")));
}

/// How many kinds a message type has, counted in the generated TypeScript.
fn kinds(type_name: &str) -> usize {
    let types = typescript::types();
    let (_, declared) = types.split_once(&format!("export type {type_name} =")).unwrap();
    declared.split("\nexport ").next().unwrap().matches("\"kind\": \"").count()
}

#[test]
fn the_typescript_types_are_fresh() {
    check_file(&here("../../web/src/lib/wire/types.ts"), &typescript::types());
}

#[test]
fn what_cannot_be_read_says_where_and_why() {
    let check = |text: &str, expected: &str| {
        let error = ClientMessage::decode(text).unwrap_err().to_string();
        assert!(error.contains(expected), "{error}");
    };
    check("{", "EOF while parsing an object at line 1 column 1");
    check(r#"{"kind":"fly"}"#, "unknown variant `fly`, expected one of `clock_ask`, `seat`, `desk`");
    check(
        r#"{"kind":"clock_ask","sent_ms":1,"visible":true,"round_trip_ms":null,"x":1}"#,
        "unknown field `x`",
    );
    let seat = |command: &str| format!(r#"{{"kind":"seat","id":"{}","command":{command}}}"#, ID.0);
    check(&seat(r#"{"do":"done","step":-1}"#), "invalid value");
    check(&seat(r#"{"do":"go_on","x":1}"#), "unknown field `x`");
    check(&seat(r#"{"do":"answer_clue","step":1,"number":1,"word":"  "}"#), "the text is empty");
    let long = "x".repeat(61);
    check(
        &seat(&format!(r#"{{"do":"answer_clue","step":1,"number":1,"word":"{long}"}}"#)),
        "has 61 characters; at most 60",
    );
    check(
        &seat(r#"{"do":"answer_clue","step":1,"number":1,"word":"a\u202eb"}"#),
        "invisible character U+202E",
    );
    check(&"x".repeat(20_000), "the message has 20000 bytes; at most 16384");
    check(&format!("{}1{}", "[".repeat(5_000), "]".repeat(5_000)), "not a message of this version");
}
