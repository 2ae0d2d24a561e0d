//! Who was erased, and how their traces go.

use async_trait::async_trait;
use samebreath_core::live::Recorded;
use samebreath_core::people::person::PersonId;
use samebreath_core::text::Sentence;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;

use crate::StoreError;
use crate::ledger::SessionId;

/// Why somebody must not be erased for now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hold {
    /// The reason, such as a claim.
    pub reason: Sentence,
    /// Since when.
    pub since: EpochMs,
}

/// Erases people. Documents are removed as such; here go what is kept of a person besides them, and the words in ledgers.
#[async_trait]
pub trait Erasure: Send + Sync {
    /// Puts somebody on the list of those who are erased. False when they must not be erased for now.
    ///
    /// # Errors
    /// When the database refuses.
    async fn list_erased(&self, person: PersonId, day: Date) -> Result<bool, StoreError>;

    /// The day on which somebody was put on the list.
    ///
    /// # Errors
    /// When the database refuses.
    async fn erased_on(&self, person: PersonId) -> Result<Option<Date>, StoreError>;

    /// Those on the list of whom this database is not cleared yet: an erasure was cut short, or a backup put back.
    ///
    /// # Errors
    /// When the database refuses.
    async fn to_erase(&self) -> Result<Vec<PersonId>, StoreError>;

    /// The sessions whose ledgers name this person.
    ///
    /// # Errors
    /// When the database refuses.
    async fn classes_of(&self, person: PersonId) -> Result<Vec<SessionId>, StoreError>;

    /// Writes lines of a ledger anew: the same places, without what was erased.
    ///
    /// # Errors
    /// When the database refuses. Then none is changed.
    async fn rewrite(&self, session: SessionId, lines: &[Recorded]) -> Result<(), StoreError>;

    /// Removes the person's links, devices, passes, word and letters, and what their signed notes say, and notes that this database is cleared of them. Nothing of
    /// what was there is left in the database's files.
    ///
    /// # Errors
    /// When the database refuses.
    async fn finish_erasing(&self, person: PersonId) -> Result<(), StoreError>;

    /// Why somebody must not be erased for now, if so.
    ///
    /// # Errors
    /// When the database refuses.
    async fn hold_on(&self, person: PersonId) -> Result<Option<Hold>, StoreError>;

    /// Sets or lifts such a hold.
    ///
    /// # Errors
    /// When the database refuses.
    async fn set_hold(&self, person: PersonId, hold: Option<&Hold>) -> Result<(), StoreError>;
}
