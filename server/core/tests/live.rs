//! The live session by example: what each command does to the class and what the screens show.

use crate::common::class::{Class, LEAD_MS, READY_MS};
use samebreath_core::drill::dose::{DoseChange, Hold};
use samebreath_core::live::SeatEvent;
use samebreath_core::live::{
    Actor, Answer, Command, CommandId, DeskCommand, Pressed, Recorded, Refusal, SeatCommand, Session,
    StagePhase, Status, StepId,
};
use samebreath_core::plan::StepRequest;
use samebreath_core::text::Sentence;
use uuid::Uuid;

const TWO_DRILLS: &str = "[[step]]\ndrill = \"long-hiss\"\n[[step]]\ndrill = \"sit-tall\"\n";
const CLUES: &str = "[[step]]\nclues = \"allotment\"\nminutes = 10\n[[step]]\ndrill = \"sit-tall\"\n";

#[test]
fn a_start_takes_effect_after_the_lead_and_the_get_ready() {
    let mut class = Class::open(TWO_DRILLS);
    assert_eq!(class.session.stage(class.now).phase, StagePhase::Waiting);
    class.desk(DeskCommand::Start);
    assert_eq!(class.session.stage(class.now).phase, StagePhase::Running);
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), -READY_MS);
    class.wait_ms(READY_MS + 3_000);
    assert_eq!(class.offset_ms(), 3_000, "the first hold begins");
    assert_eq!(class.refused(DeskCommand::Start), Refusal::AlreadyStarted);
}

/// A presenter's remote may send its key twice, and a desk may be open in two browsers.
#[test]
fn a_key_pressed_twice_skips_no_step() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    let first = class.screen();
    // Also while the first begins only after its lead.
    assert_eq!(class.pressed(DeskCommand::Next, first), Ok(()));
    let moves =
        [DeskCommand::Next, DeskCommand::Back, DeskCommand::Pause, DeskCommand::AgainStep, DeskCommand::End];
    for command in moves {
        assert_eq!(class.pressed(command, first), Err(Refusal::MovedMeanwhile));
    }
    assert_eq!(class.session.present_step().unwrap().id, StepId(2));
    assert_eq!(class.pressed(DeskCommand::Back, class.screen()), Ok(()));
    assert_eq!(class.session.present_step().unwrap().id, StepId(1));
}

#[test]
fn steps_go_forward_back_and_anywhere() {
    let mut class = Class::open(TWO_DRILLS);
    assert_eq!(class.refused(DeskCommand::Back), Refusal::NotStarted);
    class.desk(DeskCommand::Next);
    assert_eq!(class.refused(DeskCommand::Back), Refusal::FirstStep);
    class.wait_ms(10_000);
    class.desk(DeskCommand::Next);
    class.wait_ms(10_000);
    assert_eq!(class.session.present_step().unwrap().id, StepId(2));
    assert_eq!(class.refused(DeskCommand::Next), Refusal::LastStep);
    class.desk(DeskCommand::Back);
    assert_eq!(class.session.present_step().unwrap().id, StepId(1));
    class.desk(DeskCommand::GoTo { step: StepId(2) });
    assert_eq!(class.session.present_step().unwrap().id, StepId(2));
    assert_eq!(class.refused(DeskCommand::GoTo { step: StepId(9) }), Refusal::NoSuchStep(9));
}

#[test]
fn going_on_into_work_gives_notice_and_into_rest_does_not() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 5_000);
    class.desk(DeskCommand::Pause);
    assert_eq!(class.refused(DeskCommand::Pause), Refusal::Paused);
    class.wait_ms(60_000);
    assert_eq!(class.offset_ms(), 5_000 + LEAD_MS, "in the hold, where the pause took effect");
    class.desk(DeskCommand::GoOn);
    // The countdown of the notice begins at the instant of a move, not when a screen is told.
    let counts: Vec<_> = class.session.moves().iter().rev().take(2).map(|m| (m.at, m.running)).collect();
    let from = class.now.plus(LEAD_MS);
    assert_eq!(counts, [(from.plus(4_000), true), (from, false)]);
    class.wait_ms(LEAD_MS + 4_000);
    assert_eq!(class.offset_ms(), 5_000 + LEAD_MS);
    class.wait_ms(1_000);
    assert_eq!(class.offset_ms(), 6_000 + LEAD_MS);
    assert_eq!(class.refused(DeskCommand::GoOn), Refusal::NotPaused);
    class.wait_ms(12_000);
    class.desk(DeskCommand::Pause);
    class.wait_ms(5_000);
    let resting = class.offset_ms();
    class.desk(DeskCommand::GoOn);
    class.wait_ms(LEAD_MS + 100);
    assert_eq!(class.offset_ms(), resting + 100);
}

