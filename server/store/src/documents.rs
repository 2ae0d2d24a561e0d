//! Documents that people edit, in versions: plans, groups, people and written rounds.

use async_trait::async_trait;
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::{Document, Versioned};
use serde::Serialize;
use serde::de::DeserializeOwned;
use uuid::Uuid;

use crate::{Store, StoreError};

/// The form in which documents are written. A later version of the program reads all earlier forms. A document that
/// names no form was written before forms had numbers.
pub const FORM: u32 = 2;

/// A document as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The document's id.
    pub id: Uuid,
    /// What kind of document it is.
    pub kind: &'static str,
    /// How often it has been saved: 1 for a new document.
    pub version: u64,
    /// The content, as a JSON object.
    pub content: String,
    /// When it was last saved.
    pub updated_at: EpochMs,
}

/// Documents by kind and id.
#[async_trait]
pub trait Documents: Send + Sync {
    /// All documents of a kind, the last saved one first.
    ///
    /// # Errors
    /// When the database refuses.
    async fn kept_of(&self, kind: &'static str) -> Result<Vec<Kept>, StoreError>;

    /// The document of this kind and id.
    ///
    /// # Errors
    /// When the database refuses.
    async fn kept(&self, kind: &'static str, id: Uuid) -> Result<Option<Kept>, StoreError>;

    /// Keeps a new document, as version 1.
    ///
    /// # Errors
    /// When the database refuses, or the id is taken.
    async fn keep_new(&self, new: &Kept) -> Result<(), StoreError>;

    /// Replaces version `changed.version` with `changed`, as the next version. If that is not the newest version,
    /// changes nothing and returns false.
    ///
    /// # Errors
    /// When the database refuses.
    async fn keep_changed(&self, changed: &Kept) -> Result<bool, StoreError>;

    /// Removes a document if `version` is its newest. Otherwise changes nothing and returns false.
    ///
    /// # Errors
    /// When the database refuses.
    async fn drop_kept(&self, kind: &'static str, id: Uuid, version: u64) -> Result<bool, StoreError>;
}

impl dyn Store {
    /// All documents of a kind, the last saved one first.
    ///
    /// # Errors
    /// When the database refuses, or a document cannot be read.
    pub async fn documents<T: Document + DeserializeOwned>(&self) -> Result<Vec<Versioned<T>>, StoreError> {
        self.kept_of(T::KIND).await?.into_iter().map(read).collect()
    }

    /// The document with this id.
    ///
    /// # Errors
    /// When the database refuses, or a document cannot be read.
    pub async fn document<T: Document + DeserializeOwned>(
        &self,
        id: Uuid,
    ) -> Result<Option<Versioned<T>>, StoreError> {
        self.kept(T::KIND, id).await?.map(read).transpose()
    }

    /// Keeps a new document, as version 1.
    ///
    /// # Errors
    /// When the database refuses, or the id is taken.
    pub async fn add_document<T: Document + Serialize + Sync>(
        &self,
        new: &Versioned<T>,
    ) -> Result<(), StoreError> {
        self.keep_new(&written(new)?).await
    }

    /// Replaces version `changed.version` with `changed`, as the next version. If that is not the newest version,
    /// changes nothing and returns false.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn save_document<T: Document + Serialize + Sync>(
        &self,
        changed: &Versioned<T>,
    ) -> Result<bool, StoreError> {
        self.keep_changed(&written(changed)?).await
    }

    /// Removes a document if `version` is its newest. Otherwise changes nothing and returns false.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn remove_document<T: Document>(&self, id: Uuid, version: u64) -> Result<bool, StoreError> {
        self.drop_kept(T::KIND, id, version).await
    }
}

/// The member of a stored document that names its form.
const FORM_KEY: &str = "form";

fn read<T: DeserializeOwned>(kept: Kept) -> Result<Versioned<T>, StoreError> {
    let Kept { id, version, content, updated_at, .. } = kept;
    let wrong = |source| StoreError::Document { id: id.to_string(), source: Some(source) };
    let mut content: serde_json::Map<String, serde_json::Value> =
        serde_json::from_str(&content).map_err(wrong)?;
    let form = content.remove(FORM_KEY).and_then(|form| form.as_u64()).unwrap_or(0);
    if form > u64::from(FORM) {
        return Err(StoreError::NewerDocument { id: id.to_string(), found: form });
    }
    // What a later form has besides has a default.
    let content = serde_json::from_value(content.into()).map_err(wrong)?;
    Ok(Versioned { id, version, content, updated_at })
}

fn written<T: Document + Serialize>(document: &Versioned<T>) -> Result<Kept, StoreError> {
    let wrong = |source| StoreError::Document { id: document.id.to_string(), source: Some(source) };
    let mut content = serde_json::to_value(&document.content).map_err(wrong)?;
    if let Some(members) = content.as_object_mut() {
        members.insert(FORM_KEY.to_owned(), FORM.into());
    }
    Ok(Kept {
        id: document.id,
        kind: T::KIND,
        version: document.version,
        content: content.to_string(),
        updated_at: document.updated_at,
    })
}
