//! What the desks set for the whole class, and which of them leads.

use crate::live::command::{Context, Entry};
use crate::live::decide::check_name;
use crate::live::event::ClassEvent;
use crate::live::event::Event;
use crate::live::ids::{DeskRole, StepId};
use crate::live::refusal::Refusal;
use crate::live::state::Session;
use crate::plan::minutes::Minutes;
use crate::plan::{Step, StepRequest};
use crate::text::Name;

impl Session {
    pub(super) fn open(&self) -> Result<Event, Refusal> {
        if self.opened_at.is_some() { Err(Refusal::NoChange) } else { Ok(ClassEvent::Opened.into()) }
    }

    pub(super) fn set_entry(&self, to: Entry) -> Result<Event, Refusal> {
        if to == self.entry { Err(Refusal::NoChange) } else { Ok(ClassEvent::EntrySet { to }.into()) }
    }

    pub(super) fn insert(
        &self,
        ctx: &Context<'_>,
        after: Option<StepId>,
        step: &StepRequest,
    ) -> Result<Event, Refusal> {
        let after = after.or(self.moves.last().map(|m| m.step));
        if let Some(after) = after {
            self.need_step(after)?;
        }
        let step = Step::of_request(step, ctx.library).map_err(Refusal::Wrong)?;
        let id = StepId(self.last_step_id + 1);
        Ok(ClassEvent::StepInserted { id, after, step }.into())
    }

    pub(super) fn move_step(&self, step: StepId, after: StepId) -> Result<Event, Refusal> {
        self.may_rearrange(step)?;
        let place = |id| self.steps.iter().position(|s| s.id == id).ok_or(Refusal::NoSuchStep(id.0));
        let (from, to) = (place(step)?, place(after)?);
        let present = self.moves.last().map(|m| place(m.step)).transpose()?;
        if present.is_some_and(|present| to < present) {
            return Err(Refusal::Wrong(
                "a step can only be put after the present step or a later one".into(),
            ));
        }
        if to == from || to + 1 == from {
            return Err(Refusal::NoChange);
        }
        Ok(ClassEvent::StepMoved { step, after }.into())
    }

    pub(super) fn take_out(&self, step: StepId) -> Result<Event, Refusal> {
        self.may_rearrange(step)?;
        Ok(ClassEvent::StepTakenOut { step }.into())
    }

    pub(super) fn set_time(&self, step: StepId, seconds: u32) -> Result<Event, Refusal> {
        let live = self.step(step).ok_or(Refusal::NoSuchStep(step.0))?;
        let minutes = Minutes::of_seconds(seconds).map_err(Refusal::Wrong)?;
        let set = live.step.with_minutes(minutes).map_err(Refusal::Wrong)?;
        if set == live.step {
            return Err(Refusal::NoChange);
        }
        Ok(ClassEvent::MinutesSet { step, minutes }.into())
    }

    /// Only what was put in during the class is moved or taken out, and only before anybody has done it: the plan
    /// itself stays as it was prepared, and what was done stays on record.
    fn may_rearrange(&self, step: StepId) -> Result<(), Refusal> {
        let live = self.step(step).ok_or(Refusal::NoSuchStep(step.0))?;
        if !live.inserted {
            return Err(Refusal::Wrong("only a step that was put in during the class can be moved".into()));
        }
        if self.moves.iter().any(|m| m.step == step) {
            return Err(Refusal::Wrong("the class has already begun this step".into()));
        }
        Ok(())
    }

    pub(super) fn ask_effort(&self) -> Result<Event, Refusal> {
        self.present_step().ok_or(Refusal::NotStarted)?;
        if self.effort.is_some() {
            return Err(Refusal::NoChange);
        }
        Ok(ClassEvent::EffortAsked { number: self.efforts_asked + 1 }.into())
    }

    pub(super) fn say_name(&self, role: DeskRole, name: &Name) -> Result<Event, Refusal> {
        check_name(name)?;
        if self.names.get(&role) == Some(name) {
            return Err(Refusal::NoChange);
        }
        Ok(ClassEvent::DeskNamed { role, name: name.clone() }.into())
    }

    pub(super) fn share_health(&self, role: DeskRole, with_helper: bool) -> Result<Event, Refusal> {
        if role != DeskRole::Facilitator {
            return Err(Refusal::NotClinical);
        }
        if self.helper_sees_health == with_helper {
            return Err(Refusal::NoChange);
        }
        Ok(ClassEvent::HealthShared { with_helper }.into())
    }

    /// The desk that gave the lead away may take it back at any time, and so may the facilitator.
    pub(super) fn hand_desk(
        &self,
        ctx: &Context<'_>,
        role: DeskRole,
        to: DeskRole,
    ) -> Result<Event, Refusal> {
        if to == self.lead {
            return Err(Refusal::NoChange);
        }
        let takes_back = role == DeskRole::Facilitator || self.handed_by == Some(role);
        if role != self.lead && !takes_back && ctx.presence.desk_is_here(self.lead) {
            return Err(Refusal::StillLed);
        }
        if to != role && !ctx.presence.desk_is_here(to) {
            return Err(Refusal::NobodyThere);
        }
        Ok(ClassEvent::DeskHanded { to }.into())
    }
}
