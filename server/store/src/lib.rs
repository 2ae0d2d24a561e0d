//! What survives: the ledger of each session and the documents around it, in SQL; and the bus that
//! carries new events between nodes.
//!
//! An append that was acknowledged is on disk. The SQL text of the queries is portable: `$1`
//! placeholders, `on conflict`, and a taken primary key as the sign of a second writer.

pub mod bus;
pub mod documents;
pub mod ledger;
mod line;
pub mod passes;
pub mod sessions;
mod sqlite;
mod upkeep;

use crate::documents::Documents;
use crate::ledger::Ledger;
use crate::passes::Passes;
use crate::sessions::Sessions;

pub use sqlite::Sqlite;
pub use upkeep::Upkeep;

/// Everything that a database does for the server: one trait a concern, each with one suite of tests (`tests/suite`)
/// that every database passes.
pub trait Store: Ledger + Sessions + Passes + Documents + Upkeep {}
impl<T: Ledger + Sessions + Passes + Documents + Upkeep> Store for T {}

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
    /// A line of the ledger is of a later version; run the version that wrote it.
    #[error("line {seq} of a ledger has version {found}; this program reads up to {}", line::LINE_VERSION)]
    Newer {
        /// Which line.
        seq: u64,
        /// Its version.
        found: u32,
    },
    /// Another server has the data folder open; stop it first, or give this one a folder of its own.
    #[error("another server has the data folder {folder} open; stop it first, or give --data another folder")]
    InUse {
        /// The folder.
        folder: String,
    },
    /// The database file is there and has nothing in it.
    #[error("{file} is empty: restore a backup, or remove the file to begin with nothing")]
    EmptyFile {
        /// The file.
        file: String,
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
    /// A plan or a group is of a later version; run the version that wrote it.
    #[error("the document {id} has form {found}; this program reads up to {}", documents::FORM)]
    NewerDocument {
        /// Which one.
        id: String,
        /// Its form.
        found: u64,
    },
    /// A ledger that does not begin with a beginning, or has a gap.
    #[error("a ledger has a gap, or no beginning")]
    Gap,
    /// The writer has stopped, because the server is shutting down.
    #[error("the store is closed")]
    Closed,
}

impl StoreError {
    /// Whether the fault lies in one session's ledger: the others go on without it.
    #[must_use]
    pub fn is_of_one_session(&self) -> bool {
        matches!(self, Self::Line { .. } | Self::Newer { .. } | Self::Gap)
    }
}
