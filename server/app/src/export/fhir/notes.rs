//! Signed notes, with who signed them.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use samebreath_core::people::person::PersonId;
use samebreath_core::record::note::{NoteContent, SignedNote, Signer};
use uuid::Uuid;

use super::resources::{
    Agent, Attachment, Content, Context, DocumentReference, Practitioner, Provenance, Qualification,
    RelatesTo, Resource,
};
use super::types::{Coding, Concept, Identifier, LOINC, Reference, Words};
use crate::export::words::{instant, kind_of, signed_by};

/// A note as it was signed, and who signed it. `encounter` is where the person's time in the class is found, if they were
/// there.
pub(super) fn of_note(id: Uuid, note: &SignedNote, encounter: Option<Uuid>) -> [Resource; 2] {
    let title = format!("{}, class of {}", kind_of(note), note.about.day);
    let person = note.about.person.map(|PersonId(person)| Reference::to(person));
    let signer = note.signer.account.0;
    // An addition stands beside its note, which stays as it was signed.
    let relates_to = note.content.to().map(|to| RelatesTo { code: "appends", target: Reference::to(to) });
    let document = DocumentReference {
        id,
        identifier: [Identifier::of(id)],
        status: "current",
        doc_status: "final",
        kind: Concept::named(Coding::of(LOINC, "11512-1"), "Progress note of speech-language pathology"),
        subject: person,
        date: instant(note.signed_at),
        author: [Reference::to(signer)],
        relates_to: relates_to.into_iter().collect(),
        description: title.clone(),
        content: [Content {
            attachment: Attachment {
                content_type: "text/plain; charset=utf-8",
                data: STANDARD.encode(text_of(note)),
                title,
            },
        }],
        context: encounter.map(|id| Context { encounter: [Reference::to(id)] }),
    };
    let author = Concept::of("http://terminology.hl7.org/CodeSystem/provenance-participant-type", "author");
    let provenance = Provenance {
        id: Uuid::new_v5(&id, b"provenance"),
        target: [Reference::to(id)],
        recorded: instant(note.signed_at),
        agent: [Agent { kind: author, who: Reference::to(signer) }],
    };
    [Resource::DocumentReference(document), Resource::Provenance(provenance)]
}

/// Whoever signed, as they signed last.
pub(super) fn practitioner(signer: &Signer) -> Practitioner {
    let id = signer.account.0;
    let clinician = format!("{}, {}", signer.clinician.title, signer.clinician.licence);
    Practitioner {
        id,
        identifier: [Identifier::of(id)],
        name: [Words { text: signer.name.to_string() }],
        qualification: [Qualification { code: Concept::words(clinician) }],
    }
}

/// The text of a note: its facts, what the clinician wrote, and who signed.
fn text_of(note: &SignedNote) -> String {
    let mut lines = Vec::new();
    match &note.content {
        NoteContent::Note { facts, words, .. } => {
            for (name, part, text) in words.parts() {
                lines.push(format!("{name}:"));
                let facts = facts.iter().filter(|fact| Some(fact.part) == part);
                lines.extend(facts.map(|fact| format!("- {}", fact.text)));
                lines.extend(text.map(|text| text.as_str().to_owned()));
            }
        }
        NoteContent::Addition { text, .. } | NoteContent::Correction { text, .. } => {
            lines.push(text.as_str().to_owned());
        }
    }
    lines.push(signed_by(note));
    lines.join("\n")
}
