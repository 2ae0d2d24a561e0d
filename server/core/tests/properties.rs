//! What holds for every class, whatever anybody presses: random lists of commands of everybody.

use samebreath_core::live::ClassEvent;
use std::collections::BTreeSet;
use std::sync::LazyLock;

use proptest::prelude::{Just, Strategy, any, prop_oneof, proptest};
use proptest::sample::Index;
use proptest::test_runner::Config as ProptestConfig;
use proptest::{collection, prop_assert, prop_assert_eq};
use samebreath_core::drill::Family;
use samebreath_core::drill::dose::{DoseChange, Hold};
use samebreath_core::live::{
    Actor, CheckIn, Command, CommandId, Company, Context, DeskCommand, DeskRole, Entry, Event, HowFar, Mark,
    MessageId, Presence, Recorded, ReportId, ReportState, Said, SeatCommand, SeatId, Session, StepId,
    StopReason, UrgentSign, Where, Whose, Why,
};
use samebreath_core::people::care::{Condition, Of, PersonalForm, Way};
use samebreath_core::people::rules::{Felt, Strength};
use samebreath_core::plan::{Plan, StepRequest};
use samebreath_core::text::Sentence;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

static PLAN: LazyLock<Plan> = LazyLock::new(|| {
    crate::common::plan(
        "title = \"x\"\nminutes = 60\n\
         [[step]]\ntalk = \"Hello\"\nminutes = 2\nnote = \"PRIVATENOTE\"\n\
         [[step]]\ndrill = \"steady-ah\"\n[[step]]\ndrill = \"tongue-hold-swallow\"\n\
         [[step]]\nclues = \"allotment\"\nminutes = 5\n\
         [[step]]\ndrill = \"neck-five\"\n[[step]]\ndrill = \"pucker-smile\"\n",
    )
});

/// Marks that must never reach another participant's screen.
const SECRET_PLACE: &str = "SECRETPLACE";
const SECRET_NOTE: &str = "SECRETNOTE";
const SECRET_WORDS: &str = "SECRETWORDS";

fn sentence(text: &str) -> Sentence {
    text.try_into().unwrap()
}

fn step() -> impl Strategy<Value = StepId> {
    (0..8u32).prop_map(StepId)
}

fn seat() -> impl Strategy<Value = SeatId> {
    (0..5u32).prop_map(SeatId)
}

fn report() -> impl Strategy<Value = ReportId> {
    (0..4u128).prop_map(|n| ReportId(Uuid::from_u128(n)))
}

fn desk() -> impl Strategy<Value = DeskCommand> {
    let change = prop_oneof![
        (0..4u32).prop_map(|n| DoseChange { reps: Some(n), ..DoseChange::default() }),
        (0..30i64)
            .prop_map(|s| DoseChange { hold: Some(Hold::Fixed { ms: s * 1000 }), ..DoseChange::default() }),
    ];
    let request = prop_oneof![
        (0..60u32).prop_map(|seconds| StepRequest::Sip { seconds }),
        Just(StepRequest::Drill {
            drill: "sit-tall".try_into().unwrap(),
            change: Box::default(),
            items: None
        }),
    ];
    let handling = prop_oneof![Just(ReportState::Seen), Just(ReportState::Taken), Just(ReportState::Closed)];
    let role = prop_oneof![Just(DeskRole::Facilitator), Just(DeskRole::Helper)];
    prop_oneof![
        8 => prop_oneof![Just(DeskCommand::Next), Just(DeskCommand::Pause), Just(DeskCommand::GoOn), Just(DeskCommand::Resume),
            Just(DeskCommand::CutShort), Just(DeskCommand::AgainRep)],
        4 => prop_oneof![Just(DeskCommand::ShowClue), Just(DeskCommand::ShowHint), Just(DeskCommand::ShowAnswer)],
        2 => prop_oneof![Just(DeskCommand::Open), Just(DeskCommand::Start), Just(DeskCommand::Back),
            Just(DeskCommand::AgainStep), Just(DeskCommand::PauseForSafety)],
        2 => (0..130u32).prop_map(|seconds| DeskCommand::MoreTime { seconds }),
        1 => step().prop_map(|step| DeskCommand::GoTo { step }),
        1 => (step(), change).prop_map(|(step, change)| DeskCommand::SwapDose { step, change: Box::new(change) }),
        1 => (proptest::option::of(step()), request).prop_map(|(after, step)| DeskCommand::Insert { after, step }),
        1 => (step(), step()).prop_map(|(step, after)| DeskCommand::MoveStep { step, after }),
        1 => step().prop_map(|step| DeskCommand::TakeOut { step }),
        1 => (step(), 0..4_000u32).prop_map(|(step, seconds)| DeskCommand::SetTime { step, seconds }),
        1 => Just(DeskCommand::MessageAll { text: sentence(SECRET_WORDS) }),
        2 => (report(), handling).prop_map(|(report, to)| DeskCommand::HandleReport { report, to }),
        1 => Just(DeskCommand::AskEffort),
        1 => seat().prop_map(|seat| DeskCommand::LetIn { seat, known_as: None }),
        1 => prop_oneof![Just(Entry::Ask), Just(Entry::Code)].prop_map(|to| DeskCommand::SetEntry { to }),
        1 => seat().prop_map(|seat| DeskCommand::SetPrecautions { seat, conditions: vec![Condition::Neck] }),
        1 => seat().prop_map(|seat| DeskCommand::SetForm { seat, form: PersonalForm {
            of: Of::Family(Family::Voice), way: Way::Easier, note: Some(sentence(SECRET_NOTE)) } }),
        1 => seat().prop_map(|seat| DeskCommand::AskRest { seat }),
        1 => seat().prop_map(|seat| DeskCommand::Message { seat, text: sentence("hello") }),
        1 => (seat(), seat()).prop_map(|(from, into)| DeskCommand::Merge { from, into }),
        1 => seat().prop_map(|seat| DeskCommand::MarkSeat { seat, answer: Mark::Done }),
        1 => collection::vec(seat(), 0..4).prop_map(|seats| DeskCommand::ClearSwallow { seats }),
        1 => seat().prop_map(|seat| DeskCommand::SeeStop { seat }),
        1 => role.prop_map(|to| DeskCommand::HandDesk { to }),
    ]
}

