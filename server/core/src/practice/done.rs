//! What somebody did at home from one class to the next, by their own word, beside what was asked.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::drill::DrillId;
use crate::library::Library;
use crate::live::{Ease, HomeLog};
use crate::plan::{ForHome, Title};
use crate::text::Line;
use crate::time::day::Date;

/// What somebody did at home after a class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct AtHome {
    /// The day of the class.
    pub from: Date,
    /// The day up to which its sheet holds.
    pub until: Date,
    /// The drills that the class was given to take home, in order, and then what else they did on their own.
    pub drills: Vec<DrillAtHome>,
    /// The home classes that were published for them then, and then what other home classes they did.
    pub classes: Vec<ClassAtHome>,
}

/// A home class that was published for somebody.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClassGiven {
    /// Which one.
    pub class: Uuid,
    /// What it is called.
    pub title: Title,
    /// On how many days a week it is to be done.
    pub days_a_week: u32,
    /// From which day to which.
    pub period: (Date, Date),
}

/// What somebody did of a home class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ClassAtHome {
    /// Which one.
    pub class: Uuid,
    /// What it is called.
    pub title: Title,
    /// On how many days it was asked for until the next class; 0 where it was not asked for.
    pub days_asked: u32,
    /// On how many days they began it.
    pub days: u32,
    /// How often in all.
    pub times: u32,
    /// How many drills it had for them, over all these times.
    pub drills_asked: u32,
    /// How many of them they did at least in part.
    pub drills: u32,
    /// How many repetitions in all, as far as they were counted.
    pub reps: u32,
    /// How often they said that the whole was easy, just right, and hard.
    pub ease: [u32; 3],
    /// The days on which something in it hurt.
    pub hurt: Vec<Date>,
    /// How often a log came a second time and said something else; only the first one counts.
    pub differs: u32,
}

/// What somebody did at home with one drill. Days, times and repetitions are counted apart, and never cut off at what was
/// asked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DrillAtHome {
    /// The drill.
    pub drill: DrillId,
    /// Its title; its id where the class was given none.
    pub title: Title,
    /// On how many days it was asked for until the next class; 0 where it was not asked for.
    pub days_asked: u32,
    /// How often on each of them.
    pub times_a_day: u32,
    /// How many repetitions each time, as it stood on the sheet that they had last; absent until they say something.
    pub reps_each: Option<u32>,
    /// On how many days they did it.
    pub days: u32,
    /// How often in all.
    pub times: u32,
    /// How many repetitions in all, as far as they were counted.
    pub reps: u32,
    /// How often nobody counted.
    pub uncounted: u32,
    /// How often they said that it was easy, just right, and hard.
    pub ease: [u32; 3],
    /// The days on which it hurt.
    pub hurt: Vec<Date>,
    /// How often a log came a second time and said something else; only the first one counts.
    pub differs: u32,
}

/// What somebody did from the day of a class until the next one.
#[must_use]
pub fn at_home(
    logs: &[HomeLog],
    (home, given): (&[ForHome], &[ClassGiven]),
    (from, until): (Date, Date),
    library: &Library,
) -> AtHome {
    let (in_classes, alone): (Vec<&HomeLog>, Vec<&HomeLog>) = logs.iter().partition(|log| log.run.is_some());
    let mut of: BTreeMap<&DrillId, Vec<&HomeLog>> = BTreeMap::new();
    // By id, the first log that has it: whatever else comes with that id belongs to its drill.
    let mut firsts: BTreeMap<Uuid, &HomeLog> = BTreeMap::new();
    let mut others: Vec<(&DrillId, &HomeLog)> = Vec::new();
    for log in alone {
        match firsts.get(&log.id) {
            Some(first) => others.push((&first.drill, log)),
            None => {
                firsts.insert(log.id, log);
                of.entry(&log.drill).or_default().push(log);
            }
        }
    }
    let of_drill = |drill: &DrillId, title: Title, given: Option<(u32, u32)>, logs: &[&HomeLog]| {
        let others: Vec<_> = others.iter().filter(|(of, _)| *of == drill).map(|(_, log)| *log).collect();
        summed((drill, title), given, (from, until), (logs, &others))
    };
    let mut drills = Vec::new();
    for given in home {
        let Some(drill) = &given.drill else { continue };
        let logs = of.remove(&drill.id).unwrap_or_default();
        let often = (given.times_a_day, given.days_a_week);
        drills.push(of_drill(&drill.id, given.title.clone(), Some(often), &logs));
    }
    // What is on an earlier sheet.
    for (drill, logs) in of {
        let name = library.drill(drill.as_str()).map_or(drill.as_str(), |drill| drill.name.as_str());
        let Ok(title) = Line::try_from(name) else { continue };
        drills.push(of_drill(drill, title, None, &logs));
    }
    let classes = classes_done(&in_classes, given, (from, until));
    AtHome { from, until, drills, classes }
}

