//! Where staff are signed in, in SQLite.

use async_trait::async_trait;
use samebreath_core::plan::group::GroupId;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use sqlx::FromRow;
use uuid::Uuid;

use crate::StoreError;
use crate::accounts::{Accounts, KeptAccount};
use crate::sign_ins::{AccountLink, OpenDesk, SignIns, SignedIn, Which};
use crate::sqlite::Sqlite;

#[async_trait]
impl SignIns for Sqlite {
    async fn add_account_link(
        &self,
        hash: &str,
        link: AccountLink,
        expires_at: EpochMs,
    ) -> Result<(), StoreError> {
        let (account, opens) = match link {
            AccountLink::First => (None, 0),
            AccountLink::Password(id) => (Some(id), 0),
            AccountLink::Opens(id) => (Some(id), 1),
        };
        let account = account.map(|id| id.0.to_string());
        let mut all = self.pool.begin().await?;
        sqlx::query("delete from account_link where account is not distinct from $1 and opens = $2")
            .bind(&account)
            .bind(opens)
            .execute(&mut *all)
            .await?;
        sqlx::query("insert into account_link (hash, account, opens, expires_at_ms) values ($1, $2, $3, $4)")
            .bind(hash)
            .bind(&account)
            .bind(opens)
            .bind(expires_at.0)
            .execute(&mut *all)
            .await?;
        all.commit().await?;
        Ok(())
    }