#[test]
fn more_time_lengthens_the_present_span_only() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 16_000);
    class.desk(DeskCommand::MoreTime { seconds: 20 });
    class.wait_ms(LEAD_MS);
    let stretch = &class.session.position(class.now).unwrap().of.stretch;
    let timeline = class.session.steps()[0].timeline.stretched(stretch);
    assert_eq!(timeline.spans[2].len_ms, 30_000, "the rest of 10 s");
    assert_eq!(timeline.total_ms, 75_000 + 20_000);
    assert_eq!(class.offset_ms(), 16_000 + LEAD_MS, "the position goes on");
    assert!(matches!(class.refused(DeskCommand::MoreTime { seconds: 1 }), Refusal::Wrong(_)));
}

#[test]
fn a_rest_cut_short_keeps_the_notice_before_work() {
    let steps = "[[step]]\ndrill = \"steady-ah\"\n[[step]]\ndrill = \"pucker-smile\"\n";
    let mut class = Class::open(steps);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 5_000);
    class.desk(DeskCommand::CutShort);
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), 18_000, "what is shown first can be cut short");
    class.wait_ms(19_000);
    class.desk(DeskCommand::CutShort);
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), 18_000 + 38_000, "a breath in follows the rest: straight to it");
    class.desk(DeskCommand::Next);
    class.wait_ms(LEAD_MS + READY_MS + 61_000);
    class.desk(DeskCommand::CutShort);
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), 75_000 - 4_000, "a hold follows the change: 4 s stay");
    class.wait_ms(1_000);
    assert_eq!(class.refused(DeskCommand::CutShort), Refusal::EndsAnyway);
}

#[test]
fn another_dose_while_people_watch_explains_nothing_again() {
    for (change, from_ms) in [
        // Four seconds of 18 are over, and go on.
        (DoseChange { reps: Some(3), ..DoseChange::default() }, 4_000 + LEAD_MS),
        (DoseChange { shown: Some(0), ..DoseChange::default() }, 0),
    ] {
        let mut class = Class::open("[[step]]\ndrill = \"steady-ah\"\n");
        class.desk(DeskCommand::Start);
        class.wait_ms(LEAD_MS + READY_MS + 5_000);
        class.desk(DeskCommand::SwapDose { step: StepId(1), change: Box::new(change) });
        let to = class.session.stage(class.now).moves.last().unwrap().clone();
        assert_eq!(to.offset_ms, from_ms, "{change:?}");
    }
}

#[test]
fn again_repeats_the_step_or_the_repetition() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 30_000);
    class.desk(DeskCommand::AgainRep);
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), 25_000, "the second repetition's breath in");
    class.desk(DeskCommand::AgainStep);
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), -READY_MS);
}

#[test]
fn a_swapped_dose_goes_on_at_the_same_repetition() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 30_000);
    let change = DoseChange { hold: Some(Hold::Fixed { ms: 6_000 }), ..DoseChange::default() };
    class.desk(DeskCommand::SwapDose { step: StepId(1), change: Box::new(change) });
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), 19_000, "the second repetition of the shorter timeline");
    assert_eq!(class.session.present_step().unwrap().rev, 1);
    assert_eq!(
        class.refused(DeskCommand::SwapDose { step: StepId(1), change: Box::new(change) }),
        Refusal::NoChange
    );
}

#[test]
fn a_step_can_be_put_in_while_the_class_runs() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    let sip = StepRequest::Sip { seconds: 30 };
    class.desk(DeskCommand::Insert { after: None, step: sip });
    let order: Vec<_> = class.session.steps().iter().map(|s| s.id.0).collect();
    assert_eq!(order, [1, 3, 2]);
    class.desk(DeskCommand::Next);
    assert_eq!(class.session.present_step().unwrap().id, StepId(3));
    let unknown =
        StepRequest::Drill { drill: "sit-tal".try_into().unwrap(), change: Box::default(), items: None };
    let refusal = class.refused(DeskCommand::Insert { after: None, step: unknown });
    assert_eq!(refusal.to_string(), "there is no drill called `sit-tal`; did you mean `sit-tall`?");
}

fn s(text: &str) -> Sentence {
    text.try_into().unwrap()
}

fn order(class: &Class) -> Vec<u32> {
    class.session.steps().iter().map(|s| s.id.0).collect()
}

