//! The list of sessions.

use async_trait::async_trait;
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::StoreError;
use crate::ledger::SessionId;

/// A session's entry in the list of sessions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SessionEntry {
    /// The session's id.
    pub id: SessionId,
    /// The code with which participants join: 8 characters without a separator.
    pub code: String,
    /// What the session is called.
    pub title: String,
    /// Whether its participants are rehearsed.
    pub rehearsal: bool,
    /// When it was made.
    pub created_at: EpochMs,
    /// The group it is held for.
    pub group: Option<GroupId>,
    /// The regular day of the class of its group's series, by which that class is known.
    pub of: Option<Date>,
    /// When it ended.
    pub ended_at: Option<EpochMs>,
    /// The id of the request that made it, so that the same request sent again makes no second session.
    pub request: Option<Uuid>,
}

/// The list of sessions.
#[async_trait]
pub trait Sessions: Send + Sync {
    /// Adds a session to the list.
    ///
    /// # Errors
    /// When the database refuses, or the code is taken.
    async fn add_session(&self, entry: &SessionEntry) -> Result<(), StoreError>;

    /// The session with this id.
    ///
    /// # Errors
    /// When the database refuses.
    async fn session(&self, id: SessionId) -> Result<Option<SessionEntry>, StoreError>;

    /// The session with this code.
    ///
    /// # Errors
    /// When the database refuses.
    async fn session_by_code(&self, code: &str) -> Result<Option<SessionEntry>, StoreError>;

    /// The session that this request made.
    ///
    /// # Errors
    /// When the database refuses.
    async fn session_by_request(&self, request: Uuid) -> Result<Option<SessionEntry>, StoreError>;

    /// The sessions that have not ended, newest first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn unfinished_sessions(&self) -> Result<Vec<SessionEntry>, StoreError>;

    /// All sessions, newest first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn sessions(&self) -> Result<Vec<SessionEntry>, StoreError>;

    /// The classes held for a group, newest first. Rehearsals do not count.
    ///
    /// # Errors
    /// When the database refuses.
    async fn sessions_of(&self, group: GroupId) -> Result<Vec<SessionEntry>, StoreError>;
}
