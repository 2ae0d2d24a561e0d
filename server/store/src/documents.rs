//! Documents that people edit, in versions, and the passes of whoever edits them.

use samebreath_core::time::EpochMs;
use samebreath_core::versioned::{Document, Versioned};
use serde::Serialize;
use serde::de::DeserializeOwned;
use uuid::Uuid;

use crate::sessions::Use;
use crate::{Sqlite, StoreError};

type Row = (String, i64, String, i64);

impl Sqlite {
    /// All documents of a kind, the last saved first.
    ///
    /// # Errors
    /// When the database refuses, or what it has cannot be read.
    pub async fn documents<T: Document + DeserializeOwned>(&self) -> Result<Vec<Versioned<T>>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, version, content, updated_at_ms from document where kind = $1 order by updated_at_ms desc, id",
        )
        .bind(T::KIND)
        .fetch_all(&self.pool)
        .await?;
        rows.into_iter().map(read).collect()
    }

    /// The document with this id.
    ///
    /// # Errors
    /// When the database refuses, or what it has cannot be read.
    pub async fn document<T: Document + DeserializeOwned>(
        &self,
        id: Uuid,
    ) -> Result<Option<Versioned<T>>, StoreError> {
        let row: Option<Row> = sqlx::query_as(
            "select id, version, content, updated_at_ms from document where kind = $1 and id = $2",
        )
        .bind(T::KIND)
        .bind(id.to_string())
        .fetch_optional(&self.pool)
        .await?;
        row.map(read).transpose()
    }

    /// Keeps a new document, as version 1.
    ///
    /// # Errors
    /// When the database refuses, or the id is taken.
    pub async fn add_document<T: Document + Serialize + Sync>(
        &self,
        new: &Versioned<T>,
    ) -> Result<(), StoreError> {
        sqlx::query(
            "insert into document (id, kind, version, content, updated_at_ms) values ($1, $2, 1, $3, $4)",
        )
        .bind(new.id.to_string())
        .bind(T::KIND)
        .bind(written(&new.content)?)
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
    pub async fn save_document<T: Document + Serialize + Sync>(
        &self,
        changed: &Versioned<T>,
    ) -> Result<bool, StoreError> {
        let saved = sqlx::query(
            "update document set version = version + 1, content = $4, updated_at_ms = $5 where kind = $1 and id = $2 and version = $3",
        )
        .bind(T::KIND)
        .bind(changed.id.to_string())
        .bind(changed.version.cast_signed())
        .bind(written(&changed.content)?)
        .bind(changed.updated_at.0)
        .execute(&self.pool)
        .await?;
        Ok(saved.rows_affected() == 1)
    }

    /// Removes a document, if `version` is its newest. False, and nothing changes, when it is not.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn remove_document<T: Document>(&self, id: Uuid, version: u64) -> Result<bool, StoreError> {
        let removed = sqlx::query("delete from document where kind = $1 and id = $2 and version = $3")
            .bind(T::KIND)
            .bind(id.to_string())
            .bind(version.cast_signed())
            .execute(&self.pool)
            .await?;
        Ok(removed.rows_affected() == 1)
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

    /// Uses a planner's link, which works for one request, however often that comes. False when it does not work.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn use_planner_link(
        &self,
        hash: &str,
        request: Uuid,
        now: EpochMs,
    ) -> Result<bool, StoreError> {
        let used = sqlx::query(
            "update planner_pass set used_by = $3 where hash = $1 and once = 1 and expires_at_ms > $2 \
             and (used_by is null or used_by = $3)",
        )
        .bind(hash)
        .bind(now.0)
        .bind(request.to_string())
        .execute(&self.pool)
        .await?;
        Ok(used.rows_affected() == 1)
    }
}

fn read<T: DeserializeOwned>((id, version, content, updated_at_ms): Row) -> Result<Versioned<T>, StoreError> {
    Ok(Versioned {
        id: Uuid::parse_str(&id).map_err(|_| StoreError::Document { id: id.clone(), source: None })?,
        version: version.cast_unsigned(),
        content: serde_json::from_str(&content).map_err(|e| StoreError::Document { id, source: Some(e) })?,
        updated_at: EpochMs(updated_at_ms),
    })
}

fn written(content: &impl Serialize) -> Result<String, StoreError> {
    serde_json::to_string(content).map_err(|e| StoreError::Sql(sqlx::Error::Encode(Box::new(e))))
}
