//! Where a session is: a list of moves, each valid from its own instant until the next one's.

use serde::{Deserialize, Serialize};

use crate::live::ids::StepId;
use crate::plan::timeline::Stretch;
use crate::time::EpochMs;

/// From `at` on, the session is at `offset_ms` of a step and either runs or stands still.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Move {
    /// The instant from which it holds.
    pub at: EpochMs,
    /// The step it leads to.
    pub step: StepId,
    /// The step's revision; it goes up when the dose is swapped.
    pub rev: u32,
    /// The position in the step's timeline at `at`, in milliseconds; negative while people get ready.
    pub offset_ms: i64,
    /// Whether the offset grows with the clock from `at` on.
    pub running: bool,
    /// Spans that were lengthened; the offset counts with them.
    pub stretch: Vec<Stretch>,
}

impl Move {
    /// The offset at `now`; before `at` it is this move's own offset.
    #[must_use]
    pub fn offset_at(&self, now: EpochMs) -> i64 {
        if self.running { self.offset_ms + now.since(self.at).max(0) } else { self.offset_ms }
    }
}

/// Where a session is at an instant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Position<'a> {
    /// The move in force.
    pub of: &'a Move,
    /// The position in the step's timeline, in milliseconds; it may lie beyond the end, where the class rests.
    pub offset_ms: i64,
}

/// The index of the move in force at `now`; `None` before the first one.
#[must_use]
pub fn in_force(moves: &[Move], now: EpochMs) -> Option<usize> {
    moves.iter().rposition(|m| m.at <= now)
}

/// The position at `now`. Before the first move takes effect, it is counted back from that move.
#[must_use]
pub fn position(moves: &[Move], now: EpochMs) -> Option<Position<'_>> {
    let of = in_force(moves, now).map_or_else(|| moves.first(), |i| moves.get(i))?;
    Some(Position { of, offset_ms: of.offset_at(now) })
}

/// Adds `new` moves and drops those that would not be in force yet when the first new one begins.
pub fn add(moves: &mut Vec<Move>, new: &[Move]) {
    if let Some(first) = new.first() {
        moves.retain(|m| m.at < first.at);
        moves.extend_from_slice(new);
    }
}
