//! The ledger: no gaps, events in order, and one writer for each place.

use std::sync::Arc;

use samebreath_store::ledger::{Append, SessionId};
use samebreath_store::{Store, StoreError};
use uuid::Uuid;

use super::{OTHER, SESSION, entry, event};

type Any = Arc<dyn Store>;

pub async fn what_was_committed_is_read_back_in_order(store: Any) {
    assert!(matches!(store.append(SESSION, 0, vec![event(1, 1), event(2, 2)]).await, Append::Committed));
    assert!(matches!(store.append(SESSION, 2, vec![event(3, 3)]).await, Append::Committed));
    let lines = store.read_after(SESSION, 1).await.unwrap();
    assert_eq!(lines, [event(2, 2).recorded, event(3, 3).recorded]);
    assert_eq!(store.read_after(OTHER, 0).await.unwrap(), []);
}

pub async fn a_second_writer_of_the_same_place_conflicts_and_leaves_nothing(store: Any) {
    let second = Arc::clone(&store);
    assert!(matches!(store.append(SESSION, 0, vec![event(1, 1)]).await, Append::Committed));
    assert!(matches!(second.append(SESSION, 0, vec![event(1, 2), event(2, 3)]).await, Append::Conflict));
    assert!(matches!(second.append(SESSION, 5, vec![event(6, 4)]).await, Append::Conflict), "a gap");
    assert!(
        matches!(second.append(SESSION, 1, vec![event(2, 1)]).await, Append::Conflict),
        "an id that is already taken"
    );
    assert_eq!(store.read_after(SESSION, 0).await.unwrap().len(), 1);
    assert!(matches!(second.append(OTHER, 0, vec![event(1, 9)]).await, Append::Committed));
}

pub async fn of_many_rivals_at_once_one_wins(store: Any) {
    let mut tasks = tokio::task::JoinSet::new();
    for rival in 0..20u128 {
        let store = Arc::clone(&store);
        tasks.spawn(async move { store.append(SESSION, 0, vec![event(1, 100 + rival)]).await });
    }
    let outcomes = tasks.join_all().await;
    let won = outcomes.iter().filter(|o| matches!(o, Append::Committed)).count();
    let lost = outcomes.iter().filter(|o| matches!(o, Append::Conflict)).count();
    assert_eq!((won, lost), (1, 19));
    assert_eq!(store.read_after(SESSION, 0).await.unwrap().len(), 1);
}

pub async fn appends_to_many_sessions_at_once_all_commit(store: Any) {
    let mut tasks = tokio::task::JoinSet::new();
    for number in 10..40u128 {
        let id = SessionId(Uuid::from_u128(number));
        store.add_session(&entry(id, &format!("CODE{number:04}"))).await.unwrap();
        let store = Arc::clone(&store);
        let events = vec![event(1, 1_000 + number), event(2, 2_000 + number)];
        tasks.spawn(async move { (id, store.append(id, 0, events).await) });
    }
    for (id, outcome) in tasks.join_all().await {
        assert!(matches!(outcome, Append::Committed), "{outcome:?}");
        assert_eq!(store.read_after(id, 0).await.unwrap().len(), 2);
    }
}

pub async fn what_was_handed_over_before_closing_is_kept_and_nothing_is_taken_after(store: Any) {
    let handed_over = store.append(SESSION, 0, vec![event(1, 1)]);
    let (outcome, ()) = tokio::join!(handed_over, store.close());
    assert!(matches!(outcome, Append::Committed));
    assert!(matches!(store.append(SESSION, 1, vec![event(2, 2)]).await, Append::Unknown(StoreError::Closed)));
}
