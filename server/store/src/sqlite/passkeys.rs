//! Passkeys, in SQLite.

use async_trait::async_trait;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;

use crate::StoreError;
use crate::passkeys::{KeptPasskey, Passkeys};
use crate::sqlite::Sqlite;

#[async_trait]
impl Passkeys for Sqlite {
    async fn add_passkey(&self, account: AccountId, passkey: &KeptPasskey) -> Result<bool, StoreError> {
        let added = sqlx::query(
            "insert into passkey (id, account, name, content, created_at_ms) values ($1, $2, $3, $4, $5) \
             on conflict (id) do nothing",
        )
        .bind(&passkey.id)
        .bind(account.0.to_string())
        .bind(passkey.name.as_str())
        .bind(&passkey.content)
        .bind(passkey.created_at.0)
        .execute(&self.pool)
        .await?;
        Ok(added.rows_affected() == 1)
    }

    async fn passkeys_of(&self, account: AccountId) -> Result<Vec<KeptPasskey>, StoreError> {
        let found: Vec<(String, String, String, i64, Option<i64>)> = sqlx::query_as(
            "select id, name, content, created_at_ms, used_at_ms from passkey where account = $1 order by created_at_ms",
        )
        .bind(account.0.to_string())
        .fetch_all(&self.pool)
        .await?;
        let read = |(id, name, content, created_at, used_at): (String, String, String, i64, Option<i64>)| {
            Some(KeptPasskey {
                id,
                name: name.try_into().ok()?,
                content,
                created_at: EpochMs(created_at),
                used_at: used_at.map(EpochMs),
            })
        };
        Ok(found.into_iter().filter_map(read).collect())
    }

    async fn note_passkey(&self, id: &str, content: &str, at: EpochMs) -> Result<(), StoreError> {
        sqlx::query("update passkey set content = $2, used_at_ms = $3 where id = $1")
            .bind(id)
            .bind(content)
            .bind(at.0)
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    async fn remove_passkey(&self, account: AccountId, id: &str) -> Result<bool, StoreError> {
        let removed = sqlx::query("delete from passkey where account = $1 and id = $2")
            .bind(account.0.to_string())
            .bind(id)
            .execute(&self.pool)
            .await?;
        Ok(removed.rows_affected() == 1)
    }

    async fn remove_passkeys(&self, account: AccountId) -> Result<(), StoreError> {
        sqlx::query("delete from passkey where account = $1")
            .bind(account.0.to_string())
            .execute(&self.pool)
            .await?;
        Ok(())
    }
}
