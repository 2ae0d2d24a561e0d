//! How files say what the program has names for.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use samebreath_core::record::note::{NoteContent, SignedNote, Signer};
use samebreath_core::time::EpochMs;
use serde::Serialize;

/// An instant in the format of RFC 3339.
pub(crate) fn instant(at: EpochMs) -> String {
    Timestamp::from_millisecond(at.0).map(|at| at.to_string()).unwrap_or_default()
}

/// An instant in a time zone, in the same format with its offset.
pub(crate) fn local(at: EpochMs, zone: &TimeZone) -> Option<String> {
    let at = Timestamp::from_millisecond(at.0).ok()?.to_zoned_datetime(zone.clone());
    Some(at.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string())
}

/// A kind's name in plain words.
pub(crate) fn word<T: Serialize>(kind: &T) -> String {
    let name = serde_json::to_value(kind).ok();
    name.as_ref().and_then(|name| name.as_str()).map(|name| name.replace('_', " ")).unwrap_or_default()
}

/// Who signed a note and when, as a sentence.
pub(crate) fn signed_by(note: &SignedNote) -> String {
    let Signer { name, clinician, .. } = &note.signer;
    let day: String = instant(note.signed_at).chars().take(10).collect();
    let late = if note.content.to().is_none() && note.is_late() { " Late entry." } else { "" };
    format!("Signed by {name}, {}, {}, on {day}.{late}", clinician.title, clinician.licence)
}

/// What a note, or an addition to one, is called.
pub(crate) fn kind_of(note: &SignedNote) -> &'static str {
    match note.content {
        NoteContent::Note { .. } => "Note",
        NoteContent::Addition { .. } => "Addition",
        NoteContent::Correction { .. } => "Correction",
    }
}
