//! Home sheets, for staff who hand them out and for the people whose they are.

use samebreath_core::live::HomeLog;
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::Title;
use samebreath_core::practice::{HomeClassSheet, HomeSheet, Intro};
use samebreath_core::text::Name;
use samebreath_core::time::day::Date;
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use uuid::Uuid;

/// The home sheets of a class (`GET /api/planner/classes/{id}/sheets`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ClassSheets {
    /// What the class was called.
    pub title: Title,
    /// The day on which it was held.
    pub day: Date,
    /// The number to call in an emergency; absent where whoever hosts the server set none.
    pub emergency_number: Option<String>,
    /// Those who are enrolled, in the order of their seats.
    pub people: Vec<PersonSheet>,
}

/// The home sheet of somebody of a class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PersonSheet {
    /// Who it is.
    pub person: PersonId,
    /// The sheet.
    pub sheet: HomeSheet,
}

/// A person's own home sheets (`GET /api/own/{link}/sheets`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OwnSheets {
    /// Their name.
    pub name: Name,
    /// The number to call in an emergency; absent where whoever hosts the server set none.
    pub emergency_number: Option<String>,
    /// Whether several people use this device: then its pages keep nothing.
    pub shared: bool,
    /// One for each of their groups, from its last class, the newest first; only those with something on them.
    pub sheets: Vec<OwnSheet>,
    /// The home classes that were published for them, the newest first; only those with a drill for them.
    pub classes: Vec<OwnHomeClass>,
}

/// A home sheet of a person, on their own page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OwnSheet {
    /// The class that it comes from.
    pub class: Uuid,
    /// Who led that class, if somebody said their name at its desk.
    pub by: Option<Name>,
    /// The sheet.
    pub sheet: HomeSheet,
}

/// What somebody did at home (`POST /api/own/{link}/practice`). The same log may be sent again; a log with the same id that
/// says something else is kept for staff to look at, and answered with `differs`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct HomeDone {
    /// The class that gave them the drill.
    pub class: Uuid,
    /// What they did.
    pub log: HomeLog,
}

/// A home class, on the own page of somebody for whom it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OwnHomeClass {
    /// The home class.
    pub id: Uuid,
    /// The class whose record takes what they say that they did.
    pub class: Uuid,
    /// What to do.
    pub sheet: HomeClassSheet,
}

/// Asks what a plan would be as a home class (`POST /api/planner/plans/{id}/home-class/look`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct HomeClassAsk {
    /// The version of the plan that the page shows.
    pub version: u64,
    /// For whom; absent for everybody of the plan's group.
    pub person: Option<PersonId>,
    /// On how many days a week, 1 to 7.
    pub days_a_week: u32,
}

/// What a plan would be as a home class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HomeClassLook {
    /// The day here.
    pub today: Date,
    /// The last day that may be chosen for its end.
    pub last: Date,
    /// The day that is proposed for it: the one before the group's next class, if that is not too far off.
    pub until: Date,
    /// What it would be for each of those for whom it is, in the order of the group's list.
    pub people: Vec<HomeClassFor>,
}

/// What a home class is for one person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HomeClassFor {
    /// Who it is.
    pub person: PersonId,
    /// Their name.
    pub name: Name,
    /// How long it takes, in milliseconds.
    pub total_ms: i64,
    /// How many drills it has.
    pub drills: u32,
    /// Whether they have had a place in one of the group's last classes. Who has not gets it once they have: what they say that
    /// they did goes into the record of a class.
    pub known: bool,
    /// The titles of the drills that are not for them.
    pub left_out: Vec<Title>,
}

/// Publishes a plan as a home class (`POST /api/planner/plans/{id}/home-class`). The request's id becomes the class's, so that a
/// request whose answer was lost publishes nothing twice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct PublishHomeClass {
    /// The version of the plan that the page shows.
    pub version: u64,
    /// For whom; absent for everybody of the plan's group.
    pub person: Option<PersonId>,
    /// What is said before it; absent for nothing.
    pub intro: Option<Intro>,
    /// On how many days a week, 1 to 7.
    pub days_a_week: u32,
    /// The last day on which it is to be done.
    pub until: Date,
    /// The id of this request.
    pub request: Uuid,
}

/// A home class that was published for a group or for somebody of it (`GET /api/planner/groups/{id}/home-classes`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HomeClassCard {
    /// The home class.
    pub id: Uuid,
    /// Its version, for taking it back.
    pub version: u64,
    /// What it is called.
    pub title: Title,
    /// For whom it is; absent for everybody of the group.
    pub whom: Option<Name>,
    /// On how many days a week.
    pub days_a_week: u32,
    /// The day on which it was published.
    pub from: Date,
    /// The last day on which it is to be done.
    pub until: Date,
    /// Whether that day is over.
    pub over: bool,
    /// Who published it.
    pub by: Name,
}
