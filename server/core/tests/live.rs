//! The live session by example: what each command does and what each audience sees.
#![allow(clippy::unwrap_used, missing_docs, reason = "a test file")]

mod common;

use samebreath_core::dose::{DoseChange, Hold};
use samebreath_core::library::Library;
use samebreath_core::live::{
    Actor, Answer, CheckIn, Command, CommandId, Company, Context, DeskCommand, DeskRole, Feeling, Form,
    Heard, Presence, Recorded, Refusal, ReportId, ReportState, SeatCommand, SeatId, Session, StagePhase,
    Status, StepId, StopReason, Strength, UrgentSign, Where,
};
use samebreath_core::plan::StepRequest;
use samebreath_core::time::EpochMs;
use samebreath_core::timeline::READY_MS;
use uuid::Uuid;

const LEAD_MS: i64 = 400;
const FACILITATOR: Actor = Actor::Desk(DeskRole::Facilitator);
const HELPER: Actor = Actor::Desk(DeskRole::Helper);

struct Class {
    session: Session,
    ledger: Vec<Recorded>,
    library: Library,
    presence: Presence,
    now: EpochMs,
}

impl Class {
    fn new(plan: &str) -> Self {
        let plan = common::plan(&format!("title = \"x\"\nminutes = 60\n{plan}"));
        let first =
            Recorded { seq: 1, at: EpochMs(0), by: Actor::Entry, cause: None, event: Session::begin(plan) };
        let session = Session::from_first(&first).unwrap();
        let library = common::library();
        Self { session, ledger: vec![first], library, presence: Presence::default(), now: EpochMs(1_000) }
    }

    fn open(plan: &str) -> Self {
        let mut class = Self::new(plan);
        class.desk(DeskCommand::Open);
        class
    }

    fn try_do(&mut self, by: Actor, command: Command) -> Result<(), Refusal> {
        let ctx =
            Context { now: self.now, lead_ms: LEAD_MS, library: &self.library, presence: &self.presence };
        for event in self.session.decide(&ctx, by, &command)? {
            let recorded = Recorded { seq: self.session.seq() + 1, at: self.now, by, cause: None, event };
            self.session.apply(&recorded);
            self.ledger.push(recorded);
        }
        Ok(())
    }

    fn desk(&mut self, command: DeskCommand) {
        self.try_do(FACILITATOR, Command::Desk(command)).unwrap();
    }

    fn refused(&mut self, command: DeskCommand) -> Refusal {
        self.try_do(FACILITATOR, Command::Desk(command)).unwrap_err()
    }

    fn seat(&mut self, seat: SeatId, command: SeatCommand) {
        self.try_do(Actor::Seat(seat), Command::Seat(command)).unwrap();
    }

    fn join(&mut self, name: &str) -> SeatId {
        self.try_do(Actor::Entry, Command::TakeSeat { name: name.try_into().unwrap() }).unwrap();
        let seat = *self.session.seats().keys().last().unwrap();
        self.hear(seat);
        seat
    }

    fn hear(&mut self, seat: SeatId) {
        self.presence.seats.insert(seat, Heard { at: self.now, visible: true, connected: true });
    }

    fn wait_ms(&mut self, ms: i64) {
        self.now = self.now.plus(ms);
        for heard in self.presence.seats.values_mut() {
            heard.at = self.now;
        }
    }

    fn offset_ms(&self) -> i64 {
        self.session.position(self.now).unwrap().offset_ms
    }

    fn status(&self, seat: SeatId) -> Status {
        let rows = self.session.roster(self.now, &self.presence);
        rows.iter().find(|row| row.seat == seat).unwrap().status
    }

