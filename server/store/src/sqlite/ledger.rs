//! The ledger, in SQLite.

use async_trait::async_trait;
use samebreath_core::live::Recorded;
use samebreath_core::time::EpochMs;

use crate::StoreError;
use crate::ledger::{Append, Ledger, NewEvent, SessionId};
use crate::line::read_line;
use crate::sqlite::Sqlite;

#[async_trait]
impl Ledger for Sqlite {
    async fn append(&self, session: SessionId, after: u64, events: Vec<NewEvent>) -> Append {
        self.writer.append(session, after, events).await
    }

    async fn read_after(&self, session: SessionId, after: u64) -> Result<Vec<Recorded>, StoreError> {
        let rows: Vec<(i64, String)> =
            sqlx::query_as("select seq, body from event where session = $1 and seq > $2 order by seq")
                .bind(session.to_string())
                .bind(after.cast_signed())
                .fetch_all(&self.pool)
                .await?;
        rows.into_iter().map(|(seq, body)| read_line(seq.cast_unsigned(), &body)).collect()
    }

    async fn last_at(&self, id: SessionId) -> Result<Option<EpochMs>, StoreError> {
        let found: Option<i64> =
            sqlx::query_scalar("select at_ms from event where session = $1 order by seq desc limit 1")
                .bind(id.to_string())
                .fetch_optional(&self.pool)
                .await?;
        Ok(found.map(EpochMs))
    }
}
