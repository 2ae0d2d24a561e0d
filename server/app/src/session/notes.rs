//! Classes about which notes are written, and how a signed note is kept.

use jiff::tz::TimeZone;
use samebreath_core::live::{Recorded, Session};
use samebreath_core::people::person::PersonId;
use samebreath_core::record::class::{ClassRecord, PersonRecord, class_record};
use samebreath_core::record::note::{
    Fact, NoteAbout, SignedNote, alone, facts_about, facts_of_class, title_for,
};
use samebreath_core::text::Name;
use samebreath_store::ledger::SessionId;
use samebreath_store::notes::{KeptNote, digest};
use samebreath_store::{Store, StoreError};
use uuid::Uuid;

use crate::session::history::day_in;

/// A class that is over, with what its ledger says.
pub(crate) struct HeldClass {
    /// Its id.
    pub id: SessionId,
    /// What it was.
    pub record: ClassRecord,
    /// What the note about the class says of it.
    pub about: NoteAbout,
    session: Session,
}

impl HeldClass {
    /// The class of a ledger, on its day in a time zone; `None` for one that has not ended.
    pub(crate) fn of(id: SessionId, ledger: &[Recorded], zone: &TimeZone) -> Option<Self> {
        let (session, record) = (Session::replay(ledger)?, class_record(ledger)?);
        let ended_at = record.ended_at?;
        let day = day_in(zone, record.started_at.unwrap_or(ended_at))?;
        let (class, title) = (id.0, title_for(&session, None));
        let about = NoteAbout { class, title, day, ended_at, person: None, name: None };
        Some(Self { id, record, about, session })
    }

    /// The person as the record has them.
    pub(crate) fn person(&self, id: PersonId) -> Option<&PersonRecord> {
        self.record.people.iter().find(|one| one.person == Some(id))
    }

    /// What a note about somebody says of the class.
    pub(crate) fn about(&self, person: &PersonRecord, name: Name) -> NoteAbout {
        let title = title_for(&self.session, Some(person));
        NoteAbout { title, person: person.person, name: Some(name), ..self.about.clone() }
    }

    /// The record with nobody else in it.
    pub(crate) fn alone(&self, person: &PersonRecord) -> ClassRecord {
        alone(&self.session, &self.record, person.seat)
    }

    /// What the record says about somebody, or about the class as a whole.
    pub(crate) fn facts(&self, person: Option<&PersonRecord>) -> Vec<Fact> {
        match person {
            Some(person) => facts_about(&self.session, &self.record, person),
            None => facts_of_class(&self.session, &self.record),
        }
    }
}

/// Keeps a note as it was signed. `None` when there is one with this id, or about the same person and class.
pub(crate) async fn keep(
    store: &(dyn Store + 'static),
    id: Uuid,
    note: &SignedNote,
) -> Result<Option<KeptNote>, StoreError> {
    let NoteAbout { class, person, .. } = note.about;
    // Nothing in a note is refused by JSON.
    let body = serde_json::to_string(note).unwrap_or_default();
    let kept = KeptNote {
        id,
        class: SessionId(class),
        person,
        to: note.content.to(),
        signed_at: note.signed_at,
        sha256: digest(&body),
        body,
    };
    Ok(store.add_note(&kept).await?.then_some(kept))
}

/// What was signed; `None` after its person was erased.
pub(crate) fn read(note: &KeptNote) -> Option<SignedNote> {
    serde_json::from_str(&note.body).ok()
}