    fn report(&mut self, seat: SeatId, id: u128, strength: Option<Strength>, urgent: Option<UrgentSign>) {
        let report = ReportId(Uuid::from_u128(id));
        self.seat(seat, SeatCommand::Report { report, place: Where::Neck, strength, urgent, words: None });
    }
}

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
    class.wait_ms(4_000);
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
fn a_safety_pause_takes_effect_at_once_and_either_desk_may_give_it() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 5_000);
    class.try_do(HELPER, Command::Desk(DeskCommand::PauseForSafety)).unwrap();
    class.wait_ms(2_000);
    assert_eq!(class.offset_ms(), 5_000);
    let error = class.try_do(HELPER, Command::Desk(DeskCommand::GoOn)).unwrap_err();
    assert_eq!(error, Refusal::NotLeading);
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
    class.wait_ms(LEAD_MS + READY_MS + 29_000);
    class.desk(DeskCommand::CutShort);
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), 40_000, "a breath in follows the rest: straight to it");
    class.desk(DeskCommand::Next);
    class.wait_ms(LEAD_MS + READY_MS + 61_000);
    class.desk(DeskCommand::CutShort);
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), 75_000 - 4_000, "a hold follows the change: 4 s stay");
    class.wait_ms(1_000);
    assert_eq!(class.refused(DeskCommand::CutShort), Refusal::EndsAnyway);
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
    class.desk(DeskCommand::SwapDose { step: StepId(1), change });
    class.wait_ms(LEAD_MS);
    assert_eq!(class.offset_ms(), 19_000, "the second repetition of the shorter timeline");
    assert_eq!(class.session.present_step().unwrap().rev, 1);
    assert_eq!(class.refused(DeskCommand::SwapDose { step: StepId(1), change }), Refusal::NoChange);
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
    let unknown = StepRequest::Drill { drill: "sit-tal".try_into().unwrap(), change: DoseChange::default() };
    let refusal = class.refused(DeskCommand::Insert { after: None, step: unknown });
    assert_eq!(refusal.to_string(), "there is no drill called `sit-tal`; did you mean `sit-tall`?");
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
    class.desk(DeskCommand::ShowHint);
    assert_eq!(class.session.stage(class.now).clue.unwrap().hints.len(), 1);
    class.seat(ann, SeatCommand::AnswerClue { number: 1, word: None });
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
    let lines = class.ledger.len();
    class.seat(ann, SeatCommand::Done { step: StepId(1) });
    assert_eq!(class.ledger.len(), lines);
    assert_eq!(class.status(ann), Status::Done);
    assert_eq!(class.session.mine(ann).unwrap().answer, Some(Answer::Done));
    class.seat(ann, SeatCommand::Undo { step: StepId(1) });
    assert_eq!(class.status(ann), Status::Working);
    let early = class.try_do(Actor::Seat(ann), Command::Seat(SeatCommand::Done { step: StepId(2) }));
    assert_eq!(early, Err(Refusal::NotStarted));
}

#[test]
fn a_stop_lasts_until_the_person_goes_on() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.seat(ann, SeatCommand::Stop { reason: None });
    class.seat(ann, SeatCommand::Stop { reason: Some(StopReason::Tired) });
    class.desk(DeskCommand::Next);
    let row = class.session.roster(class.now, &class.presence).remove(0);
    assert_eq!((row.status, row.reason), (Status::Stopped, Some(StopReason::Tired)));
    class.seat(ann, SeatCommand::GoOn);
    assert_eq!(class.status(ann), Status::Working);
}

#[test]
fn a_report_counts_once_and_shows_how_far_it_came() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 4_000);
    class.report(ann, 7, Some(Strength::Quite), None);
    class.report(ann, 7, Some(Strength::Quite), None);
    assert_eq!(class.session.reports().len(), 1);
    let report = class.session.desk(class.now, &class.presence).reports.remove(0);
    assert_eq!((report.during, report.during_ms), (Some(StepId(1)), Some(4_000)));
    assert_eq!(class.status(ann), Status::Discomfort);
    let id = ReportId(Uuid::from_u128(7));
    class.try_do(HELPER, Command::Desk(DeskCommand::SeeReport { report: id })).unwrap();
    assert_eq!(class.session.mine(ann).unwrap().reports[0].state, ReportState::Seen);
    class.desk(DeskCommand::CloseReport { report: id });
    assert_eq!(class.status(ann), Status::Stopped);
    class.desk(DeskCommand::End);
    class.report(ann, 8, None, Some(UrgentSign::ChestPain));
    assert_eq!(class.session.reports().len(), 2, "a report is taken after the class as well");
}

