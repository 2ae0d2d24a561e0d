//! What outlives the process, in SQL: the ledger of each session, and the sessions, passes and documents around
//! it. Also the bus that tells other nodes about new events.
//!
//! Once an append is answered as committed, it is on disk. The text of the queries is portable SQL: `$1`
//! placeholders, `on conflict`, and a primary key that is already taken as the sign of a second writer.

pub mod accounts;
pub mod audit;
pub mod bus;
pub mod documents;
pub mod erasure;
pub mod identities;
pub mod ledger;
mod line;
pub mod notes;
pub mod outbox;
pub mod own_links;
pub mod passes;
pub mod passkeys;
pub mod retention;
pub mod sessions;
pub mod sign_ins;
mod sqlite;
mod upkeep;

use crate::accounts::Accounts;
use crate::audit::Audit;
use crate::documents::Documents;
use crate::erasure::Erasure;
use crate::identities::Identities;
use crate::ledger::Ledger;
use crate::notes::Notes;
use crate::outbox::Outbox;
use crate::own_links::OwnLinks;
use crate::passes::Passes;
use crate::passkeys::Passkeys;
use crate::retention::Retaining;
use crate::sessions::Sessions;
use crate::sign_ins::SignIns;

pub use sqlite::{Sqlite, backup};
pub use upkeep::Upkeep;

/// Everything that a database does for the server. Each concern is a trait with tests of its own in `tests/suite`,
/// which every database must pass.
pub trait Store:
    Ledger
    + Sessions
    + Passes
    + Accounts
    + Passkeys
    + Identities
    + SignIns
    + OwnLinks
    + Erasure
    + Retaining
    + Outbox
    + Audit
    + Notes
    + Documents
    + Upkeep
{
}
impl<T> Store for T where
    T: Ledger
        + Sessions
        + Passes
        + Accounts
        + Passkeys
        + Identities
        + SignIns
        + OwnLinks
        + Erasure
        + Retaining
        + Outbox
        + Audit
        + Notes
        + Documents
        + Upkeep
{
}

/// Why the store could not answer.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The data folder cannot be used. Check its path, permissions and free space.
    #[error("the data folder {folder} cannot be used")]
    Folder {
        /// The folder.
        folder: String,
        /// The system's reason.
        #[source]
        source: std::io::Error,
    },
    /// The database is damaged. Restore a backup.
    #[error("the database is damaged: {0}")]
    Damaged(String),
    /// The database refused. The source says why.
    #[error("the database refused the request")]
    Sql(#[from] sqlx::Error),
    /// The database's schema could not be brought up to date.
    #[error("the database's schema could not be brought up to date")]
    Migrate(#[from] sqlx::migrate::MigrateError),
    /// A line of a ledger cannot be read. It is damaged, or a newer version wrote it.
    #[error("line {seq} of a ledger cannot be read")]
    Line {
        /// The line's place.
        seq: u64,
        /// What is wrong with it.
        #[source]
        source: serde_json::Error,
    },
    /// A line of a ledger has a later version. Run the version of the program that wrote it.
    #[error("line {seq} of a ledger has version {found}; this program reads up to {}", line::LINE_VERSION)]
    Newer {
        /// The line's place.
        seq: u64,
        /// The line's version.
        found: u32,
    },
    /// Another server has the data folder open. Stop it first, or give this server another folder.
    #[error("another server has the data folder {folder} open; stop it first, or give --data another folder")]
    InUse {
        /// The folder.
        folder: String,
    },
    /// The database file exists but is empty.
    #[error("{file} is empty: restore a backup, or remove the file to begin with an empty database")]
    EmptyFile {
        /// The file.
        file: String,
    },
    /// A plan, a group or a round cannot be read. It is damaged, or a newer version wrote it.
    #[error("the document {id} cannot be read")]
    Document {
        /// The document's id.
        id: String,
        /// What is wrong with its content, if that is the reason.
        #[source]
        source: Option<serde_json::Error>,
    },
    /// A plan, a group or a round has a later form. Run the version of the program that wrote it.
    #[error("the document {id} has form {found}; this program reads up to {}", documents::FORM)]
    NewerDocument {
        /// The document's id.
        id: String,
        /// The document's form.
        found: u64,
    },
    /// An account cannot be read. The database is damaged, or a newer version wrote it.
    #[error("the account {id} cannot be read")]
    Account {
        /// The account's id.
        id: String,
    },
    /// A file cannot be read or written. Check its path, permissions and free space.
    #[error("{file} cannot be read or written")]
    File {
        /// The file.
        file: String,
        /// The system's reason.
        #[source]
        source: std::io::Error,
    },
    /// There is no database in the folder.
    #[error("there is no database in {folder}; give --data the folder that the server uses")]
    NothingHere {
        /// The folder.
        folder: String,
    },
    /// Another version of the program made or changed the database.
    #[error("another version made the database in {folder}; start this version's server on it once")]
    OtherVersion {
        /// The folder.
        folder: String,
    },
    /// A file that was to be made is there already, and nothing is overwritten.
    #[error("{file} exists already; give another name")]
    Exists {
        /// The file.
        file: String,
    },
    /// The file is no copy of a database of this program.
    #[error("{file} is no backup of this program")]
    NoCopy {
        /// The file.
        file: String,
    },
    /// The file has a log beside it: a server uses it, or used it and was killed.
    #[error("{file} has a log beside it, so it is no backup; write one with `samebreath backup`")]
    HasLog {
        /// The file.
        file: String,
    },
    /// A ledger has a gap, or its first lines are missing.
    #[error("a ledger has a gap, or its beginning is missing")]
    Gap,
    /// The database's log is being read from and cannot be emptied now. Try again.
    #[error("the database's log is in use and cannot be emptied; try again")]
    LogInUse,
    /// The writer has stopped because the server is shutting down.
    #[error("the store is closed")]
    Closed,
}

impl StoreError {
    /// Whether the fault lies in one session's ledger, so that all other sessions can go on.
    #[must_use]
    pub fn is_of_one_session(&self) -> bool {
        matches!(self, Self::Line { .. } | Self::Newer { .. } | Self::Gap)
    }
}
