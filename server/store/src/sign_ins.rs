//! Where staff are signed in, and the links that let them in.

use async_trait::async_trait;
use samebreath_core::plan::group::GroupId;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::StoreError;
use crate::accounts::KeptAccount;

/// What a link about an account is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AccountLink {
    /// Makes the first account.
    First,
    /// Lets the owner choose a password.
    Password(AccountId),
    /// Signs in without a password, as in the demo.
    Opens(AccountId),
}

/// A browser in which somebody is signed in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SignedIn {
    /// Its id.
    pub id: Uuid,
    /// Whose account it is.
    pub account: AccountId,
    /// What the browser says it is.
    pub device: String,
    /// When they signed in.
    pub created_at: EpochMs,
    /// When it was last used.
    pub seen_at: EpochMs,
    /// When the owner last proved who they are.
    pub proved_at: EpochMs,
    /// When it ends at the latest.
    pub expires_at: EpochMs,
}

/// A desk of some class that an account opened in a browser.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OpenDesk {
    /// The browser.
    pub via: Uuid,
    /// Whose account it is.
    pub account: AccountId,
}

/// Which browsers are signed out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// All of them.
    All,
    /// This one.
    One(Uuid),
    /// All but this one.
    Others(Uuid),
}

/// Links about accounts, and who is signed in.
#[async_trait]
pub trait SignIns: Send + Sync {
    /// Keeps a link. Earlier links of the same kind to the same account stop working.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_account_link(
        &self,
        hash: &str,
        link: AccountLink,
        expires_at: EpochMs,
    ) -> Result<(), StoreError>;

    /// What a link is for that was not used yet, or by this request only.
    ///
    /// # Errors
    /// When the database refuses.
    async fn account_link(
        &self,
        hash: &str,
        request: Uuid,
        now: EpochMs,
    ) -> Result<Option<AccountLink>, StoreError>;

    /// Uses a link. It works for one request, however often that request comes.
    ///
    /// # Errors
    /// When the database refuses.
    async fn use_account_link(
        &self,
        hash: &str,
        request: Uuid,
        now: EpochMs,
    ) -> Result<Option<AccountLink>, StoreError>;

    /// Keeps that somebody signed in, under the hash of the browser's token. False when the account has ended, or has
    /// another password than the one with this hash.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_signed_in(
        &self,
        hash: &str,
        new: &SignedIn,
        password: Option<&str>,
    ) -> Result<bool, StoreError>;

    /// Who is signed in with this token, unless the account has ended.
    ///
    /// # Errors
    /// When the database refuses.
    async fn signed_in(&self, hash: &str) -> Result<Option<(SignedIn, KeptAccount)>, StoreError>;

    /// Whose sign-in has this id.
    ///
    /// # Errors
    /// When the database refuses.
    async fn signed_in_as(&self, id: Uuid) -> Result<Option<AccountId>, StoreError>;

    /// Where an account is signed in, the last used browser first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn signed_in_of(&self, account: AccountId) -> Result<Vec<SignedIn>, StoreError>;

    /// Notes when a browser was last used, and when its owner last proved who they are.
    ///
    /// # Errors
    /// When the database refuses.
    async fn note_signed_in(&self, id: Uuid, seen_at: EpochMs, proved_at: EpochMs) -> Result<(), StoreError>;

    /// The browsers in which desks of a group's classes were opened.
    ///
    /// # Errors
    /// When the database refuses.
    async fn desks_of(&self, group: GroupId) -> Result<Vec<OpenDesk>, StoreError>;

    /// Removes the passes for a group's classes that a browser was given.
    ///
    /// # Errors
    /// When the database refuses.
    async fn shut_desks(&self, group: GroupId, via: Uuid) -> Result<(), StoreError>;

    /// Signs an account out of `which` browsers, with the passes that they were given.
    ///
    /// # Errors
    /// When the database refuses.
    async fn sign_out(&self, account: AccountId, which: Which) -> Result<Vec<Uuid>, StoreError>;
}
