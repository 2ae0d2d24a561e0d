//! The embedded database: one file in the data folder.

use std::path::Path;
use std::time::Duration;

use samebreath_core::live::Recorded;
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};

use crate::ledger::{Append, Ledger, NewEvent, SessionId};
use crate::writer::Writer;
use crate::{Later, StoreError};

/// The database file and its writer. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Sqlite {
    pub(crate) pool: SqlitePool,
    writer: Writer,
}

/// Readers beside the one writer.
const CONNECTIONS: u32 = 4;

impl Sqlite {
    /// Opens, or makes, `samebreath.db` in `folder`, checks it and brings its schema up to date.
    ///
    /// The folder and file are readable by their owner only.
    ///
    /// # Errors
    /// When the folder cannot be used or the database is damaged.
    pub async fn open(folder: &Path) -> Result<Self, StoreError> {
        make_private(folder)
            .map_err(|source| StoreError::Folder { folder: folder.display().to_string(), source })?;
        let options = SqliteConnectOptions::new()
            .filename(folder.join("samebreath.db"))
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full)
            .foreign_keys(true)
            .busy_timeout(Duration::from_secs(2))
            .pragma("trusted_schema", "OFF");
        let pool =
            SqlitePoolOptions::new().max_connections(CONNECTIONS).connect_with(options.clone()).await?;
        let verdict: String = sqlx::query_scalar("pragma quick_check").fetch_one(&pool).await?;
        if verdict != "ok" {
            return Err(StoreError::Damaged(verdict));
        }
        sqlx::migrate!("../migrations").run(&pool).await?;
        Ok(Self { writer: Writer::spawn(options), pool })
    }

    /// Waits for what was handed to the writer, then closes the file.
    pub async fn close(&self) {
        self.writer.close().await;
        self.pool.close().await;
    }
}

impl Ledger for Sqlite {
    fn append(&self, session: SessionId, after: u64, events: Vec<NewEvent>) -> Later<'_, Append> {
        Box::pin(self.writer.append(session, after, events))
    }

    fn read_after(&self, session: SessionId, after: u64) -> Later<'_, Result<Vec<Recorded>, StoreError>> {
        Box::pin(async move {
            let rows: Vec<(i64, String)> =
                sqlx::query_as("select seq, body from event where session = $1 and seq > $2 order by seq")
                    .bind(session.to_string())
                    .bind(after.cast_signed())
                    .fetch_all(&self.pool)
                    .await?;
            rows.into_iter().map(|(seq, body)| read_line(seq.cast_unsigned(), &body)).collect()
        })
    }
}

fn read_line(seq: u64, body: &str) -> Result<Recorded, StoreError> {
    serde_json::from_str(body).map_err(|source| StoreError::Line { seq, source })
}

#[cfg(unix)]
fn make_private(folder: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt};
    if !folder.exists() {
        std::fs::DirBuilder::new().recursive(true).mode(0o700).create(folder)?;
    }
    // The log beside the file takes over its rights.
    std::fs::OpenOptions::new().create(true).append(true).mode(0o600).open(folder.join("samebreath.db"))?;
    Ok(())
}

#[cfg(not(unix))]
fn make_private(folder: &Path) -> std::io::Result<()> {
    std::fs::create_dir_all(folder)
}