    async fn account_link(
        &self,
        hash: &str,
        request: Uuid,
        now: EpochMs,
    ) -> Result<Option<AccountLink>, StoreError> {
        let found: Option<(Option<String>, i64)> = sqlx::query_as(
            "select account, opens from account_link where hash = $1 and expires_at_ms > $2 \
             and (used_by is null or used_by = $3)",
        )
        .bind(hash)
        .bind(now.0)
        .bind(request.to_string())
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(link))
    }

    async fn use_account_link(
        &self,
        hash: &str,
        request: Uuid,
        now: EpochMs,
    ) -> Result<Option<AccountLink>, StoreError> {
        let found: Option<(Option<String>, i64)> = sqlx::query_as(
            "update account_link set used_by = $2 where hash = $1 and account is not null and expires_at_ms > $3 \
             and (used_by is null or used_by = $2) returning account, opens",
        )
        .bind(hash)
        .bind(request.to_string())
        .bind(now.0)
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(link))
    }

    async fn add_signed_in(
        &self,
        hash: &str,
        new: &SignedIn,
        password: Option<&str>,
    ) -> Result<bool, StoreError> {
        let added = sqlx::query(
            "insert into signed_in (hash, id, account, device, created_at_ms, seen_at_ms, proved_at_ms, expires_at_ms) \
             select $1, $2, id, $4, $5, $6, $7, $8 from account \
             where id = $3 and ended_at_ms is null and password is not distinct from $9",
        )
        .bind(hash)
        .bind(new.id.to_string())
        .bind(new.account.0.to_string())
        .bind(&new.device)
        .bind(new.created_at.0)
        .bind(new.seen_at.0)
        .bind(new.proved_at.0)
        .bind(new.expires_at.0)
        .bind(password)
        .execute(&self.pool)
        .await?;
        Ok(added.rows_affected() == 1)
    }

    async fn signed_in(&self, hash: &str) -> Result<Option<(SignedIn, KeptAccount)>, StoreError> {
        let row: Option<SignedInRow> = sqlx::query_as("select * from signed_in where hash = $1")
            .bind(hash)
            .fetch_optional(&self.pool)
            .await?;
        let Some(signed_in) = row.and_then(signed_in) else { return Ok(None) };
        let account = self.account(signed_in.account).await?;
        Ok(account.filter(|account| account.ended_at.is_none()).map(|account| (signed_in, account)))
    }

    async fn signed_in_as(&self, id: Uuid) -> Result<Option<AccountId>, StoreError> {
        let account: Option<String> = sqlx::query_scalar("select account from signed_in where id = $1")
            .bind(id.to_string())
            .fetch_optional(&self.pool)
            .await?;
        Ok(account.and_then(|id| Uuid::parse_str(&id).ok()).map(AccountId))
    }

    async fn signed_in_of(&self, account: AccountId) -> Result<Vec<SignedIn>, StoreError> {
        let rows: Vec<SignedInRow> =
            sqlx::query_as("select * from signed_in where account = $1 order by seen_at_ms desc, id")
                .bind(account.0.to_string())
                .fetch_all(&self.pool)
                .await?;
        Ok(rows.into_iter().filter_map(signed_in).collect())
    }

    async fn note_signed_in(&self, id: Uuid, seen_at: EpochMs, proved_at: EpochMs) -> Result<(), StoreError> {
        sqlx::query("update signed_in set seen_at_ms = $2, proved_at_ms = $3 where id = $1")
            .bind(id.to_string())
            .bind(seen_at.0)
            .bind(proved_at.0)
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    async fn desks_of(&self, group: GroupId) -> Result<Vec<OpenDesk>, StoreError> {
        let found: Vec<(String, String)> = sqlx::query_as(
            "select distinct signed_in.id, signed_in.account from signed_in join pass on pass.via = signed_in.id \
             join session on session.id = pass.session where session.for_group = $1",
        )
        .bind(group.0.to_string())
        .fetch_all(&self.pool)
        .await?;
        let desk = |(via, account): (String, String)| {
            let account = AccountId(Uuid::parse_str(&account).ok()?);
            Some(OpenDesk { via: Uuid::parse_str(&via).ok()?, account })
        };
        Ok(found.into_iter().filter_map(desk).collect())
    }

    async fn shut_desks(&self, group: GroupId, via: Uuid) -> Result<(), StoreError> {
        sqlx::query(
            "delete from pass where via = $2 and session in (select id from session where for_group = $1)",
        )
        .bind(group.0.to_string())
        .bind(via.to_string())
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    async fn sign_out(&self, account: AccountId, which: Which) -> Result<Vec<Uuid>, StoreError> {
        let (is_all, one, but) = match which {
            Which::All => (1, None, None),
            Which::One(id) => (0, Some(id.to_string()), None),
            Which::Others(id) => (0, None, Some(id.to_string())),
        };
        let mut all = self.pool.begin().await?;
        let gone: Vec<String> = sqlx::query_scalar(
            "delete from signed_in where account = $1 and ($2 = 1 or id = $3 or id <> $4) returning id",
        )
        .bind(account.0.to_string())
        .bind(is_all)
        .bind(one)
        .bind(but)
        .fetch_all(&mut *all)
        .await?;
        for id in &gone {
            sqlx::query("delete from pass where via = $1").bind(id).execute(&mut *all).await?;
        }
        all.commit().await?;
        Ok(gone.iter().filter_map(|id| Uuid::parse_str(id).ok()).collect())
    }
}

#[derive(FromRow)]
struct SignedInRow {
    id: String,
    account: String,
    device: String,
    created_at_ms: i64,
    seen_at_ms: i64,
    proved_at_ms: i64,
    expires_at_ms: i64,
}

fn signed_in(row: SignedInRow) -> Option<SignedIn> {
    Some(SignedIn {
        id: Uuid::parse_str(&row.id).ok()?,
        account: AccountId(Uuid::parse_str(&row.account).ok()?),
        device: row.device,
        created_at: EpochMs(row.created_at_ms),
        seen_at: EpochMs(row.seen_at_ms),
        proved_at: EpochMs(row.proved_at_ms),
        expires_at: EpochMs(row.expires_at_ms),
    })
}

fn link((account, opens): (Option<String>, i64)) -> Option<AccountLink> {
    let Some(account) = account else { return Some(AccountLink::First) };
    let id = AccountId(Uuid::parse_str(&account).ok()?);
    Some(if opens == 1 { AccountLink::Opens(id) } else { AccountLink::Password(id) })
}
