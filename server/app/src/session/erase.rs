//! Erases a person: their document, their place in groups, their links, and their name and words in every ledger.

use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::Group;
use samebreath_core::practice::HomeClass;
use samebreath_core::record::erase::erased;
use samebreath_core::record::note::NoteDraft;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::{Document, Versioned};
use samebreath_store::ledger::SessionId;
use samebreath_store::{Store, StoreError};
use serde::de::DeserializeOwned;

use crate::access::own;
use crate::app::App;
use crate::failure::Failure;
use crate::session::history::day_of;

/// What an erasure changed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Erased {
    /// Classes whose ledgers no longer name the person.
    pub classes: usize,
    /// Lines in them that were written anew.
    pub lines: usize,
}

/// Erases somebody from a house that serves, and returns the day that counts.
///
/// # Errors
/// When a class of theirs has not ended or is open on a screen, any class is on, or their record is held; and when the
/// store refuses.
pub(crate) async fn in_house(app: &App, person: PersonId) -> Result<(Erased, Date), Failure> {
    let sessions = app.store.classes_of(person).await?;
    for session in &sessions {
        put_away(app, *session).await?;
    }
    may_write_anew(app).await?;
    let now = app.clock.now();
    let Some(day) = day_of(now) else { return Err(Failure::Restarting) };
    if !app.store.list_erased(person, day).await? {
        return Err(Failure::Body("their record is held; lift the hold first".to_owned()));
    }
    own::end_links(person, &app.ends, &*app.store).await?;
    let done = erase(&*app.store, person, now).await?;
    // Whoever opened one of them in the meantime read it as it was.
    for session in sessions {
        app.hub.put_away(session).await?;
    }
    app.forget_folded();
    tracing::info!(classes = done.classes, lines = done.lines, "somebody was erased");
    Ok((done, day))
}

/// Closes a class whose ledger is about to be written anew.
pub(super) async fn put_away(app: &App, session: SessionId) -> Result<(), Failure> {
    let ended = app.store.session(session).await?.is_none_or(|entry| entry.ended_at.is_some());
    if !ended {
        return Err(Failure::Body(
            "a class that this person takes part in has not ended; end it first".to_owned(),
        ));
    }
    if !app.hub.put_away(session).await? {
        return Err(Failure::Body(
            "a class of theirs is open on some screen; close its desks and pages first".to_owned(),
        ));
    }
    // A ledger that cannot be read cannot be cleared.
    app.store.read_after(session, 0).await?;
    Ok(())
}

/// The whole database is written anew after an erasure, and nothing else is written meanwhile.
pub(super) async fn may_write_anew(app: &App) -> Result<(), Failure> {
    if app.hub.is_any_open().await {
        return Err(Failure::Body("a class is on; erase people when none is".to_owned()));
    }
    Ok(())
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
    remove_all(store, |draft: &NoteDraft| draft.person == Some(person)).await?;
    remove_all(store, |class: &HomeClass| class.person == Some(person)).await?;
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

/// Removes all documents of a kind that are theirs.
pub(crate) async fn remove_all<T: Document + DeserializeOwned + Send + Sync + 'static>(
    store: &(dyn Store + 'static),
    is_theirs: impl Fn(&T) -> bool,
) -> Result<(), StoreError> {
    for document in store.documents::<T>().await? {
        let mut document = Some(document).filter(|document| is_theirs(&document.content));
        while let Some(Versioned { id, version, .. }) = document {
            // Somebody may have saved it once more.
            let gone = store.remove_document::<T>(id, version).await?;
            document = if gone { None } else { store.document(id).await? };
        }
    }
    Ok(())
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
