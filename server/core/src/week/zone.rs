//! Time zones by their names in the IANA database, which comes with the program: what a host's system knows, or does
//! not know, makes no difference.

use std::fmt;
use std::sync::LazyLock;

use jiff::civil::{self, Time};
use jiff::tz::{TimeZone, TimeZoneDatabase};
use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

use crate::time::EpochMs;
use crate::time::day::Date;

static ZONES: LazyLock<TimeZoneDatabase> = LazyLock::new(TimeZoneDatabase::bundled);

/// A time zone, written by its name, such as Europe/Berlin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Zone {
    name: String,
    rules: TimeZone,
}

/// A text that names no time zone.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no time zone called {0}; write one by its name, such as Europe/Berlin or America/New_York")]
pub struct NoZone(String);

impl TryFrom<String> for Zone {
    type Error = NoZone;

    fn try_from(name: String) -> Result<Self, NoZone> {
        let rules = ZONES.get(&name).map_err(|_| NoZone(name))?;
        // The name as the database writes it.
        let name = rules.iana_name().unwrap_or("UTC").to_owned();
        Ok(Self { name, rules })
    }
}

impl Zone {
    /// Coordinated universal time.
    #[must_use]
    pub fn utc() -> Self {
        Self { name: "UTC".to_owned(), rules: TimeZone::UTC }
    }

    /// Its rules, for whoever reckons with instants.
    #[must_use]
    pub fn rules(&self) -> &TimeZone {
        &self.rules
    }

    /// The day that its calendars show at an instant; `None` for one that is out of range.
    #[must_use]
    pub fn day(&self, at: EpochMs) -> Option<Date> {
        Some(Timestamp::from_millisecond(at.0).ok()?.to_zoned_datetime(self.rules.clone()).date().into())
    }

    /// The instant at which its clocks show a time of day, in milliseconds from midnight, on a day. A time that the clocks pass over, when they go forward, counts as
    /// that much later; of a time that comes twice, when they go back, it is the first.
    #[must_use]
    pub fn at(&self, day: Date, time_ms: i64) -> Option<EpochMs> {
        let time = Time::midnight().checked_add(SignedDuration::from_millis(time_ms)).ok()?;
        let local = civil::Date::from(day).to_datetime(time);
        let instant = self.rules.to_ambiguous_zoned_datetime(local).compatible().ok()?;
        Some(EpochMs(instant.timestamp().as_millisecond()))
    }
}

impl From<Zone> for String {
    fn from(zone: Zone) -> Self {
        zone.name
    }
}

impl fmt::Display for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}

#[cfg(feature = "ts-rs")]
impl ts_rs::TS for Zone {
    type WithoutGenerics = Self;
    type OptionInnerType = Self;
    fn name(_: &ts_rs::Config) -> String {
        "string".to_owned()
    }
    fn inline(_: &ts_rs::Config) -> String {
        "string".to_owned()
    }
}
