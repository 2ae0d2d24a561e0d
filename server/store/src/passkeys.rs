//! The passkeys of staff.

use async_trait::async_trait;
use samebreath_core::staff::account::AccountId;
use samebreath_core::text::Line;
use samebreath_core::time::EpochMs;

use crate::StoreError;

/// What somebody calls a passkey, such as a device.
pub type PasskeyName = Line<60>;

/// A passkey as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptPasskey {
    /// Its id, as the device made it, in base64url.
    pub id: String,
    /// What its owner calls it.
    pub name: PasskeyName,
    /// Its public half, as JSON.
    pub content: String,
    /// When it was made.
    pub created_at: EpochMs,
    /// When it was last used; `None` until then.
    pub used_at: Option<EpochMs>,
}

/// The passkeys of staff.
#[async_trait]
pub trait Passkeys: Send + Sync {
    /// Keeps a passkey. False when there is one with this id.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_passkey(&self, account: AccountId, passkey: &KeptPasskey) -> Result<bool, StoreError>;

    /// The passkeys of an account, the oldest first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn passkeys_of(&self, account: AccountId) -> Result<Vec<KeptPasskey>, StoreError>;

    /// Notes that a passkey was used, with what is known of it then.
    ///
    /// # Errors
    /// When the database refuses.
    async fn note_passkey(&self, id: &str, content: &str, at: EpochMs) -> Result<(), StoreError>;

    /// Removes a passkey. False when this account has none with this id.
    ///
    /// # Errors
    /// When the database refuses.
    async fn remove_passkey(&self, account: AccountId, id: &str) -> Result<bool, StoreError>;

    /// Removes all passkeys of an account.
    ///
    /// # Errors
    /// When the database refuses.
    async fn remove_passkeys(&self, account: AccountId) -> Result<(), StoreError>;
}
