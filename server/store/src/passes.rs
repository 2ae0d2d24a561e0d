//! The passes that open sessions. Only the hashes of their tokens are stored.

use async_trait::async_trait;
use samebreath_core::live::{DeskRole, SeatId};
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::StoreError;
use crate::ledger::SessionId;

/// What a pass opens.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Role {
    /// A desk.
    Desk(DeskRole),
    /// A participant's seat.
    Seat(SeatId),
    /// The wall.
    Wall,
}

/// A pass found by its token's hash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pass {
    /// The session.
    pub session: SessionId,
    /// What it opens.
    pub role: Role,
    /// What gave the browser this pass, if the pass ends together with that: the id of a [`SignedIn`].
    ///
    /// [`SignedIn`]: crate::sign_ins::SignedIn
    pub via: Option<Uuid>,
    /// Whether its desk may set what only a clinician sets.
    pub decides: bool,
}

impl Pass {
    /// A pass that ends by itself only, and decides nothing.
    #[must_use]
    pub fn of(session: SessionId, role: Role) -> Self {
        Self { session, role, via: None, decides: false }
    }
}

/// How often a pass may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// As often as needed, until it expires.
    Always,
    /// Once.
    Once,
}

/// The passes that open sessions.
#[async_trait]
pub trait Passes: Send + Sync {
    /// Stores a pass under the hash of its token; not, if what gives it has ended by now.
    ///
    /// # Errors
    /// When the database refuses, or the hash is taken.
    async fn add_pass(
        &self,
        hash: &str,
        pass: Pass,
        use_: Use,
        expires_at: EpochMs,
    ) -> Result<(), StoreError>;

    /// What a browser's pass opens; `None` when it has expired, or is a link that must be used first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn pass(&self, hash: &str, now: EpochMs) -> Result<Option<Pass>, StoreError>;

    /// Uses a link. A link that works once opens only for the first request, even if two come at the same time. The
    /// same request may come again, because its answer may have been lost.
    ///
    /// # Errors
    /// When the database refuses.
    async fn use_link(&self, hash: &str, request: Uuid, now: EpochMs) -> Result<Option<Pass>, StoreError>;

    /// Deletes the passes, the links about accounts and the sign-ins that expired before `now`, and returns how many there were.
    ///
    /// # Errors
    /// When the database refuses.
    async fn forget_expired(&self, now: EpochMs) -> Result<u64, StoreError>;
}
