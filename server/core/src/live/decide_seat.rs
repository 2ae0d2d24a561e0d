//! The participants' commands. They are never refused for being late, early or double: a tap
//! that changes nothing is counted as heard, because a person with tremor taps twice.

use crate::live::state::{Seat, Session};
use crate::live::{Answer, Context, Event, Refusal, SeatCommand, SeatId, StepId};
use crate::time::EpochMs;

impl Session {
    pub(super) fn decide_seat(
        &self,
        ctx: &Context<'_>,
        id: SeatId,
        seat: &Seat,
        command: &SeatCommand,
    ) -> Result<Vec<Event>, Refusal> {
        let mut events = Vec::new();
        if seat.left && !matches!(command, SeatCommand::Leave) {
            events.push(Event::CameBack { seat: id });
        }
        match command {
            SeatCommand::CheckIn { answers } => {
                if seat.check_in.as_ref() != Some(answers) {
                    events.push(Event::CheckedIn { seat: id, answers: answers.clone() });
                }
            }
            SeatCommand::Done { step } => {
                self.has_begun(*step)?;
                let so_far = seat.answers.get(step).map(|a| a.answer);
                if so_far != Some(Answer::Done) {
                    events.push(Event::Did { seat: id, step: *step });
                }
                if seat.stopped.is_some() {
                    events.push(Event::WentOn { seat: id });
                }
            }
            SeatCommand::Undo { step } => {
                if seat.answers.contains_key(step) {
                    events.push(Event::Undid { seat: id, step: *step });
                }
            }
            SeatCommand::HowFar { step, far } => {
                self.has_begun(*step)?;
                if seat.answers.get(step).and_then(|a| a.far) != Some(*far) {
                    events.push(Event::Got { seat: id, step: *step, far: *far });
                }
            }
            SeatCommand::Stop { reason } => {
                let so_far = seat.stopped.map(|s| s.reason);
                if so_far.is_none() || (reason.is_some() && so_far != Some(*reason)) {
                    events.push(Event::Stopped { seat: id, reason: *reason });
                }
            }
            SeatCommand::GoOn => {
                if seat.stopped.is_some() || seat.rest_asked {
                    events.push(Event::WentOn { seat: id });
                }
            }
            SeatCommand::Report { report, place, strength, urgent, words } => {
                if !self.reports.iter().any(|r| r.id == *report) {
                    events.push(Event::Reported {
                        seat: id,
                        report: *report,
                        place: *place,
                        strength: *strength,
                        urgent: *urgent,
                        words: words.clone(),
                        during: self.during(ctx.now),
                    });
                }
            }
            SeatCommand::TakeBack { report } => {
                let of = self.reports.iter().find(|r| r.id == *report && r.seat == id);
                if !of.ok_or(Refusal::NoSuchReport)?.taken_back {
                    events.push(Event::ReportTakenBack { report: *report });
                }
            }
            SeatCommand::AnswerClue { number, word } => {
                let clue = self.clue.filter(|clue| clue.number == *number).ok_or(Refusal::NoClue)?;
                let said = word.as_ref().map(ToString::to_string);
                if seat.clues.get(&(clue.step, *number)) != Some(&said) {
                    let (step, number) = (clue.step, *number);
                    events.push(Event::ClueAnswered { seat: id, step, number, word: word.clone() });
                }
            }
            SeatCommand::ReadMessage => {
                if !seat.messages.is_empty() {
                    events.push(Event::MessageRead { seat: id });
                }
            }
            SeatCommand::Leave => {
                if !seat.left {
                    events.push(Event::Left { seat: id });
                }
            }
        }
        Ok(events)
    }

    /// An answer can only be given for a step that was entered; never for one to come.
    fn has_begun(&self, step: StepId) -> Result<(), Refusal> {
        self.need_step(step)?;
        let entered = self.moves.iter().any(|m| m.step == step);
        if entered { Ok(()) } else { Err(Refusal::NotStarted) }
    }

    fn during(&self, now: EpochMs) -> Option<(StepId, i64)> {
        self.position(now).map(|p| (p.of.step, p.offset_ms))
    }
}
