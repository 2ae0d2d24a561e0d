//! The accounts of staff, and how they prove who they are.

use async_trait::async_trait;
use samebreath_core::staff::account::{Account, AccountId};
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::StoreError;

/// An account as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptAccount {
    /// Its id.
    pub id: AccountId,
    /// 1 at first, one more with every change.
    pub version: u64,
    /// What colleagues see of it.
    pub account: Account,
    /// The password's hash as a PHC string, once there is one.
    pub password: Option<String>,
    /// The second factor, if there is one.
    pub second: Option<SecondFactor>,
    /// When it was made.
    pub created_at: EpochMs,
    /// When it was ended, if it was.
    pub ended_at: Option<EpochMs>,
}

/// A second factor: codes that an app shows (RFC 6238).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SecondFactor {
    /// The secret in base 32.
    pub secret: String,
    /// The last step for which a code was used; none of it or before counts again.
    pub used: u64,
}

/// What became of a new or changed account.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// It is kept.
    Yes,
    /// Somebody else signs in with this name.
    NameTaken,
    /// Somebody else changed it first.
    Behind,
    /// No other coordinator could sign in.
    LastCoordinator,
}

/// The accounts.
#[async_trait]
pub trait Accounts: Send + Sync {
    /// Keeps the first account, if `link` allows it and there is none with a password. The same request may come
    /// again.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_first_account(
        &self,
        first: &KeptAccount,
        link: &str,
        request: Uuid,
        now: EpochMs,
    ) -> Result<bool, StoreError>;

    /// Keeps a new account.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_account(&self, new: &KeptAccount) -> Result<Kept, StoreError>;

    /// All accounts, the ended ones too, in the order in which they were made.
    ///
    /// # Errors
    /// When the database refuses, or an account cannot be read.
    async fn accounts(&self) -> Result<Vec<KeptAccount>, StoreError>;

    /// The account with this id.
    ///
    /// # Errors
    /// When the database refuses, or the account cannot be read.
    async fn account(&self, id: AccountId) -> Result<Option<KeptAccount>, StoreError>;

    /// The account that signs in with this name, as it is compared.
    ///
    /// # Errors
    /// When the database refuses, or the account cannot be read.
    async fn account_called(&self, folded: &str) -> Result<Option<KeptAccount>, StoreError>;

    /// Replaces what colleagues see of version `version`.
    ///
    /// # Errors
    /// When the database refuses.
    async fn change_account(&self, id: AccountId, version: u64, to: &Account) -> Result<Kept, StoreError>;

    /// Ends an account: it signs in no more, and everything that it opened is shut.
    ///
    /// # Errors
    /// When the database refuses.
    async fn end_account(&self, id: AccountId, now: EpochMs) -> Result<Kept, StoreError>;

    /// Sets the password's hash.
    ///
    /// # Errors
    /// When the database refuses.
    async fn set_password(&self, id: AccountId, hash: &str) -> Result<(), StoreError>;

    /// Sets or removes the second factor.
    ///
    /// # Errors
    /// When the database refuses.
    async fn set_second(&self, id: AccountId, second: Option<&SecondFactor>) -> Result<(), StoreError>;

    /// Counts the code of this step as used. False when it, or a later one, was used before.
    ///
    /// # Errors
    /// When the database refuses.
    async fn use_step(&self, id: AccountId, step: u64) -> Result<bool, StoreError>;

    /// Replaces all recovery codes.
    ///
    /// # Errors
    /// When the database refuses.
    async fn set_codes(&self, id: AccountId, hashes: &[String]) -> Result<(), StoreError>;

    /// Uses a recovery code. False when there is none like this.
    ///
    /// # Errors
    /// When the database refuses.
    async fn use_code(&self, id: AccountId, hash: &str) -> Result<bool, StoreError>;

    /// How many recovery codes are left.
    ///
    /// # Errors
    /// When the database refuses.
    async fn codes_left(&self, id: AccountId) -> Result<u32, StoreError>;
}
