//! Backups: made beside a running server, refused where they cannot be trusted, and put back.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::suite::{SESSION, event};
use samebreath_store::ledger::{Append, Ledger};
use samebreath_store::{Sqlite, StoreError, Upkeep, backup};
use sqlx::migrate::Migrator;

async fn open(folder: &Path) -> Sqlite {
    let store = Sqlite::open(folder).await.unwrap();
    crate::suite::add_sessions(&store).await;
    store
}

async fn append(store: &Sqlite, from: u64, to: u64) {
    let lines = (from + 1..=to).map(|seq| event(seq, u128::from(seq))).collect();
    assert!(matches!(store.append(SESSION, from, lines).await, Append::Committed));
}

async fn seqs(folder: &Path) -> Vec<u64> {
    let store = Sqlite::open(folder).await.unwrap();
    let seqs = store.read_after(SESSION, 0).await.unwrap().iter().map(|line| line.seq).collect();
    store.close().await;
    seqs
}

#[tokio::test]
async fn a_copy_is_made_beside_a_running_server_and_only_its_owner_can_read_it() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    append(&store, 0, 3).await;
    let copy = folder.path().join("copy.db");
    let held = backup::backup(folder.path(), &copy).await.unwrap();
    assert_eq!((held.lines, held.documents), (3, 0));
    assert_eq!(std::fs::metadata(&copy).unwrap().permissions().mode() & 0o777, 0o600);
    // The server has gone on meanwhile, and nothing else was left lying about.
    append(&store, 3, 4).await;
    store.close().await;
    assert_eq!(backup::check(&copy).await.unwrap(), held);
    let names =
        std::fs::read_dir(folder.path()).unwrap().map(|one| one.unwrap().file_name()).collect::<Vec<_>>();
    assert!(names.iter().all(|name| !name.to_str().unwrap().contains("part")), "{names:?}");
    let elsewhere = folder.path().join("elsewhere");
    let restored = backup::restore(&copy, &elsewhere, "then").await.unwrap();
    assert_eq!((restored.held, restored.replaced), (held, None));
    assert_eq!(seqs(&elsewhere).await, [1, 2, 3]);
}

#[tokio::test]
async fn nothing_is_overwritten_and_a_folder_without_data_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let empty = backup::backup(folder.path(), &folder.path().join("x")).await.unwrap_err();
    assert!(matches!(empty, StoreError::NothingHere { .. }), "{empty}");
    open(folder.path()).await.close().await;
    let copy = folder.path().join("copy.db");
    std::fs::write(&copy, "mine").unwrap();
    let refused = backup::backup(folder.path(), &copy).await.unwrap_err();
    assert!(refused.to_string().ends_with("exists already; give another name"), "{refused}");
    assert_eq!(std::fs::read_to_string(&copy).unwrap(), "mine");
    let nowhere = backup::backup(folder.path(), &folder.path().join("no/such/copy.db")).await.unwrap_err();
    assert!(matches!(nowhere, StoreError::File { .. }), "{nowhere}");
}

