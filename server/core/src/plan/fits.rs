//! Whether a dose can be done with a drill.

use crate::drill::dose::{Dose, Hold};
use crate::drill::{Drill, Phase};
use crate::plan::timeline;
use crate::time::{in_seconds, seconds};

/// The longest time that one step may take: an hour (an agreed choice).
const STEP_MS: i64 = seconds(3600);

/// Checks what a dose alone cannot know: that the drill has the phases whose lengths it gives, that the firmer end fits
/// the hold, and that the step fits within an hour.
///
/// # Errors
/// A sentence saying what is wrong and what would be right.
pub(super) fn check(drill: &Drill, dose: &Dose) -> Result<(), String> {
    let hold = ("hold", Phase::Hold, dose.hold.map(Hold::clock_ms));
    let (there, missing): (Vec<_>, Vec<_>) = dose
        .lengths
        .named()
        .into_iter()
        .chain([hold])
        .partition(|(_, of, _)| drill.phases.iter().any(|spec| spec.phase == *of));
    if let Some((key, ..)) = missing.iter().find(|(.., ms)| ms.is_some()) {
        let there: Vec<_> = there.iter().map(|(key, ..)| format!("`{key}`")).collect();
        let can = if there.is_empty() { "none".to_owned() } else { there.join(", ") };
        return Err(format!("`{}` has no `{key}` to change; of these lengths it has {can}", drill.id));
    }
    for spec in &drill.phases {
        if let (Some((firm_ms, _)), Some(hold)) = (&spec.firm, dose.hold)
            && hold.clock_ms() <= *firm_ms
        {
            return Err(format!(
                "the hold of `{}` ends firmer for {} s; it must be longer than that",
                drill.id,
                in_seconds(*firm_ms)
            ));
        }
    }
    let total_ms = timeline::total_ms(drill, dose);
    if total_ms > STEP_MS {
        return Err(format!(
            "this dose takes {} s; a step may take at most {} s",
            total_ms / 1000,
            STEP_MS / 1000
        ));
    }
    Ok(())
}
