//! What a room holds.

use std::collections::VecDeque;
use std::sync::Arc;

use samebreath_core::library::Library;
use samebreath_core::live::{Actor, Command, CommandId, Presence, Session};
use samebreath_core::time::EpochMs;
use samebreath_store::bus::Bus;
use samebreath_store::ledger::{Ledger, SessionId};
use tokio::time::Instant;
use tokio_util::sync::CancellationToken;

use crate::host::clock::Clock;
use crate::room::audiences::Audiences;
use crate::room::connections::Connections;
use crate::room::handle::Asked;
use crate::room::writing::Writing;

/// What a room needs from around it.
#[derive(Clone)]
pub struct Surroundings {
    /// The durable truth.
    pub ledger: Arc<dyn Ledger>,
    /// News from other nodes.
    pub bus: Arc<dyn Bus>,
    /// Where drills are looked up.
    pub library: Arc<Library>,
    /// The server's clock.
    pub clock: Clock,
    /// Ends the room.
    pub shutdown: CancellationToken,
}

/// The state of the task.
pub(crate) struct Room {
    pub(crate) id: SessionId,
    pub(crate) around: Surroundings,
    /// The session as it is on disk.
    pub(crate) session: Session,
    pub(crate) presence: Presence,
    pub(crate) connections: Connections,
    pub(crate) audiences: Audiences,
    /// What waits to be decided, in the order in which it came.
    pub(crate) asked: VecDeque<Asked>,
    /// What waits and can wait gathers until then.
    pub(crate) gathers_until: Instant,
    /// The write under way.
    pub(crate) writing: Option<Writing>,
    /// A safety pause that is shown and not on disk yet.
    pub(crate) pausing: Option<Pausing>,
    /// Urgent reports that the desks have and the disk has not.
    pub(crate) alarming: Vec<Alarming>,
    pub(super) desk_due: Option<Instant>,
    pub(super) desk_shown: Instant,
    pub(super) idle_since: Instant,
}

/// A safety pause that is shown and not on disk yet.
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

/// An urgent report that the desks have and the disk has not.
#[derive(Debug, Clone)]
pub(crate) struct Alarming {
    pub(super) by: Actor,
    pub(super) id: Option<CommandId>,
    pub(super) command: Command,
    pub(super) at: EpochMs,
}