#[tokio::test]
async fn what_cannot_be_trusted_is_not_put_back_and_everything_stays_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    let store = open(&data).await;
    append(&store, 0, 40).await;
    let good = folder.path().join("good.db");
    backup::backup(&data, &good).await.unwrap();
    let refused = backup::restore(&good, &data, "then").await.unwrap_err();
    assert!(matches!(refused, StoreError::InUse { .. }), "{refused}");
    store.close().await;

    let bytes = std::fs::read(&good).unwrap();
    let file = |name: &str, bytes: &[u8]| {
        let file = folder.path().join(name);
        std::fs::write(&file, bytes).unwrap();
        file
    };
    let mut overwritten = bytes.clone();
    let from = bytes.len() / 2;
    overwritten[from..from + 4096].fill(0xAB);
    let overwritten = file("overwritten", &overwritten);
    let cut = file("cut", &bytes[..bytes.len() - 5000]);
    let words = file("words", b"not a database at all");
    let none = file("none", b"");
    let foreign = folder.path().join("foreign");
    let pool = sqlx::SqlitePool::connect(&format!("sqlite:{}?mode=rwc", foreign.display())).await.unwrap();
    sqlx::query("create table other (x)").execute(&pool).await.unwrap();
    pool.close().await;
    let newer = folder.path().join("newer");
    std::fs::copy(&good, &newer).unwrap();
    let pool = sqlx::SqlitePool::connect(&format!("sqlite:{}", newer.display())).await.unwrap();
    sqlx::query("insert into _sqlx_migrations select 9000, description, installed_on, success, checksum, execution_time from _sqlx_migrations limit 1")
        .execute(&pool)
        .await
        .unwrap();
    pool.close().await;
    let foreign_says = "is no backup of this program";
    for (wrong, says) in [
        (overwritten, "damaged"),
        (cut, "damaged"),
        (words, foreign_says),
        (none, foreign_says),
        (foreign, foreign_says),
        (newer, "migration 9000"),
        (folder.path().join("missing"), "No such file"),
    ] {
        for error in [
            backup::check(&wrong).await.unwrap_err(),
            backup::restore(&wrong, &data, "then").await.unwrap_err(),
        ] {
            let all = std::iter::successors(Some(&error as &dyn std::error::Error), |error| error.source());
            let said = all.map(ToString::to_string).collect::<Vec<_>>().join(": ");
            assert!(said.contains(says), "{}: {said}", wrong.display());
        }
        assert!(!data.join("replaced-then.db").exists() && !data.join("restore.part").exists());
    }
    assert_eq!(seqs(&data).await.len(), 40);
}

/// After a crash, commits are in the log only. They belong to the database that is set aside, and to no other.
#[tokio::test]
async fn the_log_of_what_was_there_is_kept_with_it_and_not_played_into_the_copy() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    append(&store, 0, 2).await;
    let copy = folder.path().join("copy.db");
    backup::backup(folder.path(), &copy).await.unwrap();
    append(&store, 2, 5).await;
    // What a killed server leaves: the file and its log as they are now.
    let crashed = folder.path().join("crashed");
    std::fs::create_dir(&crashed).unwrap();
    for name in ["samebreath.db", "samebreath.db-wal"] {
        std::fs::copy(folder.path().join(name), crashed.join(name)).unwrap();
    }
    store.close().await;
    assert!(std::fs::metadata(crashed.join("samebreath.db-wal")).unwrap().len() > 0);
    let raw = backup::check(&crashed.join("samebreath.db")).await.unwrap_err();
    assert!(raw.to_string().contains("has a log beside it"), "{raw}");
    let restored = backup::restore(&copy, &crashed, "then").await.unwrap();
    let (aside, had) = restored.replaced.unwrap();
    assert_eq!((had.unwrap().lines, restored.held.lines), (5, 2));
    assert_eq!(seqs(&crashed).await, [1, 2]);
    assert_eq!(backup::check(&aside).await.unwrap().lines, 5, "what came after the copy is not lost either");
}

