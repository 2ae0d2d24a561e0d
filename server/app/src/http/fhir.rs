//! Hands out records for a health record system: those of one person, and those of a group.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::get;
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::GroupId;
use samebreath_core::record::class::ClassRecord;
use samebreath_core::record::note::SignedNote;
use samebreath_core::staff::may::Act;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use serde::Deserialize;
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::export::fhir::{Bundle, FhirClass, FhirGroup, FhirPerson, Records, bundle};
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::attendance;
use crate::http::person_copy;
use crate::http::whose::Groups;
use crate::session::notes::{HeldClass, read};

/// What else is asked for.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Asked {
    /// Whether people's names go along. Without them, a person is known by an identifier; what somebody typed of themselves, and
    /// the notes, may still have names in them.
    #[serde(default)]
    names: bool,
}

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/people/{id}/fhir.json", get(of_person))
        .route("/api/planner/groups/{id}/fhir.json", get(of_group))
}

/// One person's records, with nobody else of their classes in them.
async fn of_person(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    Query(asked): Query<Asked>,
) -> Reply<impl IntoResponse> {
    let kept: Versioned<Person> = app.store.document(id).await?.ok_or(Failure::NotFound)?;
    let (person, groups) = (PersonId(id), Groups::of(&staff, &app).await?);
    groups.check(Act::Sign, groups.person(person))?;
    let held = person_copy::held_of(&app, person).await?;
    let alone: Vec<_> = held
        .iter()
        .filter_map(|(class, zone)| Some((class, zone, class.alone(class.person(person)?))))
        .collect();
    let classes = alone.iter().map(|(class, zone, record)| FhirClass {
        id: class.id.0,
        day: class.about.day,
        zone,
        record,
    });
    let kept_notes = app.store.notes_of_person(person).await?;
    let notes: Vec<(Uuid, SignedNote)> =
        kept_notes.iter().filter_map(|note| Some((note.id, read(note)?))).collect();
    let people = vec![FhirPerson { id: person, name: asked.names.then_some(&kept.content.name) }];
    let records = Records { group: None, people, classes: classes.collect(), notes: &notes };
    Ok(file(&bundle(&records, app.clock.now())))
}

/// A group's records: all of its people.
async fn of_group(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    Query(asked): Query<Asked>,
) -> Reply<impl IntoResponse> {
    let (group, zone) = attendance::readable(&app, &staff, id).await?;
    let known: Vec<Versioned<Person>> = app.store.documents().await?;
    let known: BTreeMap<PersonId, Person> =
        known.into_iter().map(|kept| (PersonId(kept.id), kept.content)).collect();
    let mut alone: Vec<(Uuid, Date, ClassRecord)> = Vec::new();
    let mut notes: Vec<(Uuid, SignedNote)> = Vec::new();
    let mut ids: BTreeSet<PersonId> = group.people.iter().copied().collect();
    // The newest come first.
    let ended = app.store.sessions_of(GroupId(id)).await?.into_iter().rev();
    for entry in ended.filter(|entry| entry.ended_at.is_some()) {
        let ledger = app.store.read_after(entry.id, 0).await?;
        let class = HeldClass::of(entry.id, &ledger, &zone);
        let Some(class) = class.filter(|class| class.record.started_at.is_some()) else { continue };
        // Into nobody's record goes what speaks of somebody else.
        let people = class.record.people.iter().filter_map(|of| Some((of.person?, class.alone(of))));
        let people: Vec<_> = people.filter(|(id, _)| known.contains_key(id)).collect();
        ids.extend(people.iter().map(|(id, _)| *id));
        // The note about the class as a whole is about nobody who has a record elsewhere.
        let kept = app.store.notes_of_class(class.id).await?;
        let kept = kept.iter().filter(|note| note.person.is_some_and(|person| known.contains_key(&person)));
        notes.extend(kept.filter_map(|note| Some((note.id, read(note)?))));
        alone.extend(people.into_iter().map(|(_, record)| (class.id.0, class.about.day, record)));
    }
    // Whoever was erased is nobody's patient any more.
    let people = ids.iter().filter_map(|id| {
        let name = &known.get(id)?.name;
        Some(FhirPerson { id: *id, name: asked.names.then_some(name) })
    });
    let members: Vec<PersonId> = group.people.iter().filter(|id| known.contains_key(id)).copied().collect();
    let classes =
        alone.iter().map(|(class, day, record)| FhirClass { id: *class, day: *day, zone: &zone, record });
    let records = Records {
        group: Some(FhirGroup { id, name: group.name.as_str(), members: &members }),
        people: people.collect(),
        classes: classes.collect(),
        notes: &notes,
    };
    Ok(file(&bundle(&records, app.clock.now())))
}

fn file(bundle: &Bundle) -> impl IntoResponse + use<> {
    // Nothing in a bundle is refused by JSON.
    let text = serde_json::to_string(bundle).unwrap_or_default();
    ([(header::CONTENT_TYPE, "application/fhir+json")], text)
}
