//! What the daily look at old records needs: who was in which class, what was announced, and what went.

use async_trait::async_trait;
use samebreath_core::people::person::PersonId;
use samebreath_core::record::retention::RetentionReport;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::StoreError;
use crate::ledger::SessionId;

/// Records whose time is over.
#[async_trait]
pub trait Retaining: Send + Sync {
    /// Who had a seat in which class.
    ///
    /// # Errors
    /// When the database refuses.
    async fn people_in_classes(&self) -> Result<Vec<(SessionId, PersonId)>, StoreError>;

    /// The people and classes of which it was announced that their record will go, and on which day that was.
    ///
    /// # Errors
    /// When the database refuses.
    async fn announced(&self) -> Result<Vec<(Uuid, Date)>, StoreError>;

    /// Notes that it is announced as of a day.
    ///
    /// # Errors
    /// When the database refuses.
    async fn announce(&self, id: Uuid, day: Date) -> Result<(), StoreError>;

    /// Takes an announcement back.
    ///
    /// # Errors
    /// When the database refuses.
    async fn take_back(&self, id: Uuid) -> Result<(), StoreError>;

    /// The classes that still name those who came in with the code. Rehearsals have nobody.
    ///
    /// # Errors
    /// When the database refuses.
    async fn classes_with_guests(&self) -> Result<Vec<SessionId>, StoreError>;

    /// Notes that a class names none of them any more, and that nothing of what was there is left.
    ///
    /// # Errors
    /// When the database refuses.
    async fn note_guests_erased(&self, session: SessionId) -> Result<(), StoreError>;

    /// Leaves nothing of what was changed or removed before in the database's files.
    ///
    /// # Errors
    /// When the database refuses.
    async fn leave_nothing_behind(&self) -> Result<(), StoreError>;

    /// How many words that somebody cannot come are for classes before `day`.
    ///
    /// # Errors
    /// When the database refuses.
    async fn words_before(&self, day: Date) -> Result<u32, StoreError>;

    /// Forgets them, and returns how many they were.
    ///
    /// # Errors
    /// When the database refuses.
    async fn forget_words(&self, day: Date) -> Result<u32, StoreError>;

    /// Keeps what went on a day, in place of what was noted of that day before.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_report(&self, day: Date, report: &RetentionReport) -> Result<(), StoreError>;

    /// The newest reports, the newest first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn reports(&self, most: u32) -> Result<Vec<(Date, RetentionReport)>, StoreError>;
}
