//! The list of sessions, in SQLite.

use async_trait::async_trait;
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::StoreError;
use crate::ledger::SessionId;
use crate::sessions::{SessionEntry, Sessions};
use crate::sqlite::Sqlite;

#[async_trait]
impl Sessions for Sqlite {
    async fn add_session(&self, entry: &SessionEntry) -> Result<(), StoreError> {
        sqlx::query(
            "insert into session (id, code, title, rehearsal, created_at_ms, for_group, request, of_day) values ($1, $2, $3, $4, $5, $6, $7, $8)",
        )
        .bind(entry.id.to_string())
        .bind(&entry.code)
        .bind(&entry.title)
        .bind(i64::from(entry.rehearsal))
        .bind(entry.created_at.0)
        .bind(entry.group.map(|group| group.0.to_string()))
        .bind(entry.request.map(|request| request.to_string()))
        .bind(entry.of.map(|day| day.to_string()))
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    async fn session(&self, id: SessionId) -> Result<Option<SessionEntry>, StoreError> {
        let found: Option<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request, of_day from session where id = $1",
        )
        .bind(id.to_string())
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(entry))
    }

    async fn session_by_code(&self, code: &str) -> Result<Option<SessionEntry>, StoreError> {
        let found: Option<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request, of_day from session where code = $1",
        )
        .bind(code)
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(entry))
    }

    async fn session_by_request(&self, request: Uuid) -> Result<Option<SessionEntry>, StoreError> {
        let found: Option<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request, of_day from session where request = $1",
        )
        .bind(request.to_string())
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(entry))
    }

    async fn unfinished_sessions(&self) -> Result<Vec<SessionEntry>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request, of_day from session where ended_at_ms is null order by created_at_ms desc, id",
        )
        .fetch_all(&self.pool)
        .await?;
        Ok(rows.into_iter().filter_map(entry).collect())
    }

    async fn sessions(&self) -> Result<Vec<SessionEntry>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request, of_day from session order by created_at_ms desc, id",
        )
        .fetch_all(&self.pool)
        .await?;
        Ok(rows.into_iter().filter_map(entry).collect())
    }

    async fn sessions_of(&self, group: GroupId) -> Result<Vec<SessionEntry>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request, of_day from session where for_group = $1 and rehearsal = 0 order by created_at_ms desc, id",
        )
        .bind(group.0.to_string())
        .fetch_all(&self.pool)
        .await?;
        Ok(rows.into_iter().filter_map(entry).collect())
    }
}

type Row = (String, String, String, i64, i64, Option<String>, Option<i64>, Option<String>, Option<String>);

fn entry(
    (id, code, title, rehearsal, created_at_ms, group, ended_at_ms, request, of): Row,
) -> Option<SessionEntry> {
    let id = SessionId(Uuid::parse_str(&id).ok()?);
    let group = group.and_then(|group| Uuid::parse_str(&group).ok()).map(GroupId);
    let (rehearsal, created_at) = (rehearsal != 0, EpochMs(created_at_ms));
    let (ended_at, request) = (ended_at_ms.map(EpochMs), request.and_then(|id| Uuid::parse_str(&id).ok()));
    let of = of.and_then(|day| Date::try_from(day).ok());
    Some(SessionEntry { id, code, title, rehearsal, created_at, group, of, ended_at, request })
}
