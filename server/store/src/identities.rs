//! Who an account is at the organisation's own sign-in.

use async_trait::async_trait;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;

use crate::StoreError;

/// Somebody at a provider, by the two claims that never change hands (OpenID Connect Core 1.0, section 5.7).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identity {
    /// The provider (`iss`).
    pub issuer: String,
    /// Whom it means (`sub`).
    pub subject: String,
}

/// That somebody at a provider is the owner of an account.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptIdentity {
    /// Who they are there.
    pub identity: Identity,
    /// Who they are here.
    pub account: AccountId,
    /// When the owner linked the two.
    pub linked_at: EpochMs,
    /// When it last let them in; `None` until then.
    pub used_at: Option<EpochMs>,
}

/// Who accounts are at a provider.
#[async_trait]
pub trait Identities: Send + Sync {
    /// Links an account with who its owner is at a provider. False when either of them is linked already.
    ///
    /// # Errors
    /// When the database refuses.
    async fn link_identity(
        &self,
        identity: &Identity,
        account: AccountId,
        at: EpochMs,
    ) -> Result<bool, StoreError>;

    /// The account that is linked with somebody at a provider.
    ///
    /// # Errors
    /// When the database refuses.
    async fn identity(&self, identity: &Identity) -> Result<Option<KeptIdentity>, StoreError>;

    /// Who an account is at a provider.
    ///
    /// # Errors
    /// When the database refuses.
    async fn identity_of(&self, account: AccountId) -> Result<Option<KeptIdentity>, StoreError>;

    /// Notes that an account was let in by its provider.
    ///
    /// # Errors
    /// When the database refuses.
    async fn note_identity(&self, account: AccountId, at: EpochMs) -> Result<(), StoreError>;

    /// Ends the link of an account. False when it has none.
    ///
    /// # Errors
    /// When the database refuses.
    async fn unlink_identity(&self, account: AccountId) -> Result<bool, StoreError>;
}
