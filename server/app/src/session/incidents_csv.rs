//! The incident timeline as a CSV file (RFC 4180), safe to open in a spreadsheet.

use jiff::Timestamp;
use samebreath_core::live::{Actor, DeskRole};
use samebreath_core::people::rules::Felt;
use samebreath_core::time::EpochMs;
use samebreath_wire::AfterClass;
use serde::Serialize;

const HEAD: [&str; 12] = [
    "time (UTC)",
    "who",
    "what",
    "where",
    "strength",
    "urgent",
    "words",
    "reason",
    "step",
    "seconds into step",
    "by",
    "staff",
];

/// The file's text: one line for each incident, then one for each follow-up. Lines end in CRLF. A text that a
/// spreadsheet would take for a formula is preceded by an apostrophe.
#[must_use]
pub fn csv(after: &AfterClass) -> String {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let mut rows = vec![HEAD.map(str::to_owned)];
    for line in &after.incidents {
        let said = line.said.clone().unwrap_or_default();
        rows.push([
            time(line.at),
            line.name.as_ref().map(ToString::to_string).unwrap_or_default(),
            word(&line.what),
            said.place.map(|place| word(&place)).unwrap_or_default(),
            said.strength.map(strength).unwrap_or_default(),
            said.urgent.map(|sign| word(&sign)).unwrap_or_default(),
            said.words.or(line.words.clone()).map(|words| words.to_string()).unwrap_or_default(),
            line.reason.map(|reason| word(&reason)).unwrap_or_default(),
            line.step.as_ref().map(ToString::to_string).unwrap_or_default(),
            line.offset_ms.map(|ms| (ms / 1000).to_string()).unwrap_or_default(),
            by(line.by),
            line.staff.as_ref().map(ToString::to_string).unwrap_or_default(),
        ]);
    }
    for follow_up in &after.follow_ups {
        let state = if follow_up.closed_at.is_some() { "follow-up, done" } else { "follow-up, open" };
        let name = after
            .incidents
            .iter()
            .find(|line| line.seat == Some(follow_up.seat))
            .and_then(|l| l.name.clone());
        let mut row = HEAD.map(|_| String::new());
        row[0] = format!("due {}", follow_up.due);
        row[1] = name.map(|name| name.to_string()).unwrap_or_default();
        row[2] = state.to_owned();
        row[6] = follow_up.what.to_string();
        row[11] = follow_up.owner.to_string();
        rows.push(row);
    }
    for row in rows {
        // Writing to memory does not fail.
        let _ = writer.write_record(row.map(harmless));
    }
    writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
}

/// An instant in the format of RFC 3339.
fn time(at: EpochMs) -> String {
    Timestamp::from_millisecond(at.0).map(|t| t.to_string()).unwrap_or_default()
}

/// A kind's name in plain words.
fn word<T: Serialize>(kind: &T) -> String {
    let name = serde_json::to_value(kind).ok();
    name.as_ref().and_then(|name| name.as_str()).map(|name| name.replace('_', " ")).unwrap_or_default()
}

fn strength(felt: Felt) -> String {
    match felt {
        Felt::Word(strength) => word(&strength),
        Felt::Number(n) => format!("{n} of 10"),
    }
}

fn by(actor: Actor) -> String {
    match actor {
        Actor::Desk(DeskRole::Facilitator) => "facilitator",
        Actor::Desk(DeskRole::Helper) => "helper",
        Actor::Seat(_) => "participant",
        Actor::Entry | Actor::Watch => "server",
    }
    .to_owned()
}

/// Makes a text safe: a spreadsheet would run one that begins with any of these characters.
fn harmless(text: String) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\0']) { format!("'{text}") } else { text }
}
