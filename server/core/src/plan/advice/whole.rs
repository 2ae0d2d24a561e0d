//! Advice on what the drills of a class amount to together.

use super::because::{ASK, BRING, EMPTY, EXPLAIN, MANY, REST, WARM_UP};
use super::{Advice, AdviceKind, clock, demands};
use crate::drill::{Family, Phase};
use crate::plan::{Body, Plan, Step};
use crate::time::seconds;

/// Most dry swallows in a class without advice: four usual doses (an agreed choice).
const SWALLOWS: u32 = 20;

/// A plan with fewer drills than this is a drill or two, not a class (an agreed choice).
const CLASS: usize = 4;
/// Time that explaining a drill takes at least, for the advice's sum (an agreed choice).
const EXPLAIN_MS: i64 = seconds(20);
/// Words by which the title or the note of a talk says that it is about mouths.
const MOUTHS: [&str; 2] = ["mouth", "boca"];

fn drills(plan: &Plan) -> impl Iterator<Item = &Step> {
    plan.steps.iter().filter(|step| step.drill().is_some())
}

pub(super) fn on_check_in(plan: &Plan) -> Option<Advice> {
    let asks = plan.steps.iter().any(|step| matches!(step.body, Body::CheckIn { .. }));
    (!asks && drills(plan).count() >= CLASS).then(|| {
        let text = "No check-in: nobody is asked how they are, and whether they sit safely.".to_owned();
        Advice::new(AdviceKind::NoCheckIn, None, text, ASK)
    })
}

/// Drills without time to explain them, where the class has no time to spare for it either.
pub(super) fn on_explaining(plan: &Plan) -> Option<Advice> {
    let is_bare = |step: &&Step| matches!(&step.body, Body::Drill { dose, .. } if dose.explain_ms == 0 && dose.shown == 0);
    let bare = i64::try_from(drills(plan).filter(is_bare).count()).unwrap_or(0);
    let (needs_ms, spare_ms) = (bare * EXPLAIN_MS, plan.class_ms - plan.planned_ms());
    (bare > 0 && drills(plan).count() >= CLASS && spare_ms < needs_ms).then(|| {
        let spare = clock(spare_ms.max(0));
        let drills_have = if bare == 1 { "1 drill has".to_owned() } else { format!("{bare} drills have") };
        let text = format!(
            "{drills_have} no time to explain; at 20 s each that is {}, and {spare} are spare.",
            clock(needs_ms)
        );
        Advice::new(AdviceKind::NoExplaining, None, text, EXPLAIN)
    })
}

/// What people need to have with them, for all drills in one line.
pub(super) fn on_equipment(plan: &Plan) -> Option<Advice> {
    let mut needs: Vec<&str> = Vec::new();
    for need in drills(plan).filter_map(Step::drill).flat_map(|drill| &drill.needs) {
        if !needs.contains(&need.as_str()) {
            needs.push(need.as_str());
        }
    }
    (!needs.is_empty()).then(|| {
        let text = format!("People need: {}.", needs.join("; "));
        Advice::new(AdviceKind::Equipment, None, text, BRING)
    })
}

/// Demanding drills of one family that follow one another without a rest, in one line. Stretches are held at ease.
pub(super) fn on_rest_between(plan: &Plan) -> Option<Advice> {
    let pairs: Vec<usize> =
        (1..plan.steps.len()).filter(|at| runs_on(&plan.steps[at - 1], &plan.steps[*at])).collect();
    let first = *pairs.first()?;
    let names: Vec<_> = pairs
        .iter()
        .map(|at| format!("{} after {}", plan.steps[*at].title, plan.steps[at - 1].title))
        .collect();
    let text = format!("With no rest between their holds: {}.", names.join("; "));
    Some(Advice::new(AdviceKind::NoRest, Some(first), text, REST))
}

fn runs_on(before: &Step, step: &Step) -> bool {
    let (Some(earlier), Some(drill)) = (before.drill(), step.drill()) else { return false };
    let rests = before.timeline().spans.last().is_some_and(|s| matches!(s.phase, Phase::Rest | Phase::Sip));
    let watches = step.timeline().spans.first().is_some_and(|s| s.phase == Phase::Watch);
    let same = earlier.family == drill.family && drill.family != Family::Neck;
    same && !rests && !watches && demands(before) && demands(step)
}

/// Swallow drills that no check of mouths comes directly before: the first one, and one after a sip.
pub(super) fn on_mouths(plan: &Plan) -> Vec<Advice> {
    let mut all = Vec::new();
    let (mut checked, mut begun) = (false, false);
    for (index, step) in plan.steps.iter().enumerate() {
        let is_swallow = step.drill().is_some_and(|drill| drill.family.is_swallow());
        if is_swallow && !checked {
            let text = "Nothing asks directly before it whether every mouth is empty: a check-in, or a talk that says so.";
            all.push(Advice::new(AdviceKind::MouthCheck, Some(index), text.to_owned(), EMPTY));
        }
        begun |= is_swallow;
        // Once asked, mouths stay empty until there is something to drink.
        let drinks = matches!(step.body, Body::Sip { .. });
        checked = is_swallow || asks_about_mouths(step) || (begun && checked && !drinks);
    }
    all
}

fn asks_about_mouths(step: &Step) -> bool {
    let says = |text: &str| MOUTHS.iter().any(|word| text.to_lowercase().contains(word));
    match &step.body {
        Body::CheckIn { .. } => true,
        Body::Talk { .. } => {
            says(step.title.as_str()) || step.note.as_ref().is_some_and(|note| says(note.as_str()))
        }
        Body::Drill { .. } | Body::Sip { .. } | Body::Effort { .. } | Body::Clues { .. } => false,
    }
}

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
    let drills = drills(plan).count();
    // A plan of one drill is a drill, not a class.
    (drills > 1 && demands(first)).then(|| {
        let text = format!("{} comes first and has long holds.", first.title);
        Advice::new(AdviceKind::NoWarmUp, Some(index), text, WARM_UP)
    })
}