#[test]
fn what_was_put_in_can_be_moved_and_taken_out_until_the_class_comes_to_it() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    for seconds in [30, 60] {
        class.desk(DeskCommand::Insert { after: None, step: StepRequest::Sip { seconds } });
    }
    assert_eq!(order(&class), [1, 4, 3, 2]);
    class.desk(DeskCommand::MoveStep { step: StepId(4), after: StepId(2) });
    assert_eq!(order(&class), [1, 3, 2, 4]);
    let again = DeskCommand::MoveStep { step: StepId(4), after: StepId(2) };
    assert_eq!(class.refused(again), Refusal::NoChange);
    class.desk(DeskCommand::TakeOut { step: StepId(4) });
    assert_eq!(order(&class), [1, 3, 2]);
    // Screens keep what a step showed by its id, so a later step must not get the same one.
    class.desk(DeskCommand::Insert { after: Some(StepId(2)), step: StepRequest::Sip { seconds: 45 } });
    assert_eq!(order(&class), [1, 3, 2, 5]);

    let of_the_plan = class.refused(DeskCommand::TakeOut { step: StepId(2) });
    assert_eq!(of_the_plan.to_string(), "only a step that was put in during the class can be moved");
    class.desk(DeskCommand::Next);
    let begun = class.refused(DeskCommand::TakeOut { step: StepId(3) });
    assert_eq!(begun.to_string(), "the class has already begun this step");
    let too_early = class.refused(DeskCommand::MoveStep { step: StepId(5), after: StepId(1) });
    assert_eq!(too_early.to_string(), "a step can only be put after the present step or a later one");
    assert_eq!(class.refused(DeskCommand::TakeOut { step: StepId(9) }), Refusal::NoSuchStep(9));
}

#[test]
fn a_talk_or_a_clue_round_gets_more_or_less_time_and_a_drill_does_not() {
    let mut class = Class::open(CLUES);
    let round = class.session.steps().iter().find(|s| s.step.clues().is_some()).unwrap().id;
    class.desk(DeskCommand::SetTime { step: round, seconds: 435 });
    let sheet = class.session.sheet();
    assert_eq!(sheet.iter().find(|s| s.id == round).unwrap().planned_ms, 435_000);
    assert_eq!(class.refused(DeskCommand::SetTime { step: round, seconds: 435 }), Refusal::NoChange);
    let none = class.refused(DeskCommand::SetTime { step: round, seconds: 0 });
    assert_eq!(none.to_string(), "`seconds` is 0; it must be from 10 to 3600");

    let mut class = Class::open(TWO_DRILLS);
    let drill = class.refused(DeskCommand::SetTime { step: StepId(1), seconds: 180 });
    assert!(drill.to_string().ends_with("has a clock of its own; change its dose"), "{drill}");
}

#[test]
fn a_round_goes_on_where_it_was_left() {
    let mut class = Class::open(&format!("{CLUES}[[step]]\ntalk = \"Well done\"\nminutes = 2\n"));
    let ann = class.join("Ann");
    let round = class.session.steps().iter().find(|s| s.step.clues().is_some()).unwrap().id;
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::GoTo { step: round });
    class.wait_ms(2_000);
    class.desk(DeskCommand::ShowClue);
    class.desk(DeskCommand::ShowClue);
    class.desk(DeskCommand::ShowHint);
    class.seat(ann, SeatCommand::AnswerClue { step: round, number: 2, word: None });
    let clue = |class: &Class| {
        let frame = class.session.desk(class.now, &class.presence);
        (frame.clue.map(|clue| (clue.number, clue.hints_shown)), frame.rows[0].has_clue)
    };
    assert_eq!(clue(&class), (Some((2, 1)), true));
    class.desk(DeskCommand::Next);
    class.wait_ms(2_000);
    assert_eq!(clue(&class), (None, false));
    class.desk(DeskCommand::Back);
    class.wait_ms(2_000);
    assert_eq!(clue(&class), (Some((2, 1)), true));
    class.desk(DeskCommand::AgainStep);
    class.wait_ms(2_000);
    assert_eq!(clue(&class), (Some((0, 0)), false), "to do a step again is to begin with its first clue");
}

