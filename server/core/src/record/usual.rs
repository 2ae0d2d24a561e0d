//! How long the steps of a group's classes usually take, beside what was planned for them: talk spreads, and before and after a
//! drill something is said.

use serde::{Deserialize, Serialize};

use crate::live::ContentKind;
use crate::record::class::{ClassRecord, StepRecord};

/// From so many classes on something is usual (an agreed choice).
const CLASSES: usize = 3;
/// Nothing is taken to be usually shorter or longer than that, in percent of the plan.
const PERCENT: (i64, i64) = (50, 200);
/// No more than that is said around a drill; what took longer stood in a pause.
const MOST_MORE_MS: i64 = 60_000;
/// A step that had less than a tenth of its time was passed over.
const PASSED_OVER: i64 = 10;

/// What is usual in a group.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct UsualTimes {
    /// How many classes it was taken from.
    pub classes: usize,
    /// By how many milliseconds a drill takes longer than its clock: what is said before it and after.
    pub drill_more_ms: i64,
    /// The other kinds of steps.
    pub kinds: Vec<UsualTime>,
}

/// What is usual for one kind of step that is no drill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct UsualTime {
    /// The kind.
    pub kind: ContentKind,
    /// How long it takes, in percent of what is planned.
    pub percent: u32,
    /// How many milliseconds of it the group had in these classes.
    pub had_ms: i64,
}

/// What is usual after these classes; `None` as long as they are too few.
#[must_use]
pub fn usual_times(classes: &[&ClassRecord]) -> Option<UsualTimes> {
    if classes.len() < CLASSES {
        return None;
    }
    let steps = || classes.iter().flat_map(|class| &class.steps);
    let drills = steps().filter(|step| step.kind == ContentKind::Drill);
    // A drill that was cut short says nothing about what is said around it.
    let whole = drills.filter(|step| step.took_ms >= step.planned_ms);
    let more_ms = middle(whole.map(|step| step.took_ms - step.planned_ms).collect()).unwrap_or(0);
    let others = [ContentKind::Talk, ContentKind::CheckIn, ContentKind::Clues, ContentKind::Sip];
    let kinds = others.into_iter().filter_map(|kind| {
        let was = |step: &&StepRecord| {
            step.kind == kind && step.planned_ms > 0 && step.took_ms * PASSED_OVER >= step.planned_ms
        };
        let share = |step: &StepRecord| (100 * step.took_ms + step.planned_ms / 2) / step.planned_ms;
        let percent = middle(steps().filter(was).map(share).collect())?.clamp(PERCENT.0, PERCENT.1);
        let had_ms = steps().filter(was).map(|step| step.took_ms).sum();
        Some(UsualTime { kind, percent: u32::try_from(percent).ok()?, had_ms })
    });
    let drill_more_ms = more_ms.min(MOST_MORE_MS);
    Some(UsualTimes { classes: classes.len(), drill_more_ms, kinds: kinds.collect() })
}

/// The middle one, or the lower of the two in the middle.
fn middle(mut values: Vec<i64>) -> Option<i64> {
    values.sort_unstable();
    values.get(values.len().checked_sub(1)? / 2).copied()
}
