//! The embedded store through its public face, on real files.
#![allow(clippy::unwrap_used, missing_docs, reason = "a test file")]

use samebreath_core::live::ClassEvent;
use samebreath_core::live::{Actor, DeskRole, Recorded, SeatId};
use samebreath_core::time::EpochMs;
use samebreath_store::ledger::{Append, Ledger, NewEvent, SessionId};
use samebreath_store::sessions::{Pass, Role, SessionEntry, Use};
use samebreath_store::{Sqlite, StoreError};
use uuid::Uuid;

const SESSION: SessionId = SessionId(Uuid::from_u128(1));
const OTHER: SessionId = SessionId(Uuid::from_u128(2));

async fn open(folder: &std::path::Path) -> Sqlite {
    let store = Sqlite::open(folder).await.unwrap();
    for (id, code) in [(SESSION, "AAAAAAAA"), (OTHER, "BBBBBBBB")] {
        let (title, created_at) = ("x".to_owned(), EpochMs(id.0.as_u128() as i64));
        let entry = SessionEntry {
            id,
            code: code.to_owned(),
            title,
            rehearsal: false,
            created_at,
            group: None,
            ended_at: None,
            request: None,
        };
        store.add_session(&entry).await.unwrap();
    }
    store
}

fn event(seq: u64, id: u128) -> NewEvent {
    let recorded =
        Recorded { seq, at: EpochMs(5), by: Actor::Entry, cause: None, event: ClassEvent::Opened.into() };
    NewEvent { id: Uuid::from_u128(id), recorded }
}

#[tokio::test]
async fn what_was_committed_is_read_back_in_order() {
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
async fn what_was_handed_over_before_closing_is_on_disk_and_nothing_is_taken_after() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let handed_over = store.append(SESSION, 0, vec![event(1, 1)]);
    let (outcome, ()) = tokio::join!(handed_over, store.close());
    assert!(matches!(outcome, Append::Committed));
    assert!(matches!(store.append(SESSION, 1, vec![event(2, 2)]).await, Append::Unknown(StoreError::Closed)));
    store.close().await;
    let again = Sqlite::open(folder.path()).await.unwrap();
    assert_eq!(again.read_after(SESSION, 0).await.unwrap().len(), 1);
}

#[tokio::test]
async fn a_second_writer_of_the_same_place_conflicts_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let second = store.clone();
    assert!(matches!(store.append(SESSION, 0, vec![event(1, 1)]).await, Append::Committed));
    assert!(matches!(second.append(SESSION, 0, vec![event(1, 2), event(2, 3)]).await, Append::Conflict));
    assert!(matches!(second.append(SESSION, 5, vec![event(6, 4)]).await, Append::Conflict), "a gap");
    assert!(matches!(second.append(SESSION, 1, vec![event(2, 1)]).await, Append::Conflict), "an id twice");
    assert_eq!(store.read_after(SESSION, 0).await.unwrap().len(), 1);
    assert!(matches!(second.append(OTHER, 0, vec![event(1, 9)]).await, Append::Committed));
}

#[tokio::test]
async fn appends_of_many_rooms_at_once_all_commit_and_one_of_two_rivals_wins() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let mut tasks = tokio::task::JoinSet::new();
    for rival in 0..20u128 {
        let store = store.clone();
        tasks.spawn(async move { store.append(SESSION, 0, vec![event(1, 100 + rival)]).await });
    }
    let outcomes = tasks.join_all().await;
    let won = outcomes.iter().filter(|o| matches!(o, Append::Committed)).count();
    let lost = outcomes.iter().filter(|o| matches!(o, Append::Conflict)).count();
    assert_eq!((won, lost), (1, 19));
    assert_eq!(store.read_after(SESSION, 0).await.unwrap().len(), 1);
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

#[tokio::test]
async fn a_link_that_works_once_works_once() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let desk = Pass { session: SESSION, role: Role::Desk(DeskRole::Facilitator) };
    let seat = Pass { session: SESSION, role: Role::Seat(SeatId(4)) };
    store.add_pass("h1", desk.clone(), Use::Once, EpochMs(100)).await.unwrap();
    store.add_pass("h2", seat.clone(), Use::Always, EpochMs(100)).await.unwrap();
    assert_eq!(store.pass("h1", EpochMs(1)).await.unwrap(), None, "a link is used first");
    let (one, other) = (Uuid::from_u128(11), Uuid::from_u128(12));
    assert_eq!(store.use_link("h1", one, EpochMs(1)).await.unwrap(), Some(desk.clone()));
    assert_eq!(store.use_link("h1", one, EpochMs(1)).await.unwrap(), Some(desk), "the same page asks again");
    assert_eq!(store.use_link("h1", other, EpochMs(1)).await.unwrap(), None);
    assert_eq!(store.use_link("h2", other, EpochMs(1)).await.unwrap(), Some(seat.clone()));
    assert_eq!(store.pass("h2", EpochMs(99)).await.unwrap(), Some(seat));
    assert_eq!(store.pass("h2", EpochMs(100)).await.unwrap(), None, "expired");
    let codes: Vec<_> = store.sessions().await.unwrap().into_iter().map(|s| s.code).collect();
    assert_eq!(codes, ["BBBBBBBB", "AAAAAAAA"], "newest first");
}

/// Once, what one server took did not reach the desks of another on the same folder.
#[tokio::test]
async fn a_second_server_on_one_folder_is_refused_with_words_until_the_first_is_closed() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let refused = Sqlite::open(folder.path()).await.unwrap_err();
    assert!(refused.to_string().starts_with("another server has the data folder"), "{refused}");
    store.close().await;
    Sqlite::open(folder.path()).await.unwrap();
}

#[tokio::test]
async fn whether_a_session_is_over_is_known_without_its_ledger() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    assert_eq!(store.unfinished_sessions().await.unwrap().len(), 2);
    let mut end = event(2, 2);
    (end.recorded.event, end.recorded.at) = (ClassEvent::Ended.into(), EpochMs(77));
    assert!(matches!(store.append(SESSION, 0, vec![event(1, 1), end]).await, Append::Committed));
    let ended = store.session(SESSION).await.unwrap().unwrap();
    assert_eq!(ended.ended_at, Some(EpochMs(77)));
    let left: Vec<_> = store.unfinished_sessions().await.unwrap().into_iter().map(|entry| entry.id).collect();
    assert_eq!(left, [OTHER]);
    assert_eq!(store.last_at(SESSION).await.unwrap(), Some(EpochMs(77)));
}

/// Lines say of which version they are; those from before there was one are read, those of a later one are not.
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

#[tokio::test]
async fn expired_passes_are_forgotten() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path()).await;
    let pass = || Pass { session: SESSION, role: Role::Wall };
    store.add_pass("old", pass(), Use::Always, EpochMs(10)).await.unwrap();
    store.add_pass("new", pass(), Use::Always, EpochMs(30)).await.unwrap();
    store.add_planner_pass("old", Use::Once, EpochMs(10)).await.unwrap();
    assert_eq!(store.forget_expired(EpochMs(20)).await.unwrap(), 2);
    assert_eq!(store.pass("new", EpochMs(20)).await.unwrap(), Some(pass()));
}
