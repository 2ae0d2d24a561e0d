//! What somebody with the database file does to signed notes is refused, or noticed (W-23).

use samebreath_core::people::person::PersonId;
use samebreath_store::notes::{Notes, NotesVerdict};
use samebreath_store::{Sqlite, StoreError};
use sqlx::sqlite::{SqliteConnectOptions, SqlitePool};
use uuid::Uuid;

use crate::suite::notes::note;

async fn kept(folder: &std::path::Path) -> Result<(Sqlite, SqlitePool), StoreError> {
    let store = Sqlite::open(folder).await?;
    for (id, to) in [(1, None), (2, Some(1)), (3, Some(1)), (4, Some(1))] {
        assert!(store.add_note(&note(id, Some(PersonId(Uuid::from_u128(0xada))), to)).await?);
    }
    assert!(store.add_note(&note(5, None, None)).await?, "the note about the class");
    // As the program itself opens it: otherwise `insert or replace` would pass the trigger.
    let file = SqliteConnectOptions::new().filename(folder.join("samebreath.db"));
    Ok((store, SqlitePool::connect_with(file.pragma("recursive_triggers", "ON")).await?))
}

const REPLACE: &str = "insert or replace into note select seq, id, class, person, belongs_to, signed_at_ms, \
    '{}', sha256, hash from note where seq = 3";

#[tokio::test]
async fn signed_notes_cannot_be_changed_removed_or_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let (store, pool) = kept(folder.path()).await.unwrap();
    for text in [
        "update note set body = '{}' where seq = 2",
        // Only an erased person's may be emptied.
        "update note set body = '' where seq = 2",
        "update note set sha256 = 'x'",
        "delete from note where seq = 2",
        REPLACE,
    ] {
        let refused = sqlx::query(text).execute(&pool).await.unwrap_err().to_string();
        assert!(refused.contains("a signed note is only added to"), "{text}: {refused}");
    }
    sqlx::query("insert into erased (person, day, applied) values ($1, '2026-10-20', 0)")
        .bind(Uuid::from_u128(0xada).to_string())
        .execute(&pool)
        .await
        .unwrap();
    let more = "update note set body = '', signed_at_ms = 0 where seq = 2";
    assert!(sqlx::query(more).execute(&pool).await.is_err(), "nothing but the words may go");
    let of_nobody = "update note set body = '' where seq = 5";
    assert!(sqlx::query(of_nobody).execute(&pool).await.is_err(), "nobody was erased of whom it is");
    let verdict = store.verify_notes().await.unwrap();
    assert!(matches!(verdict, NotesVerdict::Whole { notes: 5, emptied: 0, .. }), "{verdict:?}");
}

#[tokio::test]
async fn a_note_that_was_changed_or_left_out_all_the_same_is_found() {
    for (text, seq) in [
        ("update note set body = '{}' where seq = 2", 2),
        ("update note set body = '' where seq = 2", 2),
        ("update note set signed_at_ms = 0 where seq = 3", 3),
        ("update note set person = null where seq = 4", 4),
        ("delete from note where seq = 2", 3),
        ("delete from note where seq = 1", 2),
        (REPLACE, 3),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let (store, pool) = kept(folder.path()).await.unwrap();
        for trigger in ["note_is_not_changed", "note_is_not_removed"] {
            let drop = ["drop trigger ", trigger].concat();
            sqlx::query(sqlx::AssertSqlSafe(drop)).execute(&pool).await.unwrap();
        }
        sqlx::query(text).execute(&pool).await.unwrap();
        assert_eq!(store.verify_notes().await.unwrap(), NotesVerdict::Broken { seq }, "{text}");
    }
}
