//! The data types of FHIR R4 that are used here (HL7 FHIR 4.0.1, data types).

use serde::Serialize;
use serde_json::Number;
use uuid::Uuid;

/// Units by UCUM.
pub(super) const UCUM: &str = "http://unitsofmeasure.org";
/// Codes by LOINC.
pub(super) const LOINC: &str = "http://loinc.org";

/// A code of a code system.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Coding {
    pub system: String,
    pub code: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub display: Option<String>,
}

impl Coding {
    pub(super) fn of(system: &str, code: &str) -> Self {
        Self { system: system.to_owned(), code: code.to_owned(), display: None }
    }
}

/// What something is, as a code, in words, or both.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Concept {
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub coding: Vec<Coding>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

impl Concept {
    /// A code.
    pub(super) fn of(system: &str, code: &str) -> Self {
        Self { coding: vec![Coding::of(system, code)], text: None }
    }

    /// A code, and the same in words.
    pub(super) fn named(coding: Coding, text: &str) -> Self {
        Self { coding: vec![coding], text: Some(text.to_owned()) }
    }

    /// Words without a code.
    pub(super) fn words(text: impl Into<String>) -> Self {
        Self { coding: Vec::new(), text: Some(text.into()) }
    }
}

/// An amount with its unit in UCUM.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Quantity {
    pub value: Number,
    /// `<`, `>=` or `>`, where only a limit is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub comparator: Option<&'static str>,
    pub unit: &'static str,
    pub system: &'static str,
    pub code: &'static str,
}

impl Quantity {
    /// So many milliseconds, as seconds.
    pub(super) fn seconds(ms: i64, comparator: &'static str) -> Self {
        let whole = (ms % 1000 == 0).then(|| Number::from(ms / 1000));
        let value =
            whole.or_else(|| Number::from_f64(ms as f64 / 1000.0)).unwrap_or_else(|| Number::from(ms / 1000));
        Self { value, comparator: Some(comparator), unit: "s", system: UCUM, code: "s" }
    }

    pub(super) fn minutes(value: u32) -> Self {
        Self { value: value.into(), comparator: None, unit: "min", system: UCUM, code: "min" }
    }

    pub(super) fn count(value: u32) -> Self {
        Self { value: value.into(), comparator: None, unit: "repetitions", system: UCUM, code: "{count}" }
    }
}

/// Points to another resource of the same bundle.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Reference {
    pub reference: String,
}

impl Reference {
    pub(super) fn to(id: Uuid) -> Self {
        Self { reference: urn(id) }
    }
}

/// The address of a resource in its bundle, and the identifier of what has an id here.
pub(super) fn urn(id: Uuid) -> String {
    format!("urn:uuid:{id}")
}

/// An identifier.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Identifier {
    pub system: &'static str,
    pub value: String,
}

impl Identifier {
    /// An id of this server, which is the same in every file.
    pub(super) fn of(id: Uuid) -> Self {
        // "urn:ietf:rfc:3986" says that the value is a URI (FHIR, identifier registry).
        Self { system: "urn:ietf:rfc:3986", value: urn(id) }
    }
}

/// A span of time: instants with their offset, or days.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Period {
    pub start: String,
    pub end: String,
}

/// Words.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Words {
    pub text: String,
}
