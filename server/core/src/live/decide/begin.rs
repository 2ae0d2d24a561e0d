//! The first events of a session.

use crate::live::event::CareEvent;
use crate::live::event::ClassEvent;
use crate::live::event::{Event, How};
use crate::live::ids::SeatId;
use crate::live::state::Session;
use crate::people::person::{Decided, Decision, PersonId};
use crate::people::rules::Rules;
use crate::plan::Plan;
use crate::plan::group::{Enrolled, Roll};
use crate::time::EpochMs;

impl Session {
    /// The first event of a session of `plan` under `rules`, which starts at the instant `starts` if that is known.
    #[must_use]
    pub fn begin(plan: Plan, rules: Rules, starts: Option<EpochMs>, opens: bool) -> Event {
        ClassEvent::Begun { plan, rules, starts, opens }.into()
    }

    /// What a class of a group begins with: each person is expected, and so is that those in `absent` cannot come.
    #[must_use]
    pub fn expected(roll: &Roll, absent: &[PersonId]) -> Vec<Event> {
        let mut events = Vec::new();
        for (seat, who) in (1..).map(SeatId).zip(&roll.people) {
            events.extend(expected(seat, who));
            if absent.contains(&who.id) {
                events.push(CareEvent::SentWord { comes: false }.of(seat));
            }
        }
        events
    }
}

/// A person is expected, with their precautions and the families they are cleared for. Swallow drills stay off until
/// they are switched on in class, on the day. A person without a clinician's decision is left out when they are
/// switched on for everybody.
pub(super) fn expected(seat: SeatId, Enrolled { id, person }: &Enrolled) -> Vec<Event> {
    let name = person.name.clone();
    let expected = CareEvent::SeatTaken { name, how: How::Expected, perhaps: None, person: Some(*id) };
    let mut events = vec![expected.of(seat)];
    if !person.conditions.is_empty() {
        events.push(CareEvent::PrecautionsSet { conditions: person.conditions.clone() }.of(seat));
    }
    if !person.may_swallow() {
        events.push(CareEvent::SwallowKeptOff.of(seat));
    }
    for Decision { what, by, .. } in &person.decisions {
        if let Decided::Cleared { family } = *what {
            events.push(CareEvent::FamilyCleared { family, by: by.clone() }.of(seat));
        }
    }
    events.extend(person.forms.iter().map(|form| CareEvent::FormSet { form: form.clone() }.of(seat)));
    events
}
