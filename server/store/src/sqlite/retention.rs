//! Records whose time is over, in SQLite.

use async_trait::async_trait;
use samebreath_core::people::person::PersonId;
use samebreath_core::record::retention::RetentionReport;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::StoreError;
use crate::ledger::SessionId;
use crate::retention::Retaining;
use crate::sqlite::Sqlite;

#[async_trait]
impl Retaining for Sqlite {
    async fn people_in_classes(&self) -> Result<Vec<(SessionId, PersonId)>, StoreError> {
        let found: Vec<(String, String)> = sqlx::query_as(
            "select distinct session, json_extract(body, '$.event.person') from event \
             where body like '%\"seat_taken\"%' and json_extract(body, '$.event.person') is not null",
        )
        .fetch_all(&self.pool)
        .await?;
        let ids = found.iter().filter_map(|(session, person)| {
            Some((SessionId(Uuid::parse_str(session).ok()?), PersonId(Uuid::parse_str(person).ok()?)))
        });
        Ok(ids.collect())
    }

    async fn announced(&self) -> Result<Vec<(Uuid, Date)>, StoreError> {
        let found: Vec<(String, String)> =
            sqlx::query_as("select id, day from announced").fetch_all(&self.pool).await?;
        let read = |(id, day): (String, String)| Some((Uuid::parse_str(&id).ok()?, day.try_into().ok()?));
        Ok(found.into_iter().filter_map(read).collect())
    }

    async fn announce(&self, id: Uuid, day: Date) -> Result<(), StoreError> {
        sqlx::query("insert into announced (id, day) values ($1, $2) on conflict (id) do update set day = excluded.day")
            .bind(id.to_string())
            .bind(day.to_string())
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    async fn take_back(&self, id: Uuid) -> Result<(), StoreError> {
        sqlx::query("delete from announced where id = $1").bind(id.to_string()).execute(&self.pool).await?;
        Ok(())
    }

    async fn classes_with_guests(&self) -> Result<Vec<SessionId>, StoreError> {
        let found: Vec<String> =
            sqlx::query_scalar("select id from session where guests_erased = 0 and rehearsal = 0")
                .fetch_all(&self.pool)
                .await?;
        Ok(found.iter().filter_map(|id| Uuid::parse_str(id).ok()).map(SessionId).collect())
    }

    async fn note_guests_erased(&self, session: SessionId) -> Result<(), StoreError> {
        sqlx::query("update session set guests_erased = 1 where id = $1")
            .bind(session.to_string())
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    async fn leave_nothing_behind(&self) -> Result<(), StoreError> {
        self.leave_nothing().await
    }

    async fn words_before(&self, day: Date) -> Result<u32, StoreError> {
        let found = sqlx::query_scalar("select count(*) from sent_word where of_day < $1");
        Ok(found.bind(day.to_string()).fetch_one(&self.pool).await?)
    }

    async fn forget_words(&self, day: Date) -> Result<u32, StoreError> {
        let gone = sqlx::query("delete from sent_word where of_day < $1");
        let gone = gone.bind(day.to_string()).execute(&self.pool).await?;
        Ok(u32::try_from(gone.rows_affected()).unwrap_or(u32::MAX))
    }

    async fn add_report(&self, day: Date, report: &RetentionReport) -> Result<(), StoreError> {
        let content = serde_json::to_string(report);
        let content =
            content.map_err(|source| StoreError::Document { id: day.to_string(), source: Some(source) })?;
        sqlx::query(
            "insert into retention_report (day, content) values ($1, $2) \
             on conflict (day) do update set content = excluded.content",
        )
        .bind(day.to_string())
        .bind(content)
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    async fn reports(&self, most: u32) -> Result<Vec<(Date, RetentionReport)>, StoreError> {
        let found: Vec<(String, String)> =
            sqlx::query_as("select day, content from retention_report order by day desc limit $1")
                .bind(most)
                .fetch_all(&self.pool)
                .await?;
        let read = |(day, content): (String, String)| {
            let wrong = |source| StoreError::Document { id: day.clone(), source };
            let content = serde_json::from_str(&content).map_err(|source| wrong(Some(source)))?;
            Ok((Date::try_from(day.clone()).map_err(|_| wrong(None))?, content))
        };
        found.into_iter().map(read).collect()
    }
}
