//! SQLite: it passes the suite, and handles its files as it should.

use std::sync::Arc;

use crate::suite::{SESSION, event};
use samebreath_store::ledger::{Append, Ledger};
use samebreath_store::{Sqlite, Store, Upkeep};

suite!(async {
    let folder = tempfile::tempdir().unwrap();
    let store: Arc<dyn Store> = Arc::new(Sqlite::open(folder.path()).await.unwrap());
    (store, folder)
});

async fn open(folder: &std::path::Path) -> Sqlite {
    let store = Sqlite::open(folder).await.unwrap();
    crate::suite::add_sessions(&store).await;
    store
}

#[tokio::test]
async fn what_was_committed_is_there_when_the_file_is_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    assert!(matches!(store.append(SESSION, 0, vec![event(1, 1), event(2, 2)]).await, Append::Committed));
    assert!(matches!(store.append(SESSION, 2, vec![event(3, 3)]).await, Append::Committed));
    store.close().await;
    let again = Sqlite::open(folder.path()).await.unwrap();
    let seqs: Vec<_> = again.read_after(SESSION, 1).await.unwrap().iter().map(|r| r.seq).collect();
    assert_eq!(seqs, [2, 3]);
}

#[tokio::test]
async fn what_was_handed_over_before_closing_is_on_disk() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let handed_over = store.append(SESSION, 0, vec![event(1, 1)]);
    let (outcome, ()) = tokio::join!(handed_over, store.close());
    assert!(matches!(outcome, Append::Committed));
    let again = Sqlite::open(folder.path()).await.unwrap();
    assert_eq!(again.read_after(SESSION, 0).await.unwrap().len(), 1);
}

#[tokio::test]
async fn a_damaged_database_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    open(folder.path()).await.close().await;
    let file = folder.path().join("samebreath.db");
    let mut bytes = std::fs::read(&file).unwrap();
    let middle = bytes.len() / 2;
    bytes[100..middle].fill(0xAB);
    std::fs::write(&file, bytes).unwrap();
    assert!(Sqlite::open(folder.path()).await.is_err());
}

#[tokio::test]
async fn the_database_is_durable_private_and_strict() {
    let folder = tempfile::tempdir().unwrap();
    let inner = folder.path().join("data");
    open(&inner).await.close().await;
    let bytes = std::fs::read(inner.join("samebreath.db")).unwrap();
    // File format, https://www.sqlite.org/fileformat2.html: bytes 18 and 19 are 2 in WAL mode.
    assert_eq!(&bytes[18..20], [2, 2]);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |path: &std::path::Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&inner), mode(&inner.join("samebreath.db"))), (0o700, 0o600));
    }
}

/// In an earlier version, two servers could share a folder, and what one took did not reach the other's desks.
#[tokio::test]
async fn a_second_server_on_one_folder_is_refused_with_words_until_the_first_is_closed() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let refused = Sqlite::open(folder.path()).await.unwrap_err();
    assert!(refused.to_string().starts_with("another server has the data folder"), "{refused}");
    store.close().await;
    Sqlite::open(folder.path()).await.unwrap();
}

/// Lines name their version. Lines without one are read, and lines of a later version are refused.
#[tokio::test]
async fn lines_of_earlier_versions_are_read_and_a_later_one_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    assert!(matches!(store.append(SESSION, 0, vec![event(1, 1)]).await, Append::Committed));
    store.close().await;
    let file = format!("sqlite:{}", folder.path().join("samebreath.db").display());
    let pool = sqlx::SqlitePool::connect(&file).await.unwrap();
    let body: String = sqlx::query_scalar("select body from event").fetch_one(&pool).await.unwrap();
    assert!(body.starts_with("{\"v\":1,"), "{body}");
    let old = body.replacen("\"v\":1,", "", 1);
    let new = body.replacen("\"v\":1,", "\"v\":2,", 1);
    for (seq, body) in [(2, old.replace("\"seq\":1", "\"seq\":2")), (3, new)] {
        let line = "insert into event (session, seq, event_id, at_ms, body) values ($1, $2, $3, 5, $4)";
        sqlx::query(line)
            .bind(SESSION.to_string())
            .bind(seq)
            .bind(seq.to_string())
            .bind(body)
            .execute(&pool)
            .await
            .unwrap();
    }
    pool.close().await;
    let store = Sqlite::open(folder.path()).await.unwrap();
    let refused = store.read_after(SESSION, 0).await.unwrap_err();
    assert_eq!(refused.to_string(), "line 3 of a ledger has version 2; this program reads up to 1");
    assert!(refused.is_of_one_session());
}

#[tokio::test]
async fn a_file_that_others_could_read_is_made_private_and_an_empty_one_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    open(folder.path()).await.close().await;
    let file = folder.path().join("samebreath.db");
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o666)).unwrap();
    Sqlite::open(folder.path()).await.unwrap().close().await;
    assert_eq!(std::fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
    std::fs::write(&file, []).unwrap();
    let refused = Sqlite::open(folder.path()).await.unwrap_err();
    assert!(refused.to_string().contains("is empty: restore a backup"), "{refused}");
}
