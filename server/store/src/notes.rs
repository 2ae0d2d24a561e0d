//! Notes as clinicians signed them: a list that is only added to, and in which a row that was changed or left out is
//! noticed.

use async_trait::async_trait;
use samebreath_core::people::person::PersonId;
use samebreath_core::time::EpochMs;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::StoreError;
use crate::ledger::SessionId;

/// A note, or what was added to one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptNote {
    /// Its id.
    pub id: Uuid,
    /// The class.
    pub class: SessionId,
    /// The person; `None` for the note about the class.
    pub person: Option<PersonId>,
    /// The note to which it was added; `None` for a note.
    pub to: Option<Uuid>,
    /// When it was signed.
    pub signed_at: EpochMs,
    /// What was signed, as JSON; empty after the person was erased.
    pub body: String,
    /// The SHA-256 of what was signed, in hexadecimal digits; it stays after the person was erased.
    pub sha256: String,
}

/// What became of checking all notes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotesVerdict {
    /// Every note is as it was signed, and none is missing between two others.
    Whole {
        /// How many there are.
        notes: u64,
        /// How many of them were emptied because their person was erased.
        emptied: u64,
        /// The hash of the last row, from which the whole list follows; empty for an empty list.
        last: String,
    },
    /// A note was changed, or the one before it was left out.
    Broken {
        /// Its place in the list, from 1.
        seq: u64,
    },
}

/// The signed notes.
#[async_trait]
pub trait Notes: Send + Sync {
    /// Adds a note. False when there is one with this id, or a note about the same person and class.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_note(&self, note: &KeptNote) -> Result<bool, StoreError>;

    /// A note by its id.
    ///
    /// # Errors
    /// When the database refuses.
    async fn note(&self, id: Uuid) -> Result<Option<KeptNote>, StoreError>;

    /// The notes about a class and its people, in the order in which they were signed.
    ///
    /// # Errors
    /// When the database refuses.
    async fn notes_of_class(&self, class: SessionId) -> Result<Vec<KeptNote>, StoreError>;

    /// The notes about a person, in the order in which they were signed.
    ///
    /// # Errors
    /// When the database refuses.
    async fn notes_of_person(&self, person: PersonId) -> Result<Vec<KeptNote>, StoreError>;

    /// Checks all notes.
    ///
    /// # Errors
    /// When the database refuses.
    async fn verify_notes(&self) -> Result<NotesVerdict, StoreError>;
}

/// The SHA-256 of a text, in hexadecimal digits.
#[must_use]
pub fn digest(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The columns of a row that are hashed: all but its body, which is there by its own hash, so that the list can still be
/// checked after a person was erased.
pub(crate) type Columns = (i64, String, String, Option<String>, Option<String>, i64, String);

/// The hash of a row, which depends on all rows before it.
pub(crate) fn hash(before: &str, row: &Columns) -> String {
    // JSON tells one column from the next, whatever they hold.
    digest(&serde_json::json!([before, row]).to_string())
}
