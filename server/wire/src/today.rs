//! What staff see first: the class of the day, and what is left to do (`GET /api/planner/today`).

use samebreath_core::live::SeatId;
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::group::GroupId;
use samebreath_core::record::since::Change;
use samebreath_core::text::{Name, Sentence};
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use uuid::Uuid;

use crate::week::ComingClass;

/// What staff see first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Today {
    /// The server's clock.
    pub now: EpochMs,
    /// The class of the day: the one that is on, or else the next one of the next 24 hours in
    /// which whoever asks may lead or help.
    pub class: Option<DayClass>,
    /// What is left to do, the most pressing first.
    pub left: Vec<LeftToDo>,
}

/// The class of the day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DayClass {
    /// When it is, and for whom.
    pub coming: ComingClass,
    /// When people can come in, once the class was made.
    pub opens: EpochMs,
    /// Whether whoever asks may see what is new about its people.
    pub sees_people: bool,
    /// Its plan at a glance, once it has one that could be held.
    pub plan: Option<PlanGlance>,
    /// Who sent word that they cannot come, by their names.
    pub absent: Vec<Name>,
    /// The regular day of the group's last class.
    pub last: Option<Date>,
    /// What has changed since then.
    pub changes: Vec<Change>,
}

/// A plan at a glance.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PlanGlance {
    /// How long the class is booked for, in minutes.
    pub minutes: u32,
    /// Its steps in their order.
    pub steps: Vec<GlanceStep>,
}

/// A step at a glance.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct GlanceStep {
    /// The part of the class that begins with it, if one does.
    pub part: Option<String>,
    /// How long the plan allows for it, in milliseconds.
    pub clock_ms: i64,
}

/// Something that is left to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum LeftToDo {
    /// What a desk noted for after a class.
    FollowUp {
        /// The session.
        session: Uuid,
        /// What the session is called.
        title: String,
        /// The seat of the person whom it is about.
        seat: SeatId,
        /// The person's name.
        name: Name,
        /// What needs to be done.
        to_do: Sentence,
        /// Who does it.
        owner: Name,
        /// The last day on which it should be done.
        due: Date,
    },
    /// People who came to a class have no signed note yet. For whoever may sign, in groups in which each person has one.
    Notes {
        /// The session.
        session: Uuid,
        /// What the session is called.
        title: String,
        /// The day on which it was held.
        day: Date,
        /// How many people.
        people: usize,
    },
    /// Nobody has chosen how long records are kept. For whoever may.
    RetentionOpen,
    /// Records go. For whoever may keep them.
    RecordsGo {
        /// How many people's.
        people: usize,
        /// The day on which the first of them goes.
        on: Date,
    },
    /// Old records could not be erased, or were not looked after. For whoever may do something about it.
    RetentionFailed {
        /// The day of the last look.
        day: Date,
    },
    /// A letter could not be sent, and is not tried again.
    LetterFailed {
        /// To whom it was.
        person: PersonId,
        /// Their name.
        name: Name,
        /// Why, in the mail server's words.
        why: String,
    },
    /// A class of the coming week has no plan.
    NoPlan {
        /// The group.
        group: GroupId,
        /// Its name.
        name: String,
        /// The day of the class.
        day: Date,
    },
}
