//! What somebody with the database file does to the audit is refused, or noticed.

use samebreath_core::time::EpochMs;
use samebreath_store::Sqlite;
use samebreath_store::audit::{Audit, AuditEntry, Verdict};
use sqlx::SqlitePool;

async fn kept(folder: &std::path::Path) -> (Sqlite, SqlitePool) {
    let store = Sqlite::open(folder).await.unwrap();
    for at in 1..=4 {
        let act = "POST /api/staff/sign-in".to_owned();
        let (actor, subject) = (None, None);
        let address = "203.0.113.9".to_owned();
        let entry = AuditEntry { at: EpochMs(at), actor, act, subject, outcome: 401, address };
        store.add_audit(&entry).await.unwrap();
    }
    let url = format!("sqlite:{}", folder.join("samebreath.db").display());
    (store, SqlitePool::connect(&url).await.unwrap())
}

#[tokio::test]
async fn rows_cannot_be_changed_removed_or_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let (store, pool) = kept(folder.path()).await;
    for text in ["update audit set outcome = 200", "delete from audit where seq = 2"] {
        let refused = sqlx::query(text).execute(&pool).await.unwrap_err().to_string();
        assert!(refused.contains("the audit is only added to"), "{text}: {refused}");
    }
    assert!(matches!(store.verify_audit().await.unwrap(), Verdict::Whole { rows: 4, .. }));
}

#[tokio::test]
async fn a_row_that_was_changed_or_left_out_all_the_same_is_found() {
    for (text, seq) in [
        ("update audit set outcome = 200 where seq = 2", 2),
        ("update audit set actor = 'x' where seq = 3", 3),
        ("delete from audit where seq = 2", 3),
        ("delete from audit where seq = 1", 2),
        ("update audit set hash = 'x' where seq = 4", 4),
        // A statement that replaces a row passes the triggers of a connection that does not ask for more.
        (
            "insert or replace into audit select seq, at_ms, actor, act, subject, 200, address, hash from audit where seq = 3",
            3,
        ),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let (store, pool) = kept(folder.path()).await;
        for trigger in ["audit_is_not_changed", "audit_is_not_removed"] {
            let drop = ["drop trigger ", trigger].concat();
            sqlx::query(sqlx::AssertSqlSafe(drop)).execute(&pool).await.unwrap();
        }
        sqlx::query(text).execute(&pool).await.unwrap();
        assert_eq!(store.verify_audit().await.unwrap(), Verdict::Broken { seq }, "{text}");
    }
}
