//! What a group did with a drill in its last classes, and whether that speaks for a little more of it or a little less. Nobody is
//! named. It is a proposal: a clinician decides.

use serde::{Deserialize, Serialize};

use crate::drill::dose::DoseChange;
use crate::drill::{Drill, DrillId};
use crate::live::{Answer, Form, HowFar};
use crate::plan::draft::{notch, notch_back};
use crate::plan::timeline::Figures;
use crate::record::class::{Asked, ClassRecord};
use crate::record::progress::statistics::middle;
use crate::time::day::Date;

/// So many of the last classes with the drill are looked at (an agreed choice).
const LAST_CLASSES: usize = 3;
/// Effort from this on is very hard, up to that it is not (an agreed choice: the numbers go from 0 to 10).
const VERY_HARD: f64 = 8.0;
const NOT_HARD: f64 = 5.0;

/// What a group did with a drill in one class. Rests are left out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DrillClass {
    /// The day.
    pub day: Date,
    /// What was planned.
    pub planned: Figures,
    /// How often it was asked: once of each person, and again where the class did it twice.
    pub asked: u32,
    /// How often people said that they did it.
    pub did: u32,
    /// How often somebody stopped in it.
    pub stopped: u32,
    /// How often somebody said how far a hold went.
    pub marked: u32,
    /// How often that was to its target or beyond.
    pub reached: u32,
    /// How much effort it was: the middle of what people said when they were asked after it.
    pub effort: Option<f64>,
    /// How many numbers that is the middle of.
    pub efforts: u32,
    /// How many reports came during it; what was taken back is left out.
    pub reports: u32,
}

/// A dose one notch off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct NotchProposal {
    /// The dose.
    pub change: DoseChange,
    /// Why.
    pub because: NotchReason,
}

/// What speaks for a notch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum NotchReason {
    /// For less: somebody reported something during it the last time.
    Reported,
    /// For less: a quarter of the group or more stopped in it the last time.
    Stopped,
    /// For less: it was very hard the last time, by the word of a quarter of the group or more.
    VeryHard,
    /// For more: two times in a row most did it, nobody stopped or reported anything, and it was not hard.
    WentWell,
}

/// What a group did with a drill in the last classes that had it, the newest first. `classes` come in the order of their days.
#[must_use]
pub fn group_did(classes: &[(Date, &ClassRecord)], drill: &DrillId) -> Vec<DrillClass> {
    let with_it = classes.iter().rev().filter_map(|(day, record)| in_class(*day, record, drill));
    with_it.take(LAST_CLASSES).collect()
}

/// What a group did with a drill in a class; `None` if it was asked of nobody.
fn in_class(day: Date, record: &ClassRecord, drill: &DrillId) -> Option<DrillClass> {
    let is_it = |step| record.steps.iter().any(|one| one.step == step && one.drill.as_ref() == Some(drill));
    let steps = record.steps.iter().filter(|step| step.drill.as_ref() == Some(drill));
    let all = || record.people.iter().flat_map(|person| &person.steps);
    let asked = || all().filter(|asked| is_it(asked.step) && asked.form != Form::Rest);
    let count = |is: &dyn Fn(&Asked) -> bool| {
        u32::try_from(asked().filter(|one| is(one)).count()).unwrap_or(u32::MAX)
    };
    asked().next()?;
    let efforts = record.people.iter().flat_map(|person| &person.efforts);
    let efforts: Vec<f64> =
        efforts.filter(|said| said.step.is_some_and(is_it)).map(|said| f64::from(said.score)).collect();
    let reports = record.reports.iter().filter(|report| !report.taken_back && report.step.is_some_and(is_it));
    Some(DrillClass {
        day,
        planned: steps.filter(|step| step.asked > 0).map(|step| step.planned).sum(),
        asked: count(&|_| true),
        did: count(&|one| one.answer == Some(Answer::Done)),
        stopped: count(&|one| one.answer == Some(Answer::Stopped)),
        marked: count(&|one| one.far.is_some()),
        reached: count(&|one| matches!(one.far, Some(HowFar::Target | HowFar::Beyond))),
        effort: middle(&efforts).map(|middle| middle.median),
        efforts: u32::try_from(efforts.len()).unwrap_or(u32::MAX),
        reports: u32::try_from(reports.count()).unwrap_or(u32::MAX),
    })
}

/// One notch more or less, where what the group did speaks for it. `change` is the dose of one step, and `figures` what all
/// steps of the plan with this drill amount to: where the plan went that way already, nothing is proposed.
#[must_use]
pub fn proposal(
    drill: &Drill,
    change: &DoseChange,
    figures: &Figures,
    did: &[DrillClass],
) -> Option<NotchProposal> {
    let last = did.first()?;
    let is_less = |a: &Figures, b: &Figures| a.reps <= b.reps && a.held_ms <= b.held_ms && a != b;
    let because = for_less(last).or_else(|| went_well(did).then_some(NotchReason::WentWell))?;
    let to = if because == NotchReason::WentWell { notch } else { notch_back };
    let is_done = match because {
        NotchReason::WentWell => is_less(&last.planned, figures),
        _ => is_less(figures, &last.planned),
    };
    let new = to(drill, *change);
    (!is_done && new != *change).then_some(NotchProposal { change: new, because })
}

fn for_less(last: &DrillClass) -> Option<NotchReason> {
    if last.reports > 0 {
        Some(NotchReason::Reported)
    } else if last.stopped > 0 && 4 * last.stopped >= last.asked {
        Some(NotchReason::Stopped)
    } else if 4 * last.efforts >= last.asked && last.effort.is_some_and(|effort| effort >= VERY_HARD) {
        Some(NotchReason::VeryHard)
    } else {
        None
    }
}

/// Whoever says nothing is no sign that it went badly, and no sign that it went well.
fn went_well(did: &[DrillClass]) -> bool {
    let well = |one: &DrillClass| {
        let most = 4 * one.did >= 3 * one.asked && 4 * one.reached >= 3 * one.marked;
        most && one.stopped == 0 && one.reports == 0 && one.effort.is_none_or(|effort| effort <= NOT_HARD)
    };
    matches!(did, [last, before, ..] if well(last) && well(before))
}