/// What came of home classes.
fn classes_done(logs: &[&HomeLog], given: &[ClassGiven], period: (Date, Date)) -> Vec<ClassAtHome> {
    let mut ids = BTreeSet::new();
    let (logs, others): (Vec<&HomeLog>, Vec<&HomeLog>) = logs.iter().partition(|log| ids.insert(log.id));
    let mut classes: Vec<ClassGiven> = given.to_vec();
    for run in logs.iter().filter_map(|log| log.run.as_ref()) {
        if classes.iter().all(|known| known.class != run.class) {
            // It was taken back, or published for another stretch of weeks.
            let title = run.title.clone();
            classes.push(ClassGiven { class: run.class, title, days_a_week: 0, period });
        }
    }
    let of_class =
        |class: Uuid| move |log: &&&HomeLog| log.run.as_ref().is_some_and(|run| run.class == class);
    let done = classes.into_iter().map(|ClassGiven { class, title, days_a_week, period: (from, until) }| {
        let logs: Vec<&HomeLog> = logs.iter().filter(of_class(class)).copied().collect();
        let others: Vec<&HomeLog> = others.iter().filter(of_class(class)).copied().collect();
        let runs: BTreeMap<Uuid, u32> =
            logs.iter().filter_map(|log| log.run.as_ref()).map(|run| (run.run, run.drills)).collect();
        let days: BTreeSet<Date> = logs.iter().map(|log| log.day).collect();
        let hurt = logs.iter().chain(&others).filter(|log| log.hurt).map(|log| log.day);
        let many = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let ease = |ease| {
            let said = logs.iter().filter(|log| log.ease == Some(ease)).filter_map(|log| log.run.as_ref());
            many(said.map(|run| run.run).collect::<BTreeSet<Uuid>>().len())
        };
        let (from, until) = (from.max(period.0), until.min(period.1));
        ClassAtHome {
            class,
            title,
            days_asked: if from < until { days_asked(days_a_week, (from, until)) } else { 0 },
            days: many(days.len()),
            times: many(runs.len()),
            drills_asked: runs.values().copied().fold(0, u32::saturating_add),
            drills: many(logs.iter().filter(|log| log.done != Some(0)).count()),
            reps: logs.iter().filter_map(|log| log.done).fold(0, u32::saturating_add),
            ease: [Ease::Easy, Ease::Right, Ease::Hard].map(ease),
            hurt: hurt.collect::<BTreeSet<Date>>().into_iter().collect(),
            differs: many(others.len()),
        }
    });
    done.collect()
}

/// On how many days of a stretch that is no week something is asked for that is asked for on so many days a week.
fn days_asked(days_a_week: u32, (from, until): (Date, Date)) -> u32 {
    let days = u32::try_from(until.days_since(from).max(1)).unwrap_or(1);
    (days_a_week * days + 3) / 7
}

fn summed(
    (drill, title): (&DrillId, Title),
    given: Option<(u32, u32)>,
    period: (Date, Date),
    (logs, others): (&[&HomeLog], &[&HomeLog]),
) -> DrillAtHome {
    let count = |is: &dyn Fn(&HomeLog) -> bool| {
        u32::try_from(logs.iter().filter(|log| is(log)).count()).unwrap_or(u32::MAX)
    };
    let done = logs.iter().filter(|log| log.done != Some(0));
    let days: BTreeSet<Date> = done.map(|log| log.day).collect();
    // What their own sheet asked for may be less than the class was given: a limit holds for a week.
    let own = logs.last().map(|log| log.asked);
    let often = given.map(|given| own.map_or(given, |own| (own.times_a_day, own.days_a_week)));
    let (times_a_day, days_a_week) = often.unwrap_or_default();
    let hurt: BTreeSet<Date> = logs.iter().chain(others).filter(|log| log.hurt).map(|log| log.day).collect();
    DrillAtHome {
        drill: drill.clone(),
        title,
        days_asked: days_asked(days_a_week, period),
        times_a_day,
        reps_each: own.map(|own| own.reps),
        days: u32::try_from(days.len()).unwrap_or(u32::MAX),
        times: count(&|log| log.done != Some(0)),
        reps: logs.iter().filter_map(|log| log.done).fold(0, u32::saturating_add),
        uncounted: count(&|log| log.done.is_none()),
        ease: [Ease::Easy, Ease::Right, Ease::Hard].map(|ease| count(&|log| log.ease == Some(ease))),
        hurt: hurt.into_iter().collect(),
        differs: u32::try_from(others.len()).unwrap_or(u32::MAX),
    }
}
