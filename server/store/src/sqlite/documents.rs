//! Documents, in SQLite.

use async_trait::async_trait;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::StoreError;
use crate::documents::{Documents, Kept};
use crate::sqlite::Sqlite;

type Row = (String, i64, String, i64);

#[async_trait]
impl Documents for Sqlite {
    async fn kept_of(&self, kind: &'static str) -> Result<Vec<Kept>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, version, content, updated_at_ms from document where kind = $1 order by updated_at_ms desc, id",
        )
        .bind(kind)
        .fetch_all(&self.pool)
        .await?;
        rows.into_iter().map(|row| kept(kind, row)).collect()
    }

    async fn kept(&self, kind: &'static str, id: Uuid) -> Result<Option<Kept>, StoreError> {
        let row: Option<Row> = sqlx::query_as(
            "select id, version, content, updated_at_ms from document where kind = $1 and id = $2",
        )
        .bind(kind)
        .bind(id.to_string())
        .fetch_optional(&self.pool)
        .await?;
        row.map(|row| kept(kind, row)).transpose()
    }

    async fn keep_new(&self, new: &Kept) -> Result<(), StoreError> {
        sqlx::query(
            "insert into document (id, kind, version, content, updated_at_ms) values ($1, $2, 1, $3, $4)",
        )
        .bind(new.id.to_string())
        .bind(new.kind)
        .bind(&new.content)
        .bind(new.updated_at.0)
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    async fn keep_changed(&self, changed: &Kept) -> Result<bool, StoreError> {
        let saved = sqlx::query(
            "update document set version = version + 1, content = $4, updated_at_ms = $5 where kind = $1 and id = $2 and version = $3",
        )
        .bind(changed.kind)
        .bind(changed.id.to_string())
        .bind(changed.version.cast_signed())
        .bind(&changed.content)
        .bind(changed.updated_at.0)
        .execute(&self.pool)
        .await?;
        Ok(saved.rows_affected() == 1)
    }

    async fn drop_kept(&self, kind: &'static str, id: Uuid, version: u64) -> Result<bool, StoreError> {
        let removed = sqlx::query("delete from document where kind = $1 and id = $2 and version = $3")
            .bind(kind)
            .bind(id.to_string())
            .bind(version.cast_signed())
            .execute(&self.pool)
            .await?;
        Ok(removed.rows_affected() == 1)
    }
}

fn kept(kind: &'static str, (id, version, content, updated_at_ms): Row) -> Result<Kept, StoreError> {
    let id = Uuid::parse_str(&id).map_err(|_| StoreError::Document { id, source: None })?;
    Ok(Kept { id, kind, version: version.cast_unsigned(), content, updated_at: EpochMs(updated_at_ms) })
}
