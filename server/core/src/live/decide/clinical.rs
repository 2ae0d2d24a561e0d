//! What only a clinician may set. Each setting is one deliberate act, and the clinician's name is kept with it.

use crate::drill::Family;
use crate::live::event::CareEvent;
use crate::live::event::ClassEvent;
use crate::live::event::Event;
use crate::live::ids::{DeskRole, SeatId};
use crate::live::refusal::Refusal;
use crate::live::state::Session;
use crate::people::care::{Condition, MOST_FORMS, Of, PersonalForm};
use crate::text::Name;

impl Session {
    fn clinician(&self, role: DeskRole) -> Result<Name, Refusal> {
        self.names.get(&role).cloned().ok_or(Refusal::NoName)
    }

    pub(super) fn clear_swallow(&self, role: DeskRole, seats: &[SeatId]) -> Result<Event, Refusal> {
        let by = self.clinician(role)?;
        let mut to_clear = Vec::new();
        for seat in seats {
            let (seat, of) = self.need(*seat)?;
            if of.swallow_cleared_by.is_none() && !to_clear.contains(&seat) {
                to_clear.push(seat);
            }
        }
        if to_clear.is_empty() {
            return Err(Refusal::NoChange);
        }
        Ok(ClassEvent::SwallowCleared { seats: to_clear, by }.into())
    }

    pub(super) fn end_swallow(&self, role: DeskRole, seat: SeatId) -> Result<Event, Refusal> {
        self.clinician(role)?;
        let (seat, of) = self.need(seat)?;
        of.swallow_cleared_by.as_ref().ok_or(Refusal::NoChange)?;
        Ok(CareEvent::SwallowEnded.of(seat))
    }

    pub(super) fn clear_family(
        &self,
        role: DeskRole,
        seat: SeatId,
        family: Family,
    ) -> Result<Event, Refusal> {
        let by = self.clinician(role)?;
        Ok(CareEvent::FamilyCleared { family, by }.of(self.need_seat(seat)?))
    }

    pub(super) fn end_family(&self, role: DeskRole, seat: SeatId, family: Family) -> Result<Event, Refusal> {
        self.clinician(role)?;
        let (seat, of) = self.need(seat)?;
        of.cleared.get(&family).ok_or(Refusal::NoChange)?;
        Ok(CareEvent::FamilyEnded { family }.of(seat))
    }

    pub(super) fn set_precautions(
        &self,
        role: DeskRole,
        seat: SeatId,
        conditions: &[Condition],
    ) -> Result<Event, Refusal> {
        self.clinician(role)?;
        let (seat, of) = self.need(seat)?;
        if of.precautions == conditions.iter().copied().collect() {
            return Err(Refusal::NoChange);
        }
        Ok(CareEvent::PrecautionsSet { conditions: conditions.to_vec() }.of(seat))
    }

    pub(super) fn set_form(
        &self,
        role: DeskRole,
        seat: SeatId,
        form: &PersonalForm,
    ) -> Result<Event, Refusal> {
        self.clinician(role)?;
        let (seat, of) = self.need(seat)?;
        if of.forms.contains(form) {
            return Err(Refusal::NoChange);
        }
        form.check().map_err(Refusal::Wrong)?;
        if of.forms.len() >= MOST_FORMS {
            return Err(Refusal::Wrong(format!("this person has {MOST_FORMS} forms; lift one first")));
        }
        Ok(CareEvent::FormSet { form: form.clone() }.of(seat))
    }

    pub(super) fn lift_form(&self, role: DeskRole, seat: SeatId, of: &Of) -> Result<Event, Refusal> {
        self.clinician(role)?;
        let (seat, person) = self.need(seat)?;
        if person.forms.iter().all(|form| form.of != *of) {
            return Err(Refusal::NoChange);
        }
        Ok(CareEvent::FormLifted { of: of.clone() }.of(seat))
    }
}
