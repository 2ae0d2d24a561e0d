//! One person over their classes: what they came to, what was asked of them and done, how much effort it was, and what they
//! reported. There is no norm and no other person in it.

pub mod statistics;

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::drill::DrillId;
use crate::live::{Answer, Form, HowFar, Said, StopReason, Whose};
use crate::people::person::PersonId;
use crate::plan::Title;
use crate::plan::timeline::Figures;
use crate::record::class::{Asked, Attended, ClassRecord, PersonRecord, StepRecord};
use crate::record::holds::Held;
use crate::record::progress::statistics::{Middle, Slope, middle, slope};
use crate::time::EpochMs;
use crate::time::day::Date;

/// The median is that of so many last days (an agreed choice).
const LAST_DAYS: usize = 6;

/// A person over their classes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Progress {
    /// The classes in which they had a place, the earliest first.
    pub classes: Vec<ClassDay>,
    /// How much effort the classes were for them, by their own word.
    pub effort: Measure,
    /// The drills that were asked of them, in the order in which they first came.
    pub drills: Vec<DrillDays>,
}

/// One class of a person.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ClassDay {
    /// The session's id.
    pub session: Uuid,
    /// The day on which it was held.
    pub day: Date,
    /// What it was called.
    pub title: Title,
    /// How many whole minutes it took.
    pub minutes: u32,
    /// Whether they were there, and how.
    pub attended: Attended,
    /// For how many minutes.
    pub there: u32,
    /// Whether they had said that they cannot come.
    pub cannot_come: bool,
    /// How many drills were asked of them that were no rest.
    pub asked: u32,
    /// Of how many they said that they did it.
    pub done: u32,
    /// The numbers that they said for effort, 0 to 10.
    pub efforts: Vec<u8>,
    /// Each time that they stopped.
    pub stops: Vec<StopThen>,
    /// What they reported, the oldest first. What they took back is marked.
    pub reports: Vec<ReportThen>,
}

/// Somebody stopped.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StopThen {
    /// When.
    pub at: EpochMs,
    /// In which step.
    pub step: Option<Title>,
    /// Why, if they said so.
    pub reason: Option<StopReason>,
}

/// Somebody reported something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ReportThen {
    /// When.
    pub at: EpochMs,
    /// In which step.
    pub step: Option<Title>,
    /// What they said.
    pub said: Said,
    /// Whether they took it back.
    pub taken_back: bool,
}

/// A number on days.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Measure {
    /// Each day that has one: of several on a day, the median.
    pub days: Vec<(Date, f64)>,
    /// The middle of the last six days; absent without a day.
    pub last: Option<Middle>,
    /// How it changes; absent for too few days.
    pub slope: Option<Slope>,
}

impl Measure {
    fn of(days: Vec<(Date, f64)>) -> Self {
        let values: Vec<f64> = days.iter().map(|(_, value)| *value).collect();
        let last = middle(&values[values.len().saturating_sub(LAST_DAYS)..]);
        let first = days.first().map(|(day, _)| *day);
        let since = |day: Date| first.map_or(0, |first| day.days_since(first));
        let points: Vec<(i64, f64)> = days.iter().map(|(day, value)| (since(*day), *value)).collect();
        Self { days, last, slope: slope(&points) }
    }
}

/// One drill of a person.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DrillDays {
    /// The drill.
    pub drill: DrillId,
    /// Its title, as it was last.
    pub title: Title,
    /// Each time that a class did it while they were there, the earliest first.
    pub days: Vec<DrillDay>,
    /// How often it was asked of them, rests left out.
    pub asked: u32,
    /// How often they said that they did it.
    pub done: u32,
    /// How often they stopped in it.
    pub stopped: u32,
    /// How often it was a rest for them.
    pub rested: u32,
    /// Their own best in it; only of holds of which they said how far they went.
    pub best: Option<Best>,
}

/// One drill of a person in one class.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DrillDay {
    /// The day.
    pub day: Date,
    /// What was planned for the class.
    pub planned: Figures,
    /// What the class did.
    pub class_did: Held,
    /// In which form it was theirs.
    pub form: Form,
    /// How long the hold was meant to be for them, in milliseconds; only of holds that have marks.
    pub target_ms: Option<i64>,
    /// What they said of it.
    pub answer: Option<Answer>,
    /// How far they went, by their own word.
    pub far: Option<HowFar>,
}

/// A person's own best in a drill: the longest target that they reached, by their own word. Marks are coarse, so nothing
/// between them is made up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Best {
    /// How far they went.
    pub far: HowFar,
    /// How long the hold was meant to be, in milliseconds.
    pub target_ms: i64,
    /// The last day on which they went so far.
    pub day: Date,
    /// On how many days they did.
    pub days: u32,
}

