//! Time zones by their names in the IANA database, which comes with the program: what a host's system knows, or does
//! not know, makes no difference.

use std::fmt;
use std::sync::LazyLock;

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::{TimeZone, TimeZoneDatabase};
use serde::{Deserialize, Serialize};

use crate::time::EpochMs;

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
#[error("`{0}` is no time zone; write one by its name, such as Europe/Berlin or America/New_York")]
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
    /// The instant at which its clocks show `local`. A time that the clocks pass over, when they go forward, counts as
    /// that much later; of a time that comes twice, when they go back, it is the first.
    #[must_use]
    pub(super) fn instant(&self, local: DateTime) -> Option<EpochMs> {
        let instant = self.rules.to_ambiguous_zoned_datetime(local).compatible().ok()?;
        Some(EpochMs(instant.timestamp().as_millisecond()))
    }

    /// What its clocks show at an instant.
    #[must_use]
    pub(super) fn local(&self, at: EpochMs) -> Option<DateTime> {
        Some(Timestamp::from_millisecond(at.0).ok()?.to_zoned_datetime(self.rules.clone()).datetime())
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
