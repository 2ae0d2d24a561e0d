//! What survives: the ledger of each session and the documents around it, in SQL; and the bus that
//! carries new events between nodes.
//!
//! An append that was acknowledged is on disk. The SQL text of the queries is portable: `$1`
//! placeholders, `on conflict`, and a taken primary key as the sign of a second writer.

pub mod bus;
pub mod documents;
pub mod ledger;
pub mod sessions;
mod sqlite;
mod writer;

use std::future::Future;
use std::pin::Pin;

pub use sqlite::Sqlite;

/// A future that a trait object can return.
pub type Later<'a, T> = Pin<Box<dyn Future<Output = T> + Send + 'a>>;

/// Why the store could not answer.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The data folder cannot be used; check its path, rights and free space.
    #[error("the data folder {folder} cannot be used")]
    Folder {
        /// The folder.
        folder: String,
        /// The system's reason.
        #[source]
        source: std::io::Error,
    },
    /// The database is damaged; restore a backup.
    #[error("the database is damaged: {0}")]
    Damaged(String),
    /// The database refused; its reason follows.
    #[error("the database refused")]
    Sql(#[from] sqlx::Error),
    /// The schema could not be brought up to date.
    #[error("the schema could not be brought up to date")]
    Migrate(#[from] sqlx::migrate::MigrateError),
    /// A line of the ledger cannot be read; it was written by a newer version, or is damaged.
    #[error("line {seq} of a ledger cannot be read")]
    Line {
        /// Which line.
        seq: u64,
        /// Why.
        #[source]
        source: serde_json::Error,
    },
    /// A plan or a group cannot be read; it was written by a newer version, or is damaged.
    #[error("the document {id} cannot be read")]
    Document {
        /// Which one.
        id: String,
        /// Why, if what it says is the reason.
        #[source]
        source: Option<serde_json::Error>,
    },
    /// The writer has stopped, because the server is shutting down.
    #[error("the store is closed")]
    Closed,
}