#[test]
fn the_order_of_attention() {
    let mut class = Class::open(TWO_DRILLS);
    let names = ["Done", "Work", "Away", "Stop", "Little", "VeryLate", "Very", "Urgent", "Silent"];
    let seats: Vec<_> = names.iter().map(|name| class.join(name)).collect();
    class.desk(DeskCommand::Start);
    class.wait_ms(60_000);
    class.desk(DeskCommand::Next);
    class.wait_ms(60_000);
    class.desk(DeskCommand::Insert { after: None, step: StepRequest::Sip { seconds: 30 } });
    class.desk(DeskCommand::Next);
    for seat in &seats[..8] {
        class.seat(*seat, SeatCommand::Done { step: StepId(1) });
    }
    class.seat(seats[0], SeatCommand::Done { step: StepId(3) });
    class.seat(seats[3], SeatCommand::Stop { reason: None });
    class.report(seats[4], 1, Some(Strength::Little), None);
    class.report(seats[6], 3, Some(Strength::Very), None);
    class.wait_ms(1_000);
    class.report(seats[5], 2, Some(Strength::Very), None);
    class.report(seats[7], 4, None, Some(UrgentSign::Faint));
    class.presence.seats.remove(&seats[2]);
    let rows = class.session.roster(class.now, &class.presence);
    let order: Vec<_> = rows.iter().map(|row| row.name.as_str()).collect();
    assert_eq!(order, ["Urgent", "Very", "VeryLate", "Little", "Stop", "Away", "Silent", "Work", "Done"]);
}

#[test]
fn an_urgent_report_shows_where_the_person_is_to_the_desk_only() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    let answers = CheckIn {
        feeling: Feeling::Well,
        seated: true,
        mouth_empty: true,
        company: Company::Alone,
        place: Some("12 Mill Lane".try_into().unwrap()),
        contact: Some("Ben, 555 0100".try_into().unwrap()),
    };
    class.seat(ann, SeatCommand::CheckIn { answers });
    class.report(ann, 1, None, Some(UrgentSign::Choking));
    let report = class.session.desk(class.now, &class.presence).reports.remove(0);
    assert_eq!(report.location.unwrap().as_str(), "12 Mill Lane");
    assert_eq!(report.contact.unwrap().as_str(), "Ben, 555 0100");
    class.seat(ann, SeatCommand::TakeBack { report: ReportId(Uuid::from_u128(1)) });
    assert_eq!(class.session.desk(class.now, &class.presence).reports.len(), 1, "still to be looked at");
}

#[test]
fn swallow_drills_are_off_until_a_desk_turns_them_on() {
    let mut class = Class::open("[[step]]\ndrill = \"tongue-hold-swallow\"\n");
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    class.desk(DeskCommand::Start);
    assert_eq!(class.session.mine(ann).unwrap().form, Form::Rest);
    class.desk(DeskCommand::ClearSwallow { seat: Some(ann) });
    assert_eq!(class.session.mine(ann).unwrap().form, Form::Full);
    assert_eq!(class.session.mine(ben).unwrap().form, Form::Rest);
    assert_eq!(class.status(ben), Status::Resting);
    class.desk(DeskCommand::ClearSwallow { seat: None });
    assert_eq!(class.session.mine(ben).unwrap().form, Form::Full);
    assert_eq!(class.refused(DeskCommand::ClearSwallow { seat: None }), Refusal::NoChange);
}

#[test]
fn a_latecomer_joins_at_the_next_boundary() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 7_000);
    let ann = class.join("Ann");
    let joins = class.session.mine(ann).unwrap().joins.unwrap();
    assert_eq!((joins.step, joins.offset_ms), (StepId(1), 15_000), "when the hold ends");
}

