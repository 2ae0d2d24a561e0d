//! Which drills and clues a session showed.

use crate::live::{ClassEvent, Event, Recorded, Session};
use crate::plan::history::Had;

/// What the screens of a session showed, from its ledger.
#[must_use]
pub fn had(ledger: &[Recorded]) -> Had {
    let mut had = Had::default();
    // Steps can be inserted while the class runs, so it takes the whole session to look them up.
    let Some(session) = Session::replay(ledger) else { return had };
    for line in ledger {
        match &line.event {
            Event::Class(ClassEvent::Moved { moves, .. }) => {
                let steps = moves.iter().filter_map(|m| session.step(m.step));
                steps.for_each(|live| had.add_drill(&live.step));
            }
            Event::Class(ClassEvent::ClueShown { step, number, .. }) => {
                if let Some(set) = session.step(*step).and_then(|live| live.step.clues()) {
                    had.add_clue(set, *number);
                }
            }
            Event::Class(_) | Event::Seat { .. } | Event::Safety { .. } | Event::Care { .. } => {}
        }
    }
    had
}
