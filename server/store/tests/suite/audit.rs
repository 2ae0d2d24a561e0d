//! The audit.

use std::sync::Arc;

use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use samebreath_store::Store;
use samebreath_store::audit::{AuditEntry, Verdict};
use uuid::Uuid;

type Any = Arc<dyn Store>;

fn entry(at: i64) -> AuditEntry {
    AuditEntry {
        at: EpochMs(at),
        actor: (at > 1).then(|| AccountId(Uuid::from_u128(1))),
        act: "GET /api/planner/people/{id}".to_owned(),
        subject: Some(Uuid::from_u128(7)),
        outcome: 200,
        address: "203.0.113.9".to_owned(),
    }
}

pub async fn acts_are_read_back_in_order_and_follow_from_each_other(store: Any) {
    assert_eq!(
        store.verify_audit().await.unwrap(),
        Verdict::Whole { rows: 0, emptied: 0, last: String::new() }
    );
    for at in 1..=3 {
        store.add_audit(&entry(at)).await.unwrap();
    }
    assert_eq!(store.audit_after(1).await.unwrap(), [(2, entry(2)), (3, entry(3))]);
    let Verdict::Whole { rows: 3, emptied: 0, last } = store.verify_audit().await.unwrap() else {
        panic!("it is whole")
    };
    store.add_audit(&entry(4)).await.unwrap();
    let Verdict::Whole { rows: 4, emptied: 0, last: later } = store.verify_audit().await.unwrap() else {
        panic!("still")
    };
    assert_ne!(last, later);
}

pub async fn acts_of_many_at_once_make_one_chain(store: Any) {
    let add = |at| {
        let store = Arc::clone(&store);
        tokio::spawn(async move { store.add_audit(&entry(at)).await })
    };
    for added in (1..=20).map(add).collect::<Vec<_>>() {
        added.await.unwrap().unwrap();
    }
    assert!(matches!(store.verify_audit().await.unwrap(), Verdict::Whole { rows: 20, .. }));
}

/// What was emptied because its time was over can only be the oldest, so that nobody hides a later act that way.
pub async fn old_acts_are_emptied_and_the_chain_still_holds(store: Any) {
    const YEAR: i64 = 366 * 24 * 3_600_000;
    let at = |years: i64| EpochMs(years * YEAR);
    for years in 1..=5 {
        store.add_audit(&entry(years * YEAR)).await.unwrap();
    }
    assert_eq!(store.acts_before(at(3)).await.unwrap(), 2);
    assert_eq!(store.empty_acts(at(3)).await.unwrap(), 2);
    assert_eq!((store.acts_before(at(3)).await.unwrap(), store.empty_acts(at(3)).await.unwrap()), (0, 0));
    let left = store.audit_after(0).await.unwrap();
    assert!(
        left[..2].iter().all(|(_, act)| act.act.is_empty() && act.subject.is_none() && act.actor.is_none())
    );
    assert_eq!(left[2..], [(3, entry(3 * YEAR)), (4, entry(4 * YEAR)), (5, entry(5 * YEAR))]);
    store.add_audit(&entry(6 * YEAR)).await.unwrap();
    assert!(matches!(store.verify_audit().await.unwrap(), Verdict::Whole { rows: 6, emptied: 2, .. }));
    // An act that a clock set back made look old keeps its place behind newer ones, and is kept with them.
    store.add_audit(&entry(2 * YEAR)).await.unwrap();
    assert_eq!(store.empty_acts(at(3)).await.unwrap(), 0);
    // Emptying what is young hides something.
    assert_eq!(store.empty_acts(EpochMs(i64::MAX)).await.unwrap(), 5);
    assert!(matches!(store.verify_audit().await.unwrap(), Verdict::Broken { .. }));
}
