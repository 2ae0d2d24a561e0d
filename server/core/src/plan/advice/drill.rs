//! Advice on one drill: its dose and its rests.

use super::because::{APART, BLOWS, BY_CLINICIAN, EFFORT, HOME_ONLY, SETS, STRETCH};
use super::{Advice, AdviceKind};
use crate::drill::dose::{Dose, Hold};
use crate::drill::{Drill, Family, Phase, Setting, Trust};
use crate::library::Library;
use crate::plan::draft::{Draft, hold_of};
use crate::plan::timeline::{Span, Timeline};
use crate::plan::{Body, Step};
use crate::time::{in_seconds, seconds};

/// The least time between two dry swallows.
const SWALLOW_APART_MS: i64 = seconds(15);
/// The least rest after an effort of voice, breath or a trainer (an agreed choice).
const EFFORT_APART_MS: i64 = seconds(10);
/// A press or a lift of at least this length is rested for as long as it lasted.
const LONG_PRESS_MS: i64 = seconds(30);
/// The most that one stretch is held on one side, in all.
const STRETCH_MS: i64 = seconds(60);
/// How far an open hold may go on after the longest usual one without advice (an agreed choice).
const BEYOND_MS: i64 = seconds(10);

pub(super) fn on_drill(index: usize, step: &Step, drill: &Drill, timeline: &Timeline) -> Vec<Advice> {
    let mut all = Vec::new();
    if drill.place == Setting::Home {
        let text = format!("{} is for home only.", drill.name);
        all.push(Advice::new(AdviceKind::HomeOnly, Some(index), text, HOME_ONLY));
    }
    if let Body::Drill { dose, .. } = &step.body {
        all.extend(unusual(Some(index), drill, dose));
        if dose.sets > 1 && dose.set_rest_ms == 0 && !rests_at_the_end(drill) {
            let text = format!("{} sets follow one another with no rest between them.", dose.sets);
            all.push(Advice::new(AdviceKind::ShortRest, Some(index), text, SETS));
        }
    }
    if drill.family == Family::Neck {
        let held_ms = (0..drill.sides.len()).map(|side| held_on(timeline, side)).max().unwrap_or(0);
        if held_ms > STRETCH_MS {
            let text = format!(
                "{} s held on one side; {} s in all are usual.",
                in_seconds(held_ms),
                STRETCH_MS / 1000
            );
            all.push(Advice::new(AdviceKind::LongStretch, Some(index), text, STRETCH));
        }
    }
    if let Some(ms) = closest_swallows_ms(drill, timeline).filter(|ms| *ms < SWALLOW_APART_MS) {
        let text = format!("Only {} s between two swallows; 15 to 20 s are usual.", in_seconds(ms));
        all.push(Advice::new(AdviceKind::SwallowRest, Some(index), text, APART));
    }
    all.extend(
        short_rest(drill, timeline)
            .map(|(text, because)| Advice::new(AdviceKind::ShortRest, Some(index), text, because)),
    );
    all
}

/// What goes home only person by person, and doses at home outside the usual range.
pub(super) fn at_home(draft: &Draft, library: &Library) -> Vec<Advice> {
    let mut all = Vec::new();
    for item in &draft.home {
        let Ok(step) = item.step(library) else { continue };
        let (Some(drill), Body::Drill { dose, .. }) = (step.drill(), &step.body) else { continue };
        if drill.family.is_swallow() || drill.family.needs_clearing() {
            let text = format!("{} goes home with everybody.", drill.name);
            all.push(Advice::new(AdviceKind::HomeByClinician, None, text, BY_CLINICIAN));
        }
        all.extend(unusual(None, drill, dose).into_iter().map(|one| {
            let text = format!("At home, {}: {}", drill.name, one.text);
            Advice { text, ..one }
        }));
    }
    all
}

