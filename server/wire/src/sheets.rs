//! Home sheets, for staff who hand them out and for the people whose they are.

use samebreath_core::live::HomeLog;
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::Title;
use samebreath_core::practice::HomeSheet;
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