#[test]
fn a_message_to_all_reaches_everybody_with_a_screen() {
    let mut class = Class::open(TWO_DRILLS);
    assert_eq!(class.refused(DeskCommand::MessageAll { text: s("Hello") }), Refusal::NobodyToRead);
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    class.desk(DeskCommand::AddByPhone { name: "Cy".try_into().unwrap() });
    class.desk(DeskCommand::Expect { name: "Dot".try_into().unwrap() });
    class.desk(DeskCommand::MessageAll { text: s("We begin five minutes late.") });
    let unread = |class: &Class| {
        let rows = class.session.roster(class.now, &class.presence);
        rows.iter().filter(|row| row.unread == 1).map(|row| row.seat).collect::<Vec<_>>()
    };
    assert_eq!(unread(&class), [ann, ben]);
}

#[test]
fn clue_words_come_out_one_by_one() {
    let mut class = Class::open(CLUES);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    assert_eq!(class.session.stage(class.now).clue, None);
    assert_eq!(class.refused(DeskCommand::ShowAnswer), Refusal::NoClue);
    class.desk(DeskCommand::ShowClue);
    let clue = class.session.stage(class.now).clue.unwrap();
    assert_eq!((clue.number, clue.of, clue.hints.len(), clue.answer), (1, 12, 0, None));
    let before = Pressed { clue: 0, ..class.screen() };
    assert_eq!(class.pressed(DeskCommand::ShowClue, before), Err(Refusal::MovedMeanwhile));
    let bare = class.screen();
    assert_eq!(class.pressed(DeskCommand::ShowHint, bare), Ok(()));
    assert_eq!(
        class.pressed(DeskCommand::ShowHint, bare),
        Err(Refusal::MovedMeanwhile),
        "a key that bounces"
    );
    assert_eq!(class.session.stage(class.now).clue.unwrap().hints.len(), 1);
    let step = class.session.present_step().unwrap().id;
    class.seat(ann, SeatCommand::AnswerClue { step, number: 1, word: None });
    assert_eq!(class.session.desk(class.now, &class.presence).clue.unwrap().answered, 1);
    class.desk(DeskCommand::ShowAnswer);
    assert_eq!(class.session.stage(class.now).clue.unwrap().answer.unwrap().as_str(), "wheelbarrow");
    for _ in 2..=12 {
        class.desk(DeskCommand::ShowClue);
    }
    assert_eq!(class.refused(DeskCommand::ShowClue), Refusal::NothingLeft);
    class.desk(DeskCommand::Next);
    assert_eq!(class.session.stage(class.now).clue, None);
}

#[test]
fn a_double_tap_counts_once_and_can_be_undone() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS);
    class.seat(ann, SeatCommand::Done { step: StepId(1) });
    class.seat(ann, SeatCommand::Done { step: StepId(1) });
    let second = &class.ledger.last().unwrap().event;
    assert_eq!(second, &SeatEvent::Unchanged.of(ann), "it leaves its id behind");
    assert_eq!(class.status(ann), Status::Done);
    assert_eq!(class.session.mine(ann, class.now).unwrap().answer, Some(Answer::Done));
    class.seat(ann, SeatCommand::Undo { step: StepId(1) });
    assert_eq!(class.status(ann), Status::Working);
    let early = class.try_do(Actor::Seat(ann), Command::Seat(SeatCommand::Done { step: StepId(2) }));
    assert_eq!(early, Err(Refusal::NotStarted));
}

#[test]
fn a_latecomer_joins_at_the_next_boundary() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 7_000);
    let ann = class.join("Ann");
    let joins = class.session.mine(ann, class.now).unwrap().joins.unwrap();
    assert_eq!((joins.step, joins.offset_ms), (StepId(1), 15_000), "when the hold ends");
    for step in [2, 1] {
        class.desk(DeskCommand::GoTo { step: StepId(step) });
        class.wait_ms(LEAD_MS + READY_MS);
    }
    assert_eq!(class.session.mine(ann, class.now).unwrap().joins, None, "who was in another step has joined");
}

#[test]
fn a_replayed_ledger_is_the_same_session() {
    let mut class = Class::open(CLUES);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::ShowClue);
    class.report(ann, 1, None, None);
    class.desk(DeskCommand::Next);
    let text: Vec<_> = class.ledger.iter().map(|r| serde_json::to_string(r).unwrap()).collect();
    let read: Vec<Recorded> = text.iter().map(|t| serde_json::from_str(t).unwrap()).collect();
    assert_eq!(Session::replay(&read).unwrap(), class.session);
    assert_eq!(Session::replay(&read[1..]), None, "a ledger without its beginning");
    let counted = CommandId(Uuid::from_u128(9));
    let mut last = read.last().unwrap().clone();
    last.seq += 1;
    last.cause = Some(counted);
    class.session.apply(&last);
    assert!(class.session.has_counted(counted));
}
