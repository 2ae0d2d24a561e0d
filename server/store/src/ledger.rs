//! The ledger: dense, ordered, durable events of a session.

use samebreath_core::live::Recorded;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::{Later, StoreError};

/// The version of the lines that are written. A later version of the program reads all earlier ones; lines without
/// a version are from before there was one.
pub const LINE_VERSION: u32 = 1;

/// A line as it is kept.
#[derive(Serialize)]
struct WrittenLine<'a> {
    v: u32,
    #[serde(flatten)]
    recorded: &'a Recorded,
}

/// The body that is kept for a line.
pub(crate) fn write_line(recorded: &Recorded) -> Result<String, serde_json::Error> {
    serde_json::to_string(&WrittenLine { v: LINE_VERSION, recorded })
}

/// Reads a line as it is kept.
pub(crate) fn read_line(seq: u64, body: &str) -> Result<Recorded, StoreError> {
    #[derive(Deserialize)]
    struct Version {
        #[serde(default)]
        v: u32,
    }
    let wrong = |source| StoreError::Line { seq, source };
    let Version { v } = serde_json::from_str(body).map_err(wrong)?;
    if v > LINE_VERSION {
        return Err(StoreError::Newer { seq, found: v });
    }
    let recorded: Recorded = serde_json::from_str(body).map_err(wrong)?;
    // Its place is said twice: a line that stands in another place is not believed.
    if recorded.seq == seq { Ok(recorded) } else { Err(StoreError::Gap) }
}

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
    /// The line itself; its `seq` is its place.
    pub recorded: Recorded,
}

/// What became of an append.
#[derive(Debug)]
pub enum Append {
    /// All its events are on disk.
    Committed,
    /// Another writer was first; none of its events are in the ledger. Read on and decide again.
    Conflict,
    /// It may or may not be on disk. Read back before anything else.
    Unknown(StoreError),
}

/// The durable truth of all sessions.
pub trait Ledger: Send + Sync {
    /// Appends `events`, whose places must follow `after` without a gap, all or none.
    fn append(&self, session: SessionId, after: u64, events: Vec<NewEvent>) -> Later<'_, Append>;

    /// All events after place `after`, in order.
    fn read_after(&self, session: SessionId, after: u64) -> Later<'_, Result<Vec<Recorded>, StoreError>>;
}
