//! The participants' commands. None is refused for being late, early or double. A tap that changes nothing is
//! accepted as well, because a person with a tremor taps twice; it leaves a line in the ledger, because its id
//! must count once for ever.

use crate::live::command::{Context, SeatCommand};
use crate::live::event::{CareEvent, Event, SafetyEvent, SeatEvent};
use crate::live::ids::{ReportId, SeatId, StepId};
use crate::live::refusal::Refusal;
use crate::live::said::Said;
use crate::live::state::Session;
use crate::live::state::report::Report;
use crate::live::state::seat::{Answer, Place, Seat};
use crate::people::rules::Felt;
use crate::text::Line;

impl Session {
    pub(super) fn decide_seat(
        &self,
        ctx: &Context<'_>,
        seat: SeatId,
        command: &SeatCommand,
    ) -> Result<Vec<Event>, Refusal> {
        let (id, seat) = self.seat_of(seat).ok_or(Refusal::NoSuchSeat(seat.0))?;
        let leaves = matches!(command, SeatCommand::Leave);
        let comes = match seat.place {
            Place::Left if !leaves => Some(SeatEvent::CameBack.of(id)),
            Place::Expected if !leaves => Some(CareEvent::CameIn.of(id)),
            Place::In | Place::Left | Place::Expected => None,
            // Accepts one report that was on its way when they were taken out, and no more.
            Place::Removed(_)
                if matches!(command, SeatCommand::Report { .. }) && seat.reported_at <= seat.removed_at =>
            {
                None
            }
            Place::Removed(_) | Place::Asking | Place::TurnedAway => return Err(Refusal::NotIn),
        };
        let does = self.what_changes(ctx, id, seat, command)?;
        let mut events: Vec<Event> = comes.into_iter().chain(does).collect();
        if events.is_empty() {
            events.push(SeatEvent::Unchanged.of(id));
        }
        Ok(events)
    }

    /// What a command changes, if anything; one arm for each command.
    fn what_changes(
        &self,
        ctx: &Context<'_>,
        id: SeatId,
        seat: &Seat,
        command: &SeatCommand,
    ) -> Result<Option<Event>, Refusal> {
        Ok(match command {
            SeatCommand::CheckIn { answers } => {
                let is_new = seat.check_in.as_ref() != Some(answers);
                is_new.then(|| SeatEvent::CheckedIn { answers: answers.clone() }.of(id))
            }
            SeatCommand::Done { step } => {
                self.need_entered(*step)?;
                let is_done = seat.answers.get(step).is_some_and(|a| a.answer == Answer::Done);
                (!is_done).then_some(SeatEvent::Did { step: *step }.of(id))
            }
            SeatCommand::Undo { step } => {
                seat.answers.contains_key(step).then_some(SeatEvent::Undid { step: *step }.of(id))
            }
            SeatCommand::HowFar { step, far } => {
                self.need_entered(*step)?;
                let is_new = seat.answers.get(step).and_then(|a| a.far) != Some(*far);
                is_new.then_some(SeatEvent::Got { step: *step, far: *far }.of(id))
            }
            SeatCommand::Stop { reason, whose } => {
                let so_far = seat.stopped.map(|stop| stop.reason);
                let is_new = so_far.is_none() || (reason.is_some() && so_far != Some(*reason));
                is_new.then_some(SafetyEvent::Stopped { reason: *reason, whose: *whose }.of(id))
            }
            SeatCommand::UndoStop => seat.stopped.map(|_| SafetyEvent::StopUndone.of(id)),
            SeatCommand::GoOn => {
                (seat.stopped.is_some() || seat.rest_asked).then_some(SafetyEvent::WentOn.of(id))
            }
            SeatCommand::Report { report, said } => self.report_more(ctx, id, *report, said)?,
            SeatCommand::TakeBack { report } => {
                let of = self.reports.iter().find(|r| r.is_called(*report) && r.seat == id);
                let of = of.ok_or(Refusal::NoSuchReport)?;
                (!of.taken_back).then_some(SafetyEvent::ReportTakenBack { report: of.id }.of(id))
            }
            SeatCommand::ConfirmMouth { empty } => {
                (seat.mouth_empty != Some(*empty)).then_some(SeatEvent::MouthSaid { empty: *empty }.of(id))
            }
            SeatCommand::SayEffort { number, score } => self.say_effort(id, seat, *number, *score)?,
            SeatCommand::AnswerClue { step, number, word } => {
                self.answer_clue(id, seat, *step, *number, word.as_ref())?
            }
            SeatCommand::ReadMessage { message } => {
                let is_unread = seat.messages.iter().any(|m| m.id == *message && m.read_at.is_none());
                is_unread.then_some(SeatEvent::MessageRead { message: Some(*message) }.of(id))
            }
            SeatCommand::Leave => (seat.place != Place::Left).then_some(SeatEvent::Left.of(id)),
        })
    }

