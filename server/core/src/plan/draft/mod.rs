//! A plan as people write it, in a TOML file or in the planner: its steps name drills and clue sets by id.
//!
//! [`Draft::plan`] makes the plan that a session runs. [`Draft::write`] writes the file, always in the same order,
//! so that it can live in version control.

mod fresh;
mod notch;
mod read;
mod write;

use serde::{Deserialize, Serialize};

use crate::drill::dose::DoseChange;
use crate::library::Library;
use crate::plan::choice::ItemChoice;
use crate::plan::group::{Group, GroupId};
use crate::plan::{Body, ForHome, HomeDrill, Note, Plan, Step, StepRequest, Title};
use crate::text::Line;
use crate::time::day::{Date, clock_ms};
use crate::versioned::Document;
use crate::week::check_minutes;

pub use notch::{hold_of, notch, notch_back};
pub use read::{read, read_plan};

/// Most steps of a plan.
pub const MOST_STEPS: usize = 100;
/// Most drills on the list for home; advice comes well before that.
pub const MOST_HOME: usize = 20;

/// A plan that names drills and clue sets by id.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Draft {
    /// What the session is called.
    pub title: Title,
    /// How long the class is booked for, 1 to 240 minutes.
    pub minutes: u32,
    /// When it starts, as 10:00 or 10:00:00 local time; used only to project the times of the steps.
    pub start: Option<Line<8>>,
    /// The steps in order.
    pub steps: Vec<DraftStep>,
    /// The drills that people take home.
    pub home: Vec<HomeItem>,
}

/// A draft with the day and the group it is for, as the planner keeps it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Planned {
    /// The plan.
    pub draft: Draft,
    /// The day it is for.
    pub day: Option<Date>,
    /// The group it is for.
    pub group: Option<GroupId>,
}

impl Document for Planned {
    const KIND: &'static str = "plan";

    fn check(&self) -> Result<(), String> {
        let Draft { steps, home, .. } = &self.draft;
        if steps.len() > MOST_STEPS || home.len() > MOST_HOME {
            return Err(format!("a plan has at most {MOST_STEPS} steps and {MOST_HOME} drills for home"));
        }
        Ok(())
    }
}

/// A step of a draft.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DraftStep {
    /// The part of the class that begins with this step.
    pub part: Option<Title>,
    /// The title on the screens, where it is not the usual one.
    pub title: Option<Title>,
    /// A note that only the desks see.
    pub note: Option<Note>,
    /// The kind of step and what it needs.
    pub what: StepRequest,
}

/// A drill on the list for home.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HomeItem {
    /// The drill's id.
    pub drill: Line<60>,
    /// Changes to its usual dose.
    pub change: DoseChange,
    /// How often a day, 1 to 10.
    pub times_a_day: u32,
    /// On how many days a week, 1 to 7.
    pub days_a_week: u32,
}

/// What is wrong with a draft, and in which step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DraftError {
    /// The step, from 0; absent when it is about the whole draft.
    pub step: Option<usize>,
    /// A sentence saying what is wrong and what would be right.
    pub text: String,
}

impl Draft {
    /// This plan for `group` on a day: as long as the group's class then, and at its time where it has one.
    #[must_use]
    pub fn timed_for(self, group: &Group, day: Option<Date>) -> Self {
        let other = day.and_then(|day| group.other_on(day));
        let start = other.and_then(|other| other.start.clone()).or_else(|| group.start.clone());
        let minutes = other.and_then(|other| other.minutes).unwrap_or(group.minutes);
        Self { start: start.or(self.start), minutes, ..self }
    }

    /// The plan that a session runs.
    ///
    /// # Errors
    /// The first step that the library or the bounds refuse.
    pub fn plan(&self, library: &Library) -> Result<Plan, DraftError> {
        let whole = |text| DraftError { step: None, text };
        check_minutes(self.minutes).map_err(whole)?;
        check_many(self.steps.len()).map_err(whole)?;
        if let Some(start) = &self.start {
            clock_ms(start.as_str()).map_err(whole)?;
        }
        if self.home.len() > MOST_HOME {
            return Err(whole(format!(
                "{} drills for home; at most {MOST_HOME} are allowed",
                self.home.len()
            )));
        }
        let home = self.home.iter().map(|item| item.for_home(library).map_err(whole));
        let home = home.collect::<Result<_, _>>()?;
        let steps =
            self.steps.iter().enumerate().map(|(index, step)| {
                step.step(library).map_err(|text| DraftError { step: Some(index), text })
            });
        Ok(Plan {
            title: self.title.clone(),
            class_ms: i64::from(self.minutes) * 60_000,
            steps: steps.collect::<Result<_, _>>()?,
            start: self.start.clone(),
            home,
        })
    }

    /// This plan with every dose made slightly harder, within the usual range of its drill.
    #[must_use]
    pub fn one_notch_on(&self, library: &Library) -> Self {
        let steps = self.steps.iter().map(|step| {
            let StepRequest::Drill { drill: id, change, items } = &step.what else { return step.clone() };
            let Ok(drill) = library.drill(id.as_str()) else { return step.clone() };
            let (drill, change, items) = (id.clone(), Box::new(notch(drill, **change)), items.clone());
            DraftStep { what: StepRequest::Drill { drill, change, items }, ..step.clone() }
        });
        Self { steps: steps.collect(), ..self.clone() }
    }
}

impl DraftStep {
    /// The step as a session runs it.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    pub fn step(&self, library: &Library) -> Result<Step, String> {
        let step = Step::of_request(&self.what, library)?;
        let title = self.title.clone().unwrap_or_else(|| step.title.clone());
        Ok(Step { title, note: self.note.clone(), ..step })
    }
}

impl HomeItem {
    /// One practice of the drill, as a step.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    pub fn step(&self, library: &Library) -> Result<Step, String> {
        if !(1..=10).contains(&self.times_a_day) {
            return Err(format!("`times_a_day` is {}; it must be from 1 to 10", self.times_a_day));
        }
        if !(1..=7).contains(&self.days_a_week) {
            return Err(format!("`days_a_week` is {}; it must be from 1 to 7", self.days_a_week));
        }
        let drill = library.drill(self.drill.as_str())?;
        Step::of_drill(drill, &self.change, ItemChoice::items(None, drill, library)?)
    }

    fn for_home(&self, library: &Library) -> Result<ForHome, String> {
        let step = self.step(library)?;
        let Body::Drill { drill, dose, .. } = &step.body else {
            return Err("only drills go home".to_owned());
        };
        Ok(ForHome {
            title: step.title.clone(),
            drill: Some(HomeDrill { id: drill.id.clone(), family: drill.family, change: self.change }),
            reps: dose.reps * dose.sets * u32::try_from(drill.sides.len()).unwrap_or(1),
            times_a_day: self.times_a_day,
            days_a_week: self.days_a_week,
        })
    }
}

fn check_many(steps: usize) -> Result<(), String> {
    match steps {
        0 => Err("this plan needs at least one [[step]]".to_owned()),
        1..=MOST_STEPS => Ok(()),
        many => Err(format!("this plan has {many} steps; at most {MOST_STEPS} are allowed")),
    }
}
