//! Accounts, and where they are signed in.

use std::sync::Arc;

use samebreath_core::live::DeskRole;
use samebreath_core::staff::account::{Account, AccountId, Clinician, StaffRole};
use samebreath_core::time::EpochMs;
use samebreath_store::Store;
use samebreath_store::accounts::{Kept, KeptAccount, SecondFactor};
use samebreath_store::identities::Identity;
use samebreath_store::passes::{Pass, Role, Use};
use samebreath_store::sign_ins::{AccountLink, SignedIn, Which};
use uuid::Uuid;

use super::SESSION;

type Any = Arc<dyn Store>;

fn account(id: u128, sign_in: &str, role: StaffRole) -> KeptAccount {
    KeptAccount {
        id: AccountId(Uuid::from_u128(id)),
        version: 1,
        account: Account {
            name: "Ines".try_into().unwrap(),
            sign_in: sign_in.try_into().unwrap(),
            role,
            clinician: Some(Clinician { title: "SLP".try_into().unwrap(), licence: "1".try_into().unwrap() }),
        },
        password: Some("hash".to_owned()),
        second: None,
        created_at: EpochMs(i64::try_from(id).unwrap()),
        ended_at: None,
    }
}

const NOW: EpochMs = EpochMs(50);
const LATER: EpochMs = EpochMs(100);

pub async fn the_first_account_is_made_once(store: Any) {
    let first = account(1, "ines", StaffRole::Coordinator);
    let (one, other) = (Uuid::from_u128(11), Uuid::from_u128(12));
    let add = async |account: &KeptAccount, link: &str, request, now| {
        store.add_first_account(account, link, request, now).await.unwrap()
    };
    assert!(!add(&first, "link", one, NOW).await, "without a link");
    store.add_account_link("old", AccountLink::First, LATER).await.unwrap();
    store.add_account_link("link", AccountLink::First, LATER).await.unwrap();
    assert!(!add(&first, "old", one, NOW).await, "a newer link took its place");
    assert!(!add(&first, "link", one, LATER).await, "too late");
    assert_eq!(store.account_link("link", other, NOW).await.unwrap(), Some(AccountLink::First));
    assert!(add(&first, "link", one, NOW).await);
    assert!(add(&first, "link", one, NOW).await, "the same request, whose answer was lost");
    assert!(!add(&account(2, "odile", StaffRole::Coordinator), "link", other, NOW).await, "used");
    store.add_account_link("again", AccountLink::First, LATER).await.unwrap();
    assert!(!add(&account(2, "odile", StaffRole::Coordinator), "again", other, NOW).await, "there is one");
    assert_eq!(
        store.account_link("again", one, NOW).await.unwrap(),
        Some(AccountLink::First),
        "and it is unused"
    );
    assert_eq!(store.accounts().await.unwrap(), [first]);
}

pub async fn an_account_is_found_by_the_name_that_it_signs_in_with(store: Any) {
    let ines = account(1, "Inés Q", StaffRole::Coordinator);
    assert_eq!(store.add_account(&ines).await.unwrap(), Kept::Yes);
    assert_eq!(store.add_account(&account(2, "ines q", StaffRole::Helper)).await.unwrap(), Kept::NameTaken);
    assert_eq!(store.account_called("ines q").await.unwrap(), Some(ines.clone()));
    assert_eq!(store.account_called("ines").await.unwrap(), None);
    let mut odile = account(3, "odile", StaffRole::Facilitator);
    assert_eq!(store.add_account(&odile).await.unwrap(), Kept::Yes);
    let to = Account { name: "Odile".try_into().unwrap(), clinician: None, ..odile.account.clone() };
    assert_eq!(store.change_account(odile.id, 1, &to).await.unwrap(), Kept::Yes);
    assert_eq!(store.change_account(odile.id, 1, &to).await.unwrap(), Kept::Behind);
    let taken = Account { sign_in: "INÉS Q".try_into().unwrap(), ..to.clone() };
    assert_eq!(store.change_account(odile.id, 2, &taken).await.unwrap(), Kept::NameTaken);
    (odile.account, odile.version) = (to, 2);
    assert_eq!(store.account(odile.id).await.unwrap(), Some(odile));
}

pub async fn one_coordinator_always_stays(store: Any) {
    let (ines, odile) =
        (account(1, "ines", StaffRole::Coordinator), account(2, "odile", StaffRole::Coordinator));
    store.add_account(&ines).await.unwrap();
    let helper = Account { role: StaffRole::Helper, ..ines.account.clone() };
    assert_eq!(store.change_account(ines.id, 1, &helper).await.unwrap(), Kept::LastCoordinator);
    assert_eq!(store.end_account(ines.id, NOW).await.unwrap(), Kept::LastCoordinator);
    assert_eq!(store.account(ines.id).await.unwrap(), Some(ines.clone()), "nothing has changed");
    store.add_account(&odile).await.unwrap();
    assert_eq!(store.change_account(ines.id, 1, &helper).await.unwrap(), Kept::Yes);
    assert_eq!(store.end_account(odile.id, NOW).await.unwrap(), Kept::LastCoordinator);
    // Of two who end each other at the same moment, one stays.
    let back = Account { role: StaffRole::Coordinator, ..ines.account.clone() };
    assert_eq!(store.change_account(ines.id, 2, &back).await.unwrap(), Kept::Yes);
    let (one, other) = tokio::join!(store.end_account(ines.id, NOW), store.end_account(odile.id, NOW));
    let mut ends = [one.unwrap(), other.unwrap()];
    ends.sort_by_key(|end| *end != Kept::Yes);
    assert_eq!(ends, [Kept::Yes, Kept::LastCoordinator]);
}

