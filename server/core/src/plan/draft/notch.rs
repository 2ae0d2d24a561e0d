//! A dose one notch harder or easier, within the usual range of its drill.

use crate::drill::dose::{Dose, DoseChange, Hold};
use crate::drill::{Drill, Phase};

/// A slightly harder dose: one more second in each hold, or else one more repetition, or else one more set. It
/// never goes beyond the usual range, and a drill without such a range stays as it is.
#[must_use]
pub fn notch(drill: &Drill, change: DoseChange) -> DoseChange {
    let Ok(dose) = drill.dose.changed(&change) else { return change };
    // More swallows, or more work against a resistance, is for a clinician to decide, person by person.
    if drill.family.is_swallow() || drill.family.needs_clearing() {
        return change;
    }
    let usual = drill.usual;
    if let Some((_, most)) = usual.hold_ms
        && let Some(hold) = hold_of(drill, &dose)
        && hold.planned_ms() + 1_000 <= most
    {
        return DoseChange { hold: Some(longer(hold, 1_000)), ..change };
    }
    if usual.reps.is_some_and(|(_, most)| dose.reps < most) {
        return DoseChange { reps: Some(dose.reps + 1), ..change };
    }
    if usual.sets.is_some_and(|(_, most)| dose.sets < most) {
        return DoseChange { sets: Some(dose.sets + 1), ..change };
    }
    change
}

/// A slightly easier dose: one second less in each hold, or else one repetition fewer, or else one set fewer. It never goes
/// below the usual range. An open hold also ends a second earlier.
#[must_use]
pub fn notch_back(drill: &Drill, change: DoseChange) -> DoseChange {
    let Ok(dose) = drill.dose.changed(&change) else { return change };
    let usual = drill.usual;
    if let Some((least, _)) = usual.hold_ms
        && let Some(shorter) = hold_of(drill, &dose).and_then(|hold| shorter(hold, 1_000))
        && shorter.planned_ms() >= least
    {
        return DoseChange { hold: Some(shorter), ..change };
    }
    if usual.reps.is_some_and(|(least, _)| dose.reps > least) {
        return DoseChange { reps: Some(dose.reps - 1), ..change };
    }
    if usual.sets.is_some_and(|(least, _)| dose.sets > least) {
        return DoseChange { sets: Some(dose.sets - 1), ..change };
    }
    change
}

/// The hold that a dose asks for: the dose's own, or else that of the drill's phases.
#[must_use]
pub fn hold_of(drill: &Drill, dose: &Dose) -> Option<Hold> {
    let phase = drill.phases.iter().find(|spec| spec.phase == Phase::Hold)?;
    Some(dose.hold.unwrap_or(phase.length))
}

fn longer(hold: Hold, by_ms: i64) -> Hold {
    match hold {
        Hold::Fixed { ms } => Hold::Fixed { ms: ms + by_ms },
        Hold::Open { floor_ms, target_ms, limit_ms } => {
            let target_ms = target_ms + by_ms;
            Hold::Open { floor_ms, target_ms, limit_ms: limit_ms.max(target_ms) }
        }
    }
}

/// A hold that is so much shorter; `None` where its first mark would come after its target.
fn shorter(hold: Hold, by_ms: i64) -> Option<Hold> {
    match hold {
        Hold::Fixed { ms } => Some(Hold::Fixed { ms: ms - by_ms }),
        Hold::Open { floor_ms, target_ms, limit_ms } => {
            let target_ms = target_ms - by_ms;
            let limit_ms = (limit_ms - by_ms).max(target_ms);
            (floor_ms <= target_ms).then_some(Hold::Open { floor_ms, target_ms, limit_ms })
        }
    }
}
