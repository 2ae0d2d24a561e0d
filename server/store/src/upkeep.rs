//! How a database is, and its end.

use async_trait::async_trait;

/// How a database is, and its end.
#[async_trait]
pub trait Upkeep: Send + Sync {
    /// Whether the last commit reached the disk.
    fn is_recording(&self) -> bool;

    /// Whether a commit would reach the disk now; asked when the last one did not.
    async fn can_write(&self) -> bool;

    /// The size of the log beside the database, in bytes: it grows while checkpoints fail.
    fn log_bytes(&self) -> u64;

    /// Waits for what was handed over, then closes the database. Nothing is taken any more.
    async fn close(&self);
}