pub async fn codes_and_steps_count_once(store: Any) {
    let ines = account(1, "ines", StaffRole::Coordinator);
    store.add_account(&ines).await.unwrap();
    store.set_codes(ines.id, &["a".to_owned(), "b".to_owned()]).await.unwrap();
    assert!(!store.use_code(ines.id, "c").await.unwrap());
    assert!(!store.use_code(AccountId(Uuid::from_u128(9)), "a").await.unwrap(), "somebody else's");
    assert!(store.use_code(ines.id, "a").await.unwrap());
    assert!(!store.use_code(ines.id, "a").await.unwrap());
    assert_eq!(store.codes_left(ines.id).await.unwrap(), 1);
    store.set_codes(ines.id, &["d".to_owned()]).await.unwrap();
    assert!(!store.use_code(ines.id, "b").await.unwrap(), "new codes replace the old ones");
    assert!(!store.use_step(ines.id, 7).await.unwrap(), "there is no second factor");
    let second = SecondFactor { secret: "S".to_owned(), used: 6 };
    store.set_second(ines.id, Some(&second)).await.unwrap();
    assert!(store.use_step(ines.id, 7).await.unwrap());
    assert!(!store.use_step(ines.id, 7).await.unwrap());
    assert!(!store.use_step(ines.id, 6).await.unwrap());
    store.set_second(ines.id, None).await.unwrap();
    assert_eq!(store.account(ines.id).await.unwrap().unwrap().second, None);
}

pub async fn a_link_to_an_account_works_once(store: Any) {
    let ines = account(1, "ines", StaffRole::Coordinator);
    store.add_account(&ines).await.unwrap();
    let (one, other) = (Uuid::from_u128(11), Uuid::from_u128(12));
    store.add_account_link("h", AccountLink::Password(ines.id), LATER).await.unwrap();
    assert_eq!(store.use_account_link("h", one, LATER).await.unwrap(), None, "too late");
    let found = Some(AccountLink::Password(ines.id));
    assert_eq!(store.account_link("h", other, NOW).await.unwrap(), found);
    assert_eq!(store.use_account_link("h", one, NOW).await.unwrap(), found);
    assert_eq!(store.use_account_link("h", one, NOW).await.unwrap(), found, "the same request again");
    assert_eq!(store.use_account_link("h", other, NOW).await.unwrap(), None);
    assert_eq!(store.account_link("h", other, NOW).await.unwrap(), None);
    assert_eq!(store.account_link("h", one, NOW).await.unwrap(), found, "whoever used it may ask again");
    store.add_account_link("i", AccountLink::Opens(ines.id), LATER).await.unwrap();
    assert_eq!(store.use_account_link("i", one, NOW).await.unwrap(), Some(AccountLink::Opens(ines.id)));
}

