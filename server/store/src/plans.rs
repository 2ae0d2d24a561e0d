//! Plans that are being written, and the passes of whoever writes them.

use samebreath_core::day::Date;
use samebreath_core::draft::Draft;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::documents::Use;
use crate::{Sqlite, StoreError};

/// A plan as the planner keeps it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanEntry {
    /// Its id.
    pub id: Uuid,
    /// Grows by one with every save.
    pub version: u64,
    /// The plan.
    pub draft: Draft,
    /// The day it is meant for.
    pub day: Option<Date>,
    /// When it was saved last.
    pub updated_at: EpochMs,
}

type Row = (String, i64, String, Option<String>, i64);

impl Sqlite {
    /// All plans, the last saved first.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn plans(&self) -> Result<Vec<PlanEntry>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, version, draft, day, updated_at_ms from plan order by updated_at_ms desc, id",
        )
        .fetch_all(&self.pool)
        .await?;
        rows.into_iter().map(entry).collect()
    }

    /// The plan with this id.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn plan(&self, id: Uuid) -> Result<Option<PlanEntry>, StoreError> {
        let row: Option<Row> =
            sqlx::query_as("select id, version, draft, day, updated_at_ms from plan where id = $1")
                .bind(id.to_string())
                .fetch_optional(&self.pool)
                .await?;
        row.map(entry).transpose()
    }

    /// Keeps a new plan, as version 1.
    ///
    /// # Errors
    /// When the database refuses, or the id is taken.
    pub async fn add_plan(&self, new: &PlanEntry) -> Result<(), StoreError> {
        sqlx::query(
            "insert into plan (id, version, draft, day, created_at_ms, updated_at_ms) values ($1, 1, $2, $3, $4, $4)",
        )
        .bind(new.id.to_string())
        .bind(written(&new.draft)?)
        .bind(new.day.map(String::from))
        .bind(new.updated_at.0)
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    /// Keeps `changed` in place of version `changed.version`, as the version after it. False, and nothing
    /// changes, when that is not the newest version.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn save_plan(&self, changed: &PlanEntry) -> Result<bool, StoreError> {
        let saved = sqlx::query(
            "update plan set version = version + 1, draft = $3, day = $4, updated_at_ms = $5 where id = $1 and version = $2",
        )
        .bind(changed.id.to_string())
        .bind(changed.version.cast_signed())
        .bind(written(&changed.draft)?)
        .bind(changed.day.map(String::from))
        .bind(changed.updated_at.0)
        .execute(&self.pool)
        .await?;
        Ok(saved.rows_affected() == 1)
    }

    /// Keeps a planner's pass by the hash of its token.
    ///
    /// # Errors
    /// When the database refuses, or the hash is taken.
    pub async fn add_planner_pass(
        &self,
        hash: &str,
        use_: Use,
        expires_at: EpochMs,
    ) -> Result<(), StoreError> {
        sqlx::query("insert into planner_pass (hash, once, expires_at_ms) values ($1, $2, $3)")
            .bind(hash)
            .bind(i64::from(use_ == Use::Once))
            .bind(expires_at.0)
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    /// Whether this is the pass of a browser that may plan.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn has_planner_pass(&self, hash: &str, now: EpochMs) -> Result<bool, StoreError> {
        let found: Option<i64> = sqlx::query_scalar(
            "select once from planner_pass where hash = $1 and once = 0 and expires_at_ms > $2",
        )
        .bind(hash)
        .bind(now.0)
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.is_some())
    }

    /// Uses a planner's link, which works once. False when it does not work.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn use_planner_link(&self, hash: &str, now: EpochMs) -> Result<bool, StoreError> {
        let used =
            sqlx::query("delete from planner_pass where hash = $1 and once = 1 and expires_at_ms > $2")
                .bind(hash)
                .bind(now.0)
                .execute(&self.pool)
                .await?;
        Ok(used.rows_affected() == 1)
    }
}

fn entry((id, version, draft, day, updated_at_ms): Row) -> Result<PlanEntry, StoreError> {
    Ok(PlanEntry {
        id: Uuid::parse_str(&id).map_err(|_| StoreError::Plan { id: id.clone(), source: None })?,
        version: version.cast_unsigned(),
        draft: serde_json::from_str(&draft).map_err(|e| StoreError::Plan { id, source: Some(e) })?,
        day: day.and_then(|day| Date::try_from(day).ok()),
        updated_at: EpochMs(updated_at_ms),
    })
}

fn written(draft: &Draft) -> Result<String, StoreError> {
    serde_json::to_string(draft).map_err(|e| StoreError::Sql(sqlx::Error::Encode(Box::new(e))))
}