    /// Makes a report, or says more about one. A new report by a person whose last one is still open is added to
    /// that one, so that the desk has one entry for each person, however often they press.
    fn report_more(
        &self,
        ctx: &Context<'_>,
        id: SeatId,
        report: ReportId,
        said: &Said,
    ) -> Result<Option<Event>, Refusal> {
        if let Some(Felt::Number(number @ 11..)) = said.strength {
            return Err(Refusal::Wrong(format!("the strength is {number}; it must be from 0 to 10")));
        }
        if let Some(known) = self.reports.iter().find(|r| r.is_called(report)) {
            if known.seat != id {
                return Err(Refusal::NoSuchReport);
            }
            let said = known.said.with(said);
            let is_more = said != known.said;
            return Ok(
                is_more.then_some(SafetyEvent::ReportAmended { report: known.id, said, also: None }.of(id))
            );
        }
        let of_same = |r: &&Report| r.seat == id && r.is_open() && r.said.whose == said.whose;
        Ok(Some(match self.reports.iter().rev().find(of_same) {
            Some(open) => {
                let said = open.said.with(said);
                SafetyEvent::ReportAmended { report: open.id, said, also: Some(report) }.of(id)
            }
            None => {
                let during = self.position(ctx.now).map(|p| (p.of.step, p.offset_ms));
                SafetyEvent::Reported { report, said: said.clone(), during }.of(id)
            }
        }))
    }

    /// An answer to an earlier question counts for that question, even when it comes late.
    fn say_effort(&self, id: SeatId, seat: &Seat, number: u32, score: u8) -> Result<Option<Event>, Refusal> {
        if score > 10 {
            return Err(Refusal::Wrong(format!("the effort is {score}; it must be from 0 to 10")));
        }
        if number == 0 || number > self.efforts_asked {
            return Err(Refusal::NotStarted);
        }
        let is_new = seat.efforts.get(&number) != Some(&score);
        Ok(is_new.then_some(SeatEvent::EffortSaid { number, score }.of(id)))
    }

    /// A late answer counts for the clue it was given to.
    fn answer_clue(
        &self,
        id: SeatId,
        seat: &Seat,
        step: StepId,
        number: u32,
        word: Option<&Line<60>>,
    ) -> Result<Option<Event>, Refusal> {
        let shown = self.clues_shown.get(&step).copied().unwrap_or(0);
        if number == 0 || number > shown {
            return Err(Refusal::NoClue);
        }
        let before = seat.clues.get(&(step, number)).map(|said| said.word.as_deref());
        let is_new = before != Some(word.map(Line::as_str));
        Ok(is_new.then(|| SeatEvent::ClueAnswered { step, number, word: word.cloned() }.of(id)))
    }

    /// An answer can be given only for a step that the class has entered, never for one to come.
    fn need_entered(&self, step: StepId) -> Result<(), Refusal> {
        self.need_step(step)?;
        let entered = self.moves.iter().any(|m| m.step == step);
        if entered { Ok(()) } else { Err(Refusal::NotStarted) }
    }
}
