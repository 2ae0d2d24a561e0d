//! What the planner asks for and gets by plain requests.

use samebreath_core::clue::written::{Unfinished, WrittenRound};
use samebreath_core::clue::{Game, Theme, Verdict};
use samebreath_core::drill::Drill;
use samebreath_core::drill::dose::Hold;
use samebreath_core::item::ItemSet;
use samebreath_core::people::care::Condition;
use samebreath_core::plan::advice::Advice;
use samebreath_core::plan::draft::{DraftError, Planned};
use samebreath_core::plan::group::GroupId;
use samebreath_core::record::did::{DrillClass, NotchProposal};
use samebreath_core::text::LanguageTag;
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
    /// All item sets in the order of their ids, without translations.
    pub item_sets: Vec<ItemSet>,
    /// Plans to start from.
    pub templates: Vec<TemplateCard>,
    /// The host's own files that were left out, each with its file, line and reason.
    pub refused: Vec<String>,
}

/// A drill of the library, with what only the server can say about it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DrillCard {
    /// The drill, as its file gives it.
    pub drill: Drill,
    /// The hold of the usual dose; absent for drills without one.
    pub hold: Option<Hold>,
    /// How long the usual dose takes with its get-ready, in milliseconds.
    pub clock_ms: i64,
    /// Whether it is off for everyone until a clinician switches it on or clears the person.
    pub off_for_all: bool,
    /// Conditions for which the house rules turn it off until a clinician clears the person.
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
    /// Its clues in order.
    pub words: Vec<ClueWords>,
    /// The languages in which it is there, its own first.
    pub languages: Vec<LanguageTag>,
    /// The round from which it is made, for a set that was written in the planner.
    pub round: Option<Uuid>,
}

/// A clue as whoever plans reads it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ClueWords {
    /// The clue.
    pub clue: String,
    /// Its answer.
    pub answer: String,
    /// Its hints in the order in which they are given.
    pub hints: Vec<String>,
}

/// A class that has not ended (`GET /api/planner/classes`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ClassCard {
    /// The class's id.
    pub id: Uuid,
    /// What it is called.
    pub title: String,
    /// The code with which participants join, in two groups.
    pub code: String,
    /// Whether its participants are rehearsed.
    pub rehearsal: bool,
    /// When it was made.
    pub created_at: EpochMs,
    /// The group it is held for.
    pub group: Option<GroupId>,
}

/// A plan to start from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TemplateCard {
    /// The template's id.
    pub id: String,
    /// The title of the plan.
    pub title: String,
}

/// A plan in the list (`GET /api/planner/plans`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PlanCard {
    /// The plan's id.
    pub id: Uuid,
    /// The plan's title.
    pub title: String,
    /// The plan's version.
    pub version: u64,
    /// The day it is meant for.
    pub day: Option<Date>,
    /// The group it is meant for.
    pub group: Option<GroupId>,
    /// When it was last saved.
    pub updated_at: EpochMs,
    /// How many steps it has.
    pub steps: usize,
}

/// A round that is written in the planner, in the list (`GET /api/planner/rounds`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RoundCard {
    /// The round's id.
    pub id: Uuid,
    /// Its newest version.
    pub version: u64,
    /// Its theme.
    pub theme: String,
    /// What people are asked to do.
    pub game: Game,
    /// How many clues it has.
    pub clues: usize,
    /// Whether it can be played.
    pub finished: bool,
}

/// Begins a round (`POST /api/planner/rounds`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(tag = "from", rename_all = "snake_case", deny_unknown_fields)]
pub enum NewRound {
    /// Without any clue.
    Empty {
        /// The theme, shown to everyone.
        theme: Theme,
        /// The language of its words.
        language: LanguageTag,
    },
    /// From a set of the library.
    Set {
        /// The set's id.
        set: String,
        /// The language of which the words are taken; the set's own where it has no such translation.
        language: LanguageTag,
    },
    /// From a round that could not be saved because somebody removed it.
    Copy {
        /// The round as the page shows it.
        round: WrittenRound,
    },
}

/// Asks what a round amounts to, and tries answers to its clues (`POST /api/planner/rounds/look`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct RoundLookAt {
    /// The round as it is written.
    pub round: WrittenRound,
    /// An answer to try for each clue, in the order of the clues; empty where none is tried.
    pub said: Vec<String>,
}

/// What a round amounts to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RoundLook {
    /// What keeps it from being played; empty when nothing does.
    pub unfinished: Vec<Unfinished>,
    /// The hints of each clue in the order in which they are given.
    pub hints: Vec<Vec<String>>,
    /// What the answer that was tried for each clue is worth; absent where none was.
    pub heard: Vec<Option<Verdict>>,
}

