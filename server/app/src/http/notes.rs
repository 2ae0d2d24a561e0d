//! Notes after a class: written as drafts, signed by clinicians, added to and never changed.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::{get, post, put};
use axum::{Json, Router};
use samebreath_core::live::Session;
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::record::class::{Attended, PersonRecord};
use samebreath_core::record::note::{Fact, NoteAbout, NoteContent, NoteDraft, SignedNote, Signer, WORDING};
use samebreath_core::staff::may::Act;
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::Versioned;
use samebreath_store::ledger::SessionId;
use samebreath_store::notes::KeptNote;
use samebreath_wire::notes::{
    AddToNote, ClassNotes, NoteSheet, PersonNotes, SaveNote, SavedNote, ShownNote, SignNote,
};
use samebreath_wire::today::LeftToDo;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::whose::Groups;
use crate::session::history::{day_in, record_of, zone_of};
use crate::session::notes::{HeldClass, keep, read};

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/classes/{id}/notes", get(of_class))
        .route("/api/planner/classes/{id}/note", put(save_of_class).post(sign_of_class))
        .route("/api/planner/people/{id}/notes/{class}", put(save_of_person).post(sign_of_person))
        .route("/api/planner/notes/{id}/added", post(add))
}

/// A class that is over, if whoever asks may do this with it; and whether they may sign.
pub(super) async fn over(app: &App, staff: &Staff, id: Uuid, act: Act) -> Reply<(HeldClass, bool)> {
    let entry = app.store.session(SessionId(id)).await?.ok_or(Failure::NotFound)?;
    let groups = Groups::of(staff, app).await?;
    groups.check(act, groups.class(&entry))?;
    if entry.rehearsal {
        return Err(Failure::Body("this was a rehearsal; it has no notes and no home sheets".to_owned()));
    }
    let ledger = app.store.read_after(entry.id, 0).await?;
    if !Session::replay(&ledger).ok_or(Failure::NotFound)?.has_ended() {
        return Err(Failure::Body("this class has not ended; end it first".to_owned()));
    }
    let zone = zone_of(app, entry.group).await?;
    let over = HeldClass::of(entry.id, &ledger, &zone).ok_or(Failure::NotFound)?;
    Ok((over, groups.may(Act::Sign, groups.class(&entry))))
}

/// The same for whoever writes or signs: about somebody who was in the class and was not erased, or about the class.
async fn held_for(app: &App, staff: &Staff, class: Uuid, person: Option<PersonId>) -> Reply<HeldClass> {
    let (over, _) = over(app, staff, class, Act::Sign).await?;
    if let Some(id) = person
        && (over.person(id).is_none() || app.store.erased_on(id).await?.is_some())
    {
        return Err(Failure::NotFound);
    }
    Ok(over)
}

