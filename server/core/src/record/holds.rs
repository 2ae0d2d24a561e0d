//! What a class did: seconds held and repetitions completed, from the parts of the timeline that were really
//! played.

use std::ops::AddAssign;

use serde::{Deserialize, Serialize};

use crate::drill::Phase;
use crate::live::{Session, StepId};
use crate::plan::timeline::{Span, Timeline};
use crate::time::EpochMs;

/// A stretch of a step's timeline (lengthened spans included) that was played, in milliseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Played {
    /// The offset where playing began.
    pub from_ms: i64,
    /// The offset where playing stopped.
    pub to_ms: i64,
}

/// What was done of a step.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Held {
    /// Repetitions played to their end, the rest that follows left out.
    pub reps: u32,
    /// Milliseconds of hold that were played. Of an open hold no more counts than up to its target, as in the plan.
    pub held_ms: i64,
    /// Holds played to their end, or to the target of an open one.
    pub completed: u32,
    /// Holds that were begun and cut short; their seconds count, but they are not repetitions.
    pub partial: u32,
}

impl AddAssign for Held {
    fn add_assign(&mut self, other: Self) {
        self.reps += other.reps;
        self.held_ms += other.held_ms;
        self.completed += other.completed;
        self.partial += other.partial;
    }
}

/// What was done of a step in its present dose up to `now`, by the class's clock.
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

/// Adds up the holds and repetitions of `timeline` over the parts that were played, in the order in which they were
/// played.
///
/// A hold that was paused and resumed is one hold; one that was begun again is another.
#[must_use]
pub fn held(timeline: &Timeline, played: &[Played]) -> Held {
    let parts = joined(played);
    let mut result = Held::default();
    for (hold, part) in holds(timeline).iter().flat_map(|hold| parts.iter().map(move |part| (hold, part))) {
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
    let done = |end: i64| parts.iter().filter(|part| part.from_ms < end && part.to_ms >= end).count();
    let reps: usize = rep_ends(timeline).into_iter().map(done).sum();
    result.reps = u32::try_from(reps).unwrap_or(u32::MAX);
    result
}

/// The counted parts of a timeline's holds, each with its firmer end.
fn holds(timeline: &Timeline) -> Vec<Played> {
    let mut holds: Vec<Played> = Vec::new();
    for span in timeline.spans.iter().filter(|span| span.phase.is_held() && span.held_ms > 0) {
        let counted = Played { from_ms: span.start_ms, to_ms: span.start_ms + span.held_ms };
        match holds.last_mut() {
            Some(hold) if span.phase == Phase::FirmUp && hold.to_ms == span.start_ms => {
                hold.to_ms = counted.to_ms;
            }
            _ => holds.push(counted),
        }
    }
    holds
}

/// The instants at which the repetitions of a timeline are done: at the end of their last hold, or of their work where
/// they have none.
fn rep_ends(timeline: &Timeline) -> Vec<i64> {
    let mut reps: Vec<(Rep, bool, i64)> = Vec::new();
    for span in timeline.spans.iter().filter(|span| is_work(span)) {
        let rep = (span.side, span.set, span.rep);
        let holds = span.phase.is_held() && span.held_ms > 0;
        let end_ms = if holds { span.start_ms + span.held_ms } else { span.end_ms() };
        match reps.last_mut() {
            Some((last, held, _)) if *last == rep && *held && !holds => {}
            Some((last, held, to_ms)) if *last == rep => (*held, *to_ms) = (holds, end_ms),
            _ => reps.push((rep, holds, end_ms)),
        }
    }
    reps.into_iter().map(|(_, _, to_ms)| to_ms).collect()
}

/// The side, the set and the repetition within it.
type Rep = (u32, u32, u32);

fn is_work(span: &Span) -> bool {
    let is_between = matches!(span.phase, Phase::Rest | Phase::Sip | Phase::ChangeSides | Phase::GetReady);
    span.rep > 0 && !is_between
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
