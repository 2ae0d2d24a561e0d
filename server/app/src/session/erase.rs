//! Erases a person: their document, their place in groups, their links, and their name and words in every ledger.

use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::Group;
use samebreath_core::record::erase::erased;
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::Versioned;
use samebreath_store::{Store, StoreError};

/// What an erasure changed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Erased {
    /// Classes whose ledgers no longer name the person.
    pub classes: usize,
    /// Lines in them that were written anew.
    pub lines: usize,
}

/// Clears the database of somebody who is on its list. It can be cut short and begun again: whoever is half gone is gone
/// after it. No room may hold one of their classes, since it would go on showing what it read before.
///
/// # Errors
/// When the store refuses, or a ledger cannot be read; the person stays on the list then.
pub async fn erase(
    store: &(dyn Store + 'static),
    person: PersonId,
    now: EpochMs,
) -> Result<Erased, StoreError> {
    for group in store.documents::<Group>().await? {
        leave(store, group, person, now).await?;
    }
    while let Some(kept) = store.document::<Person>(person.0).await? {
        if store.remove_document::<Person>(person.0, kept.version).await? {
            break;
        }
    }
    let mut done = Erased::default();
    for session in store.classes_of(person).await? {
        let lines = erased(&store.read_after(session, 0).await?, person);
        store.rewrite(session, &lines).await?;
        done.classes += 1;
        done.lines += lines.len();
    }
    store.finish_erasing(person).await?;
    Ok(done)
}

/// Takes the person out of a group, whoever saves it at the same time.
async fn leave(
    store: &(dyn Store + 'static),
    mut group: Versioned<Group>,
    person: PersonId,
    now: EpochMs,
) -> Result<(), StoreError> {
    while group.content.people.contains(&person) {
        group.content.people.retain(|id| *id != person);
        group.updated_at = now;
        if store.save_document(&group).await? {
            return Ok(());
        }
        let Some(newer) = store.document::<Group>(group.id).await? else { return Ok(()) };
        group = newer;
    }
    Ok(())
}

/// Clears the database of everybody on its list, before anybody is served: an erasure was cut short, or a backup that
/// still has them was put back.
///
/// # Errors
/// As [`erase`].
pub async fn erase_listed(store: &(dyn Store + 'static), now: EpochMs) -> Result<(), StoreError> {
    for person in store.to_erase().await? {
        match erase(store, person, now).await {
            Ok(Erased { classes, lines }) => {
                tracing::info!(classes, lines, "somebody on the list of erased people was erased again");
            }
            // All other classes go on; the next start tries again.
            Err(error) if error.is_of_one_session() => {
                let error = &error as &dyn std::error::Error;
                tracing::error!(error, "somebody on the list of erased people is still in a class");
            }
            Err(error) => return Err(error),
        }
    }
    Ok(())
}
