//! Letters, in SQLite.

use async_trait::async_trait;
use samebreath_core::people::person::PersonId;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::StoreError;
use crate::outbox::{Letter, Outbox, Sending};
use crate::sqlite::Sqlite;

type Row = (String, String, String, String, i64, u32, i64, Option<i64>, bool, Option<String>);

fn letter(row: Row) -> Result<Letter, StoreError> {
    let (id, person, purpose, day, created_at, tries, next_at, sent_at, failed, error) = row;
    let wrong = |source| StoreError::Document { id: id.clone(), source };
    let read = |text: &str| Uuid::parse_str(text).map_err(|_| wrong(None));
    Ok(Letter {
        id: read(&id)?,
        person: PersonId(read(&person)?),
        purpose: serde_json::from_str(&purpose).map_err(|error| wrong(Some(error)))?,
        day: Date::try_from(day).map_err(|_| wrong(None))?,
        created_at: EpochMs(created_at),
        tries,
        next_at: EpochMs(next_at),
        state: match (sent_at, failed) {
            (Some(at), _) => Sending::Sent(EpochMs(at)),
            (None, true) => Sending::Failed,
            (None, false) => Sending::Waits,
        },
        error,
    })
}

#[async_trait]
impl Outbox for Sqlite {
    async fn post(&self, letter: &Letter) -> Result<bool, StoreError> {
        let purpose = serde_json::to_string(&letter.purpose);
        let purpose = purpose
            .map_err(|source| StoreError::Document { id: letter.id.to_string(), source: Some(source) })?;
        let posted = sqlx::query(
            "insert into letter (id, person, purpose, day, created_at_ms, next_at_ms) \
             values ($1, $2, $3, $4, $5, $6) on conflict (person, purpose, day) do update set created_at_ms = excluded.created_at_ms, \
             next_at_ms = excluded.next_at_ms, tries = 0, failed = 0, error = null where letter.failed = 1",
        )
        .bind(letter.id.to_string())
        .bind(letter.person.0.to_string())
        .bind(purpose)
        .bind(letter.day.to_string())
        .bind(letter.created_at.0)
        .bind(letter.next_at.0)
        .execute(&self.pool)
        .await?;
        Ok(posted.rows_affected() == 1)
    }

    async fn due_letters(&self, now: EpochMs) -> Result<Vec<Letter>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as("select id, person, purpose, day, created_at_ms, tries, next_at_ms, sent_at_ms, failed, error from letter \
             where sent_at_ms is null and failed = 0 and next_at_ms <= $1 order by created_at_ms").bind(now.0).fetch_all(&self.pool).await?;
        rows.into_iter().map(letter).collect()
    }

    async fn note_letter(&self, letter: &Letter) -> Result<(), StoreError> {
        let (sent_at, failed) = match letter.state {
            Sending::Waits => (None, false),
            Sending::Sent(at) => (Some(at.0), false),
            Sending::Failed => (None, true),
        };
        sqlx::query(
            "update letter set tries = $2, next_at_ms = $3, sent_at_ms = $4, failed = $5, error = $6 where id = $1",
        )
        .bind(letter.id.to_string())
        .bind(letter.tries)
        .bind(letter.next_at.0)
        .bind(sent_at)
        .bind(failed)
        .bind(&letter.error)
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    async fn letters_to(&self, person: PersonId) -> Result<Vec<Letter>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as("select id, person, purpose, day, created_at_ms, tries, next_at_ms, sent_at_ms, failed, error from letter \
             where person = $1 order by created_at_ms desc")
            .bind(person.0.to_string())
            .fetch_all(&self.pool)
            .await?;
        rows.into_iter().map(letter).collect()
    }

    async fn failed_letters(&self, since: EpochMs) -> Result<Vec<Letter>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, person, purpose, day, created_at_ms, tries, next_at_ms, sent_at_ms, failed, error from letter \
             where failed = 1 and created_at_ms >= $1 order by created_at_ms desc",
        )
        .bind(since.0)
        .fetch_all(&self.pool)
        .await?;
        rows.into_iter().map(letter).collect()
    }

    async fn forget_letters(&self, before: Date) -> Result<(), StoreError> {
        sqlx::query("delete from letter where day < $1").bind(before.to_string()).execute(&self.pool).await?;
        Ok(())
    }
}
