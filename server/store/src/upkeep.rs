//! How a database is doing, and how it is closed.

use async_trait::async_trait;

/// How a database is doing, and how it is closed.
#[async_trait]
pub trait Upkeep: Send + Sync {
    /// Whether the last commit reached the disk.
    fn is_recording(&self) -> bool;

    /// Whether a commit would reach the disk now. If the last one did not, this tries again.
    async fn can_write(&self) -> bool;

    /// The size of the database's write-ahead log in bytes. The log grows while checkpoints fail.
    fn log_bytes(&self) -> u64;

    /// Takes no more appends, waits for those that were handed over, then closes the database.
    async fn close(&self);
}
