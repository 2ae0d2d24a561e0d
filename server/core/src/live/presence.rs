//! Who is heard from. Soft state of the server: never recorded, rebuilt from live sockets.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::live::ids::{DeskRole, SeatId};
use crate::time::EpochMs;

/// When a screen was last heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Heard {
    /// At what time.
    pub at: EpochMs,
    /// Whether its page said that it is visible.
    pub visible: bool,
    /// When its last socket closed; nothing while one is open.
    pub gone_at: Option<EpochMs>,
}

/// Who is heard from.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Presence {
    /// Since when this server listens: nobody can have been heard before.
    pub since: EpochMs,
    /// Seats with a screen.
    pub seats: BTreeMap<SeatId, Heard>,
    /// Desks with a screen.
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
    /// Not heard for [`AWAY_MS`].
    Away,
    /// Takes part by telephone.
    Phone,
    /// Expected, and did not come yet.
    NotYet,
}

/// Silence after which a screen is quiet: one and a half heartbeats of 10 s (an agreed choice).
pub const QUIET_MS: i64 = 15_000;
/// Silence after which a screen is away (an agreed choice).
pub const AWAY_MS: i64 = 30_000;
/// A hidden page is woken rarely by its browser, at worst once a minute; it gets this long.
pub const HIDDEN_MS: i64 = 90_000;
/// A closed socket is a sign of its own; a page that only reloads is back well before (an agreed
/// choice).
pub const GONE_MS: i64 = 8_000;

impl Heard {
    /// A screen heard at `at` on an open socket.
    #[must_use]
    pub fn now(at: EpochMs, visible: bool) -> Self {
        Self { at, visible, gone_at: None }
    }

    /// How this screen is at `now`.
    #[must_use]
    pub fn screen(&self, now: EpochMs) -> Screen {
        let silent_ms = now.since(self.at);
        match (self.visible, silent_ms) {
            (false, ..=HIDDEN_MS) => Screen::Off,
            (true, ..=QUIET_MS) if self.gone_at.is_none() => Screen::Live,
            (true, ..=AWAY_MS) => Screen::Quiet,
            (true | false, _) => Screen::Away,
        }
    }

    fn is_lost(&self, now: EpochMs) -> bool {
        let gone = self.visible && self.gone_at.is_some_and(|at| now.since(at) >= GONE_MS);
        gone || self.screen(now) == Screen::Away
    }
}

impl Presence {
    /// Nobody heard yet by a server that listens since `since`.
    #[must_use]
    pub fn since(since: EpochMs) -> Self {
        Self { since, ..Self::default() }
    }

    /// A screen that this server has not heard may have been there a moment before it began.
    fn seat(&self, seat: SeatId) -> Heard {
        self.seats.get(&seat).copied().unwrap_or(self.never())
    }

    fn never(&self) -> Heard {
        Heard { at: self.since, visible: true, gone_at: Some(self.since) }
    }

    /// How the screen of `seat` is at `now`.
    #[must_use]
    pub fn screen(&self, seat: SeatId, now: EpochMs) -> Screen {
        self.seat(seat).screen(now)
    }

    /// When a seat that must be counted as lost was last heard; the end of its socket is a sign too.
    pub(super) fn lost_since(&self, seat: SeatId, now: EpochMs) -> Option<EpochMs> {
        let heard = self.seat(seat);
        heard.is_lost(now).then(|| heard.gone_at.map_or(heard.at, |gone_at| gone_at.max(heard.at)))
    }

    /// Whether a seat is heard on an open socket.
    pub(super) fn is_heard(&self, seat: SeatId, now: EpochMs) -> bool {
        let heard = self.seat(seat);
        heard.gone_at.is_none() && !heard.is_lost(now)
    }

    /// Whether a desk of this role has an open socket.
    #[must_use]
    pub fn desk_is_here(&self, role: DeskRole) -> bool {
        self.desks.get(&role).is_some_and(|heard| heard.gone_at.is_none())
    }

    /// Whether a desk of this role must be counted as lost. A desk behind another window is not.
    #[must_use]
    pub fn desk_is_lost(&self, role: DeskRole, now: EpochMs) -> bool {
        let heard = self.desks.get(&role).copied().unwrap_or(self.never());
        heard.gone_at.is_some_and(|at| now.since(at) >= GONE_MS) || now.since(heard.at) > HIDDEN_MS
    }
}
