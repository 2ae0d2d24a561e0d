//! The state of a room.

use std::collections::VecDeque;
use std::sync::Arc;

use samebreath_core::live::{Actor, Command, CommandId, Presence, Session};
use samebreath_core::time::EpochMs;
use samebreath_store::bus::Bus;
use samebreath_store::ledger::{Ledger, SessionId};
use tokio::time::Instant;
use tokio_util::sync::CancellationToken;

use crate::host::clock::Clock;
use crate::host::shelf::Shelf;
use crate::room::audiences::Audiences;
use crate::room::connections::Connections;
use crate::room::handle::Asked;
use crate::room::writing::Writing;

/// What a room needs from the rest of the server.
#[derive(Clone)]
pub struct Surroundings {
    /// Where events are recorded.
    pub ledger: Arc<dyn Ledger>,
    /// Hints about events from other nodes.
    pub bus: Arc<dyn Bus>,
    /// Where drills are looked up.
    pub shelf: Arc<Shelf>,
    /// The server's clock.
    pub clock: Clock,
    /// Ends the room when the server stops.
    pub shutdown: CancellationToken,
}

/// The state of a room's task.
pub(crate) struct Room {
    pub(crate) id: SessionId,
    pub(crate) around: Surroundings,
    /// The session as it is on disk.
    pub(crate) session: Session,
    pub(crate) presence: Presence,
    pub(crate) connections: Connections,
    pub(crate) audiences: Audiences,
    /// Commands that wait to be decided, in the order in which they came.
    pub(crate) asked: VecDeque<Asked>,
    /// Until when taps that can wait are gathered.
    pub(crate) gathers_until: Instant,
    /// The write under way.
    pub(crate) writing: Option<Writing>,
    /// A safety pause that is already shown but not yet on disk.
    pub(crate) pausing: Option<Pausing>,
    /// Urgent reports that the desks are already shown but that are not yet on disk.
    pub(crate) alarming: Vec<Alarming>,
    pub(super) desk_due: Option<Instant>,
    pub(super) desk_shown: Instant,
    pub(super) idle_since: Instant,
    /// Whether the room is to stop as soon as it can.
    pub(super) is_put_away: bool,
}

/// A safety pause that is already shown but not yet on disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Pausing {
    pub(super) by: Actor,
    pub(super) id: Option<CommandId>,
    pub(super) at: EpochMs,
}

impl Pausing {
    pub(super) fn of(asked: &Asked) -> Self {
        Self { by: asked.by, id: asked.id, at: asked.at }
    }
}

/// An urgent report that the desks are already shown but that is not yet on disk.
#[derive(Debug, Clone)]
pub(crate) struct Alarming {
    pub(super) by: Actor,
    pub(super) id: Option<CommandId>,
    pub(super) command: Command,
    pub(super) at: EpochMs,
}
