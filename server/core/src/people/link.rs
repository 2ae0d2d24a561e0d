//! The lasting links of people: for a participant, the link is the key.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// The id of a lasting link. It is no secret, and opens nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LinkId(pub Uuid);

/// Where a link is kept. Each can be ended while the others go on working.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Medium {
    /// Printed on a card.
    Paper,
    /// Sent in a message.
    Mail,
    /// Set up on the person's own device.
    Tablet,
    /// Given to somebody who helps them.
    CarePartner,
    /// Read by a calendar, which shows when the classes are; it opens no class.
    Calendar,
}

impl Medium {
    /// Whether the link opens the person's own page.
    #[must_use]
    pub fn opens(self) -> bool {
        self != Self::Calendar
    }
}
