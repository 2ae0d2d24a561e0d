//! Documents in versions.

use std::sync::Arc;

use samebreath_core::time::EpochMs;
use samebreath_core::versioned::{Document, Versioned};
use samebreath_store::Store;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

type Any = Arc<dyn Store>;

/// A document that refuses members that it does not know, as plans and groups do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Page {
    text: String,
}

impl Document for Page {
    const KIND: &'static str = "page";

    fn check(&self) -> Result<(), String> {
        Ok(())
    }
}

fn page(id: u128, version: u64, text: &str, at: i64) -> Versioned<Page> {
    let content = Page { text: text.to_owned() };
    Versioned { id: Uuid::from_u128(id), version, updated_at: EpochMs(at), content }
}

pub async fn a_document_is_kept_in_versions(store: Any) {
    let first = page(1, 1, "“one” – ñ", 5);
    store.add_document(&first).await.unwrap();
    store.add_document(&first).await.unwrap_err();
    store.add_document(&page(2, 1, "other", 6)).await.unwrap();
    assert!(store.save_document(&page(1, 1, "two", 7)).await.unwrap());
    assert_eq!(store.document(first.id).await.unwrap(), Some(page(1, 2, "two", 7)));
    let all = store.documents::<Page>().await.unwrap();
    assert_eq!(all, [page(1, 2, "two", 7), page(2, 1, "other", 6)], "the last saved one first");
    assert!(store.remove_document::<Page>(first.id, 2).await.unwrap());
    assert_eq!(store.document::<Page>(first.id).await.unwrap(), None);
}

pub async fn a_save_behind_another_changes_nothing(store: Any) {
    store.add_document(&page(1, 1, "one", 5)).await.unwrap();
    assert!(store.save_document(&page(1, 1, "hers", 6)).await.unwrap());
    assert!(!store.save_document(&page(1, 1, "his", 7)).await.unwrap());
    assert!(!store.remove_document::<Page>(Uuid::from_u128(1), 1).await.unwrap());
    assert_eq!(store.document(Uuid::from_u128(1)).await.unwrap(), Some(page(1, 2, "hers", 6)));
}

pub async fn a_document_of_another_kind_is_another_document(store: Any) {
    let id = Uuid::from_u128(1);
    store.add_document(&page(1, 1, "one", 5)).await.unwrap();
    assert_eq!(store.kept("other", id).await.unwrap(), None);
    assert_eq!(store.kept_of("other").await.unwrap(), []);
    assert!(!store.drop_kept("other", id, 1).await.unwrap());
    assert!(store.document::<Page>(id).await.unwrap().is_some());
}

/// A document without a form is read. A document of a later form is refused, and the error says so.
pub async fn a_document_of_a_later_form_is_named(store: Any) {
    let id = Uuid::from_u128(1);
    store.add_document(&page(1, 1, "one", 5)).await.unwrap();
    let kept = store.kept("page", id).await.unwrap().unwrap();
    let mut old = kept.clone();
    old.content = r#"{"text":"from before"}"#.to_owned();
    assert!(store.keep_changed(&old).await.unwrap());
    assert_eq!(store.document(id).await.unwrap(), Some(page(1, 2, "from before", 5)));
    let mut new = kept;
    (new.version, new.content) = (2, r#"{"form":3,"text":"x","more":1}"#.to_owned());
    assert!(store.keep_changed(&new).await.unwrap());
    let refused = store.document::<Page>(id).await.unwrap_err();
    assert_eq!(refused.to_string(), format!("the document {id} has form 3; this program reads up to 2"));
}