/// Where a dose leaves the usual range. Less than usual of a swallow, or against a resistance, is careful and no matter
/// for advice.
fn unusual(step: Option<usize>, drill: &Drill, dose: &Dose) -> Vec<Advice> {
    let source = drill.sources.first();
    let careful = drill.family.is_swallow() || drill.family.needs_clearing();
    let say = |what: &str, found: i64, (least, most): (i64, i64), unit: i64| {
        if (least..=most).contains(&found) || (careful && found < least) {
            return None;
        }
        let [found, least, most] = [found, least, most].map(|n| in_seconds(n * unit));
        Some(Advice {
            kind: AdviceKind::UnusualDose,
            step,
            text: format!("{found} {what}; {least} to {most} are usual."),
            reason: "Outside the range that the drill's sources give. A clinician may have a reason."
                .to_owned(),
            source: source.map(ToString::to_string).unwrap_or_default(),
            trust: source.map_or(Trust::Judgement, |source| source.trust),
        })
    };
    let count = |(least, most): (u32, u32)| (i64::from(least), i64::from(most));
    let whole = seconds(1);
    let sets = drill.usual.sets.and_then(|range| say("sets", i64::from(dose.sets), count(range), whole));
    // Where the sources know no sets, their repetitions are all that is done.
    let (reps, what) = match drill.usual.sets {
        None if dose.sets > 1 => (dose.sets * dose.reps, "repetitions in all"),
        _ => (dose.reps, "repetitions"),
    };
    let reps = drill.usual.reps.and_then(|range| say(what, i64::from(reps), count(range), whole));
    let hold = hold_of(drill, dose).zip(drill.usual.hold_ms);
    let held = hold.and_then(|(hold, range)| say("seconds of hold", hold.planned_ms(), range, 1));
    let ends = hold.and_then(|(hold, (least, most))| match hold {
        Hold::Open { limit_ms, .. } if limit_ms > most + BEYOND_MS => {
            say("seconds until the hold ends", limit_ms, (least, most), 1)
        }
        Hold::Open { .. } | Hold::Fixed { .. } => None,
    });
    [sets, reps, held, ends].into_iter().flatten().collect()
}

fn rests_at_the_end(drill: &Drill) -> bool {
    drill.phases.last().is_some_and(|spec| spec.phase == Phase::Rest)
}

/// How long a side is stretched, in milliseconds; short holds are no stretches.
fn held_on(timeline: &Timeline, side: usize) -> i64 {
    let is_stretch = |span: &&Span| span.side as usize == side && span.held_ms > super::DEMANDING_MS;
    let on = timeline.spans.iter().filter(is_stretch);
    on.map(|span| span.held_ms).sum()
}

/// The shortest time in a swallow drill from the end of one repetition's work to the next swallow, in
/// milliseconds.
fn closest_swallows_ms(drill: &Drill, timeline: &Timeline) -> Option<i64> {
    if !drill.family.is_swallow() {
        return None;
    }
    apart(timeline, |span| matches!(span.phase, Phase::Swallow | Phase::Hold)).map(|(ms, _)| ms).min()
}

/// The time between the efforts of neighbouring repetitions, and how long the first of them is, in milliseconds.
fn apart(timeline: &Timeline, is_effort: impl Fn(&Span) -> bool) -> impl Iterator<Item = (i64, i64)> {
    let efforts: Vec<&Span> = timeline.spans.iter().filter(|span| is_effort(span)).collect();
    let pairs: Vec<_> = efforts
        .iter()
        .zip(efforts.iter().skip(1))
        .filter(|(a, b)| (a.side, a.set, a.rep) != (b.side, b.set, b.rep))
        .map(|(a, b)| (b.start_ms - a.end_ms(), a.len_ms))
        .collect();
    pairs.into_iter()
}

/// Too short a rest after long holds of the voice or the breath, blows through a trainer, or long presses and lifts.
fn short_rest(drill: &Drill, timeline: &Timeline) -> Option<(String, super::because::Because)> {
    let long = |span: &Span| span.phase.is_held() && span.len_ms >= super::DEMANDING_MS;
    match drill.family {
        Family::Voice | Family::Breath => {
            let (ms, _) = apart(timeline, long).find(|(ms, _)| *ms < EFFORT_APART_MS)?;
            let least = EFFORT_APART_MS / 1000;
            Some((
                format!("Only {} s between two long holds; {least} s or more are usual.", in_seconds(ms)),
                EFFORT,
            ))
        }
        Family::Trainer => {
            let (ms, _) = apart(timeline, |span| span.phase == Phase::BreatheOut)
                .find(|(ms, _)| *ms < EFFORT_APART_MS)?;
            Some((format!("Only {} s between two blows; 15 s are usual.", in_seconds(ms)), BLOWS))
        }
        Family::ChinTuck | Family::HeadLift | Family::JawOpening => {
            let press = |span: &Span| span.phase.is_held() && span.len_ms >= LONG_PRESS_MS;
            let (ms, held_ms) = apart(timeline, press).find(|(ms, held_ms)| ms < held_ms)?;
            let (rest, held) = (in_seconds(ms), in_seconds(held_ms));
            Some((
                format!("Only {rest} s of rest after {held} s of hold; as long as the hold is usual."),
                EFFORT,
            ))
        }
        _ => None,
    }
}
