//! Whose screens are heard from. The server never records this; it rebuilds it from the open sockets.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::live::ids::{DeskRole, SeatId};
use crate::time::EpochMs;

/// When a screen was last heard from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Heard {
    /// When its last message came.
    pub at: EpochMs,
    /// Whether its page said that it can be seen.
    pub visible: bool,
    /// When its last socket closed; `None` while one is open.
    pub gone_at: Option<EpochMs>,
}

/// Whose screens are heard from.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Presence {
    /// When this server began to listen; it cannot have heard anybody before.
    pub since: EpochMs,
    /// Seats with a screen, and when each was last heard from.
    pub seats: BTreeMap<SeatId, Heard>,
    /// Desks with a screen, and when each was last heard from.
    pub desks: BTreeMap<DeskRole, Heard>,
}

/// The state of a seat's screen, as a desk shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Screen {
    /// Heard from within `QUIET_MS`.
    Live,
    /// Not heard from for a moment.
    Quiet,
    /// The page said that it is hidden, or the device sleeps; the person has not left.
    Off,
    /// Not heard from for `AWAY_MS`.
    Away,
    /// The person takes part by telephone.
    Phone,
    /// The person is expected and has not come yet.
    NotYet,
}

/// Silence after which a screen is quiet: three heartbeats of 5 s (an agreed choice).
pub const QUIET_MS: i64 = 15_000;
/// Silence after which a screen is away (an agreed choice).
pub const AWAY_MS: i64 = 30_000;
/// Silence after which a hidden page is away. Its browser may wake it only once a minute.
pub const HIDDEN_MS: i64 = 90_000;
/// How long after its last socket closed a screen counts as lost: a page that only reloads is back well before
/// that (an agreed choice).
pub const GONE_MS: i64 = 8_000;

impl Heard {
    /// A screen that was heard from at `at` and has an open socket.
    #[must_use]
    pub fn now(at: EpochMs, visible: bool) -> Self {
        Self { at, visible, gone_at: None }
    }

    /// The state of this screen at `now`.
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
    /// Nobody has been heard from yet by a server that listens since `since`.
    #[must_use]
    pub fn since(since: EpochMs) -> Self {
        Self { since, ..Self::default() }
    }

    /// A screen that this server has never heard from may have been connected a moment before it started.
    fn seat(&self, seat: SeatId) -> Heard {
        self.seats.get(&seat).copied().unwrap_or(self.never())
    }

    fn never(&self) -> Heard {
        Heard { at: self.since, visible: true, gone_at: Some(self.since) }
    }

    /// The state of the screen of `seat` at `now`.
    #[must_use]
    pub fn screen(&self, seat: SeatId, now: EpochMs) -> Screen {
        self.seat(seat).screen(now)
    }

    /// When a seat that counts as lost was last heard from; the closing of its socket counts too. `None` for a
    /// seat that is not lost.
    pub(super) fn lost_since(&self, seat: SeatId, now: EpochMs) -> Option<EpochMs> {
        let heard = self.seat(seat);
        heard.is_lost(now).then(|| heard.gone_at.map_or(heard.at, |gone_at| gone_at.max(heard.at)))
    }

    /// Whether a seat is heard from on an open socket.
    pub(super) fn is_heard(&self, seat: SeatId, now: EpochMs) -> bool {
        let heard = self.seat(seat);
        heard.gone_at.is_none() && !heard.is_lost(now)
    }

    /// Whether a desk of this role has an open socket.
    #[must_use]
    pub fn desk_is_here(&self, role: DeskRole) -> bool {
        self.desks.get(&role).is_some_and(|heard| heard.gone_at.is_none())
    }

    /// Whether a desk of this role counts as lost. A desk behind another window does not.
    #[must_use]
    pub fn desk_is_lost(&self, role: DeskRole, now: EpochMs) -> bool {
        let heard = self.desks.get(&role).copied().unwrap_or(self.never());
        heard.gone_at.is_some_and(|at| now.since(at) >= GONE_MS) || now.since(heard.at) > HIDDEN_MS
    }
}
