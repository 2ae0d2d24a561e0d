//! The word game, which the facilitator leads by hand.

use crate::clue::ClueSet;
use crate::live::command::Context;
use crate::live::event::ClassEvent;
use crate::live::event::Event;
use crate::live::ids::StepId;
use crate::live::refusal::Refusal;
use crate::live::state::{LiveClue, Session};
use crate::time::EpochMs;

impl Session {
    pub(super) fn show_clue(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        let (step, set) = self.round()?;
        let number = self.shown_clue().map_or(0, |clue| clue.number) + 1;
        if number as usize > set.clues.len() {
            return Err(Refusal::NothingLeft);
        }
        Ok(ClassEvent::ClueShown { step, number, from: from(ctx) }.into())
    }

    pub(super) fn show_hint(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        let (_, set) = self.round()?;
        let clue = self.open_clue()?;
        let words = set.clues.get(clue.number as usize - 1).ok_or(Refusal::NoClue)?;
        if clue.hints as usize >= words.hints.len() {
            return Err(Refusal::NothingLeft);
        }
        Ok(ClassEvent::HintShown { hints: clue.hints + 1, from: from(ctx) }.into())
    }

    pub(super) fn show_answer(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        self.round()?;
        self.open_clue()?;
        Ok(ClassEvent::AnswerShown { from: from(ctx) }.into())
    }

    /// The clue on the screens of the present step.
    pub(super) fn shown_clue(&self) -> Option<LiveClue> {
        let present = self.present_step()?.id;
        self.clue.filter(|clue| clue.step == present)
    }

    fn round(&self) -> Result<(StepId, &ClueSet), Refusal> {
        let present = self.present_step().ok_or(Refusal::NotStarted)?;
        let set = present.step.clues().ok_or(Refusal::NoClue)?;
        self.unless_paused_for_safety()?;
        Ok((present.id, set))
    }

    fn open_clue(&self) -> Result<LiveClue, Refusal> {
        let clue = self.shown_clue().ok_or(Refusal::NoClue)?;
        if clue.answer { Err(Refusal::NothingLeft) } else { Ok(clue) }
    }
}

fn from(ctx: &Context<'_>) -> EpochMs {
    ctx.now.plus(ctx.lead_time_ms)
}
