//! The embedded store through its public face, on real files.
#![allow(clippy::unwrap_used, missing_docs, reason = "a test file")]

use samebreath_core::live::{Actor, DeskRole, Event, Recorded, SeatId};
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
        let entry =
            SessionEntry { id, code: code.to_owned(), title, rehearsal: false, created_at, group: None };
        store.add_session(&entry).await.unwrap();
    }
    store
}

fn event(seq: u64, id: u128) -> NewEvent {
    let recorded = Recorded { seq, at: EpochMs(5), by: Actor::Entry, cause: None, event: Event::Opened };
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
    let second = Sqlite::open(folder.path()).await.unwrap();
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
    assert_eq!(store.use_link("h1", EpochMs(1)).await.unwrap(), Some(desk));
    assert_eq!(store.use_link("h1", EpochMs(1)).await.unwrap(), None);
    assert_eq!(store.use_link("h2", EpochMs(1)).await.unwrap(), Some(seat.clone()));
    assert_eq!(store.pass("h2", EpochMs(99)).await.unwrap(), Some(seat));
    assert_eq!(store.pass("h2", EpochMs(100)).await.unwrap(), None, "expired");
    let codes: Vec<_> = store.sessions().await.unwrap().into_iter().map(|s| s.code).collect();
    assert_eq!(codes, ["BBBBBBBB", "AAAAAAAA"], "newest first");
}
