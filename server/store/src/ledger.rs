//! The ledger: the events of a session, in order, without gaps, and safe on disk.

use async_trait::async_trait;
use samebreath_core::live::Recorded;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::StoreError;

/// A session's id.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SessionId(pub Uuid);

impl std::fmt::Display for SessionId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

/// An event to be appended, with the id by which it can be found again.
#[derive(Debug, Clone)]
pub struct NewEvent {
    /// Unique over all sessions.
    pub id: Uuid,
    /// The line itself. Its `seq` is its place in the ledger.
    pub recorded: Recorded,
}

/// The outcome of an append.
#[derive(Debug)]
pub enum Append {
    /// All its events are on disk.
    Committed,
    /// Another writer was first, and none of the events are in the ledger. Read the new lines and decide again.
    Conflict,
    /// The events may or may not be on disk. Read the ledger back before doing anything else.
    Unknown(StoreError),
}

/// The ledgers of all sessions.
#[async_trait]
pub trait Ledger: Send + Sync {
    /// Appends all of `events` or none. Their places must follow `after` without a gap. Once the append is answered
    /// as committed, the events are on disk.
    async fn append(&self, session: SessionId, after: u64, events: Vec<NewEvent>) -> Append;

    /// All events after place `after`, in order.
    ///
    /// # Errors
    /// When the database refuses, or a line cannot be read.
    async fn read_after(&self, session: SessionId, after: u64) -> Result<Vec<Recorded>, StoreError>;

    /// When the newest line of a session was written, by the server's clock.
    ///
    /// # Errors
    /// When the database refuses.
    async fn last_at(&self, session: SessionId) -> Result<Option<EpochMs>, StoreError>;
}