#[test]
fn seats_can_be_messaged_rested_marked_merged_and_removed() {
    let mut class = Class::open(TWO_DRILLS);
    let (ann, twin) = (class.join("Ann"), class.join("Ann again"));
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::Message { seat: ann, text: "Well done".try_into().unwrap() });
    assert_eq!(class.session.mine(ann).unwrap().message.unwrap().as_str(), "Well done");
    class.seat(ann, SeatCommand::ReadMessage);
    assert_eq!(class.session.mine(ann).unwrap().message, None);
    class.desk(DeskCommand::AskRest { seat: ann });
    assert_eq!(class.status(ann), Status::Resting);
    class.seat(ann, SeatCommand::GoOn);
    class.report(twin, 1, None, None);
    class.desk(DeskCommand::Merge { from: twin, into: ann });
    assert_eq!(class.session.roster(class.now, &class.presence).len(), 1);
    assert_eq!(class.session.mine(twin).unwrap().seat, ann, "the old seat leads to the new");
    assert_eq!(class.session.reports()[0].seat, ann);
    class.desk(DeskCommand::AddByPhone { name: "Cy".try_into().unwrap() });
    let cy = *class.session.seats().keys().last().unwrap();
    class.desk(DeskCommand::MarkSeat { seat: cy, answer: samebreath_core::live::Mark::Done });
    assert_eq!(class.status(cy), Status::Done);
    class.desk(DeskCommand::Remove { seat: ann, reason: "by mistake".try_into().unwrap() });
    assert!(class.session.mine(ann).unwrap().removed);
    let again = class.try_do(Actor::Seat(ann), Command::Seat(SeatCommand::GoOn));
    assert_eq!(again, Err(Refusal::NoSuchSeat(ann.0)));
}

#[test]
fn the_desk_is_handed_over_or_taken_when_left() {
    let mut class = Class::open(TWO_DRILLS);
    let here = Heard { at: class.now, visible: true, connected: true };
    class.presence.desks.insert(DeskRole::Facilitator, here);
    let take = Command::Desk(DeskCommand::HandDesk { to: DeskRole::Helper });
    assert_eq!(class.try_do(HELPER, take.clone()), Err(Refusal::StillLed));
    class.presence.desks.remove(&DeskRole::Facilitator);
    class.try_do(HELPER, take).unwrap();
    assert_eq!(class.refused(DeskCommand::Start), Refusal::NotLeading);
    class.try_do(HELPER, Command::Desk(DeskCommand::Start)).unwrap();
}

#[test]
fn hidden_is_not_gone() {
    use samebreath_core::live::Screen;
    let check = |visible, connected, silent_ms, expected| {
        let heard = Heard { at: EpochMs(0), visible, connected };
        assert_eq!(heard.screen(EpochMs(silent_ms)), expected, "{visible} {connected} {silent_ms}");
    };
    check(true, true, 10_000, Screen::Live);
    check(true, false, 10_000, Screen::Quiet);
    check(true, true, 20_000, Screen::Quiet);
    check(true, true, 31_000, Screen::Away);
    check(false, true, 80_000, Screen::Off);
    check(false, false, 80_000, Screen::Off);
    check(false, true, 91_000, Screen::Away);
}

#[test]
fn nobody_gets_in_before_the_opening_or_after_the_end() {
    let mut class = Class::new(TWO_DRILLS);
    let take = Command::TakeSeat { name: "Ann".try_into().unwrap() };
    assert_eq!(class.try_do(Actor::Entry, take.clone()), Err(Refusal::NotOpen));
    class.desk(DeskCommand::Open);
    class.try_do(Actor::Entry, take.clone()).unwrap();
    class.desk(DeskCommand::End);
    assert_eq!(class.try_do(Actor::Entry, take), Err(Refusal::Ended));
    let by_the_wrong_one = Command::Desk(DeskCommand::End);
    assert_eq!(class.try_do(Actor::Seat(SeatId(1)), by_the_wrong_one), Err(Refusal::Ended));
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
