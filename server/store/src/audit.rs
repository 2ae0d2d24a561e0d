//! Who did what, and who read what about people: a list that is only added to, and in which a row that was changed or
//! left out is noticed.

use async_trait::async_trait;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::StoreError;

/// One act. It never holds what was read or written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AuditEntry {
    /// When it ended.
    pub at: EpochMs,
    /// Who did it; `None` for somebody who is not signed in.
    pub actor: Option<AccountId>,
    /// What they did: the method and the route, such as `GET /api/planner/people/{id}`.
    pub act: String,
    /// To what: the id in the address, if there is one.
    pub subject: Option<Uuid>,
    /// The status of the answer.
    pub outcome: u16,
    /// From where: an IPv4 address, or the first half of an IPv6 address.
    pub address: String,
}

/// What became of checking the chain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// Every row follows from the one before it. Of rows that were emptied this cannot be known; they can only be the
    /// oldest.
    Whole {
        /// How many rows there are.
        rows: u64,
        /// How many of them, the oldest, were emptied because their time was over.
        emptied: u64,
        /// The hash of the last row, from which the whole list follows; empty for an empty list. Whoever keeps it
        /// elsewhere notices when the end is cut off.
        last: String,
    },
    /// A row was changed, or the one before it was left out.
    Broken {
        /// The row's number.
        seq: u64,
    },
}

/// The audit.
#[async_trait]
pub trait Audit: Send + Sync {
    /// Adds an act.
    ///
    /// # Errors
    /// When the database refuses.
    async fn add_audit(&self, entry: &AuditEntry) -> Result<(), StoreError>;

    /// The acts after row `seq`, each with its number.
    ///
    /// # Errors
    /// When the database refuses.
    async fn audit_after(&self, seq: u64) -> Result<Vec<(u64, AuditEntry)>, StoreError>;

    /// How many rows from before an instant are not emptied yet.
    ///
    /// # Errors
    /// When the database refuses.
    async fn acts_before(&self, at: EpochMs) -> Result<u32, StoreError>;

    /// Empties them, and returns how many they were. Their hashes stay, so that the chain can still be checked.
    ///
    /// # Errors
    /// When the database refuses.
    async fn empty_acts(&self, at: EpochMs) -> Result<u32, StoreError>;

    /// Checks the whole chain.
    ///
    /// # Errors
    /// When the database refuses.
    async fn verify_audit(&self) -> Result<Verdict, StoreError>;
}

/// The columns of a row, as they are kept and hashed.
pub(crate) type Columns = (i64, i64, Option<String>, String, Option<String>, i64, String);

/// The hash of a row, which depends on all rows before it.
pub(crate) fn hash(before: &str, row: &Columns) -> String {
    // JSON tells one column from the next, whatever they hold.
    let text = serde_json::json!([before, row]).to_string();
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}
