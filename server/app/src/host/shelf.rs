//! The library as it is now: what comes with the program and the host's files, with the rounds that were written in
//! the planner.

use std::sync::{Arc, PoisonError, RwLock};

use samebreath_core::clue::written::WrittenRound;
use samebreath_core::library::Library;
use samebreath_store::Store;
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

    /// Takes the written rounds as the store has them. If they cannot be read, the library stays as it was.
    pub async fn fill(&self, store: &(dyn Store + 'static)) {
        let _filling = self.filling.lock().await;
        let mut library = Library::clone(&self.files);
        match store.documents::<WrittenRound>().await {
            Ok(rounds) => rounds.iter().for_each(|round| library.add_written(round.id, &round.content)),
            // A round is no reason for there being no class at all.
            Err(error) => {
                tracing::error!(
                    error = &error as &dyn std::error::Error,
                    "the written rounds cannot be read"
                );
                return;
            }
        }
        *self.now.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(library);
    }
}