/// A person over these classes, which come in the order of their days.
#[must_use]
pub fn progress(classes: &[(Uuid, Date, &ClassRecord)], person: PersonId) -> Progress {
    let theirs: Vec<_> = classes
        .iter()
        .filter_map(|(session, day, record)| {
            let of = record.people.iter().find(|one| one.person == Some(person))?;
            Some((*session, *day, *record, of))
        })
        .collect();
    // Two classes of one day are one day.
    let effort = theirs.chunk_by(|a, b| a.1 == b.1).filter_map(|classes| {
        let said = classes.iter().flat_map(|(.., of)| &of.efforts).map(|one| f64::from(one.score));
        Some((classes.first()?.1, middle(&said.collect::<Vec<_>>())?.median))
    });
    let effort = Measure::of(effort.collect());
    let mut drills: Vec<DrillDays> = Vec::new();
    for (_, day, record, of) in &theirs {
        for asked in &of.steps {
            add(&mut drills, *day, record, asked);
        }
    }
    drills.iter_mut().for_each(DrillDays::sum_up);
    let classes = theirs.iter().map(|(session, day, record, of)| class_day(*session, *day, record, of));
    Progress { classes: classes.collect(), effort, drills }
}

fn class_day(session: Uuid, day: Date, record: &ClassRecord, of: &PersonRecord) -> ClassDay {
    let title = |step| record.steps.iter().find(|one| Some(one.step) == step).map(|one| one.title.clone());
    let asked: Vec<&Asked> = of.steps.iter().filter(|one| one.form != Form::Rest).collect();
    let done = asked.iter().filter(|one| one.answer == Some(Answer::Done)).count();
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let stops = of.stops.iter().filter(|one| one.whose == Whose::Own);
    let reports = record.reports.iter().filter(|one| one.seat == of.seat && one.said.whose == Whose::Own);
    ClassDay {
        session,
        day,
        title: record.title.clone(),
        minutes: record.minutes,
        attended: of.attended,
        there: of.minutes,
        cannot_come: of.cannot_come,
        asked: count(asked.len()),
        done: count(done),
        efforts: of.efforts.iter().map(|one| one.score).collect(),
        stops: stops.map(|one| StopThen { at: one.at, step: title(one.step), reason: one.reason }).collect(),
        reports: reports
            .map(|one| ReportThen {
                at: one.at,
                step: title(one.step),
                said: one.said.clone(),
                taken_back: one.taken_back,
            })
            .collect(),
    }
}

/// Adds what a class asked of them to the drill that it was.
fn add(drills: &mut Vec<DrillDays>, day: Date, record: &ClassRecord, asked: &Asked) {
    let step: Option<&StepRecord> = record.steps.iter().find(|one| one.step == asked.step);
    let Some((step, drill)) = step.and_then(|step| Some((step, step.drill.clone()?))) else { return };
    let new = DrillDay {
        day,
        planned: step.planned,
        class_did: step.done,
        form: asked.form,
        target_ms: asked.target_ms,
        answer: asked.answer,
        far: asked.far,
    };
    if let Some(known) = drills.iter_mut().find(|one| one.drill == drill) {
        known.title.clone_from(&step.title);
        known.days.push(new);
        return;
    }
    let (title, days) = (step.title.clone(), vec![new]);
    drills.push(DrillDays { drill, title, days, asked: 0, done: 0, stopped: 0, rested: 0, best: None });
}

impl DrillDays {
    fn sum_up(&mut self) {
        let count = |is: &dyn Fn(&DrillDay) -> bool| {
            u32::try_from(self.days.iter().filter(|one| is(one)).count()).unwrap_or(u32::MAX)
        };
        let asked = count(&|one| one.form != Form::Rest);
        let done = count(&|one| one.form != Form::Rest && one.answer == Some(Answer::Done));
        let stopped = count(&|one| one.answer == Some(Answer::Stopped));
        let rested = count(&|one| one.form == Form::Rest);
        let best = best(&self.days);
        *self = Self { asked, done, stopped, rested, best, ..self.clone() };
    }
}

fn best(days: &[DrillDay]) -> Option<Best> {
    let said = || days.iter().filter_map(|one| Some((one.far?, one.target_ms?, one.day)));
    // Whoever reached a longer target went further than somebody who went beyond a shorter one, as far as marks tell.
    let rank = |far: HowFar, target_ms: i64| match far {
        HowFar::Target => (target_ms, 0),
        HowFar::Beyond => (target_ms, 1),
        HowFar::FirstMark => (0, 1),
        HowFar::Under => (0, 0),
    };
    let (far, target_ms, _) = said().max_by_key(|(far, target_ms, _)| rank(*far, *target_ms))?;
    let same: BTreeSet<Date> = said()
        .filter(|(other, ms, _)| rank(*other, *ms) == rank(far, target_ms))
        .map(|(_, _, day)| day)
        .collect();
    let day = same.last().copied()?;
    Some(Best { far, target_ms, day, days: u32::try_from(same.len()).unwrap_or(u32::MAX) })
}
