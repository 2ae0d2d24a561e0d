//! The accounts of staff, in SQLite.

use async_trait::async_trait;
use samebreath_core::staff::account::{Account, AccountId, Clinician, StaffRole};
use samebreath_core::time::EpochMs;
use sqlx::{FromRow, Sqlite as Db, Transaction};
use uuid::Uuid;

use crate::StoreError;
use crate::accounts::{Accounts, Kept, KeptAccount, SecondFactor};
use crate::sqlite::Sqlite;

/// How many accounts other than `$1` are those of coordinators who can sign in.
const OTHER_COORDINATORS: &str = "select count(*) from account where id <> $1 and role = 'coordinator' \
     and password is not null and ended_at_ms is null";
const INSERT: &str = "insert into account (id, version, name, sign_in, folded, role, title, licence, password, created_at_ms) \
     values ($1, 1, $2, $3, $4, $5, $6, $7, $8, $9)";

#[async_trait]
impl Accounts for Sqlite {
    async fn add_first_account(
        &self,
        first: &KeptAccount,
        link: &str,
        request: Uuid,
        now: EpochMs,
    ) -> Result<bool, StoreError> {
        let mut all = self.pool.begin().await?;
        // Writing first keeps every other request out until the end.
        let used = sqlx::query(
            "update account_link set used_by = $2 where hash = $1 and account is null and expires_at_ms > $3 \
             and (used_by is null or used_by = $2)",
        )
        .bind(link)
        .bind(request.to_string())
        .bind(now.0)
        .execute(&mut *all)
        .await?;
        if used.rows_affected() == 0 {
            return Ok(false);
        }
        let there: Option<String> =
            sqlx::query_scalar("select id from account where password is not null limit 1")
                .fetch_optional(&mut *all)
                .await?;
        match there {
            Some(id) if id == first.id.0.to_string() => {}
            Some(_) => return Ok(false),
            None => insert(first, &mut all).await?,
        }
        all.commit().await?;
        Ok(true)
    }

    async fn add_account(&self, new: &KeptAccount) -> Result<Kept, StoreError> {
        let mut all = self.pool.begin().await?;
        match insert(new, &mut all).await {
            Ok(()) => {}
            Err(StoreError::Sql(error)) if is_taken(&error) => return Ok(Kept::NameTaken),
            Err(error) => return Err(error),
        }
        all.commit().await?;
        Ok(Kept::Yes)
    }

    async fn accounts(&self) -> Result<Vec<KeptAccount>, StoreError> {
        let rows: Vec<Row> =
            sqlx::query_as("select * from account order by created_at_ms, id").fetch_all(&self.pool).await?;
        rows.into_iter().map(kept).collect()
    }

    async fn account(&self, id: AccountId) -> Result<Option<KeptAccount>, StoreError> {
        let row: Option<Row> = sqlx::query_as("select * from account where id = $1")
            .bind(id.0.to_string())
            .fetch_optional(&self.pool)
            .await?;
        row.map(kept).transpose()
    }

    async fn account_called(&self, folded: &str) -> Result<Option<KeptAccount>, StoreError> {
        let row: Option<Row> = sqlx::query_as("select * from account where folded = $1")
            .bind(folded)
            .fetch_optional(&self.pool)
            .await?;
        row.map(kept).transpose()
    }

    async fn change_account(&self, id: AccountId, version: u64, to: &Account) -> Result<Kept, StoreError> {
        let (title, licence) = clinician(to);
        let was_coordinator = self.is_coordinator(id).await?;
        let mut all = self.pool.begin().await?;
        let changed = sqlx::query(
            "update account set version = version + 1, name = $3, sign_in = $4, folded = $5, role = $6, title = $7, \
             licence = $8 where id = $1 and version = $2 and ended_at_ms is null",
        )
        .bind(id.0.to_string())
        .bind(version.cast_signed())
        .bind(to.name.as_str())
        .bind(to.sign_in.as_str())
        .bind(to.folded())
        .bind(role_name(to.role))
        .bind(title)
        .bind(licence)
        .execute(&mut *all)
        .await;
        match changed {
            Ok(done) if done.rows_affected() == 0 => return Ok(Kept::Behind),
            Err(error) if is_taken(&error) => return Ok(Kept::NameTaken),
            other => other?,
        };
        if to.role != StaffRole::Coordinator && was_coordinator && !another_coordinator(id, &mut all).await? {
            return Ok(Kept::LastCoordinator);
        }
        all.commit().await?;
        Ok(Kept::Yes)
    }

    async fn end_account(&self, id: AccountId, now: EpochMs) -> Result<Kept, StoreError> {
        let was_coordinator = self.is_coordinator(id).await?;
        let mut all = self.pool.begin().await?;
        let ended = sqlx::query(
            "update account set version = version + 1, ended_at_ms = $2, password = null, secret = null where id = $1 \
             and ended_at_ms is null",
        )
        .bind(id.0.to_string())
        .bind(now.0)
        .execute(&mut *all)
        .await?;
        if ended.rows_affected() == 0 {
            return Ok(Kept::Behind);
        }
        if was_coordinator && !another_coordinator(id, &mut all).await? {
            return Ok(Kept::LastCoordinator);
        }
        for rest in [
            "delete from recovery_code where account = $1",
            "delete from account_link where account = $1",
            "delete from passkey where account = $1",
            "delete from identity where account = $1",
        ] {
            sqlx::query(rest).bind(id.0.to_string()).execute(&mut *all).await?;
        }
        all.commit().await?;
        Ok(Kept::Yes)
    }

