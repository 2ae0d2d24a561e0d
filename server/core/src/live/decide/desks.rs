//! What the desks set for the whole class, and which of them leads.

use crate::live::command::{Context, Entry};
use crate::live::decide::check_name;
use crate::live::event::ClassEvent;
use crate::live::event::Event;
use crate::live::ids::{DeskRole, StepId};
use crate::live::refusal::Refusal;
use crate::live::state::Session;
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
        let id = StepId(self.steps.iter().map(|s| s.id.0).max().unwrap_or(0) + 1);
        Ok(ClassEvent::StepInserted { id, after, step }.into())
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
