//! Signed notes.

use std::sync::Arc;

use samebreath_core::people::person::PersonId;
use samebreath_core::time::EpochMs;
use samebreath_store::Store;
use samebreath_store::notes::{KeptNote, NotesVerdict, digest};
use uuid::Uuid;

use super::{OTHER, SESSION};

type Any = Arc<dyn Store>;

const ADA: PersonId = PersonId(Uuid::from_u128(0xada));
const BEN: PersonId = PersonId(Uuid::from_u128(0xbe));

pub fn note(id: u128, person: Option<PersonId>, to: Option<u128>) -> KeptNote {
    let body = format!("{{\"says\":\"note {id}\"}}");
    KeptNote {
        id: Uuid::from_u128(id),
        class: SESSION,
        person,
        to: to.map(Uuid::from_u128),
        signed_at: EpochMs(i64::try_from(id).unwrap()),
        sha256: digest(&body),
        body,
    }
}

async fn whole(store: &Any, all: u64, gone: u64) {
    let found = store.verify_notes().await.unwrap();
    assert!(
        matches!(found, NotesVerdict::Whole { notes, emptied, .. } if (notes, emptied) == (all, gone)),
        "{found:?}"
    );
}

pub async fn notes_are_read_back_as_they_were_signed(store: Any) {
    let (ada, of_class, ben) = (note(1, Some(ADA), None), note(2, None, None), note(3, Some(BEN), None));
    let elsewhere = KeptNote { class: OTHER, ..note(4, Some(ADA), None) };
    for one in [&ada, &of_class, &ben, &elsewhere] {
        assert!(store.add_note(one).await.unwrap());
    }
    assert_eq!(store.notes_of_class(SESSION).await.unwrap(), [ada.clone(), of_class, ben]);
    assert_eq!(store.notes_of_person(ADA).await.unwrap(), [ada.clone(), elsewhere]);
    assert_eq!(store.note(ada.id).await.unwrap(), Some(ada));
    assert_eq!(store.note(Uuid::from_u128(9)).await.unwrap(), None);
    whole(&store, 4, 0).await;
}

pub async fn one_note_a_person_and_class_and_any_number_added_to_it(store: Any) {
    assert!(store.add_note(&note(1, Some(ADA), None)).await.unwrap());
    assert!(!store.add_note(&note(2, Some(ADA), None)).await.unwrap(), "a second note");
    assert!(!store.add_note(&note(1, Some(BEN), None)).await.unwrap(), "the same id");
    assert!(store.add_note(&note(3, None, None)).await.unwrap());
    assert!(!store.add_note(&note(4, None, None)).await.unwrap(), "a second note about the class");
    for id in 5..8 {
        assert!(store.add_note(&note(id, Some(ADA), Some(1))).await.unwrap());
    }
    whole(&store, 5, 0).await;
    // Two clinicians at once.
    let at_once = (10..20).map(|id| {
        let store = Arc::clone(&store);
        tokio::spawn(async move { store.add_note(&note(id, Some(BEN), None)).await.unwrap() })
    });
    let mut added = 0;
    for one in at_once.collect::<Vec<_>>() {
        added += u32::from(one.await.unwrap());
    }
    assert_eq!(added, 1);
    whole(&store, 6, 0).await;
}

pub async fn an_erased_persons_notes_are_emptied_and_the_list_still_holds(store: Any) {
    for one in [note(1, Some(ADA), None), note(2, Some(BEN), None), note(3, Some(ADA), Some(1))] {
        assert!(store.add_note(&one).await.unwrap());
    }
    assert!(store.list_erased(ADA, "2026-10-20".to_owned().try_into().unwrap()).await.unwrap());
    store.finish_erasing(ADA).await.unwrap();
    let bodies: Vec<String> =
        store.notes_of_class(SESSION).await.unwrap().into_iter().map(|note| note.body).collect();
    assert_eq!(bodies, ["", "{\"says\":\"note 2\"}", ""]);
    let kept = store.note(Uuid::from_u128(1)).await.unwrap().unwrap();
    assert_eq!(kept.sha256, note(1, Some(ADA), None).sha256, "the hash of what was signed stays");
    whole(&store, 3, 2).await;
}
