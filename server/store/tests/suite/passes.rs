//! Passes and links.

use std::sync::Arc;

use samebreath_core::live::{DeskRole, SeatId};
use samebreath_core::people::link::{LinkId, Medium};
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use samebreath_store::Store;
use samebreath_store::own_links::{LinkOwner, OwnDevice, OwnLink, Word};
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

/// What a device was given ends with it, and what a link opened ends with the link.
pub async fn a_lasting_link_ends_with_its_devices_and_their_passes(store: Any) {
    let owner = LinkOwner::Person(PersonId(Uuid::from_u128(40)));
    let link = |n: u128| OwnLink {
        id: LinkId(Uuid::from_u128(n)),
        owner,
        medium: Medium::Paper,
        created_at: EpochMs(1),
        used_at: None,
        devices: 0,
    };
    let device = |n: u128, of: u128| OwnDevice {
        id: Uuid::from_u128(n),
        link: LinkId(Uuid::from_u128(of)),
        shared: n == 3,
        later: false,
        created_at: EpochMs(5),
        seen_at: EpochMs(5),
    };
    assert!(store.add_own_link("lost", &link(1)).await.unwrap());
    assert!(
        store.add_own_link("one", &link(1)).await.unwrap(),
        "the answer was lost, and the page asks again"
    );
    assert_eq!(store.own_link("lost").await.unwrap(), None);
    assert!(store.add_own_link("two", &link(2)).await.unwrap());
    assert!(!store.add_own_device("x", &device(9, 7)).await.unwrap(), "there is no such link");
    for (hash, n, of) in [("d1", 1, 1), ("d2", 2, 1), ("d3", 3, 2)] {
        assert!(store.add_own_device(hash, &device(n, of)).await.unwrap());
    }
    assert!(!store.add_own_link("three", &link(1)).await.unwrap(), "it was used");
    let (found, of) = store.own_device("d2").await.unwrap().unwrap();
    assert!(found.later && !found.shared && of.id == LinkId(Uuid::from_u128(1)));
    assert!(!store.own_device("d1").await.unwrap().unwrap().0.later, "it was the first");
    assert_eq!((of.devices, of.used_at), (2, Some(EpochMs(5))));
    let seat =
        |via: u128| Pass { via: Some(Uuid::from_u128(via)), ..Pass::of(SESSION, Role::Seat(SeatId(4))) };
    for (hash, via) in [("p1", 1), ("p2", 2), ("p3", 3)] {
        store.add_pass(hash, seat(via), Use::Always, EpochMs(99)).await.unwrap();
    }
    store.end_own_device(Uuid::from_u128(1)).await.unwrap();
    assert_eq!(store.pass("p1", EpochMs(6)).await.unwrap(), None);
    assert_eq!(store.own_device("d1").await.unwrap(), None);
    let stranger = LinkOwner::Person(PersonId(Uuid::from_u128(41)));
    let first = LinkId(Uuid::from_u128(1));
    assert_eq!(store.end_own_link(first, stranger).await.unwrap(), None, "it is somebody else's");
    assert_eq!(store.end_own_link(first, owner).await.unwrap(), Some(vec![Uuid::from_u128(2)]));
    assert_eq!(store.pass("p2", EpochMs(6)).await.unwrap(), None);
    assert_eq!(store.own_link("one").await.unwrap(), None);
    store.add_pass("late", seat(2), Use::Always, EpochMs(99)).await.unwrap();
    assert_eq!(store.pass("late", EpochMs(6)).await.unwrap(), None, "what gave it had ended by then");
    assert_eq!(store.own_links_of(owner).await.unwrap().len(), 1);
    assert!(store.pass("p3", EpochMs(6)).await.unwrap().is_some(), "the other link goes on");
    let half_a_day = EpochMs(5 + 12 * 3_600_000);
    store.add_pass("p4", seat(3), Use::Always, half_a_day.plus(99)).await.unwrap();
    assert_eq!(store.end_forgotten_devices(EpochMs(5)).await.unwrap(), [Uuid::from_u128(3)]);
    assert_eq!(store.own_device("d3").await.unwrap(), None, "nobody said that they were done");
    assert_eq!(store.pass("p4", half_a_day).await.unwrap(), None);
    assert!(store.own_link("two").await.unwrap().is_some());
}

pub async fn word_is_kept_once_and_can_be_taken_back(store: Any) {
    let word = |n: u128, of: &str| Word {
        person: PersonId(Uuid::from_u128(n)),
        group: GroupId(Uuid::from_u128(1)),
        of: of.to_owned().try_into().unwrap(),
    };
    let (ada, ben) = (word(1, "2027-03-09"), word(2, "2027-03-16"));
    for word in [&ada, &ada, &ben] {
        store.send_word(word, false, EpochMs(1)).await.unwrap();
    }
    assert_eq!(store.absences(ada.of).await.unwrap(), [ada, ben]);
    assert_eq!(store.absences(ben.of).await.unwrap(), [ben], "of classes from that day on");
    store.send_word(&ada, true, EpochMs(2)).await.unwrap();
    assert_eq!(store.absences(ada.of).await.unwrap(), [ben]);
}
