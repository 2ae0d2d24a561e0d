//! How the traces of a person go, in SQLite.

use std::time::Duration;

use async_trait::async_trait;
use samebreath_core::live::Recorded;
use samebreath_core::people::person::PersonId;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::StoreError;
use crate::erasure::{Erasure, Hold};
use crate::ledger::SessionId;
use crate::line::write_line;
use crate::sqlite::Sqlite;

/// How often, and after how long, the log is tried again while somebody reads from it.
const EMPTY_LOG_TRIES: u32 = 50;
const EMPTY_LOG_AFTER: Duration = Duration::from_millis(100);

#[async_trait]
impl Erasure for Sqlite {
    async fn list_erased(&self, person: PersonId, day: Date) -> Result<bool, StoreError> {
        let listed = sqlx::query(
            "insert into erased (person, day, applied) select $1, $2, 0 \
             where not exists (select 1 from legal_hold where person = $1) \
             on conflict (person) do update set applied = 0",
        )
        .bind(person.0.to_string())
        .bind(day.to_string())
        .execute(&self.pool)
        .await?;
        Ok(listed.rows_affected() == 1)
    }

    async fn erased_on(&self, person: PersonId) -> Result<Option<Date>, StoreError> {
        let day: Option<String> = sqlx::query_scalar("select day from erased where person = $1")
            .bind(person.0.to_string())
            .fetch_optional(&self.pool)
            .await?;
        Ok(day.and_then(|day| day.try_into().ok()))
    }

    async fn to_erase(&self) -> Result<Vec<PersonId>, StoreError> {
        let found: Vec<String> =
            sqlx::query_scalar("select person from erased where applied = 0").fetch_all(&self.pool).await?;
        Ok(found.iter().filter_map(|id| Uuid::parse_str(id).ok()).map(PersonId).collect())
    }

    async fn classes_of(&self, person: PersonId) -> Result<Vec<SessionId>, StoreError> {
        let found: Vec<String> =
            sqlx::query_scalar("select distinct session from event where body like '%' || $1 || '%'")
                .bind(person.0.to_string())
                .fetch_all(&self.pool)
                .await?;
        Ok(found.iter().filter_map(|id| Uuid::parse_str(id).ok()).map(SessionId).collect())
    }

    async fn rewrite(&self, session: SessionId, lines: &[Recorded]) -> Result<(), StoreError> {
        let mut all = self.pool.begin().await?;
        for line in lines {
            let body = write_line(line).map_err(|source| StoreError::Line { seq: line.seq, source })?;
            sqlx::query("update event set body = $3 where session = $1 and seq = $2")
                .bind(session.to_string())
                .bind(line.seq.cast_signed())
                .bind(body)
                .execute(&mut *all)
                .await?;
        }
        all.commit().await?;
        Ok(())
    }

    async fn finish_erasing(&self, person: PersonId) -> Result<(), StoreError> {
        let mut all = self.pool.begin().await?;
        for gone in [
            "delete from pass where via in (select own_device.id from own_device \
             join own_link on own_link.id = own_device.link where own_link.person = $1)",
            "delete from own_device where link in (select id from own_link where person = $1)",
            "delete from own_link where person = $1",
            "delete from sent_word where person = $1",
            "delete from letter where person = $1",
            "update note set body = '' where person = $1 and body <> ''",
        ] {
            sqlx::query(gone).bind(person.0.to_string()).execute(&mut *all).await?;
        }
        all.commit().await?;
        self.leave_nothing().await?;
        // Not before: whoever is not cleared by then is tried again at the next start.
        sqlx::query("update erased set applied = 1 where person = $1")
            .bind(person.0.to_string())
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    async fn hold_on(&self, person: PersonId) -> Result<Option<Hold>, StoreError> {
        let found: Option<(String, i64)> =
            sqlx::query_as("select reason, since_ms from legal_hold where person = $1")
                .bind(person.0.to_string())
                .fetch_optional(&self.pool)
                .await?;
        Ok(found.and_then(|(reason, since)| {
            Some(Hold { reason: reason.try_into().ok()?, since: EpochMs(since) })
        }))
    }

    async fn set_hold(&self, person: PersonId, hold: Option<&Hold>) -> Result<(), StoreError> {
        let mut all = self.pool.begin().await?;
        sqlx::query("delete from legal_hold where person = $1")
            .bind(person.0.to_string())
            .execute(&mut *all)
            .await?;
        if let Some(hold) = hold {
            sqlx::query("insert into legal_hold (person, reason, since_ms) values ($1, $2, $3)")
                .bind(person.0.to_string())
                .bind(hold.reason.as_str())
                .bind(hold.since.0)
                .execute(&mut *all)
                .await?;
        }
        all.commit().await?;
        Ok(())
    }
}

impl Sqlite {
    /// Leaves nothing of what was changed or removed in the database's files.
    pub(super) async fn leave_nothing(&self) -> Result<(), StoreError> {
        // Cells that moved when pages were filled anew may still lie in their gaps, and the log has the pages as they were.
        sqlx::query("vacuum").execute(&self.pool).await?;
        self.empty_log().await
    }

    /// Moves the whole log into the database and empties it, as soon as nobody reads from it.
    async fn empty_log(&self) -> Result<(), StoreError> {
        for _ in 0..EMPTY_LOG_TRIES {
            let (busy, _, _): (i64, i64, i64) =
                sqlx::query_as("pragma wal_checkpoint(truncate)").fetch_one(&self.pool).await?;
            if busy == 0 {
                return Ok(());
            }
            tokio::time::sleep(EMPTY_LOG_AFTER).await;
        }
        Err(StoreError::LogInUse)
    }
}
