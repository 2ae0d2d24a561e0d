//! What this program has codes and questions of its own for, because no common system that may be used freely has one that
//! fits. They go along in every file.

use uuid::Uuid;

use super::resources::{Code, CodeSystem, Question, Questionnaire};
use super::types::{Coding, Concept};

/// Where the codes and questions of this program have their names. Nothing is fetched from there: `.invalid` is reserved
/// (RFC 2606).
const OWN: &str = "https://samebreath.invalid/fhir";
/// The version of the codes and questions; one more whenever one of them changes.
const VERSION: &str = "1";

/// Each code with its words and what it means.
const CODES: [(&str, &str, &str); 9] = [
    ("answer", "Answer", "What the person said of a drill: done, or stopped."),
    (
        "repetitions",
        "Repetitions",
        "Whole repetitions of the class in a drill of which the person said that they did it.",
    ),
    (
        "longest-hold",
        "Longest hold",
        "How far a hold went by the person's own word: less than its target, to the target or longer, or beyond it. \
         Nothing was measured.",
    ),
    ("stop", "Stop", "The person stopped."),
    ("discomfort", "Discomfort", "The person reported discomfort; as a word, where they gave no number."),
    ("form", "Form", "In which form the drill was for the person."),
    ("place", "Place", "Where the discomfort was."),
    ("urgent-sign", "Urgent sign", "A sign that needs help at once."),
    ("came-to", "What it came to", "How far a report was dealt with."),
];

/// A code of this program.
pub(super) fn own(code: &str) -> Concept {
    let text = CODES.iter().find(|(known, ..)| *known == code).map(|(_, text, _)| *text);
    Concept::named(Coding::of(&format!("{OWN}/codes"), code), text.unwrap_or(code))
}

/// The code of a drill of the library.
pub(super) fn drill(id: &str, title: &str) -> Concept {
    Concept::named(Coding::of(&format!("{OWN}/drills"), id), title)
}

/// That something is not known.
pub(super) fn unknown() -> Concept {
    Concept::of("http://terminology.hl7.org/CodeSystem/data-absent-reason", "unknown")
}

/// The codes as a resource.
pub(super) fn code_system() -> CodeSystem {
    let code = |(code, display, definition)| Code { code, display, definition };
    let url = format!("{OWN}/codes");
    CodeSystem {
        id: id_of(&url),
        url,
        version: VERSION,
        name: "OwnCodes",
        status: "active",
        content: "complete",
        concept: CODES.map(code).into(),
    }
}

/// The questions before a class.
pub(super) fn check_in() -> Questionnaire {
    let item = [
        ("feeling", "How do you feel today?", "string"),
        ("seated", "Do you sit upright in a stable chair?", "boolean"),
        ("mouth-empty", "Is your mouth empty?", "boolean"),
        ("water", "Is water at hand?", "boolean"),
        ("must-not-drink", "Must you not drink?", "boolean"),
        ("company", "Is somebody with you?", "string"),
        ("news", "Is anything new since the last class?", "boolean"),
        ("easier", "Do you want the easier forms today?", "boolean"),
    ];
    questionnaire("check-in", "Check-in before a class", item)
}

/// The question about effort.
pub(super) fn effort() -> Questionnaire {
    let item = [
        ("after", "After which drill?", "string"),
        ("effort", "How much effort was it, from 0 to 10?", "integer"),
    ];
    questionnaire("effort", "Effort", item)
}

/// The name of a questionnaire with its version.
pub(super) fn canonical(name: &str) -> String {
    format!("{OWN}/{name}|{VERSION}")
}

fn questionnaire<const N: usize>(
    name: &str,
    title: &'static str,
    item: [(&'static str, &'static str, &'static str); N],
) -> Questionnaire {
    let url = format!("{OWN}/{name}");
    Questionnaire {
        id: id_of(&url),
        url,
        version: VERSION,
        title,
        status: "active",
        subject_type: ["Patient"],
        item: item.map(|(link_id, text, kind)| Question { link_id, text, kind }).into(),
    }
}

fn id_of(url: &str) -> Uuid {
    Uuid::new_v5(&Uuid::NAMESPACE_URL, url.as_bytes())
}
