//! Which drills, clues and items a session showed.

use std::collections::BTreeSet;

use crate::live::{ClassEvent, Event, Recorded, Session};
use crate::plan::history::Had;

/// What the screens of a session showed, from its ledger.
#[must_use]
pub fn had(ledger: &[Recorded]) -> Had {
    let mut had = Had::default();
    // Steps can be inserted while the class runs, so it takes the whole session to look them up.
    let Some(session) = Session::replay(ledger) else { return had };
    // A class moves many times within a step, and a step's words are looked up once.
    let mut reached = BTreeSet::new();
    for line in ledger {
        match &line.event {
            Event::Class(ClassEvent::Moved { moves, .. }) => reached.extend(moves.iter().map(|m| m.step)),
            Event::Class(ClassEvent::ClueShown { step, number, .. }) => {
                if let Some(set) = session.step(*step).and_then(|live| live.step.clues()) {
                    had.add_clue(set, *number);
                }
            }
            Event::Class(_) | Event::Seat { .. } | Event::Safety { .. } | Event::Care { .. } => {}
        }
    }
    reached.into_iter().filter_map(|step| session.step(step)).for_each(|live| had.add_drill(&live.step));
    had
}
