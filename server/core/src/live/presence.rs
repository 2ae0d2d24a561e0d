//! Who is heard from. Soft state of the server: never recorded, rebuilt from live sockets.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::live::{DeskRole, SeatId};
use crate::time::EpochMs;

/// When a screen was last heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Heard {
    /// At what time.
    pub at: EpochMs,
    /// Whether its page said that it is visible.
    pub visible: bool,
    /// Whether a socket is open.
    pub connected: bool,
}

/// Who is heard from.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Presence {
    /// Seats with a screen.
    pub seats: BTreeMap<SeatId, Heard>,
    /// Desks with an open socket.
    pub desks: BTreeMap<DeskRole, Heard>,
}

/// How a seat's screen is, in the desk's words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Screen {
    /// Heard within [`QUIET_MS`].
    Live,
    /// Not heard for a moment.
    Quiet,
    /// The page said that it is hidden, or the device sleeps: not the same as gone.
    Off,
    /// Not heard for [`AWAY_MS`], or never.
    Away,
    /// Takes part by telephone.
    Phone,
}

/// Silence after which a screen is quiet: one and a half heartbeats of 10 s (an agreed choice).
pub const QUIET_MS: i64 = 15_000;
/// Silence after which a screen is away (an agreed choice).
pub const AWAY_MS: i64 = 30_000;
/// A hidden page is woken rarely by its browser, at worst once a minute; it gets this long.
pub const HIDDEN_MS: i64 = 90_000;

impl Heard {
    /// How this screen is at `now`.
    #[must_use]
    pub fn screen(&self, now: EpochMs) -> Screen {
        let silent_ms = now.since(self.at);
        match (self.visible, silent_ms) {
            (false, 0..=HIDDEN_MS) => Screen::Off,
            (true, ..=QUIET_MS) if self.connected => Screen::Live,
            (true, ..=AWAY_MS) => Screen::Quiet,
            _ => Screen::Away,
        }
    }
}

impl Presence {
    /// How the screen of `seat` is at `now`.
    #[must_use]
    pub fn screen(&self, seat: SeatId, now: EpochMs) -> Screen {
        self.seats.get(&seat).map_or(Screen::Away, |heard| heard.screen(now))
    }

    /// Whether a desk of this role is connected.
    #[must_use]
    pub fn desk_is_here(&self, role: DeskRole) -> bool {
        self.desks.get(&role).is_some_and(|heard| heard.connected)
    }
}