fn seat_command() -> impl Strategy<Value = SeatCommand> {
    prop_oneof![
        step().prop_map(|step| SeatCommand::Done { step }),
        step().prop_map(|step| SeatCommand::Undo { step }),
        step().prop_map(|step| SeatCommand::HowFar { step, far: HowFar::Target }),
        Just(SeatCommand::Stop { reason: None, whose: Whose::Own }),
        Just(SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own }),
        Just(SeatCommand::GoOn),
        (report(), any::<bool>()).prop_map(|(report, urgent)| SeatCommand::Report {
            report,
            said: Said {
                place: Some(Where::Neck),
                strength: Some(Felt::Word(Strength::Very)),
                urgent: urgent.then_some(UrgentSign::Faint),
                words: Some(sentence(SECRET_WORDS)),
                ..Said::default()
            },
        }),
        report().prop_map(|report| SeatCommand::TakeBack { report }),
        (step(), 1..3u32).prop_map(|(step, number)| SeatCommand::AnswerClue { step, number, word: None }),
        (0..60u32).prop_map(|n| SeatCommand::ReadMessage { message: MessageId(n) }),
        Just(SeatCommand::Leave),
        Just(SeatCommand::UndoStop),
        any::<bool>().prop_map(|empty| SeatCommand::ConfirmMouth { empty }),
        (0..3u32).prop_map(|number| SeatCommand::SayEffort { number, score: 7 }),
        Just(SeatCommand::CheckIn {
            answers: CheckIn {
                company: Some(Company::Alone),
                place: Some(sentence(SECRET_PLACE)),
                ..CheckIn::default()
            }
        }),
    ]
}

type Press = (i64, Actor, Command);

fn presses() -> impl Strategy<Value = Vec<Press>> {
    let facilitator = desk().prop_map(|c| (Actor::Desk(DeskRole::Facilitator), Command::Desk(c)));
    let helper = desk().prop_map(|c| (Actor::Desk(DeskRole::Helper), Command::Desk(c)));
    let participant = (seat(), seat_command()).prop_map(|(s, c)| (Actor::Seat(s), Command::Seat(c)));
    let entry = Just((Actor::Entry, Command::TakeSeat { name: "Ann".try_into().unwrap() }));
    let press = prop_oneof![6 => facilitator, 1 => helper, 4 => participant, 1 => entry];
    collection::vec((0..30_000i64, press).prop_map(|(wait, (by, command))| (wait, by, command)), 1..60)
}

struct Run {
    ledger: Vec<Recorded>,
    session: Session,
    now: EpochMs,
    presence: Presence,
}

impl Run {
    fn new() -> Self {
        let event = Session::begin(PLAN.clone(), crate::common::rules(), None, false);
        let mut run = Self::of(Recorded { seq: 1, at: EpochMs(0), by: Actor::Entry, cause: None, event });
        run.press(Actor::Desk(DeskRole::Facilitator), &Command::Desk(DeskCommand::Open));
        for _ in 0..2 {
            run.press(Actor::Entry, &Command::TakeSeat { name: "Ann".try_into().unwrap() });
        }
        run
    }

    fn of(first: Recorded) -> Self {
        let session = Session::from_first(&first).unwrap();
        Self { ledger: vec![first], session, now: EpochMs(0), presence: Presence::default() }
    }

