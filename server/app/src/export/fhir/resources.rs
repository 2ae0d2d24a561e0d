//! The resources of FHIR R4 that are used here, with the elements that are filled in.

use serde::Serialize;
use uuid::Uuid;

use super::types::{Coding, Concept, Identifier, Period, Quantity, Reference, Words};

/// All that is handed out at once.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(crate) struct Bundle {
    pub(super) resource_type: &'static str,
    #[serde(rename = "type")]
    pub(super) kind: &'static str,
    pub(super) timestamp: String,
    pub(super) entry: Vec<Entry>,
}

/// A resource at its address.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Entry {
    pub full_url: String,
    pub resource: Resource,
}

/// A resource.
#[derive(Debug, Serialize)]
#[serde(tag = "resourceType")]
pub(super) enum Resource {
    Patient(Patient),
    Practitioner(Practitioner),
    Group(Group),
    Appointment(Appointment),
    Encounter(Encounter),
    Observation(Box<Observation>),
    Questionnaire(Questionnaire),
    QuestionnaireResponse(QuestionnaireResponse),
    DocumentReference(DocumentReference),
    Provenance(Provenance),
    CodeSystem(CodeSystem),
}

impl Resource {
    /// Its id.
    pub(super) fn id(&self) -> Uuid {
        match self {
            Self::Patient(one) => one.id,
            Self::Practitioner(one) => one.id,
            Self::Group(one) => one.id,
            Self::Appointment(one) => one.id,
            Self::Encounter(one) => one.id,
            Self::Observation(one) => one.id,
            Self::Questionnaire(one) => one.id,
            Self::QuestionnaireResponse(one) => one.id,
            Self::DocumentReference(one) => one.id,
            Self::Provenance(one) => one.id,
            Self::CodeSystem(one) => one.id,
        }
    }
}

#[derive(Debug, Serialize)]
pub(super) struct Patient {
    pub id: Uuid,
    pub identifier: [Identifier; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub name: Vec<Words>,
}

/// Whoever signed a note.
#[derive(Debug, Serialize)]
pub(super) struct Practitioner {
    pub id: Uuid,
    pub identifier: [Identifier; 1],
    pub name: [Words; 1],
    pub qualification: [Qualification; 1],
}

#[derive(Debug, Serialize)]
pub(super) struct Qualification {
    pub code: Concept,
}

#[derive(Debug, Serialize)]
pub(super) struct Group {
    pub id: Uuid,
    pub identifier: [Identifier; 1],
    #[serde(rename = "type")]
    pub kind: &'static str,
    pub actual: bool,
    pub name: String,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub member: Vec<Member>,
}

#[derive(Debug, Serialize)]
pub(super) struct Member {
    pub entity: Reference,
}

/// A class for one person.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Appointment {
    pub id: Uuid,
    pub status: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cancelation_reason: Option<Concept>,
    pub description: String,
    pub start: String,
    pub end: String,
    pub minutes_duration: u32,
    pub participant: [Participant; 1],
}

#[derive(Debug, Serialize)]
pub(super) struct Participant {
    pub actor: Reference,
    pub status: &'static str,
}

/// That somebody was in a class.
#[derive(Debug, Serialize)]
pub(super) struct Encounter {
    pub id: Uuid,
    pub status: &'static str,
    pub class: Coding,
    pub subject: Reference,
    pub appointment: [Reference; 1],
    pub period: Period,
    pub length: Quantity,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Observation {
    pub id: Uuid,
    pub status: &'static str,
    pub category: [Concept; 1],
    pub code: Concept,
    pub subject: Reference,
    pub encounter: Reference,
    pub effective_date_time: String,
    /// Whoever says so.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub performer: Vec<Reference>,
    #[serde(flatten)]
    pub value: Value,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub note: Vec<Words>,
    /// The drill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub method: Option<Concept>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub component: Vec<Component>,
}

/// What an observation says.
#[derive(Debug, Serialize)]
pub(super) enum Value {
    #[serde(rename = "valueQuantity")]
    Quantity(Quantity),
    #[serde(rename = "valueInteger")]
    Integer(u8),
    #[serde(rename = "valueCodeableConcept")]
    Concept(Concept),
    #[serde(rename = "dataAbsentReason")]
    Absent(Concept),
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Component {
    pub code: Concept,
    pub value_string: String,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Questionnaire {
    pub id: Uuid,
    pub url: String,
    pub version: &'static str,
    pub title: &'static str,
    pub status: &'static str,
    pub subject_type: [&'static str; 1],
    pub item: Vec<Question>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Question {
    pub link_id: &'static str,
    pub text: &'static str,
    #[serde(rename = "type")]
    pub kind: &'static str,
}

#[derive(Debug, Serialize)]
pub(super) struct QuestionnaireResponse {
    pub id: Uuid,
    pub questionnaire: String,
    pub status: &'static str,
    pub subject: Reference,
    pub encounter: Reference,
    /// The day.
    pub authored: String,
    pub source: Reference,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub item: Vec<Answered>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Answered {
    pub link_id: &'static str,
    pub answer: [AnswerValue; 1],
}

#[derive(Debug, Serialize)]
pub(super) enum AnswerValue {
    #[serde(rename = "valueBoolean")]
    Boolean(bool),
    #[serde(rename = "valueInteger")]
    Integer(u8),
    #[serde(rename = "valueString")]
    Text(String),
}

/// A signed note, or what was added to one.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct DocumentReference {
    pub id: Uuid,
    pub identifier: [Identifier; 1],
    pub status: &'static str,
    pub doc_status: &'static str,
    #[serde(rename = "type")]
    pub kind: Concept,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub subject: Option<Reference>,
    pub date: String,
    pub author: [Reference; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub relates_to: Vec<RelatesTo>,
    pub description: String,
    pub content: [Content; 1],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub context: Option<Context>,
}

#[derive(Debug, Serialize)]
pub(super) struct RelatesTo {
    pub code: &'static str,
    pub target: Reference,
}

#[derive(Debug, Serialize)]
pub(super) struct Content {
    pub attachment: Attachment,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Attachment {
    pub content_type: &'static str,
    pub data: String,
    pub title: String,
}

#[derive(Debug, Serialize)]
pub(super) struct Context {
    pub encounter: [Reference; 1],
}

/// Who signed what, and when.
#[derive(Debug, Serialize)]
pub(super) struct Provenance {
    pub id: Uuid,
    pub target: [Reference; 1],
    pub recorded: String,
    pub agent: [Agent; 1],
}

#[derive(Debug, Serialize)]
pub(super) struct Agent {
    #[serde(rename = "type")]
    pub kind: Concept,
    pub who: Reference,
}

/// The codes of this program.
#[derive(Debug, Serialize)]
pub(super) struct CodeSystem {
    pub id: Uuid,
    pub url: String,
    pub version: &'static str,
    pub name: &'static str,
    pub status: &'static str,
    pub content: &'static str,
    pub concept: Vec<Code>,
}

#[derive(Debug, Serialize)]
pub(super) struct Code {
    pub code: &'static str,
    pub display: &'static str,
    pub definition: &'static str,
}
