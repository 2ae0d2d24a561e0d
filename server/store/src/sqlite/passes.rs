//! The passes, in SQLite.

use async_trait::async_trait;
use samebreath_core::live::{DeskRole, SeatId};
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::StoreError;
use crate::ledger::SessionId;
use crate::passes::{Pass, Passes, Role, Use};
use crate::sqlite::Sqlite;

#[async_trait]
impl Passes for Sqlite {
    async fn add_pass(
        &self,
        hash: &str,
        pass: Pass,
        use_: Use,
        expires_at: EpochMs,
    ) -> Result<(), StoreError> {
        let (role, seat) = columns(&pass.role);
        sqlx::query(
            "insert into pass (hash, session, role, seat, once, expires_at_ms, via, decides) \
             select $1, $2, $3, $4, $5, $6, $7, $8 \
             where $7 is null or exists (select 1 from signed_in where id = $7) \
             or exists (select 1 from own_device where id = $7)",
        )
        .bind(hash)
        .bind(pass.session.to_string())
        .bind(role)
        .bind(seat)
        .bind(i64::from(use_ == Use::Once))
        .bind(expires_at.0)
        .bind(pass.via.map(|via| via.to_string()))
        .bind(i64::from(pass.decides))
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    async fn pass(&self, hash: &str, now: EpochMs) -> Result<Option<Pass>, StoreError> {
        let found: Option<PassRow> = sqlx::query_as(
            "select session, role, seat, via, decides from pass where hash = $1 and once = 0 and expires_at_ms > $2",
        )
        .bind(hash)
        .bind(now.0)
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(pass))
    }

    async fn use_link(&self, hash: &str, request: Uuid, now: EpochMs) -> Result<Option<Pass>, StoreError> {
        let once: Option<PassRow> = sqlx::query_as(
            "update pass set used_by = $3 where hash = $1 and once = 1 and expires_at_ms > $2 \
             and (used_by is null or used_by = $3) returning session, role, seat, via, decides",
        )
        .bind(hash)
        .bind(now.0)
        .bind(request.to_string())
        .fetch_optional(&self.pool)
        .await?;
        match once {
            Some(row) => Ok(pass(row)),
            None => self.pass(hash, now).await,
        }
    }

    async fn forget_expired(&self, now: EpochMs) -> Result<u64, StoreError> {
        let mut forgotten = 0;
        for table in [
            "delete from pass where expires_at_ms <= $1",
            "delete from account_link where expires_at_ms <= $1",
            // Passes that it gave are found by it.
            "delete from signed_in where expires_at_ms <= $1 and not exists (select 1 from pass where via = signed_in.id)",
        ] {
            forgotten += sqlx::query(table).bind(now.0).execute(&self.pool).await?.rows_affected();
        }
        Ok(forgotten)
    }
}

type PassRow = (String, String, Option<i64>, Option<String>, i64);

fn pass((session, role, seat, via, decides): PassRow) -> Option<Pass> {
    let session = SessionId(Uuid::parse_str(&session).ok()?);
    let role = match (role.as_str(), seat) {
        ("facilitator", None) => Role::Desk(DeskRole::Facilitator),
        ("helper", None) => Role::Desk(DeskRole::Helper),
        ("wall", None) => Role::Wall,
        ("seat", Some(seat)) => Role::Seat(SeatId(u32::try_from(seat).ok()?)),
        _ => return None,
    };
    let via = via.map(|via| Uuid::parse_str(&via)).transpose().ok()?;
    Some(Pass { session, role, via, decides: decides == 1 })
}

/// The columns that say what a pass opens.
fn columns(role: &Role) -> (&'static str, Option<i64>) {
    match role {
        Role::Desk(DeskRole::Facilitator) => ("facilitator", None),
        Role::Desk(DeskRole::Helper) => ("helper", None),
        Role::Wall => ("wall", None),
        Role::Seat(seat) => ("seat", Some(i64::from(seat.0))),
    }
}
