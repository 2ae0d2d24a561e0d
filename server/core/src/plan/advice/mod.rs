//! What a careful colleague would say about a plan. Advice gives a reason and a source, and never blocks.

mod because;
mod drill;
mod people;
mod whole;

use because::{Because, CEILING, DRY, FEW, HOUR, SLACK};
use serde::{Deserialize, Serialize};

use crate::clue::ClueSet;
use crate::drill::{Phase, Trust};
use crate::library::Library;
use crate::people::rules::Rules;
use crate::plan::course::{self, Course, Load};
use crate::plan::draft::Draft;
use crate::plan::group::{Enrolled, Group, Roll};
use crate::plan::history::History;
use crate::plan::timeline;
use crate::plan::{Body, Plan, Step};
use crate::time::seconds;

/// One piece of advice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Advice {
    /// What the advice is about.
    pub kind: AdviceKind,
    /// The step, from 0; absent when it is about the whole plan.
    pub step: Option<usize>,
    /// What was found, with the numbers.
    pub text: String,
    /// Why it matters.
    pub reason: String,
    /// Where the reason comes from.
    pub source: String,
    /// How far that source was checked.
    pub trust: Trust,
}

/// What advice is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum AdviceKind {
    /// Longer than the class is booked for.
    OverTime,
    /// Much shorter than the class is booked for.
    UnderTime,
    /// A dose outside the usual range.
    UnusualDose,
    /// Swallows too close together.
    SwallowRest,
    /// No check that mouths are empty before the first swallow.
    MouthCheck,
    /// Demanding holds of one family, with no rest between the drills.
    NoRest,
    /// A long stretch without a sip.
    NoSip,
    /// Somebody in the group who is not cleared for a drill.
    NotCleared,
    /// More than a person's limit for a week.
    OverCeiling,
    /// A long list of drills for home.
    LongHomeList,
    /// A drill for home only, in a class.
    HomeOnly,
    /// Clues that the group had too recently.
    SameClues,
    /// Many dry swallows in one class.
    ManySwallows,
    /// Long holds with nothing easier before them.
    NoWarmUp,
    /// Nobody is asked how they are.
    NoCheckIn,
    /// Drills with no time to explain or show them.
    NoExplaining,
    /// What people need to have with them.
    Equipment,
    /// A stretch that is held for long on one side.
    LongStretch,
    /// Too little rest after an effort, or between sets.
    ShortRest,
    /// A drill at home that a clinician gives person by person.
    HomeByClinician,
}

/// A plan that falls short of the booked time by no more than this share of it, in per cent, gets no advice (an agreed
/// choice).
const UNDER_PERCENT: i64 = 15;
/// The longest stretch without a sip (an agreed choice; dry mouths are common).
const SIP_WITHIN_MS: i64 = seconds(20 * 60);
/// A drill with a hold of at least this length is demanding (an agreed choice).
const DEMANDING_MS: i64 = seconds(10);
/// The most drills to take home.
const HOME: usize = 3;

/// What a plan is judged against besides the library: the house rules and the group it is for.
#[derive(Debug, Clone, Copy)]
pub struct Around<'a> {
    /// The house rules.
    pub rules: &'a Rules,
    /// The group with its people, and what it has had; absent for a plan without a group.
    pub group: Option<(&'a Roll, &'a History)>,
    /// What the group's other classes hold in the week of this plan.
    pub week: &'a [Load],
}

impl Advice {
    fn new(kind: AdviceKind, step: Option<usize>, text: String, (reason, source, trust): Because) -> Self {
        Self { kind, step, text, reason: reason.to_owned(), source: source.to_owned(), trust }
    }
}

/// All advice on `plan`, which was made from `draft`: first on the whole plan, then step by step.
#[must_use]
pub fn advise(draft: &Draft, plan: &Plan, library: &Library, around: Around<'_>) -> Vec<Advice> {
    let people = around.group.map_or(&[][..], |(roll, _)| &roll.people);
    let mut all = Vec::new();
    all.extend(on_time(plan));
    all.extend(on_home(draft));
    all.extend(drill::at_home(draft, library));
    all.extend(whole::on_check_in(plan));
    all.extend(whole::on_explaining(plan));
    all.extend(whole::on_equipment(plan));
    all.extend(whole::on_swallows(plan));
    all.extend(whole::on_warm_up(plan));
    all.extend(whole::on_rest_between(plan));
    all.extend(whole::on_mouths(plan));
    all.extend(on_ceilings(draft, plan, library, people, around.week));
    let mut since_sip_ms = 0;
    let mut sip_missed = false;
    all.extend(people::on_people(plan, people, around.rules));
    for (index, step) in plan.steps.iter().enumerate() {
        let timeline = step.timeline();
        if let Some(drill) = step.drill() {
            all.extend(drill::on_drill(index, step, drill, &timeline));
        }
        if let Some((set, (roll, history))) = step.clues().zip(around.group) {
            all.extend(on_clues(index, set, &roll.group, history));
        }
        since_sip_ms += step.planned_ms();
        let has_sip =
            matches!(step.body, Body::Sip { .. }) || timeline.spans.iter().any(|s| s.phase == Phase::Sip);
        if has_sip {
            (since_sip_ms, sip_missed) = (0, false);
        } else if since_sip_ms > SIP_WITHIN_MS && !sip_missed && step.drill().is_some() {
            sip_missed = true;
            let text = format!("{} without a sip by this point.", clock(since_sip_ms));
            all.push(Advice::new(AdviceKind::NoSip, Some(index), text, DRY));
        }
    }
    all
}