pub async fn whoever_is_signed_out_takes_the_passes_along(store: Any) {
    let ines = account(1, "ines", StaffRole::Coordinator);
    store.add_account(&ines).await.unwrap();
    let signed_in = |id: u128, seen: i64| SignedIn {
        id: Uuid::from_u128(id),
        account: ines.id,
        device: "Firefox".to_owned(),
        created_at: EpochMs(1),
        seen_at: EpochMs(seen),
        proved_at: EpochMs(1),
        expires_at: LATER,
    };
    for (id, seen) in [(11, 1), (12, 3), (13, 2)] {
        assert!(store.add_signed_in(&format!("t{id}"), &signed_in(id, seen), Some("hash")).await.unwrap());
        let pass = Pass {
            session: SESSION,
            role: Role::Desk(DeskRole::Facilitator),
            via: Some(Uuid::from_u128(id)),
            decides: true,
        };
        store.add_pass(&format!("p{id}"), pass, Use::Always, LATER).await.unwrap();
    }
    assert_eq!(store.signed_in("t11").await.unwrap(), Some((signed_in(11, 1), ines.clone())));
    assert_eq!(store.signed_in("none").await.unwrap(), None);
    let order: Vec<_> =
        store.signed_in_of(ines.id).await.unwrap().iter().map(|one| one.id.as_u128()).collect();
    assert_eq!(order, [12, 13, 11]);
    store.note_signed_in(Uuid::from_u128(11), EpochMs(60), EpochMs(55)).await.unwrap();
    let noted = store.signed_in("t11").await.unwrap().unwrap().0;
    assert_eq!((noted.seen_at, noted.proved_at), (EpochMs(60), EpochMs(55)));
    let has_pass = async |id: u128| store.pass(&format!("p{id}"), NOW).await.unwrap().is_some();
    let out = store.sign_out(ines.id, Which::One(Uuid::from_u128(12))).await.unwrap();
    assert_eq!(out, [Uuid::from_u128(12)]);
    assert!(!has_pass(12).await && has_pass(11).await);
    let out = store.sign_out(ines.id, Which::Others(Uuid::from_u128(11))).await.unwrap();
    assert_eq!(out, [Uuid::from_u128(13)]);
    let nobody = AccountId(Uuid::from_u128(9));
    assert!(store.sign_out(nobody, Which::All).await.unwrap().is_empty());
    assert!(has_pass(11).await);
    assert_eq!(store.sign_out(ines.id, Which::All).await.unwrap(), [Uuid::from_u128(11)]);
    assert!(!has_pass(11).await);
    assert_eq!(store.signed_in("t11").await.unwrap(), None);
    // An account that has ended is signed in nowhere, whatever is left of it.
    let odile = account(2, "odile", StaffRole::Coordinator);
    store.add_account(&odile).await.unwrap();
    assert!(store.add_signed_in("t14", &signed_in(14, 1), Some("hash")).await.unwrap());
    // A password that was changed while it was compared signs nobody in.
    assert!(!store.add_signed_in("t15", &signed_in(15, 1), Some("old")).await.unwrap());
    store.end_account(ines.id, NOW).await.unwrap();
    assert_eq!(store.signed_in("t14").await.unwrap(), None);
    assert!(!store.add_signed_in("t16", &signed_in(16, 1), Some("hash")).await.unwrap(), "it has ended");
    assert_eq!(store.forget_expired(LATER).await.unwrap(), 1);
}

/// A desk may be open for longer than its account is signed in; ending the account still finds it.
pub async fn a_sign_in_is_kept_as_long_as_its_passes_are(store: Any) {
    let ines = account(1, "ines", StaffRole::Coordinator);
    store.add_account(&ines).await.unwrap();
    let here = SignedIn {
        id: Uuid::from_u128(11),
        account: ines.id,
        device: String::new(),
        created_at: EpochMs(1),
        seen_at: EpochMs(1),
        proved_at: EpochMs(1),
        expires_at: NOW,
    };
    store.add_signed_in("t", &here, Some("hash")).await.unwrap();
    let pass = Pass { via: Some(here.id), ..Pass::of(SESSION, Role::Desk(DeskRole::Facilitator)) };
    store.add_pass("p", pass.clone(), Use::Always, LATER).await.unwrap();
    assert_eq!(store.forget_expired(NOW).await.unwrap(), 0);
    assert!(store.pass("p", NOW).await.unwrap().is_some());
    assert_eq!(store.sign_out(ines.id, Which::All).await.unwrap(), [here.id]);
    assert_eq!(store.pass("p", NOW).await.unwrap(), None);
    // What gives a pass may have ended a moment before.
    store.add_pass("late", pass, Use::Always, LATER).await.unwrap();
    assert_eq!(store.pass("late", NOW).await.unwrap(), None);
}

pub async fn an_identity_is_one_accounts_alone(store: Any) {
    let at = |issuer: &str, subject: &str| Identity { issuer: issuer.into(), subject: subject.into() };
    let (ines, bertram) =
        (account(1, "ines", StaffRole::Coordinator), account(2, "bertram", StaffRole::Helper));
    for one in [&ines, &bertram] {
        store.add_account(one).await.unwrap();
    }
    let known = at("https://login.example", "7");
    assert!(store.link_identity(&known, ines.id, NOW).await.unwrap());
    assert!(!store.link_identity(&known, bertram.id, NOW).await.unwrap(), "it is another's");
    assert!(!store.link_identity(&at("https://login.example", "8"), ines.id, NOW).await.unwrap(), "one each");
    // The same person number of another provider is somebody else.
    assert_eq!(store.identity(&at("https://another.example", "7")).await.unwrap(), None);
    assert_eq!(store.identity(&at("https://login.example", "70")).await.unwrap(), None);
    store.note_identity(ines.id, LATER).await.unwrap();
    let kept = store.identity(&known).await.unwrap().unwrap();
    assert_eq!((kept.account, kept.linked_at, kept.used_at), (ines.id, NOW, Some(LATER)));
    assert_eq!(store.identity_of(ines.id).await.unwrap(), Some(kept));
    assert!(store.unlink_identity(ines.id).await.unwrap());
    assert!(!store.unlink_identity(ines.id).await.unwrap());
    assert!(store.link_identity(&known, bertram.id, NOW).await.unwrap());
    // Whoever comes back with another account can be linked with that one.
    assert_eq!(store.end_account(bertram.id, LATER).await.unwrap(), Kept::Yes);
    assert!(store.link_identity(&known, ines.id, LATER).await.unwrap());
}
