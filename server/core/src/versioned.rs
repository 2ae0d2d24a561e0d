//! Documents that several people may edit, such as plans and groups. A save names the version that it changes, so
//! that nobody overwrites another editor's work unseen.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::time::EpochMs;

/// A document with its version.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Versioned<T> {
    /// Its id.
    pub id: Uuid,
    /// 1 at first, one more with every save.
    pub version: u64,
    /// When it was last saved.
    pub updated_at: EpochMs,
    /// What people edit.
    pub content: T,
}

/// A document that is kept in versions.
pub trait Document {
    /// Its name where it is stored and in requests.
    const KIND: &'static str;

    /// Checks what the types alone cannot; a document that is not finished yet passes.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    fn check(&self) -> Result<(), String>;
}
