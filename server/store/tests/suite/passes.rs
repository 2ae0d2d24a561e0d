//! Passes and links.

use std::sync::Arc;

use samebreath_core::live::{DeskRole, SeatId};
use samebreath_core::time::EpochMs;
use samebreath_store::Store;
use samebreath_store::passes::{Pass, Role, Use};
use uuid::Uuid;

use super::SESSION;

type Any = Arc<dyn Store>;

fn pass(role: Role) -> Pass {
    Pass { decides: role != Role::Wall, ..Pass::of(SESSION, role) }
}

pub async fn a_link_that_works_once_works_once(store: Any) {
    let (desk, seat) = (pass(Role::Desk(DeskRole::Facilitator)), pass(Role::Seat(SeatId(4))));
    store.add_pass("h1", desk.clone(), Use::Once, EpochMs(100)).await.unwrap();
    store.add_pass("h2", seat.clone(), Use::Always, EpochMs(100)).await.unwrap();
    store.add_pass("h1", seat.clone(), Use::Always, EpochMs(100)).await.unwrap_err();
    assert_eq!(store.pass("h1", EpochMs(1)).await.unwrap(), None, "a link must be used first");
    let (one, other) = (Uuid::from_u128(11), Uuid::from_u128(12));
    assert_eq!(store.use_link("h1", one, EpochMs(1)).await.unwrap(), Some(desk.clone()));
    assert_eq!(store.use_link("h1", one, EpochMs(1)).await.unwrap(), Some(desk), "the same page asks again");
    assert_eq!(store.use_link("h1", other, EpochMs(1)).await.unwrap(), None);
    assert_eq!(store.use_link("h2", other, EpochMs(1)).await.unwrap(), Some(seat.clone()));
    assert_eq!(store.pass("h2", EpochMs(99)).await.unwrap(), Some(seat));
    assert_eq!(store.pass("h2", EpochMs(100)).await.unwrap(), None, "expired");
    for role in [Role::Desk(DeskRole::Helper), Role::Wall] {
        let hash = format!("{role:?}");
        store.add_pass(&hash, pass(role.clone()), Use::Always, EpochMs(100)).await.unwrap();
        assert_eq!(store.pass(&hash, EpochMs(1)).await.unwrap(), Some(pass(role)));
    }
}

pub async fn expired_passes_are_forgotten(store: Any) {
    store.add_pass("old", pass(Role::Wall), Use::Always, EpochMs(10)).await.unwrap();
    store.add_pass("new", pass(Role::Wall), Use::Always, EpochMs(30)).await.unwrap();
    assert_eq!(store.forget_expired(EpochMs(20)).await.unwrap(), 1);
    assert_eq!(store.pass("new", EpochMs(20)).await.unwrap(), Some(pass(Role::Wall)));
}