async fn of_class(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<ClassNotes>> {
    let (over, may_sign) = over(&app, &staff, id, Act::ReadHealth).await?;
    let kept = app.store.notes_of_class(over.id).await?;
    let mut drafts = BTreeMap::new();
    let whose = over.record.people.iter().filter_map(|person| person.person).map(Some).chain([None]);
    for whose in whose.filter(|_| may_sign) {
        if let Some(draft) = app.store.document::<NoteDraft>(draft_id(id, whose)).await? {
            drafts.insert(whose, draft);
        }
    }
    let sheet = |person: Option<&PersonRecord>| {
        let whose = person.and_then(|person| person.person);
        sheet(over.facts(person), drafts.get(&whose), &kept, whose, may_sign)
    };
    let people = over.record.people.iter().filter_map(|person| {
        Some(PersonNotes {
            person: person.person?,
            name: person.name.clone(),
            attended: person.attended,
            minutes: person.minutes,
            sheet: sheet(Some(person)),
        })
    });
    let came = |person: &&PersonRecord| person.person.is_none() && person.attended != Attended::No;
    let guests = over.record.people.iter().filter(came).count();
    Ok(Json(ClassNotes {
        class: id,
        title: over.record.title.clone(),
        day: over.about.day,
        may_sign,
        people: people.collect(),
        guests: u32::try_from(guests).unwrap_or(u32::MAX),
        of_class: sheet(None),
    }))
}

fn sheet(
    facts: Vec<Fact>,
    draft: Option<&Versioned<NoteDraft>>,
    kept: &[KeptNote],
    whose: Option<PersonId>,
    may_read: bool,
) -> NoteSheet {
    let theirs = || kept.iter().filter(|note| note.person == whose);
    let signed = theirs().find(|note| note.to.is_none());
    let facts_differ = signed.and_then(read).is_some_and(|note| note.differs_from(&facts));
    let draft = draft.filter(|_| signed.is_none());
    NoteSheet {
        seen: seen(&facts),
        facts,
        words: draft.map(|draft| draft.content.words.clone()).unwrap_or_default(),
        version: draft.map_or(0, |draft| draft.version),
        signed: signed.map(|note| shown(note, may_read)),
        added: theirs().filter(|note| note.to.is_some()).map(|note| shown(note, may_read)).collect(),
        facts_differ,
    }
}

pub(super) fn shown(note: &KeptNote, may_read: bool) -> ShownNote {
    let signed = read(note);
    ShownNote {
        id: note.id,
        signed_at: note.signed_at,
        late: signed.as_ref().is_some_and(SignedNote::is_late),
        note: signed.filter(|_| may_read),
        erased: note.body.is_empty(),
        sha256: note.sha256.clone(),
    }
}

/// The SHA-256 of facts.
fn seen(facts: &[Fact]) -> String {
    let text = serde_json::to_string(facts).unwrap_or_default();
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// For which classes since an instant notes are to be signed, by whoever asks; the oldest class first.
pub(crate) async fn left(app: &App, groups: &Groups<'_>, since: EpochMs) -> Reply<Vec<LeftToDo>> {
    let mut found = Vec::new();
    for (id, _) in groups.all().filter(|(_, group)| group.notes) {
        let zone = zone_of(app, Some(id)).await?;
        for entry in app.store.sessions_of(id).await? {
            let is_recent = entry.ended_at.is_some_and(|ended| ended > since);
            if !is_recent || !groups.may(Act::Sign, groups.class(&entry)) {
                continue;
            }
            let Some(record) = record_of(app, entry.id).await else { continue };
            let kept = app.store.notes_of_class(entry.id).await?;
            let came = record.people.iter().filter(|one| one.attended != Attended::No);
            let is_signed = |id| kept.iter().any(|note| note.person == Some(id) && note.to.is_none());
            let mut people = 0;
            for id in came.filter_map(|one| one.person).filter(|id| !is_signed(*id)) {
                people += usize::from(app.store.erased_on(id).await?.is_none());
            }
            if let (true, Some(day)) = (people > 0, record.started_at.and_then(|at| day_in(&zone, at))) {
                let (session, title) = (entry.id.0, record.title.to_string());
                found.push((day, LeftToDo::Notes { session, title, day, people }));
            }
        }
    }
    found.sort_by_key(|(day, _)| *day);
    Ok(found.into_iter().map(|(_, left)| left).collect())
}

/// The id of a draft: there is one of each class and person.
fn draft_id(class: Uuid, person: Option<PersonId>) -> Uuid {
    let whose = person.map_or_else(|| "class".to_owned(), |person| person.0.to_string());
    Uuid::new_v5(&class, whose.as_bytes())
}

type Saving = JsonBody<SaveNote>;
type Signing = JsonBody<SignNote>;

async fn save_of_class(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    body: Saving,
) -> Reply<Json<SavedNote>> {
    save(&app, &staff, (id, None), body.0).await
}

async fn save_of_person(
    staff: Staff,
    State(app): Shared,
    Path((person, class)): Path<(Uuid, Uuid)>,
    body: Saving,
) -> Reply<Json<SavedNote>> {
    save(&app, &staff, (class, Some(PersonId(person))), body.0).await
}

async fn sign_of_class(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    body: Signing,
) -> Reply<Json<ShownNote>> {
    sign(&app, &staff, (id, None), body.0).await
}

async fn sign_of_person(
    staff: Staff,
    State(app): Shared,
    Path((person, class)): Path<(Uuid, Uuid)>,
    body: Signing,
) -> Reply<Json<ShownNote>> {
    sign(&app, &staff, (class, Some(PersonId(person))), body.0).await
}

/// Keeps what was written so far.
async fn save(
    app: &App,
    staff: &Staff,
    (class, person): (Uuid, Option<PersonId>),
    SaveNote { after, words }: SaveNote,
) -> Reply<Json<SavedNote>> {
    let over = held_for(app, staff, class, person).await?;
    if is_signed(app, over.id, person).await? {
        return Err(Failure::Body(SIGNED.to_owned()));
    }
    let id = draft_id(class, person);
    let content = NoteDraft { class, person, words };
    let draft = Versioned { id, version: after.max(1), updated_at: app.clock.now(), content };
    let kept = app.store.document::<NoteDraft>(id).await?;
    let saved = match kept {
        None if after == 0 => app.store.add_document(&draft).await.is_ok(),
        Some(kept) if kept.version == after => app.store.save_document(&draft).await?,
        None | Some(_) => false,
    };
    // Also for a save whose answer was lost, and that comes again.
    let now = app.store.document::<NoteDraft>(id).await?.ok_or(Failure::Behind)?;
    let saved = saved || now.content == draft.content;
    Ok(Json(SavedNote { saved, version: now.version, words: now.content.words }))
}

/// What whoever comes second is told.
const SIGNED: &str = "a note about this is signed already; add to it";

async fn is_signed(app: &App, class: SessionId, person: Option<PersonId>) -> Reply<bool> {
    let kept = app.store.notes_of_class(class).await?;
    Ok(kept.iter().any(|note| note.person == person && note.to.is_none()))
}

/// Signs what whoever signs has seen, and nothing else.
async fn sign(
    app: &App,
    staff: &Staff,
    (class, person): (Uuid, Option<PersonId>),
    SignNote { request, seen: saw, after, words }: SignNote,
) -> Reply<Json<ShownNote>> {
    let over = held_for(app, staff, class, person).await?;
    if let Some(kept) = app.store.note(request).await?
        && (kept.class, kept.person, kept.to) == (over.id, person, None)
    {
        // The answer to the first request was lost.
        return Ok(Json(shown(&kept, true)));
    }
    let of = person.map(|id| over.person(id).ok_or(Failure::NotFound)).transpose()?;
    let facts = over.facts(of);
    if seen(&facts) != saw {
        return Err(Failure::Body(
            "what the record of the class says has changed since you read it; read it again, then sign"
                .to_owned(),
        ));
    }
    if person.is_some() && words.assessment.is_none() {
        return Err(Failure::Body("`assessment` is empty; write what you make of it, then sign".to_owned()));
    }
    let id = draft_id(class, person);
    let draft = app.store.document::<NoteDraft>(id).await?;
    // A colleague's words are not thrown away unseen.
    if draft.as_ref().is_some_and(|draft| draft.version != after && draft.content.words != words) {
        return Err(Failure::Behind);
    }
    let about = match of {
        Some(of) => {
            let known: Option<Versioned<Person>> = match person {
                Some(PersonId(id)) => app.store.document(id).await?,
                None => None,
            };
            over.about(of, known.map_or_else(|| of.name.clone(), |known| known.content.name))
        }
        None => over.about.clone(),
    };
    let content = NoteContent::Note { wording: WORDING, facts, words };
    let note =
        put_down(app, staff, request, about, content).await?.ok_or(Failure::Body(SIGNED.to_owned()))?;
    // If the draft stays, nobody sees it: the note is signed.
    if let Some(draft) = draft {
        app.store.remove_document::<NoteDraft>(id, draft.version).await?;
    }
    Ok(Json(note))
}

/// Adds to a signed note.
async fn add(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(AddToNote { request, corrects, text }): JsonBody<AddToNote>,
) -> Reply<Json<ShownNote>> {
    let note = app.store.note(id).await?.filter(|note| note.to.is_none()).ok_or(Failure::NotFound)?;
    held_for(&app, &staff, note.class.0, note.person).await?;
    if let Some(kept) = app.store.note(request).await?
        && kept.to == Some(id)
    {
        return Ok(Json(shown(&kept, true)));
    }
    let about = read(&note).ok_or(Failure::NotFound)?.about;
    let content = if corrects {
        NoteContent::Correction { to: id, text }
    } else {
        NoteContent::Addition { to: id, text }
    };
    let added = put_down(&app, &staff, request, about, content).await?;
    Ok(Json(added.ok_or(Failure::Behind)?))
}

/// Signs with the name, title and licence of whoever asks. `None` when there is such a note already.
async fn put_down(
    app: &App,
    staff: &Staff,
    id: Uuid,
    about: NoteAbout,
    content: NoteContent,
) -> Reply<Option<ShownNote>> {
    let account = staff.account();
    let clinician = account.clinician.clone().ok_or(Failure::NotClinician)?;
    let signer = Signer { account: staff.id(), name: account.name.clone(), clinician };
    let signed_at = app.clock.now();
    let note = SignedNote { about, content, signer, signed_at };
    Ok(keep(&*app.store, id, &note).await?.map(|kept| shown(&kept, true)))
}
