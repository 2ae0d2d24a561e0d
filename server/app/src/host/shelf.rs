//! The library as it is now: what comes with the program and the host's files, with the rounds that were written in
//! the planner.

use std::sync::{Arc, PoisonError, RwLock};

use samebreath_core::clue::written::WrittenRound;
use samebreath_core::library::Library;
use samebreath_store::{Store, StoreError};
use tokio::sync::Mutex;

/// Where everything that needs the library finds it.
#[derive(Debug)]
pub struct Shelf {
    files: Arc<Library>,
    now: RwLock<Arc<Library>>,
    /// Held while it is filled, so that an older answer of the store never replaces a newer one.
    filling: Mutex<()>,
}

impl Shelf {
    /// The library of the files, without written rounds yet.
    #[must_use]
    pub fn new(files: Arc<Library>) -> Self {
        Self { now: RwLock::new(Arc::clone(&files)), files, filling: Mutex::new(()) }
    }

    /// The library.
    #[must_use]
    pub fn library(&self) -> Arc<Library> {
        Arc::clone(&self.now.read().unwrap_or_else(PoisonError::into_inner))
    }

    /// Takes the written rounds as the store has them.
    ///
    /// # Errors
    /// When the store refuses; the library then stays as it was.
    pub async fn fill(&self, store: &(dyn Store + 'static)) -> Result<(), StoreError> {
        let _filling = self.filling.lock().await;
        let mut library = Library::clone(&self.files);
        for round in store.documents::<WrittenRound>().await? {
            library.add_written(round.id, &round.content);
        }
        *self.now.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(library);
        Ok(())
    }
}
