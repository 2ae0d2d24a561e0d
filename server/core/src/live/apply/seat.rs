//! Applies what a person did.

use crate::live::event::SeatEvent;
use crate::live::ids::{MessageId, SeatId, StepId};
use crate::live::said::{StopReason, Whose};
use crate::live::state::Session;
use crate::live::state::report::Report;
use crate::live::state::seat::{Answer, Answered, ClueSaid, Place, Seat, Stop};
use crate::text::Line;
use crate::time::EpochMs;

impl Session {
    pub(super) fn apply_of_seat(&mut self, seat: SeatId, what: &SeatEvent, at: EpochMs) {
        match what {
            SeatEvent::CheckedIn { answers } => self.with(seat, |s| {
                s.off_today |= answers.easier;
                s.check_in = Some(answers.clone());
            }),
            SeatEvent::Did { step } => self.with(seat, |s| {
                s.answers.insert(*step, Answered { answer: Answer::Done, at, far: None });
            }),
            SeatEvent::Undid { step } => self.with(seat, |s| {
                s.answers.remove(step);
            }),
            SeatEvent::Got { step, far } => self.with(seat, |s| {
                let done = Answered { answer: Answer::Done, at, far: None };
                s.answers.entry(*step).or_insert(done).far = Some(*far);
            }),
            SeatEvent::Stopped { reason, whose } => self.stop(seat, at, *reason, *whose),
            SeatEvent::StopUndone => self.undo_stop(seat),
            SeatEvent::WentOn => self.with(seat, |s| {
                s.stopped = None;
                s.rest_asked = false;
            }),
            SeatEvent::Reported { report, said, during } => {
                self.with(seat, |s| s.reported_at = Some(at));
                self.stop(seat, at, Some(StopReason::Hurts), said.whose);
                self.reports.push(Report::new(*report, seat, at, said.clone(), *during));
            }
            SeatEvent::ReportAmended { report, said, also } => {
                self.with(seat, |s| s.reported_at = Some(at));
                self.stop(seat, at, Some(StopReason::Hurts), said.whose);
                self.report(*report, |r| match also {
                    Some(other) => r.fold(*other, said),
                    None => r.amend(said),
                });
            }
            SeatEvent::ReportTakenBack { report } => self.report(*report, |r| r.taken_back = true),
            SeatEvent::MouthSaid { empty } => self.with(seat, |s| s.mouth_empty = Some(*empty)),
            SeatEvent::EffortSaid { number, score } => self.with(seat, |s| {
                s.efforts.insert(*number, *score);
            }),
            SeatEvent::ClueAnswered { step, number, word } => {
                self.hear_clue(seat, *step, *number, word.as_ref());
            }
            SeatEvent::MessageRead { message } => self.with(seat, |s| s.read(*message, at)),
            SeatEvent::Unchanged => {}
            SeatEvent::Left => self.with(seat, |s| s.place = Place::Left),
            SeatEvent::CameBack => self.with(seat, |s| s.place = Place::In),
        }
    }

    pub(super) fn stop(&mut self, seat: SeatId, at: EpochMs, reason: Option<StopReason>, whose: Whose) {
        let step = self.moves.last().map(|m| m.step);
        self.with(seat, |s| {
            let since = s.stopped.map_or(at, |stopped| stopped.since);
            let reason = reason.or(s.stopped.and_then(|stopped| stopped.reason));
            s.stopped = Some(Stop { since, reason, whose, seen: false });
            if let Some(step) = step {
                s.answers.entry(step).or_insert(Answered { answer: Answer::Stopped, at, far: None });
            }
        });
    }

    fn undo_stop(&mut self, seat: SeatId) {
        let step = self.moves.last().map(|m| m.step);
        self.with(seat, |s| {
            s.stopped = None;
            s.answers.retain(|of, answered| Some(*of) != step || answered.answer != Answer::Stopped);
        });
    }

    /// The word is compared once, when it arrives.
    fn hear_clue(&mut self, seat: SeatId, step: StepId, number: u32, word: Option<&Line<60>>) {
        let word = word.map(ToString::to_string);
        let set = self.step(step).and_then(|live| live.step.clues());
        let verdict = set.zip(word.as_ref()).map(|(set, word)| set.hear(number, word));
        self.with(seat, |s| drop(s.clues.insert((step, number), ClueSaid { word, verdict })));
    }
}

impl Seat {
    fn read(&mut self, message: Option<MessageId>, at: EpochMs) {
        let mut unread = self.messages.iter_mut().filter(|m| m.read_at.is_none());
        if let Some(read) = unread.find(|m| message.is_none_or(|id| m.id == id)) {
            read.read_at = Some(at);
        }
    }
}
