//! What has changed for a group since its last class: who is new, what is new about people, and which doses differ.

use serde::{Deserialize, Serialize};

use crate::live::Session;
use crate::people::care::Condition;
use crate::people::person::PersonId;
use crate::plan::group::Roll;
use crate::plan::timeline::Figures;
use crate::plan::{Plan, Step, Title};
use crate::text::Name;

/// One change since a group's last class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "what", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Change {
    /// Somebody was not expected then.
    NewPerson {
        /// Who it is.
        name: Name,
    },
    /// Somebody has precautions that they did not have then.
    NewPrecautions {
        /// Who it is.
        name: Name,
        /// The new ones.
        conditions: Vec<Condition>,
    },
    /// A drill has another number of repetitions.
    Reps {
        /// The drill's title in the plan.
        title: Title,
        /// Over all sets and sides, in the last class.
        before: u32,
        /// Now.
        now: u32,
    },
    /// A drill is held for another time.
    Held {
        /// The drill's title in the plan.
        title: Title,
        /// Milliseconds in all, in the last class.
        before_ms: i64,
        /// Now.
        now_ms: i64,
    },
    /// A drill was not in the last class.
    NewDrill {
        /// The drill's title in the plan.
        title: Title,
    },
}

/// What is different about the people since `last`.
#[must_use]
pub fn of_people(last: &Session, roll: &Roll) -> Vec<Change> {
    let seat = |id: PersonId| last.seats().values().find(|seat| seat.person == Some(id));
    let mut changes = Vec::new();
    for one in &roll.people {
        let name = one.person.name.clone();
        let Some(then) = seat(one.id) else {
            changes.push(Change::NewPerson { name });
            continue;
        };
        let is_new = |condition: &&Condition| !then.precautions.contains(condition);
        let conditions: Vec<_> = one.person.conditions.iter().filter(is_new).copied().collect();
        if !conditions.is_empty() {
            changes.push(Change::NewPrecautions { name, conditions });
        }
    }
    changes
}

/// What is different about the drills since `last`, in the order of the plan. A drill that a plan has twice is counted
/// as one.
#[must_use]
pub fn of_drills(last: &Session, plan: &Plan) -> Vec<Change> {
    let then: Vec<&Step> = last.steps().iter().map(|live| &live.step).collect();
    let now: Vec<&Step> = plan.steps.iter().collect();
    let mut changes = Vec::new();
    for (at, step) in now.iter().enumerate() {
        let Some(drill) = step.drill() else { continue };
        let is_this = |other: &&Step| other.drill().is_some_and(|other| other.id == drill.id);
        if now[..at].iter().copied().any(|earlier| is_this(&earlier)) {
            continue;
        }
        let in_all = |steps: &[&Step]| -> Option<Figures> {
            let theirs: Vec<_> = steps.iter().copied().filter(is_this).collect();
            (!theirs.is_empty()).then(|| theirs.iter().map(|step| step.timeline().figures()).sum())
        };
        let title = step.title.clone();
        match (in_all(&then), in_all(&now)) {
            (None, _) => changes.push(Change::NewDrill { title }),
            (Some(before), Some(now)) if before.reps != now.reps => {
                changes.push(Change::Reps { title, before: before.reps, now: now.reps });
            }
            (Some(before), Some(now)) if before.held_ms != now.held_ms => {
                changes.push(Change::Held { title, before_ms: before.held_ms, now_ms: now.held_ms });
            }
            _ => {}
        }
    }
    changes
}
