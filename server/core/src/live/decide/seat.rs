//! The participants' commands. They are never refused for being late, early or double: a tap that changes nothing
//! is taken as well, because a person with tremor taps twice, and leaves a line in the ledger, because its id must
//! count once for ever.

use crate::live::command::{Context, SeatCommand};
use crate::live::event::Event;
use crate::live::ids::{ReportId, SeatId, StepId};
use crate::live::refusal::Refusal;
use crate::live::said::Said;
use crate::live::state::Session;
use crate::live::state::seat::{Answer, Place, Seat};
use crate::people::rules::Felt;
use crate::time::EpochMs;

impl Session {
    pub(in crate::live) fn decide_seat(
        &self,
        ctx: &Context<'_>,
        id: SeatId,
        seat: &Seat,
        command: &SeatCommand,
    ) -> Result<Vec<Event>, Refusal> {
        let mut events = Vec::new();
        if !matches!(command, SeatCommand::Leave) {
            match seat.place {
                Place::Left => events.push(Event::CameBack { seat: id }),
                Place::Expected => events.push(Event::CameIn { seat: id }),
                Place::In | Place::Asking | Place::TurnedAway | Place::Removed(_) => {}
            }
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
            SeatCommand::Stop { reason, whose } => {
                let so_far = seat.stopped.map(|s| s.reason);
                if so_far.is_none() || (reason.is_some() && so_far != Some(*reason)) {
                    events.push(Event::Stopped { seat: id, reason: *reason, whose: *whose });
                }
            }
            SeatCommand::UndoStop => {
                if seat.stopped.is_some() {
                    events.push(Event::StopUndone { seat: id });
                }
            }
            SeatCommand::GoOn => {
                if seat.stopped.is_some() || seat.rest_asked {
                    events.push(Event::WentOn { seat: id });
                }
            }
            SeatCommand::Report { report, said } => {
                if let Some(Felt::Number(number @ 11..)) = said.strength {
                    return Err(Refusal::Wrong(format!("{number} as a strength; it must be from 0 to 10")));
                }
                events.extend(self.decide_report(ctx, id, *report, said)?);
            }
            SeatCommand::TakeBack { report } => {
                let of = self.reports.iter().find(|r| r.is_called(*report) && r.seat == id);
                let of = of.ok_or(Refusal::NoSuchReport)?;
                if !of.taken_back {
                    events.push(Event::ReportTakenBack { seat: id, report: of.id });
                }
            }
            SeatCommand::ConfirmMouth { empty } => {
                if seat.mouth_empty != Some(*empty) {
                    events.push(Event::MouthSaid { seat: id, empty: *empty });
                }
            }
            SeatCommand::SayEffort { number, score } => {
                if *score > 10 {
                    return Err(Refusal::Wrong(format!("{score} as an effort; it must be from 0 to 10")));
                }
                // A late answer to a question that is over still counts for that question.
                if *number == 0 || *number > self.efforts_asked {
                    return Err(Refusal::NotStarted);
                }
                if seat.efforts.get(number) != Some(score) {
                    events.push(Event::EffortSaid { seat: id, number: *number, score: *score });
                }
            }
            SeatCommand::AnswerClue { step, number, word } => {
                // A late answer counts for the clue that it was given to.
                let shown = self.clues_shown.get(step).copied().unwrap_or(0);
                if *number == 0 || *number > shown {
                    return Err(Refusal::NoClue);
                }
                let said = word.as_ref().map(ToString::to_string);
                if seat.clues.get(&(*step, *number)).map(|before| &before.word) != Some(&said) {
                    let (step, number) = (*step, *number);
                    events.push(Event::ClueAnswered { seat: id, step, number, word: word.clone() });
                }
            }
            SeatCommand::ReadMessage { message } => {
                if seat.messages.iter().any(|m| m.id == *message && m.read_at.is_none()) {
                    events.push(Event::MessageRead { seat: id, message: Some(*message) });
                }
            }
            SeatCommand::Leave => {
                if seat.place != Place::Left {
                    events.push(Event::Left { seat: id });
                }
            }
        }
        if events.is_empty() {
            events.push(Event::Unchanged { seat: id });
        }
        Ok(events)
    }

    /// A report, or more of one. A new one of a person whose report is still open becomes part of that: the desk has
    /// one entry a person, however often they press.
    fn decide_report(
        &self,
        ctx: &Context<'_>,
        id: SeatId,
        report: ReportId,
        said: &Said,
    ) -> Result<Option<Event>, Refusal> {
        if let Some(known) = self.reports.iter().find(|r| r.is_called(report)) {
            if known.seat != id {
                return Err(Refusal::NoSuchReport);
            }
            let said = known.said.with(said);
            let amended = Event::ReportAmended { seat: id, report: known.id, said: said.clone(), also: None };
            return Ok((said != known.said).then_some(amended));
        }
        let open =
            self.reports.iter().rev().find(|r| r.seat == id && r.is_open() && r.said.whose == said.whose);
        Ok(Some(match open {
            Some(open) => {
                let said = open.said.with(said);
                Event::ReportAmended { seat: id, report: open.id, said, also: Some(report) }
            }
            None => {
                let (said, during) = (said.clone(), self.during(ctx.now));
                Event::Reported { seat: id, report, said, during }
            }
        }))
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