fn on_time(plan: &Plan) -> Option<Advice> {
    let over_ms = plan.planned_ms() - plan.class_ms;
    if over_ms > 0 {
        let text = format!("{} over the {} of the class.", clock(over_ms), clock(plan.class_ms));
        Some(Advice::new(AdviceKind::OverTime, None, text, HOUR))
    } else if -over_ms * 100 > plan.class_ms * UNDER_PERCENT {
        let text = format!("{} of the {} are not planned.", clock(-over_ms), clock(plan.class_ms));
        Some(Advice::new(AdviceKind::UnderTime, None, text, SLACK))
    } else {
        None
    }
}

fn on_home(draft: &Draft) -> Option<Advice> {
    let many = draft.home.len();
    (many > HOME).then(|| {
        let text = format!("{many} drills to take home; people tend to do 2 or 3.");
        Advice::new(AdviceKind::LongHomeList, None, text, FEW)
    })
}

fn on_ceilings<'a>(
    draft: &'a Draft,
    plan: &'a Plan,
    library: &'a Library,
    people: &'a [Enrolled],
    others: &[Load],
) -> impl Iterator<Item = Advice> + 'a {
    let week = course::week(loads(draft, plan, library).into_iter().chain(others.iter().copied()));
    people.iter().flat_map(move |Enrolled { person, .. }| {
        let over = person.ceilings().filter_map(|c| course::over(c, &week).map(|over| (c, over)));
        let advice = over.map(|(ceiling, over)| {
            let (name, most) = (&person.name, ceiling.reps_a_week);
            let text = format!("{name}: {over} more than the {most} a week that a clinician allowed of one family, in class and at home.");
            Advice::new(AdviceKind::OverCeiling, None, text, CEILING)
        });
        advice.collect::<Vec<_>>()
    })
}

/// What one week of this plan holds: the class once, and the list for home.
#[must_use]
pub fn loads(draft: &Draft, plan: &Plan, library: &Library) -> Vec<Load> {
    let at_home = draft.home.iter().filter_map(|item| {
        let step = item.step(library).ok()?;
        let course = Course::of_weeks(item.times_a_day, item.days_a_week, 1);
        let once = step.timeline().figures();
        let weekly = |n: u32| u32::try_from(course.per_week(i64::from(n))).unwrap_or(u32::MAX);
        let figures = timeline::Figures {
            reps: weekly(once.reps),
            holds: weekly(once.holds),
            held_ms: course.per_week(once.held_ms),
        };
        Some(Load { family: step.drill()?.family, figures })
    });
    class_loads(plan).chain(at_home).collect()
}

/// What one class of a plan holds.
pub fn class_loads(plan: &Plan) -> impl Iterator<Item = Load> + '_ {
    plan.steps.iter().filter_map(|step| {
        let family = step.drill()?.family;
        Some(Load { family, figures: step.timeline().figures() })
    })
}

/// Whether a step has long holds.
fn demands(step: &Step) -> bool {
    step.timeline().spans.iter().any(|s| s.phase.is_held() && s.len_ms >= DEMANDING_MS)
}

fn on_clues(index: usize, set: &ClueSet, group: &Group, history: &History) -> Option<Advice> {
    let weeks = group.weeks_apart;
    let again = set.clues.iter().filter(|clue| history.is_within(&clue.answer, weeks));
    let days: Vec<i64> = again.filter_map(|clue| history.clue(&clue.answer)).collect();
    let latest = days.iter().min()?;
    let many = if days.len() == 1 { "1 clue".to_owned() } else { format!("{} clues", days.len()) };
    let text = format!("{many} of {} came {} ago already.", set.theme, days_in_words(*latest));
    let reason = format!("{} wants {weeks} weeks before a clue comes again.", group.name);
    let source = "the group's own setting".to_owned();
    let (step, trust) = (Some(index), Trust::Judgement);
    Some(Advice { kind: AdviceKind::SameClues, step, text, reason, source, trust })
}

fn days_in_words(days: i64) -> String {
    match (days / 7, days) {
        (0, 1) => "1 day".to_owned(),
        (0, days) => format!("{days} days"),
        (1, _) => "1 week".to_owned(),
        (weeks, _) => format!("{weeks} weeks"),
    }
}

fn clock(ms: i64) -> String {
    format!("{}:{:02} min", ms / 60_000, ms % 60_000 / 1000)
}
