//! Where a session is: moves, each valid from its instant until the next one's.

use serde::{Deserialize, Serialize};

use crate::live::ids::StepId;
use crate::plan::timeline::Stretch;
use crate::time::EpochMs;

/// From `at` on, the session is at `offset_ms` of a step and runs on or stands still.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Move {
    /// From when it holds.
    pub at: EpochMs,
    /// The step.
    pub step: StepId,
    /// The step's revision; it grows when the dose is swapped.
    pub rev: u32,
    /// Milliseconds of the step's timeline at `at`; negative while people get ready.
    pub offset_ms: i64,
    /// Whether the offset grows with the clock from `at` on.
    pub running: bool,
    /// Spans made longer, with which the offset is to be read.
    pub stretch: Vec<Stretch>,
}

impl Move {
    /// The offset at `now`, not before this move's own.
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
    /// Milliseconds of the step's timeline; may lie beyond its end, where the class rests.
    pub offset_ms: i64,
}

/// Index of the move in force at `now`; `None` before the first.
#[must_use]
pub fn in_force(moves: &[Move], now: EpochMs) -> Option<usize> {
    moves.iter().rposition(|m| m.at <= now)
}

/// The position at `now`. Before the first move takes effect it is that move's, counted back.
#[must_use]
pub fn position(moves: &[Move], now: EpochMs) -> Option<Position<'_>> {
    let of = in_force(moves, now).map_or_else(|| moves.first(), |i| moves.get(i))?;
    Some(Position { of, offset_ms: of.offset_at(now) })
}

/// Adds `new` moves: those not yet in force when the first new one begins are dropped.
pub fn add(moves: &mut Vec<Move>, new: &[Move]) {
    if let Some(first) = new.first() {
        moves.retain(|m| m.at < first.at);
        moves.extend_from_slice(new);
    }
}