#[tokio::test]
async fn links_and_cookies_of_a_copy_no_longer_work() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let (file, copy) = (folder.path().join("samebreath.db"), folder.path().join("copy.db"));
    let pool = sqlx::SqlitePool::connect(&format!("sqlite:{}", file.display())).await.unwrap();
    for of_staff in [
        "insert into account (id, version, name, sign_in, folded, role, created_at_ms) values ('a', 1, 'A', 'a', 'a', 'helper', 1)",
        "insert into signed_in values ('x', 'x', 'a', '', 1, 1, 1, 9999999999999)",
        "insert into account_link (hash, account, opens, expires_at_ms) values ('x', 'a', 0, 9999999999999)",
    ] {
        sqlx::query(of_staff).execute(&pool).await.unwrap();
    }
    let pass = "insert into pass (hash, session, role, once, expires_at_ms) select 'y', id, 'desk', 0, 9999999999999 from session limit 1";
    sqlx::query(pass).execute(&pool).await.unwrap();
    let passes = "select (select count(*) from signed_in) + (select count(*) from account_link) + (select count(*) from pass)";
    let before: i64 = sqlx::query_scalar(passes).fetch_one(&pool).await.unwrap();
    assert_eq!(before, 3);
    pool.close().await;
    backup::backup(folder.path(), &copy).await.unwrap();
    // A backup that is for reading only, on a disk for instance, can be put back as well.
    let mut permissions = std::fs::metadata(&copy).unwrap().permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&copy, permissions).unwrap();
    store.close().await;
    backup::restore(&copy, folder.path(), "then").await.unwrap();
    let pool = sqlx::SqlitePool::connect(&format!("sqlite:{}", file.display())).await.unwrap();
    let after: i64 = sqlx::query_scalar(passes).fetch_one(&pool).await.unwrap();
    assert_eq!(after, 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn whatever_was_acknowledged_before_a_backup_began_is_in_it_however_busy_the_server_is() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let acknowledged = Arc::new(AtomicU64::new(0));
    let (writes, counts) = (store.clone(), Arc::clone(&acknowledged));
    let writer = tokio::spawn(async move {
        for from in 0..3_000 {
            append(&writes, from, from + 1).await;
            counts.store(from + 1, Ordering::SeqCst);
        }
    });
    for n in 0..5 {
        while acknowledged.load(Ordering::SeqCst) < n * 500 {
            tokio::task::yield_now().await;
        }
        let before = acknowledged.load(Ordering::SeqCst);
        let copy = folder.path().join(format!("copy-{n}.db"));
        let held = backup::backup(folder.path(), &copy).await.unwrap();
        let after = acknowledged.load(Ordering::SeqCst);
        let lines = u64::try_from(held.lines).unwrap();
        // One more may be on disk and not yet acknowledged.
        assert!((before..=after + 1).contains(&lines), "{before} <= {lines} <= {after}");
        let elsewhere = folder.path().join(format!("elsewhere-{n}"));
        backup::restore(&copy, &elsewhere, "then").await.unwrap();
        assert_eq!(seqs(&elsewhere).await, (1..=lines).collect::<Vec<_>>());
    }
    writer.await.unwrap();
    store.close().await;
}

/// Every earlier schema, as its migrations made it.
#[tokio::test]
async fn a_copy_is_kept_before_an_older_schema_is_changed_and_an_old_backup_is_brought_up_to_date() {
    let migrations = Migrator::new(Path::new("../migrations")).await.unwrap();
    let newest = migrations.iter().map(|one| one.version).max().unwrap();
    for version in 1..newest {
        let folder = tempfile::tempdir().unwrap();
        let data = folder.path().join("data");
        std::fs::create_dir(&data).unwrap();
        let file = format!("sqlite:{}?mode=rwc", data.join("samebreath.db").display());
        let pool = sqlx::SqlitePool::connect(&file).await.unwrap();
        migrations.run_to(version, &pool).await.unwrap();
        let session = "insert into session (id, code, title, rehearsal, created_at_ms) values ('018f', 'ABC', 'A class', 0, 1)";
        sqlx::query(session).execute(&pool).await.unwrap();
        let line = "insert into event (session, seq, event_id, at_ms, body) values ('018f', 1, 'e', 1, '{}')";
        sqlx::query(line).execute(&pool).await.unwrap();
        pool.close().await;
        let old = folder.path().join("old.db");
        backup::backup(&data, &old).await.unwrap();
        Sqlite::open(&data).await.unwrap().close().await;
        let kept = data.join(format!("before-migration-from-{version}.db"));
        let held = backup::check(&kept).await.unwrap();
        assert_eq!((held.sessions, held.lines), (1, 1));
        // The next start changes nothing, and keeps nothing more.
        std::fs::remove_file(&kept).unwrap();
        Sqlite::open(&data).await.unwrap().close().await;
        assert!(!kept.exists());
        let elsewhere = folder.path().join("elsewhere");
        backup::restore(&old, &elsewhere, "then").await.unwrap();
        Sqlite::open(&elsewhere).await.unwrap().close().await;
        let again = elsewhere.join(format!("before-migration-from-{version}.db"));
        assert!(!again.exists(), "it had the present schema already");
    }
}
