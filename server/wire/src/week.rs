//! What the planner asks for and gets about groups, their people and their weeks.

use samebreath_core::people::care::Condition;
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::week::series::Occurrence;
use samebreath_core::week::zone::Zone;
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use uuid::Uuid;

/// A group in the list (`GET /api/planner/groups`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct GroupCard {
    /// The group's id.
    pub id: GroupId,
    /// The group's name.
    pub name: String,
    /// The people enrolled in it, in the order of its list.
    pub people: Vec<PersonId>,
    /// The day of the week on which it meets, from 1 (Monday).
    pub weekday: Option<u8>,
    /// When it starts, as 10:00 local time.
    pub start: Option<String>,
}

/// Asks when a group meets (`POST /api/planner/groups/look`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct GroupLookAt {
    /// The group as the page shows it.
    pub group: Group,
    /// For how many weeks from today, 1 to 110.
    pub weeks: u32,
}

/// When a group meets.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct GroupLook {
    /// Its next classes, those that are on and the cancelled ones; none until its weekday, time and zone are known.
    pub classes: Vec<Occurrence>,
}

/// A class of the coming days (`GET /api/planner/week`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ComingClass {
    /// The group.
    pub group: GroupId,
    /// Its name.
    pub name: String,
    /// The zone of its clocks.
    pub zone: Zone,
    /// When it is.
    pub class: Occurrence,
    /// How many people are expected.
    pub expected: usize,
    /// The plan that was made for it; the one that was saved last where there are several.
    pub plan: Option<Uuid>,
    /// The session that was made for it; the newest where there are several.
    pub session: Option<Uuid>,
    /// Whether that session has ended.
    pub ended: bool,
}

/// A person, in the list (`GET /api/planner/people`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PersonEntry {
    /// The person's id.
    pub id: PersonId,
    /// What they are called.
    pub name: String,
    /// Their precautions.
    pub conditions: Vec<Condition>,
    /// How many decisions clinicians made about them.
    pub decisions: usize,
    /// Whether what concerns their health is kept from whoever asks.
    pub health_hidden: bool,
}
