//! Applies what a person did.

use crate::live::event::SeatEvent;
use crate::live::ids::{MessageId, SeatId, StepId};
use crate::live::state::Session;
use crate::live::state::seat::{Answer, Answered, ClueSaid, Place, Seat};
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
            SeatEvent::Practised { log } => self.with(seat, |s| s.practised.push((**log).clone())),
        }
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
