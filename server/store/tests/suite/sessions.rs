//! The list of sessions.

use std::sync::Arc;

use samebreath_core::live::ClassEvent;
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use samebreath_store::Store;
use samebreath_store::ledger::{Append, SessionId};
use samebreath_store::sessions::SessionEntry;
use uuid::Uuid;

use super::{OTHER, SESSION, entry, event};

type Any = Arc<dyn Store>;
const THIRD: SessionId = SessionId(Uuid::from_u128(3));

pub async fn a_session_is_found_by_id_code_and_request(store: Any) {
    let request = Uuid::from_u128(77);
    let (group, title) = (Some(GroupId(Uuid::from_u128(5))), "Tuesday – ñ, “é”".to_owned());
    let made = SessionEntry { request: Some(request), group, title, ..entry(THIRD, "CCCCCCCC") };
    store.add_session(&made).await.unwrap();
    assert_eq!(store.session(THIRD).await.unwrap().as_ref(), Some(&made));
    assert_eq!(store.session_by_code("CCCCCCCC").await.unwrap().as_ref(), Some(&made));
    assert_eq!(store.session_by_request(request).await.unwrap(), Some(made));
    assert_eq!(store.session(SessionId(Uuid::from_u128(9))).await.unwrap(), None);
    assert_eq!(store.session_by_code("ZZZZZZZZ").await.unwrap(), None);
    let codes: Vec<_> = store.sessions().await.unwrap().into_iter().map(|s| s.code).collect();
    assert_eq!(codes, ["CCCCCCCC", "BBBBBBBB", "AAAAAAAA"], "newest first");
}

pub async fn a_code_and_a_request_make_one_session(store: Any) {
    store.add_session(&entry(THIRD, "AAAAAAAA")).await.unwrap_err();
    let request = Some(Uuid::from_u128(77));
    store.add_session(&SessionEntry { request, ..entry(THIRD, "CCCCCCCC") }).await.unwrap();
    let fourth = SessionId(Uuid::from_u128(4));
    store.add_session(&SessionEntry { request, ..entry(fourth, "DDDDDDDD") }).await.unwrap_err();
    assert_eq!(store.sessions().await.unwrap().len(), 3);
}

pub async fn whether_a_session_is_over_is_known_without_its_ledger(store: Any) {
    assert_eq!(store.unfinished_sessions().await.unwrap().len(), 2);
    let mut end = event(2, 2);
    (end.recorded.event, end.recorded.at) = (ClassEvent::Ended.into(), EpochMs(77));
    assert!(matches!(store.append(SESSION, 0, vec![event(1, 1), end]).await, Append::Committed));
    let ended = store.session(SESSION).await.unwrap().unwrap();
    assert_eq!(ended.ended_at, Some(EpochMs(77)));
    let left: Vec<_> = store.unfinished_sessions().await.unwrap().into_iter().map(|entry| entry.id).collect();
    assert_eq!(left, [OTHER]);
    assert_eq!(store.last_at(SESSION).await.unwrap(), Some(EpochMs(77)));
    assert_eq!(store.last_at(OTHER).await.unwrap(), None);
}

pub async fn a_group_has_its_classes_and_no_rehearsals(store: Any) {
    let group = GroupId(Uuid::from_u128(5));
    let of_group = |id: u128, code: &str, rehearsal| SessionEntry {
        group: Some(group),
        rehearsal,
        ..entry(SessionId(Uuid::from_u128(id)), code)
    };
    for made in
        [of_group(3, "CCCCCCCC", false), of_group(4, "DDDDDDDD", true), of_group(6, "EEEEEEEE", false)]
    {
        store.add_session(&made).await.unwrap();
    }
    let codes: Vec<_> = store.sessions_of(group).await.unwrap().into_iter().map(|s| s.code).collect();
    assert_eq!(codes, ["EEEEEEEE", "CCCCCCCC"], "newest first");
}