/// Makes a new plan (`POST /api/planner/plans`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(tag = "from", rename_all = "snake_case", deny_unknown_fields)]
pub enum NewPlan {
    /// Without any step.
    Empty {
        /// The title of the new plan.
        title: String,
        /// The group it is for; the plan takes the group's time.
        group: Option<GroupId>,
        /// The day it is for; without one, the day of the group's next class.
        #[serde(default)]
        #[ts(optional)]
        day: Option<Date>,
    },
    /// From a template that comes with the program.
    Template {
        /// The template's id.
        id: String,
        /// The group it is for; the plan takes the group's next day and its time.
        group: Option<GroupId>,
    },
    /// From another plan, for seven days later, with clues that its group has not had lately.
    NextWeek {
        /// The id of that plan.
        id: Uuid,
        /// The version of it that the page shows.
        version: u64,
        /// Whether every dose becomes slightly harder, within its usual range.
        one_notch_on: bool,
    },
    /// From the text of a plan file.
    File {
        /// The text of the file.
        text: String,
    },
    /// From a plan that could not be saved because somebody else saved first or removed it.
    Copy {
        /// The plan as the page shows it.
        planned: Box<Planned>,
    },
}

/// Saves a plan, a group or a round (`PUT /api/planner/plans/{id}`, and so on).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Save<T> {
    /// The version that this save changes.
    pub after: u64,
    /// The new content.
    pub content: T,
}

/// Answers a save.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Saved<T> {
    /// Whether it was saved. If not, somebody else had saved first, and nothing was overwritten.
    pub saved: bool,
    /// What the server has now.
    pub now: Versioned<T>,
}

/// Removes a plan, a group or a round and returns what it held (`DELETE /api/planner/plans/{id}`, and so on).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Remove {
    /// The version that the page shows.
    pub version: u64,
}

/// Asks what a draft amounts to (`POST /api/planner/look`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct LookAt {
    /// The id of the plan being written, so that it does not count among what its group has had.
    pub plan: Option<Uuid>,
    /// The draft.
    pub planned: Planned,
}

/// What a draft amounts to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
pub struct Look {
    /// Why the draft cannot be led yet, if it cannot.
    pub error: Option<DraftError>,
    /// How long all steps take together, in milliseconds.
    pub clock_ms: i64,
    /// How long the class is booked for, in milliseconds.
    pub class_ms: i64,
    /// What each step amounts to; there are fewer than in the draft when there is an error.
    pub steps: Vec<StepLook>,
    /// Advice on the draft.
    pub advice: Vec<Advice>,
    /// What the plan's group had before its day; absent for a plan without a group or a day.
    pub had: Option<GroupHad>,
}

/// What a group had before a day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct GroupHad {
    /// Each drill that the group had.
    pub drills: Vec<HadDrill>,
    /// Each round of the library, with what is left of it.
    pub rounds: Vec<RoundLeft>,
}

/// When a group last had a drill.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HadDrill {
    /// The drill's id.
    pub drill: String,
    /// How many days earlier it last came.
    pub days: i64,
}

/// Which clues of a round a group can still get.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RoundLeft {
    /// The clue set's id.
    pub set: String,
    /// The numbers of the clues that the group has not had within its number of weeks.
    pub left: Vec<u32>,
    /// How many days earlier one of its clues last came; absent if none did.
    pub days: Option<i64>,
}

/// What a step amounts to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
pub struct StepLook {
    /// The title of the step.
    pub title: String,
    /// When it begins, in milliseconds from the start of the class.
    pub starts_ms: i64,
    /// How long it takes, in milliseconds.
    pub clock_ms: i64,
    /// Repetitions over all sets and sides.
    pub reps: u32,
    /// The time held as planned, in milliseconds.
    pub held_ms: i64,
    /// What the plan's group did with its drill in the last classes that had it, the newest first.
    pub did: Vec<DrillClass>,
    /// One notch more or less, where that speaks for it.
    pub proposal: Option<NotchProposal>,
}

/// A class whose records cannot be read (`GET /api/planner/unreadable`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Unreadable {
    /// The class's title.
    pub title: String,
    /// When the class was made.
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
    /// Whether the participants are rehearsed.
    pub rehearsal: bool,
    /// Made by the browser; the same when sent again, so that a request whose answer was lost begins no second
    /// class.
    pub request: Uuid,
}

/// A desk that was opened in this browser (`POST /api/planner/classes/{id}/desk`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OpenedDesk {
    /// The desk's stay, which its page has in its address.
    pub stay: String,
}

/// The links of a new class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ClassLinks {
    /// Opens the facilitator's desk, once.
    pub desk: Option<String>,
    /// Opens the helper's desk, once.
    pub helper: Option<String>,
    /// Opens the wall.
    pub wall: String,
    /// Where participants join.
    pub class: String,
    /// The code with which participants join.
    pub code: String,
}
