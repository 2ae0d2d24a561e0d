//! The open sockets of a room, and what they tell about who is present.

use std::collections::HashMap;

use samebreath_core::live::{Heard, Presence, Session};
use samebreath_core::time::EpochMs;

use crate::room::handle::{ConnectionId, Who};
use crate::room::lead_time::lead_time_ms;

/// The open sockets of a room.
#[derive(Debug, Default)]
pub(crate) struct Connections {
    open: HashMap<ConnectionId, (Who, bool)>,
    round_trips: HashMap<ConnectionId, f64>,
}

impl Connections {
    pub(crate) fn is_empty(&self) -> bool {
        self.open.is_empty()
    }

    pub(crate) fn lead_time_ms(&self) -> i64 {
        lead_time_ms(&self.round_trips)
    }

    pub(crate) fn add(&mut self, connection: ConnectionId, who: Who) {
        self.open.insert(connection, (who, true));
    }

    /// Removes a closed socket. If it was the last one for that person or desk, presence notes when they went.
    /// Returns whom the socket spoke for.
    pub(crate) fn remove(
        &mut self,
        connection: ConnectionId,
        presence: &mut Presence,
        session: &Session,
        now: EpochMs,
    ) -> Option<Who> {
        self.round_trips.remove(&connection);
        let (spoke_for, _) = self.open.remove(&connection)?;
        let who = stays(session, spoke_for);
        let others = self.open.values().any(|(other, _)| stays(session, *other) == who);
        let heard = match who {
            Who::Seat(seat) => presence.seats.get_mut(&seat),
            Who::Desk(role) => presence.desks.get_mut(&role),
            Who::Wall => None,
        };
        if let Some(heard) = heard.filter(|_| !others) {
            heard.gone_at = Some(now);
        }
        Some(spoke_for)
    }

    /// Notes a page's sign of life. Returns whose page it is, whether any of that person's pages is visible, and
    /// whether this page's visibility changed.
    pub(crate) fn hear(
        &mut self,
        connection: ConnectionId,
        session: &Session,
        visible: bool,
        round_trip_ms: Option<f64>,
    ) -> Option<(Who, bool, bool)> {
        let (who, was_visible) = self.open.get_mut(&connection)?;
        let (who, changed) = (stays(session, *who), *was_visible != visible);
        *was_visible = visible;
        if let Some(round_trip_ms) = round_trip_ms.filter(|ms| ms.is_finite() && *ms >= 0.0) {
            self.round_trips.insert(connection, round_trip_ms);
        }
        let any_visible =
            visible || self.open.values().any(|(other, visible)| *visible && stays(session, *other) == who);
        Some((who, any_visible, changed))
    }
}

/// Whom a socket speaks for now: its seat may have been merged into another.
fn stays(session: &Session, who: Who) -> Who {
    match who {
        Who::Seat(seat) => Who::Seat(session.seat_of(seat).map_or(seat, |(id, _)| id)),
        Who::Desk(_) | Who::Wall => who,
    }
}

/// Notes in `presence` that somebody was heard from just now.
pub(crate) fn heard(presence: &mut Presence, session: &Session, who: Who, visible: bool, now: EpochMs) {
    let heard = Heard::now(now, visible);
    match stays(session, who) {
        Who::Seat(seat) => drop(presence.seats.insert(seat, heard)),
        Who::Desk(role) => drop(presence.desks.insert(role, heard)),
        Who::Wall => {}
    }
}
