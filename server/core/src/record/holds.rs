//! What a class did: seconds held and repetitions completed, from the parts of the timeline that were really
//! played.

use crate::drill::Phase;
use crate::live::{Session, StepId};
use crate::plan::timeline::Timeline;
use crate::time::EpochMs;

/// A stretch of a step's timeline (lengthened spans included) that was played, in milliseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Played {
    /// The offset where playing began.
    pub from_ms: i64,
    /// The offset where playing stopped.
    pub to_ms: i64,
}

/// What was done of a step's holds.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Held {
    /// Milliseconds of hold that were played.
    pub held_ms: i64,
    /// Holds played to their end.
    pub completed: u32,
    /// Holds that were begun and cut short; their seconds count, but they are not repetitions.
    pub partial: u32,
}

/// What was held in a step up to `now`, by the class's clock.
#[must_use]
pub fn held_in(session: &Session, step: StepId, now: EpochMs) -> Held {
    let Some(live) = session.step(step) else { return Held::default() };
    let moves = session.moves();
    let mut played = Vec::new();
    let mut stretch = Vec::new();
    for (index, m) in moves.iter().enumerate().filter(|(_, m)| m.step == step && m.rev == live.rev) {
        let end = moves.get(index + 1).map_or(now, |next| next.at.min(now));
        played.push(Played { from_ms: m.offset_ms, to_ms: m.offset_at(end) });
        stretch.clone_from(&m.stretch);
    }
    held(&live.timeline.stretched(&stretch), &played)
}

/// Adds up the holds of `timeline` over the parts that were played, in the order in which they were played.
///
/// A hold that was paused and resumed is one hold; one that was begun again is another.
#[must_use]
pub fn held(timeline: &Timeline, played: &[Played]) -> Held {
    let mut result = Held::default();
    for hold in holds(timeline) {
        for part in joined(played) {
            let held_ms = (part.to_ms.min(hold.to_ms) - part.from_ms.max(hold.from_ms)).max(0);
            if held_ms == 0 {
                continue;
            }
            result.held_ms += held_ms;
            if part.to_ms >= hold.to_ms {
                result.completed += 1;
            } else {
                result.partial += 1;
            }
        }
    }
    result
}

/// The holds of a timeline, each with its firmer end.
fn holds(timeline: &Timeline) -> Vec<Played> {
    let mut holds: Vec<Played> = Vec::new();
    for span in timeline.spans.iter().filter(|span| span.phase.is_held()) {
        match holds.last_mut() {
            Some(hold) if span.phase == Phase::FirmUp && hold.to_ms == span.start_ms => {
                hold.to_ms = span.end_ms();
            }
            _ => holds.push(Played { from_ms: span.start_ms, to_ms: span.end_ms() }),
        }
    }
    holds
}

/// Joins parts that follow each other without a gap.
fn joined(played: &[Played]) -> Vec<Played> {
    let mut parts: Vec<Played> = Vec::new();
    for part in played {
        match parts.last_mut() {
            Some(last) if last.to_ms == part.from_ms => last.to_ms = part.to_ms,
            _ => parts.push(*part),
        }
    }
    parts
}
