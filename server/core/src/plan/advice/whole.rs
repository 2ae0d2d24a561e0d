//! Advice on what the drills of a class amount to together.

use super::because::{MANY, WARM_UP};
use super::{Advice, AdviceKind, demands};
use crate::plan::{Plan, Step};

/// Most dry swallows in a class without advice: four usual doses (an agreed choice).
const SWALLOWS: u32 = 20;

pub(super) fn on_swallows(plan: &Plan) -> Option<Advice> {
    let swallows =
        plan.steps.iter().filter(|step| step.drill().is_some_and(|drill| drill.family.is_swallow()));
    let many: u32 = swallows.map(|step| step.timeline().figures().reps).sum();
    (many > SWALLOWS).then(|| {
        let text = format!("{many} dry swallows in one class; {SWALLOWS} are four usual doses.");
        Advice::new(AdviceKind::ManySwallows, None, text, MANY)
    })
}

pub(super) fn on_warm_up(plan: &Plan) -> Option<Advice> {
    let is_drill = |step: &&Step| step.drill().is_some();
    let (index, first) = plan.steps.iter().enumerate().find(|(_, step)| is_drill(step))?;
    let drills = plan.steps.iter().filter(is_drill).count();
    // A plan of one drill is a drill, not a class.
    (drills > 1 && demands(first)).then(|| {
        let text = format!("{} comes first and has long holds.", first.title);
        Advice::new(AdviceKind::NoWarmUp, Some(index), text, WARM_UP)
    })
}
