//! What the planner asks for and gets, by plain requests.

use samebreath_core::clue::Game;
use samebreath_core::drill::Drill;
use samebreath_core::drill::dose::Hold;
use samebreath_core::people::care::Condition;
use samebreath_core::plan::advice::Advice;
use samebreath_core::plan::draft::{DraftError, Planned};
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use uuid::Uuid;

/// The library as the planner shows it (`GET /api/planner/library`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LibraryBook {
    /// All drills in the order of their names.
    pub drills: Vec<DrillCard>,
    /// All clue sets in the order of their themes.
    pub clue_sets: Vec<ClueCard>,
    /// Plans to start from.
    pub templates: Vec<TemplateCard>,
    /// Own files that were left out, each with file, line and reason.
    pub refused: Vec<String>,
}

/// A drill of the library, with what only the server can say of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DrillCard {
    /// The drill, as its file gives it.
    pub drill: Drill,
    /// The hold of the usual dose; nothing for drills without one.
    pub hold: Option<Hold>,
    /// What the usual dose takes with its get-ready, in milliseconds.
    pub clock_ms: i64,
    /// Off for everyone until a clinician switched it on or cleared the person.
    pub off_for_all: bool,
    /// Conditions for which the house rules turn it off until a clinician cleared the person.
    pub off_for: Vec<Condition>,
}

/// A clue set of the library.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[allow(missing_docs, reason = "named as in a clue set's file")]
pub struct ClueCard {
    pub id: String,
    pub theme: String,
    pub game: Game,
    pub clues: usize,
    /// How many of its clues are of level 1, 2 and 3.
    pub levels: [usize; 3],
}

/// A plan to start from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TemplateCard {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
}

/// A plan in the list (`GET /api/planner/plans`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PlanCard {
    /// Its id.
    pub id: Uuid,
    /// Its title.
    pub title: String,
    /// Its version.
    pub version: u64,
    /// The day it is meant for.
    pub day: Option<Date>,
    /// The group it is meant for.
    pub group: Option<GroupId>,
    /// When it was saved last.
    pub updated_at: EpochMs,
    /// How many steps it has.
    pub steps: usize,
}

/// A group in the list (`GET /api/planner/groups`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct GroupCard {
    /// Its id.
    pub id: GroupId,
    /// What it is called.
    pub name: String,
    /// How many people are enrolled.
    pub people: usize,
}

/// Begins a plan (`POST /api/planner/plans`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(tag = "from", rename_all = "snake_case", deny_unknown_fields)]
pub enum NewPlan {
    /// With no step.
    Empty {
        /// Its title.
        title: String,
        /// The group it is meant for, on the day and at the time it meets next.
        group: Option<GroupId>,
    },
    /// From a plan of the program.
    Template {
        /// Which.
        id: String,
        /// The group it is meant for, on the day and at the time it meets next.
        group: Option<GroupId>,
    },
    /// From another plan, for seven days later, with clues that its group did not have.
    NextWeek {
        /// Which.
        id: Uuid,
        /// The version that the page shows.
        version: u64,
        /// Every dose one notch on, within its usual range.
        one_notch_on: bool,
    },
    /// From the text of a plan file.
    File {
        /// The text.
        text: String,
    },
    /// From one that could not be saved because somebody else saved first, or that was removed.
    Copy {
        /// What it says.
        planned: Box<Planned>,
    },
}

/// Saves a plan or a group (`PUT /api/planner/plans/{id}`, `PUT /api/planner/groups/{id}`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Save<T> {
    /// The version that this one changes.
    pub after: u64,
    /// What it is to say.
    pub content: T,
}

/// Answers a save.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Saved<T> {
    /// Whether it was saved. If not, somebody else saved first, and nothing was overwritten.
    pub saved: bool,
    /// What the server has now.
    pub now: Versioned<T>,
}

/// Removes a plan or a group, and gets what it said (`DELETE /api/planner/plans/{id}`, `DELETE /api/planner/groups/{id}`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Remove {
    /// The version that the page shows.
    pub version: u64,
}

/// Asks what a draft adds up to (`POST /api/planner/look`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct LookAt {
    /// The plan that is being written, so that it does not count as what its group had.
    pub plan: Option<Uuid>,
    /// What it says.
    pub planned: Planned,
}

/// What a draft adds up to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Look {
    /// Why it cannot be led yet.
    pub error: Option<DraftError>,
    /// The clock total in milliseconds.
    pub clock_ms: i64,
    /// What the class is booked for.
    pub class_ms: i64,
    /// Each step; shorter than the draft's when there is an error.
    pub steps: Vec<StepLook>,
    /// Advice.
    pub advice: Vec<Advice>,
    /// What its group had before its day.
    pub had: Option<GroupHad>,
}

/// What a group had before a day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct GroupHad {
    /// Each drill it had, with how many days ago.
    pub drills: Vec<HadDrill>,
    /// Each round of the library.
    pub rounds: Vec<RoundLeft>,
}

/// When a group had a drill.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HadDrill {
    /// The drill's id.
    pub drill: String,
    /// How many days ago it came last.
    pub days: i64,
}

/// What a round still has for a group.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RoundLeft {
    /// The clue set's id.
    pub set: String,
    /// The numbers of the clues that the group had not within its weeks.
    pub left: Vec<u32>,
    /// How many days ago one of its clues came last.
    pub days: Option<i64>,
}

/// What a step adds up to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct StepLook {
    /// Its head.
    pub title: String,
    /// When it begins, in milliseconds from the start of the class.
    pub starts_ms: i64,
    /// What it takes.
    pub clock_ms: i64,
    /// Repetitions over all sets and sides.
    pub reps: u32,
    /// Seconds held as planned, in milliseconds.
    pub held_ms: i64,
}

/// A class whose records cannot be read (`GET /api/planner/unreadable`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Unreadable {
    /// What it is called.
    pub title: String,
    /// When it was made.
    pub created_at: EpochMs,
    /// Which line cannot be read, or what is missing.
    pub why: String,
}

/// Begins a class from a plan (`POST /api/planner/plans/{id}/class`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct BeginClass {
    /// The version that the page shows.
    pub version: u64,
    /// With rehearsed participants.
    pub rehearsal: bool,
    /// Made by the browser, the same when sent again: a request whose answer was lost begins no second class.
    pub request: Uuid,
}

/// The links of a class that was begun.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ClassLinks {
    /// Opens the facilitator's desk, once.
    pub desk: String,
    /// Opens the helper's desk, once.
    pub helper: String,
    /// Opens the wall.
    pub wall: String,
    /// Where participants join.
    pub class: String,
    /// The code they join by.
    pub code: String,
}