    async fn set_password(&self, id: AccountId, hash: &str) -> Result<(), StoreError> {
        sqlx::query("update account set password = $2 where id = $1 and ended_at_ms is null")
            .bind(id.0.to_string())
            .bind(hash)
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    async fn set_second(&self, id: AccountId, second: Option<&SecondFactor>) -> Result<(), StoreError> {
        sqlx::query("update account set secret = $2, secret_used = $3 where id = $1 and ended_at_ms is null")
            .bind(id.0.to_string())
            .bind(second.map(|second| &second.secret))
            .bind(second.map(|second| second.used.cast_signed()))
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    async fn use_step(&self, id: AccountId, step: u64) -> Result<bool, StoreError> {
        let used = sqlx::query("update account set secret_used = $2 where id = $1 and secret_used < $2")
            .bind(id.0.to_string())
            .bind(step.cast_signed())
            .execute(&self.pool)
            .await?;
        Ok(used.rows_affected() == 1)
    }

    async fn set_codes(&self, id: AccountId, hashes: &[String]) -> Result<(), StoreError> {
        let mut all = self.pool.begin().await?;
        sqlx::query("delete from recovery_code where account = $1")
            .bind(id.0.to_string())
            .execute(&mut *all)
            .await?;
        for hash in hashes {
            sqlx::query("insert into recovery_code (account, hash) values ($1, $2)")
                .bind(id.0.to_string())
                .bind(hash)
                .execute(&mut *all)
                .await?;
        }
        all.commit().await?;
        Ok(())
    }

    async fn use_code(&self, id: AccountId, hash: &str) -> Result<bool, StoreError> {
        let used = sqlx::query("delete from recovery_code where account = $1 and hash = $2")
            .bind(id.0.to_string())
            .bind(hash)
            .execute(&self.pool)
            .await?;
        Ok(used.rows_affected() == 1)
    }

    async fn codes_left(&self, id: AccountId) -> Result<u32, StoreError> {
        let left: i64 = sqlx::query_scalar("select count(*) from recovery_code where account = $1")
            .bind(id.0.to_string())
            .fetch_one(&self.pool)
            .await?;
        Ok(u32::try_from(left).unwrap_or(u32::MAX))
    }
}

impl Sqlite {
    /// Whether the account is a coordinator's now. One that becomes one meanwhile has another version.
    async fn is_coordinator(&self, id: AccountId) -> Result<bool, StoreError> {
        let account = self.account(id).await?;
        Ok(account.is_some_and(|kept| kept.account.role == StaffRole::Coordinator))
    }
}

#[derive(FromRow)]
struct Row {
    id: String,
    version: i64,
    name: String,
    sign_in: String,
    role: String,
    title: Option<String>,
    licence: Option<String>,
    password: Option<String>,
    secret: Option<String>,
    secret_used: Option<i64>,
    created_at_ms: i64,
    ended_at_ms: Option<i64>,
}

fn kept(row: Row) -> Result<KeptAccount, StoreError> {
    let id = row.id.clone();
    read(row).ok_or(StoreError::Account { id })
}

fn read(row: Row) -> Option<KeptAccount> {
    let clinician = match (row.title, row.licence) {
        (Some(title), Some(licence)) => {
            Some(Clinician { title: title.try_into().ok()?, licence: licence.try_into().ok()? })
        }
        _ => None,
    };
    let account = Account {
        name: row.name.try_into().ok()?,
        sign_in: row.sign_in.try_into().ok()?,
        role: role(&row.role)?,
        clinician,
    };
    let second = match (row.secret, row.secret_used) {
        (Some(secret), Some(used)) => Some(SecondFactor { secret, used: used.cast_unsigned() }),
        _ => None,
    };
    Some(KeptAccount {
        id: AccountId(Uuid::parse_str(&row.id).ok()?),
        version: row.version.cast_unsigned(),
        account,
        password: row.password,
        second,
        created_at: EpochMs(row.created_at_ms),
        ended_at: row.ended_at_ms.map(EpochMs),
    })
}

async fn insert(new: &KeptAccount, all: &mut Transaction<'_, Db>) -> Result<(), StoreError> {
    let (title, licence) = clinician(&new.account);
    sqlx::query(INSERT)
        .bind(new.id.0.to_string())
        .bind(new.account.name.as_str())
        .bind(new.account.sign_in.as_str())
        .bind(new.account.folded())
        .bind(role_name(new.account.role))
        .bind(title)
        .bind(licence)
        .bind(&new.password)
        .bind(new.created_at.0)
        .execute(&mut **all)
        .await?;
    Ok(())
}

async fn another_coordinator(id: AccountId, all: &mut Transaction<'_, Db>) -> Result<bool, StoreError> {
    let others: i64 =
        sqlx::query_scalar(OTHER_COORDINATORS).bind(id.0.to_string()).fetch_one(&mut **all).await?;
    Ok(others > 0)
}

fn is_taken(error: &sqlx::Error) -> bool {
    error.as_database_error().is_some_and(sqlx::error::DatabaseError::is_unique_violation)
}

fn clinician(account: &Account) -> (Option<&str>, Option<&str>) {
    account.clinician.as_ref().map(|of| (of.title.as_str(), of.licence.as_str())).unzip()
}

fn role_name(role: StaffRole) -> &'static str {
    match role {
        StaffRole::Coordinator => "coordinator",
        StaffRole::Facilitator => "facilitator",
        StaffRole::Helper => "helper",
    }
}

fn role(name: &str) -> Option<StaffRole> {
    match name {
        "coordinator" => Some(StaffRole::Coordinator),
        "facilitator" => Some(StaffRole::Facilitator),
        "helper" => Some(StaffRole::Helper),
        _ => None,
    }
}
