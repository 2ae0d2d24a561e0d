//! Signed notes, in SQLite.

use std::collections::BTreeSet;

use async_trait::async_trait;
use samebreath_core::people::person::PersonId;
use samebreath_core::time::EpochMs;
use sqlx::Row as _;
use sqlx::sqlite::SqliteRow;
use uuid::Uuid;

use crate::StoreError;
use crate::ledger::SessionId;
use crate::notes::{Columns, KeptNote, Notes, NotesVerdict, digest, hash};
use crate::sqlite::Sqlite;

fn read(row: &SqliteRow) -> Option<KeptNote> {
    let id = |text: Option<String>| text.map(|text| Uuid::parse_str(&text)).transpose().ok();
    Some(KeptNote {
        id: id(row.get("id"))??,
        class: SessionId(id(row.get("class"))??),
        person: id(row.get("person"))?.map(PersonId),
        to: id(row.get("belongs_to"))?,
        signed_at: EpochMs(row.get("signed_at_ms")),
        body: row.get("body"),
        sha256: row.get("sha256"),
    })
}

#[async_trait]
impl Notes for Sqlite {
    async fn add_note(&self, note: &KeptNote) -> Result<bool, StoreError> {
        // Nobody else adds a row between the look at the last one and the next.
        let mut all = self.pool.begin_with("begin immediate").await?;
        let last: Option<(i64, String)> =
            sqlx::query_as("select seq, hash from note order by seq desc limit 1")
                .fetch_optional(&mut *all)
                .await?;
        let (seq, before) = last.unwrap_or_default();
        let row: Columns = (
            seq + 1,
            note.id.to_string(),
            note.class.to_string(),
            note.person.map(|person| person.0.to_string()),
            note.to.map(|to| to.to_string()),
            note.signed_at.0,
            note.sha256.clone(),
        );
        let hash = hash(&before, &row);
        let added = sqlx::query(
            "insert into note (seq, id, class, person, belongs_to, signed_at_ms, sha256, body, hash) \
             values ($1, $2, $3, $4, $5, $6, $7, $8, $9) on conflict do nothing",
        )
        .bind(row.0)
        .bind(row.1)
        .bind(row.2)
        .bind(row.3)
        .bind(row.4)
        .bind(row.5)
        .bind(row.6)
        .bind(&note.body)
        .bind(hash)
        .execute(&mut *all)
        .await?;
        all.commit().await?;
        Ok(added.rows_affected() == 1)
    }

    async fn note(&self, id: Uuid) -> Result<Option<KeptNote>, StoreError> {
        let found = sqlx::query(
            "select id, class, person, belongs_to, signed_at_ms, body, sha256 from note where id = $1",
        );
        Ok(found.bind(id.to_string()).fetch_optional(&self.pool).await?.as_ref().and_then(read))
    }

    async fn notes_of_class(&self, class: SessionId) -> Result<Vec<KeptNote>, StoreError> {
        let found = sqlx::query(
            "select id, class, person, belongs_to, signed_at_ms, body, sha256 from note where class = $1 order by seq",
        );
        Ok(found.bind(class.to_string()).fetch_all(&self.pool).await?.iter().filter_map(read).collect())
    }

    async fn notes_of_person(&self, person: PersonId) -> Result<Vec<KeptNote>, StoreError> {
        let found = sqlx::query(
            "select id, class, person, belongs_to, signed_at_ms, body, sha256 from note where person = $1 order by seq",
        );
        Ok(found.bind(person.0.to_string()).fetch_all(&self.pool).await?.iter().filter_map(read).collect())
    }

    async fn verify_notes(&self) -> Result<NotesVerdict, StoreError> {
        let rows = sqlx::query(
            "select seq, id, class, person, belongs_to, signed_at_ms, sha256, body, hash from note order by seq",
        )
        .fetch_all(&self.pool)
        .await?;
        let erased: Vec<String> =
            sqlx::query_scalar("select person from erased").fetch_all(&self.pool).await?;
        let erased: BTreeSet<String> = erased.into_iter().collect();
        let (mut before, mut emptied) = (String::new(), 0);
        for (expected, row) in (1_i64..).zip(&rows) {
            let columns: Columns = (
                row.get("seq"),
                row.get("id"),
                row.get("class"),
                row.get("person"),
                row.get("belongs_to"),
                row.get("signed_at_ms"),
                row.get("sha256"),
            );
            let (body, kept): (String, String) = (row.get("body"), row.get("hash"));
            let is_empty =
                body.is_empty() && columns.3.as_ref().is_some_and(|person| erased.contains(person));
            let is_as_signed = is_empty || digest(&body) == columns.6;
            if columns.0 != expected || !is_as_signed || hash(&before, &columns) != kept {
                return Ok(NotesVerdict::Broken { seq: columns.0.cast_unsigned() });
            }
            emptied += u64::from(is_empty);
            before = kept;
        }
        Ok(NotesVerdict::Whole { notes: rows.len() as u64, emptied, last: before })
    }
}
