//! The incident timeline as a table.

use samebreath_core::live::{Actor, DeskRole};
use samebreath_core::people::rules::Felt;
use samebreath_wire::AfterClass;

use crate::export::table::{Cell, Table};
use crate::export::words::{instant, word};

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

/// The file's text: one line for each incident, then one for each follow-up.
#[must_use]
pub fn csv(after: &AfterClass) -> String {
    let incidents = after.incidents.iter().map(|line| {
        let said = line.said.clone().unwrap_or_default();
        [
            Cell::text(instant(line.at)),
            Cell::maybe(line.name.as_ref()),
            Cell::text(word(&line.what)),
            Cell::maybe(said.place.map(|place| word(&place))),
            Cell::maybe(said.strength.map(strength)),
            Cell::maybe(said.urgent.map(|sign| word(&sign))),
            Cell::maybe(said.words.or(line.words.clone())),
            Cell::maybe(line.reason.map(|reason| word(&reason))),
            Cell::maybe(line.step.as_ref()),
            Cell::number(line.offset_ms.map(|ms| ms / 1000)),
            Cell::text(by(line.by)),
            Cell::maybe(line.staff.as_ref()),
        ]
    });
    let follow_ups = after.follow_ups.iter().map(|follow_up| {
        let state = if follow_up.closed_at.is_some() { "follow-up, done" } else { "follow-up, open" };
        let name = after.incidents.iter().find(|line| line.seat == Some(follow_up.seat));
        let mut row = HEAD.map(|_| Cell::Empty);
        row[0] = Cell::text(format!("due {}", follow_up.due));
        row[1] = Cell::maybe(name.and_then(|line| line.name.as_ref()));
        row[2] = Cell::text(state);
        row[6] = Cell::text(&follow_up.what);
        row[11] = Cell::text(&follow_up.owner);
        row
    });
    Table::new(HEAD, incidents.chain(follow_ups)).csv()
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
