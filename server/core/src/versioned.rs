//! Documents that people edit in turns, such as plans and groups. A save names the version that it
//! changes, so that nothing of another editor is overwritten unseen.

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
    /// When it was saved last.
    pub updated_at: EpochMs,
    /// What people edit.
    pub content: T,
}

/// What can be kept in versions.
pub trait Document {
    /// What it is called where it is kept and in requests.
    const KIND: &'static str;

    /// Checks what the parts cannot know; a document that is not finished yet passes.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    fn check(&self) -> Result<(), String>;
}
