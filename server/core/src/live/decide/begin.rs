//! What a session begins with.

use crate::live::event::{Event, How};
use crate::live::ids::SeatId;
use crate::live::state::Session;
use crate::people::rules::Rules;
use crate::plan::Plan;
use crate::plan::group::{Decided, Decision, Group};

impl Session {
    /// The first event of a session of `plan` under `rules`.
    #[must_use]
    pub fn begin(plan: Plan, rules: Rules) -> Event {
        Event::Begun { plan, rules }
    }

    /// What a class of `group` begins with: each person expected, with their precautions and the families that
    /// they are cleared for. Swallow drills stay off until they are switched on in class, on the day; where no
    /// clinician decided that they may be, not with everybody's.
    #[must_use]
    pub fn expected(group: &Group) -> Vec<Event> {
        let mut events = Vec::new();
        for (seat, person) in (1..).map(SeatId).zip(&group.people) {
            events.push(Event::SeatTaken {
                seat,
                name: person.name.clone(),
                how: How::Expected,
                perhaps: None,
            });
            if !person.conditions.is_empty() {
                events.push(Event::PrecautionsSet { seat, conditions: person.conditions.clone() });
            }
            if !person.may_swallow() {
                events.push(Event::SwallowKeptOff { seat });
            }
            for Decision { what, by, .. } in &person.decisions {
                if let Decided::Cleared { family } = *what {
                    events.push(Event::FamilyCleared { seat, family, by: by.clone() });
                }
            }
        }
        events
    }
}
