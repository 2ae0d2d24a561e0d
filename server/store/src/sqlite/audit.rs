//! The audit, in SQLite.

use async_trait::async_trait;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::StoreError;
use crate::audit::{Audit, AuditEntry, Columns, Verdict, hash};
use crate::sqlite::Sqlite;

const READ: &str =
    "select seq, at_ms, actor, act, subject, outcome, address from audit where seq > $1 order by seq";

/// No rule empties a row that is less than a year old (365 days).
const LEAST_MS: i64 = 365 * 24 * 3_600_000;

#[async_trait]
impl Audit for Sqlite {
    async fn add_audit(&self, entry: &AuditEntry) -> Result<(), StoreError> {
        // Nobody else adds a row between the look at the last one and the next.
        let mut all = self.pool.begin_with("begin immediate").await?;
        let last: Option<(i64, String)> =
            sqlx::query_as("select seq, hash from audit order by seq desc limit 1")
                .fetch_optional(&mut *all)
                .await?;
        let (seq, before) = last.unwrap_or_default();
        let row: Columns = (
            seq + 1,
            entry.at.0,
            entry.actor.map(|actor| actor.0.to_string()),
            entry.act.clone(),
            entry.subject.map(|subject| subject.to_string()),
            i64::from(entry.outcome),
            entry.address.clone(),
        );
        let hash = hash(&before, &row);
        sqlx::query(
            "insert into audit (seq, at_ms, actor, act, subject, outcome, address, hash) \
             values ($1, $2, $3, $4, $5, $6, $7, $8)",
        )
        .bind(row.0)
        .bind(row.1)
        .bind(row.2)
        .bind(row.3)
        .bind(row.4)
        .bind(row.5)
        .bind(row.6)
        .bind(hash)
        .execute(&mut *all)
        .await?;
        all.commit().await?;
        Ok(())
    }

    async fn audit_after(&self, seq: u64) -> Result<Vec<(u64, AuditEntry)>, StoreError> {
        let rows: Vec<Columns> = sqlx::query_as(READ).bind(seq.cast_signed()).fetch_all(&self.pool).await?;
        Ok(rows.into_iter().map(entry).collect())
    }

    async fn verify_audit(&self) -> Result<Verdict, StoreError> {
        let rows: Vec<Columns> = sqlx::query_as(READ).bind(0_i64).fetch_all(&self.pool).await?;
        let hashes: Vec<String> =
            sqlx::query_scalar("select hash from audit order by seq").fetch_all(&self.pool).await?;
        let emptied = rows.iter().take_while(|row| is_empty(row)).count();
        let newest_ms = rows.last().map_or(0, |row| row.1);
        if let Some(young) = rows[..emptied].iter().find(|row| row.1 > newest_ms - LEAST_MS) {
            return Ok(Verdict::Broken { seq: young.0.cast_unsigned() });
        }
        let mut before = String::new();
        for (expected, (row, kept)) in (1..).zip(rows.iter().zip(&hashes)) {
            let follows = expected <= emptied as i64 || hash(&before, row) == *kept;
            if row.0 != expected || !follows {
                return Ok(Verdict::Broken { seq: row.0.cast_unsigned() });
            }
            before.clone_from(kept);
        }
        Ok(Verdict::Whole { rows: rows.len() as u64, emptied: emptied as u64, last: before })
    }

    async fn acts_before(&self, at: EpochMs) -> Result<u32, StoreError> {
        let found = sqlx::query_scalar(
            "select count(*) from audit where at_ms < $1 and act <> '' and seq < (\
                 select coalesce(min(seq), 9223372036854775807) from audit where at_ms >= $1)",
        );
        Ok(found.bind(at.0).fetch_one(&self.pool).await?)
    }

    async fn empty_acts(&self, at: EpochMs) -> Result<u32, StoreError> {
        let emptied = sqlx::query(
            "update audit set actor = null, act = '', subject = null, outcome = 0, address = '' \
             where at_ms < $1 and act <> '' and seq < (\
                 select coalesce(min(seq), 9223372036854775807) from audit where at_ms >= $1)",
        );
        let emptied = emptied.bind(at.0).execute(&self.pool).await?;
        Ok(u32::try_from(emptied.rows_affected()).unwrap_or(u32::MAX))
    }
}

fn is_empty((_, _, actor, act, subject, outcome, address): &Columns) -> bool {
    actor.is_none() && act.is_empty() && subject.is_none() && *outcome == 0 && address.is_empty()
}

fn entry((seq, at_ms, actor, act, subject, outcome, address): Columns) -> (u64, AuditEntry) {
    let id = |text: Option<String>| text.and_then(|text| Uuid::parse_str(&text).ok());
    let entry = AuditEntry {
        at: EpochMs(at_ms),
        actor: id(actor).map(AccountId),
        act,
        subject: id(subject),
        outcome: u16::try_from(outcome).unwrap_or(u16::MAX),
        address,
    };
    (seq.cast_unsigned(), entry)
}
