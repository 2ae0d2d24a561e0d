//! The lasting links of people, the devices on which they are open, and who sent word.

use async_trait::async_trait;
use samebreath_core::people::link::{LinkId, Medium};
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::group::GroupId;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::StoreError;

/// Whose a link is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinkOwner {
    /// A participant's.
    Person(PersonId),
    /// A member of staff's, for their calendar.
    Account(AccountId),
}

/// A lasting link.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnLink {
    /// Its id.
    pub id: LinkId,
    /// Whose it is.
    pub owner: LinkOwner,
    /// Where it is kept.
    pub medium: Medium,
    /// When it was made.
    pub created_at: EpochMs,
    /// When it was last used; `None` until then.
    pub used_at: Option<EpochMs>,
    /// On how many devices it is open.
    pub devices: u32,
}

/// A browser in which somebody opened their link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OwnDevice {
    /// Its id; the passes that it is given end with it.
    pub id: Uuid,
    /// The link.
    pub link: LinkId,
    /// Whether several people use it, so that it keeps nothing.
    pub shared: bool,
    /// Whether the link had been opened on another device before; the store knows.
    pub later: bool,
    /// When the link was first opened on it.
    pub created_at: EpochMs,
    /// When it was last used.
    pub seen_at: EpochMs,
}

/// The lasting links of people, and what they do with them.
#[async_trait]
pub trait OwnLinks: Send + Sync {
    /// Keeps a link under the hash of its token. The same link again, as long as it was not used, gets the new hash: the
    /// answer to the first request was lost. False when it was used.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_own_link(&self, hash: &str, link: &OwnLink) -> Result<bool, StoreError>;

    /// Gives a link that was not used the hash of a new token. False when it was used, or has ended.
    ///
    /// # Errors
    /// When the database refuses.
    async fn renew_own_link(&self, hash: &str, id: LinkId) -> Result<bool, StoreError>;

    /// The link with this token.
    ///
    /// # Errors
    /// When the database refuses.
    async fn own_link(&self, hash: &str) -> Result<Option<OwnLink>, StoreError>;

    /// The links of somebody, the oldest first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn own_links_of(&self, owner: LinkOwner) -> Result<Vec<OwnLink>, StoreError>;

    /// Whether there is such a link, and it has not been ended.
    ///
    /// # Errors
    /// When the database cannot answer.
    async fn has_own_link(&self, id: LinkId) -> Result<bool, StoreError>;

    /// Notes that a link was used.
    ///
    /// # Errors
    /// When the database refuses.
    async fn note_own_link(&self, id: LinkId, at: EpochMs) -> Result<(), StoreError>;

    /// Ends a link, with its devices and the passes that they were given, and returns the devices' ids; `None` when
    /// there is no such link of this owner.
    ///
    /// # Errors
    /// When the database refuses.
    async fn end_own_link(&self, id: LinkId, owner: LinkOwner) -> Result<Option<Vec<Uuid>>, StoreError>;

    /// Keeps a device under the hash of its token, and notes that its link was used. The same device again gets the
    /// new hash. False when the link has ended.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_own_device(&self, hash: &str, device: &OwnDevice) -> Result<bool, StoreError>;

    /// The device with this token, and its link.
    ///
    /// # Errors
    /// When the database refuses.
    async fn own_device(&self, hash: &str) -> Result<Option<(OwnDevice, OwnLink)>, StoreError>;

    /// The device with this id.
    ///
    /// # Errors
    /// When the database refuses.
    async fn own_device_by_id(&self, id: Uuid) -> Result<Option<OwnDevice>, StoreError>;

    /// Notes that a device was used, and its link with it.
    ///
    /// # Errors
    /// When the database refuses.
    async fn note_own_device(&self, device: &OwnDevice, at: EpochMs) -> Result<(), StoreError>;

    /// Ends a device, with the passes that it was given.
    ///
    /// # Errors
    /// When the database refuses.
    async fn end_own_device(&self, id: Uuid) -> Result<(), StoreError>;

    /// Ends the devices of several people that were last used before an instant, with the passes that they were given: nobody
    /// said that they were done. Returns their ids.
    ///
    /// # Errors
    /// When the database refuses.
    async fn end_forgotten_devices(&self, before: EpochMs) -> Result<Vec<Uuid>, StoreError>;

    /// Notes whether somebody comes to the class of a group's regular day.
    ///
    /// # Errors
    /// When the database refuses.
    async fn send_word(&self, word: &Word, comes: bool, at: EpochMs) -> Result<(), StoreError>;

    /// Who cannot come to which class, from the day `from` on.
    ///
    /// # Errors
    /// When the database refuses.
    async fn absences(&self, from: Date) -> Result<Vec<Word>, StoreError>;
}

/// A person and the class of a group's regular day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Word {
    /// The person.
    pub person: PersonId,
    /// The group.
    pub group: GroupId,
    /// The regular day of its class.
    pub of: Date,
}
