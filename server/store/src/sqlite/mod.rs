//! The embedded database: one file in the data folder.

mod accounts;
mod audit;
pub mod backup;
mod documents;
mod erasure;
mod identities;
mod ledger;
mod notes;
mod outbox;
mod own_links;
mod passes;
mod passkeys;
mod retention;
mod sessions;
mod sign_ins;
mod writer;

use std::fs::{File, TryLockError};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use async_trait::async_trait;
use sqlx::migrate::Migrator;
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};

use crate::StoreError;
use crate::sqlite::writer::Writer;
use crate::upkeep::Upkeep;

/// The database file and its writer. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Sqlite {
    pool: SqlitePool,
    writer: Writer,
    /// Held by a server while the store is open, so that no second one uses the folder.
    lock: Option<Arc<File>>,
    file: Arc<Path>,
}

/// The name of the database in its folder.
const DATABASE: &str = "samebreath.db";
/// What brings an older schema up to date.
static MIGRATIONS: Migrator = sqlx::migrate!("../migrations");
/// How many connections read, beside the writer's own.
const CONNECTIONS: u32 = 4;

impl Sqlite {
    /// Opens or creates `samebreath.db` in `folder`, checks it and brings its schema up to date.
    ///
    /// Only the owner can read the folder and the file.
    ///
    /// # Errors
    /// When the folder cannot be used, another server has it open, or the database is damaged.
    pub async fn open(folder: &Path) -> Result<Self, StoreError> {
        let unusable = |source| StoreError::Folder { folder: folder.display().to_string(), source };
        make_private(folder).map_err(unusable)?;
        let lock = lock(folder)?;
        let file: Arc<Path> = folder.join(DATABASE).into();
        let was_empty = std::fs::metadata(&file).is_ok_and(|file| file.len() == 0);
        private_file(&file).map_err(unusable)?;
        if was_empty {
            return Err(StoreError::EmptyFile { file: file.display().to_string() });
        }
        let options = options(&file).create_if_missing(true);
        let pool =
            SqlitePoolOptions::new().max_connections(CONNECTIONS).connect_with(options.clone()).await?;
        let verdict: String = sqlx::query_scalar("pragma quick_check").fetch_one(&pool).await?;
        if verdict != "ok" {
            return Err(StoreError::Damaged(verdict));
        }
        backup::before_migration(&file).await?;
        MIGRATIONS.run(&pool).await?;
        // If the last server died, its log may hold commits: move them into the database before serving anybody.
        sqlx::query("pragma wal_checkpoint(truncate)").execute(&pool).await?;
        Ok(Self { writer: Writer::spawn(options), pool, lock: Some(Arc::new(lock)), file })
    }

    /// Opens the database beside a server that may be running, for a command that writes a line or two.
    ///
    /// # Errors
    /// When there is none, or another version of the program made its schema.
    pub async fn beside(folder: &Path) -> Result<Self, StoreError> {
        let file: Arc<Path> = folder.join(DATABASE).into();
        if !file.exists() {
            return Err(StoreError::NothingHere { folder: folder.display().to_string() });
        }
        let options = options(&file);
        let pool = SqlitePoolOptions::new().max_connections(1).connect_with(options.clone()).await?;
        let newest = MIGRATIONS.iter().map(|migration| migration.version).max();
        let found: Option<i64> =
            sqlx::query_scalar("select max(version) from _sqlx_migrations").fetch_one(&pool).await?;
        if found != newest {
            return Err(StoreError::OtherVersion { folder: folder.display().to_string() });
        }
        Ok(Self { writer: Writer::spawn(options), pool, lock: None, file })
    }
}

/// How the database is opened for writing.
fn options(file: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(file)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(2))
        .pragma("trusted_schema", "OFF")
        // Otherwise `insert or replace` removes a row without asking its trigger.
        .pragma("recursive_triggers", "ON")
}

#[async_trait]
impl Upkeep for Sqlite {
    fn is_recording(&self) -> bool {
        self.writer.is_recording()
    }

    async fn can_write(&self) -> bool {
        self.is_recording() || self.writer.try_writing().await
    }

    fn log_bytes(&self) -> u64 {
        let mut log = self.file.as_os_str().to_owned();
        log.push("-wal");
        std::fs::metadata(log).map_or(0, |log| log.len())
    }

    async fn close(&self) {
        self.writer.close().await;
        self.pool.close().await;
        // From now on another server may use the folder, even if a clone of this store still exists.
        if let Some(lock) = &self.lock {
            let _ = lock.unlock();
        }
    }
}

/// A lock that keeps other servers out of the folder until it is dropped. The system frees it when a server dies.
fn lock(folder: &Path) -> Result<File, StoreError> {
    let shown = || folder.display().to_string();
    let unusable = |source| StoreError::Folder { folder: shown(), source };
    let file = File::options().create(true).append(true).open(folder.join("lock")).map_err(unusable)?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(StoreError::InUse { folder: shown() }),
        Err(TryLockError::Error(source)) => Err(unusable(source)),
    }
}

#[cfg(unix)]
fn make_private(folder: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::DirBuilderExt;
    if !folder.exists() {
        std::fs::DirBuilder::new().recursive(true).mode(0o700).create(folder)?;
    }
    Ok(())
}

/// Creates the file, or makes an existing one private.
#[cfg(unix)]
fn private_file(file: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::{OpenOptionsExt, PermissionsExt};
    // SQLite gives the log beside the file the same permissions.
    let opened = File::options().create(true).append(true).mode(0o600).open(file)?;
    opened.set_permissions(std::fs::Permissions::from_mode(0o600))
}

#[cfg(not(unix))]
fn make_private(folder: &Path) -> std::io::Result<()> {
    std::fs::create_dir_all(folder)
}

#[cfg(not(unix))]
fn private_file(file: &Path) -> std::io::Result<()> {
    File::options().create(true).append(true).open(file).map(drop)
}