    /// Decides and applies; gives the events, or nothing when refused.
    fn press(&mut self, by: Actor, command: &Command) -> Option<Vec<Event>> {
        self.press_as(None, by, command)
    }

    /// The same for a command with an id, which the ledger keeps.
    fn press_as(&mut self, cause: Option<CommandId>, by: Actor, command: &Command) -> Option<Vec<Event>> {
        let ctx = Context {
            now: self.now,
            lead_time_ms: 500,
            library: crate::common::library(),
            presence: &self.presence,
            pressed: None,
        };
        let events = self.session.decide(&ctx, by, command).ok()?;
        for event in &events {
            let seq = self.session.seq() + 1;
            let recorded = Recorded { seq, at: self.now, by, cause, event: event.clone() };
            self.session.apply(&recorded);
            self.ledger.push(recorded);
        }
        Some(events)
    }

    fn place(&self, now: EpochMs) -> Option<(StepId, u32, i64)> {
        let begun = self.session.moves().first().is_some_and(|m| m.at <= now);
        self.session.position(now).filter(|_| begun).map(|p| (p.of.step, p.of.rev, p.offset_ms))
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_sequence_is_dense_and_a_replay_is_identical(presses in presses()) {
        let mut run = Run::new();
        for (wait, by, command) in presses {
            run.now = run.now.plus(wait);
            let before = run.session.clone();
            if run.press(by, &command).is_none() {
                prop_assert_eq!(&before, &run.session, "a refused command changes nothing");
            }
        }
        for (index, recorded) in run.ledger.iter().enumerate() {
            prop_assert_eq!(recorded.seq, index as u64 + 1);
        }
        prop_assert_eq!(Session::replay(&run.ledger), Some(run.session));
    }

    /// Several tabs, whose parcels are dropped, repeated, overtaken and late, and a server that is killed and started
    /// again in between: what was accepted once changes nothing any more, whoever sends it again and whenever.
    #[test]
    fn what_comes_again_counts_once_over_restarts(
        presses in presses(),
        arrivals in collection::vec((any::<Index>(), 0..20_000i64, 0..8u8), 1..160),
    ) {
        let mut run = Run::new();
        let mut accepted = BTreeSet::new();
        for (which, wait, kills) in arrivals {
            run.now = run.now.plus(wait);
            if kills == 0 {
                run.session = Session::replay(&run.ledger).unwrap();
            }
            let n = which.index(presses.len());
            let (_, by, command) = &presses[n];
            let id = CommandId(Uuid::from_u128(1_000 + n as u128));
            prop_assert_eq!(run.session.has_counted(id), accepted.contains(&id), "{:?}", command);
            if !accepted.contains(&id) && run.press_as(Some(id), *by, command).is_some() {
                accepted.insert(id);
            }
        }
        // Each that was accepted left lines of one moment, of one person, side by side.
        let mut left = BTreeSet::new();
        let of_a_command = |r: &&Recorded| r.cause.is_some();
        for lines in run.ledger.iter().filter(of_a_command).collect::<Vec<_>>().chunk_by(|a, b| a.cause == b.cause) {
            prop_assert!(left.insert(lines[0].cause.unwrap()), "counted twice: {lines:?}");
            prop_assert!(lines.iter().all(|line| (line.at, line.by) == (lines[0].at, lines[0].by)));
        }
        prop_assert_eq!(left, accepted);
    }

    #[test]
    fn the_position_runs_back_only_on_the_facilitators_word(presses in presses()) {
        let mut run = Run::new();
        let mut allowed_until = EpochMs(0);
        for (wait, by, command) in presses {
            let until = run.now.plus(wait);
            while run.now < until {
                let next = run.now.plus(250).min(until);
                if let (Some(a), Some(b)) = (run.place(run.now), run.place(next)) {
                    let forward = a.0 != b.0 || a.1 != b.1 || a.2 <= b.2;
                    prop_assert!(forward || run.now <= allowed_until, "{a:?} then {b:?}");
                }
                run.now = next;
            }
            let before = run.place(run.now);
            let events = run.press(by, &command).unwrap_or_default();
            let after = run.place(run.now);
            prop_assert!(before.is_none() || before == after, "{command:?} changed the present instant");
            for event in events {
                if let Event::Class(ClassEvent::Moved { why: Why::AgainRep | Why::AgainStep | Why::Back | Why::WentTo | Why::Resumed
                    | Why::DoseSwapped | Why::MoreTime | Why::Next, moves }) = event {
                    allowed_until = moves.last().unwrap().at;
                }
            }
        }
    }

    #[test]
    fn a_pause_of_d_shifts_every_later_boundary_by_d(at_ms in 0..200_000i64, pause_ms in 0..300_000i64) {
        let mut run = Run::new();
        let facilitator = Actor::Desk(DeskRole::Facilitator);
        run.press(facilitator, &Command::Desk(DeskCommand::GoTo { step: StepId(5) }));
        let boundary = |session: &Session, offset_ms: i64| {
            let last = session.moves().last().unwrap();
            assert!(last.running);
            last.at.plus(offset_ms - last.offset_ms)
        };
        let timeline = run.session.present_step().unwrap().timeline.clone();
        run.now = run.now.plus(at_ms);
        let before: Vec<_> = timeline.spans.iter().map(|s| boundary(&run.session, s.end_ms())).collect();
        run.press(facilitator, &Command::Desk(DeskCommand::Pause)).unwrap();
        let paused_at = run.session.moves().last().unwrap().at;
        run.now = run.now.plus(pause_ms);
        run.press(facilitator, &Command::Desk(DeskCommand::GoOn)).unwrap();
        let d = run.session.moves().last().unwrap().at.since(paused_at);
        for (span, before) in timeline.spans.iter().zip(before).filter(|(_, b)| *b > paused_at) {
            prop_assert_eq!(boundary(&run.session, span.end_ms()).since(before), d);
        }
    }

    #[test]
    fn no_screen_shows_what_is_not_its_to_show(presses in presses()) {
        let mut run = Run::new();
        for (wait, by, command) in presses {
            run.now = run.now.plus(wait);
            run.press(by, &command);
            let stage = run.session.stage(run.now);
            let shown = serde_json::to_string(&stage).unwrap();
            let mine: Vec<_> = (1..4).filter_map(|n| run.session.mine(SeatId(n), run.now)).collect();
            let content: Vec<_> = run.session.steps().iter().map(|s| s.content()).collect();
            let mine_text = serde_json::to_string(&mine).unwrap();
            let content_text = serde_json::to_string(&content).unwrap();
            for text in [&shown, &mine_text, &content_text] {
                prop_assert!(!text.contains(SECRET_PLACE) && !text.contains(SECRET_NOTE));
                prop_assert!(!text.contains("PRIVATENOTE"));
            }
            prop_assert!(!shown.contains(SECRET_WORDS) && !content_text.contains(SECRET_WORDS));
            let words = PLAN.steps[3].clues().unwrap();
            let es = "es".try_into().unwrap();
            let in_spanish = run.session.stage_in(&es, run.now);
            let shown_in_spanish = serde_json::to_string(&in_spanish).unwrap();
            let spanish = words.in_language(Some(&es));
            let asked = |event: &Recorded, what: &dyn Fn(&Event) -> bool| what(&event.event);
            for (index, clue) in words.clues.iter().enumerate() {
                let number = index as u32 + 1;
                let shown_at = run.ledger.iter().rposition(
                    |r| asked(r, &|e| matches!(e, Event::Class(ClassEvent::ClueShown { number: n, .. }) if *n == number)));
                if shown_at.is_none() {
                    prop_assert!(!shown.contains(clue.clue.as_str()), "clue {number} before its time");
                    let early = shown_in_spanish.contains(spanish.clues[index].clue.as_str());
                    prop_assert!(!early, "clue {number} before its time in Spanish");
                }
                let answered = shown_at.is_some_and(|i| run.ledger[i..].iter()
                    .any(|r| asked(r, &|e| matches!(e, Event::Class(ClassEvent::AnswerShown { .. })))));
                let hints = shown_at.map_or(0, |i| run.ledger[i..].iter()
                    .filter(|r| asked(r, &|e| matches!(e, Event::Class(ClassEvent::HintShown { .. })))).count());
                if !answered && let Some(frame) = &stage.clue && frame.number == number {
                    prop_assert_eq!(&frame.answer, &None);
                    prop_assert!(frame.hints.len() <= hints);
                    let other = in_spanish.clue.as_ref().unwrap();
                    prop_assert_eq!((&other.answer, &other.because), (&None, &None));
                    prop_assert!(other.hints.len() <= hints || hints == clue.hints.len());
                }
                for text in [&mine_text, &content_text] {
                    prop_assert!(!text.contains(clue.clue.as_str()) && !text.contains(clue.answer.as_str()));
                }
            }
            for mine in &mine {
                let all = || run.session.reports().iter().filter(|r| r.seat == mine.seat);
                let over = all().filter(|r| !r.is_open()).count();
                let mut skipped = over.saturating_sub(3);
                let own: Vec<_> = all().filter(|r| r.is_open() || { let old = skipped > 0; skipped -= usize::from(old); !old })
                    .map(|r| r.id).collect();
                let told: Vec<_> = mine.reports.iter().map(|r| r.id).collect();
                prop_assert_eq!(own, told, "a person is told of their own reports and no other");
            }
            let here = run.session.seats().values().filter(|s| s.is_here()).count();
            prop_assert_eq!(run.session.roster(run.now, &run.presence).len(), here);
        }
    }
}
