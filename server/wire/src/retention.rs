//! How long things are kept (`GET` and `PUT /api/retention`).

use samebreath_core::people::person::PersonId;
use samebreath_core::record::retention::{Retention, RetentionReport};
use samebreath_core::time::day::Date;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How long things are kept, and what that comes to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RetentionPage {
    /// The rules that hold.
    pub rules: Retention,
    /// Their version; 0 while nobody has set any.
    pub version: u64,
    /// The people whose record goes, the earliest first, and those whose record would, but is held.
    pub leaving: Vec<LeavingPerson>,
    /// What would go today.
    pub today: RetentionReport,
    /// What went on the last days, the newest first.
    pub reports: Vec<DayReport>,
}

/// Somebody whose record goes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LeavingPerson {
    /// The person.
    pub person: PersonId,
    /// What they are called.
    pub name: String,
    /// The day of their last class; of somebody who was in none, that on which their page was last changed.
    pub last: Date,
    /// The day on which their record goes.
    pub on: Date,
    /// Whether it is held, so that it does not go.
    pub held: bool,
}

/// What went on a day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DayReport {
    /// The day, in UTC.
    pub day: Date,
    /// What went.
    pub report: RetentionReport,
}

/// New rules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct ChangeRetention {
    /// The version that they change; 0 for the first ones.
    pub after: u64,
    /// The rules.
    pub rules: Retention,
}
