//! Who accounts are at the organisation's own sign-in, in SQLite.

use async_trait::async_trait;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use sqlx::Row as _;
use sqlx::sqlite::SqliteRow;
use uuid::Uuid;

use crate::StoreError;
use crate::identities::{Identities, Identity, KeptIdentity};
use crate::sqlite::Sqlite;

fn read(row: &SqliteRow) -> Option<KeptIdentity> {
    let account: String = row.get("account");
    Some(KeptIdentity {
        identity: Identity { issuer: row.get("issuer"), subject: row.get("subject") },
        account: AccountId(Uuid::parse_str(&account).ok()?),
        linked_at: EpochMs(row.get("linked_at_ms")),
        used_at: row.get::<Option<i64>, _>("used_at_ms").map(EpochMs),
    })
}

#[async_trait]
impl Identities for Sqlite {
    async fn link_identity(
        &self,
        identity: &Identity,
        account: AccountId,
        at: EpochMs,
    ) -> Result<bool, StoreError> {
        let linked = sqlx::query(
            "insert into identity (issuer, subject, account, linked_at_ms) values ($1, $2, $3, $4) on conflict do nothing",
        )
        .bind(&identity.issuer)
        .bind(&identity.subject)
        .bind(account.0.to_string())
        .bind(at.0)
        .execute(&self.pool)
        .await?;
        Ok(linked.rows_affected() == 1)
    }

    async fn identity(&self, identity: &Identity) -> Result<Option<KeptIdentity>, StoreError> {
        let found = sqlx::query(
            "select issuer, subject, account, linked_at_ms, used_at_ms from identity where issuer = $1 and subject = $2",
        )
        .bind(&identity.issuer)
        .bind(&identity.subject)
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.as_ref().and_then(read))
    }

    async fn identity_of(&self, account: AccountId) -> Result<Option<KeptIdentity>, StoreError> {
        let found = sqlx::query(
            "select issuer, subject, account, linked_at_ms, used_at_ms from identity where account = $1",
        )
        .bind(account.0.to_string())
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.as_ref().and_then(read))
    }

    async fn note_identity(&self, account: AccountId, at: EpochMs) -> Result<(), StoreError> {
        sqlx::query("update identity set used_at_ms = $2 where account = $1")
            .bind(account.0.to_string())
            .bind(at.0)
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    async fn unlink_identity(&self, account: AccountId) -> Result<bool, StoreError> {
        let ended = sqlx::query("delete from identity where account = $1")
            .bind(account.0.to_string())
            .execute(&self.pool)
            .await?;
        Ok(ended.rows_affected() == 1)
    }
}
