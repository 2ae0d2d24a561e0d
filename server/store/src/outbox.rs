//! Letters that wait to be sent, and what became of them.

use async_trait::async_trait;
use samebreath_core::letter::Purpose;
use samebreath_core::people::person::PersonId;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::StoreError;

/// A letter to somebody. Its words are made when it is sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letter {
    /// Its id, which is in the message too.
    pub id: Uuid,
    /// To whom it is.
    pub person: PersonId,
    /// What it is for.
    pub purpose: Purpose,
    /// The day on which somebody asked for it.
    pub day: Date,
    /// When they did.
    pub created_at: EpochMs,
    /// How often it was tried.
    pub tries: u32,
    /// When it is tried next.
    pub next_at: EpochMs,
    /// What became of it so far.
    pub state: Sending,
    /// Why it was not sent the last time.
    pub error: Option<String>,
}

/// What became of a letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sending {
    /// It is tried, or tried again.
    Waits,
    /// A mail server took it.
    Sent(EpochMs),
    /// It is not tried again.
    Failed,
}

/// Letters that wait to be sent.
#[async_trait]
pub trait Outbox: Send + Sync {
    /// Keeps a letter to be sent. One of the same person, purpose and day that failed is tried anew; false when there is one
    /// that did not fail.
    ///
    /// # Errors
    /// When the database refuses.
    async fn post(&self, letter: &Letter) -> Result<bool, StoreError>;

    /// The letters to be tried now, the oldest first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn due_letters(&self, now: EpochMs) -> Result<Vec<Letter>, StoreError>;

    /// Notes what came of a try.
    ///
    /// # Errors
    /// When the database refuses.
    async fn note_letter(&self, letter: &Letter) -> Result<(), StoreError>;

    /// The letters to somebody, the newest first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn letters_to(&self, person: PersonId) -> Result<Vec<Letter>, StoreError>;

    /// The letters that failed since an instant, the newest first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn failed_letters(&self, since: EpochMs) -> Result<Vec<Letter>, StoreError>;

    /// Forgets letters that were asked for before a day, whatever became of them.
    ///
    /// # Errors
    /// When the database refuses.
    async fn forget_letters(&self, before: Date) -> Result<(), StoreError>;
}
