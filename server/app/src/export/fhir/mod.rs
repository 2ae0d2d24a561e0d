//! Records for a health record system: a bundle of FHIR R4 (HL7 FHIR 4.0.1). It is checked with several programs of others
//! (`tests/reference/fhir.test.mjs`); nobody has certified it.

mod class;
mod codes;
mod notes;
mod resources;
mod types;

use std::collections::BTreeMap;

use samebreath_core::people::person::PersonId;
use samebreath_core::record::note::SignedNote;
use samebreath_core::text::Name;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

pub(crate) use class::FhirClass;
pub(crate) use resources::Bundle;
use resources::{Entry, Group, Member, Patient, Resource};
use types::{Identifier, Reference, Words, urn};

use crate::export::words::instant;

/// Somebody in the bundle.
pub(crate) struct FhirPerson<'a> {
    /// Their id.
    pub id: PersonId,
    /// Their name, if it is asked for.
    pub name: Option<&'a Name>,
}

/// A group in the bundle, with its people.
pub(crate) struct FhirGroup<'a> {
    /// Its id.
    pub id: Uuid,
    /// Its name.
    pub name: &'a str,
    /// Who is enrolled now.
    pub members: &'a [PersonId],
}

/// All that is in a bundle.
pub(crate) struct Records<'a> {
    /// The group, where it is about one.
    pub group: Option<FhirGroup<'a>>,
    /// The people.
    pub people: Vec<FhirPerson<'a>>,
    /// The classes that were held, the earliest first; each once for each person, with nobody else in it.
    pub classes: Vec<FhirClass<'a>>,
    /// The signed notes about these people, with their ids.
    pub notes: &'a [(Uuid, SignedNote)],
}

/// The bundle.
pub(crate) fn bundle(records: &Records<'_>, now: EpochMs) -> Bundle {
    let patients = records.people.iter().map(|FhirPerson { id, name }| {
        let name = name.map(|name| Words { text: name.to_string() });
        let (id, identifier) = (id.0, [Identifier::of(id.0)]);
        Resource::Patient(Patient { id, identifier, name: name.into_iter().collect() })
    });
    let own = [
        Resource::CodeSystem(codes::code_system()),
        Resource::Questionnaire(codes::check_in()),
        Resource::Questionnaire(codes::effort()),
    ];
    let group = records.group.as_ref().map(|group| {
        let member = group.members.iter().map(|person| Member { entity: Reference::to(person.0) });
        Resource::Group(Group {
            id: group.id,
            identifier: [Identifier::of(group.id)],
            kind: "person",
            actual: true,
            name: group.name.to_owned(),
            member: member.collect(),
        })
    });
    let mut signed: Vec<&SignedNote> = records.notes.iter().map(|(_, note)| note).collect();
    signed.sort_by_key(|note| note.signed_at);
    let signers: BTreeMap<Uuid, _> =
        signed.iter().map(|note| (note.signer.account.0, &note.signer)).collect();
    let signers = signers.into_values().map(|signer| Resource::Practitioner(notes::practitioner(signer)));
    let places =
        || records.classes.iter().flat_map(|class| class.record.people.iter().map(move |of| (class, of)));
    let classes = places().filter_map(|(class, of)| Some(class::of_person(class, of, of.person?))).flatten();
    let encounters: BTreeMap<(Uuid, PersonId), Uuid> = places()
        .filter_map(|(class, of)| Some(((class.id, of.person?), class.encounter_of(of.person?)?)))
        .collect();
    let notes = records.notes.iter().flat_map(|(id, note)| {
        let person = note.about.person.map(|person| (note.about.class, person));
        let encounter = person.and_then(|of| encounters.get(&of).copied());
        notes::of_note(*id, note, encounter)
    });
    let resources = own.into_iter().chain(patients).chain(group).chain(signers).chain(classes).chain(notes);
    Bundle {
        resource_type: "Bundle",
        kind: "collection",
        timestamp: instant(now),
        entry: resources.map(|resource| Entry { full_url: urn(resource.id()), resource }).collect(),
    }
}
