//! A home class: a plan that somebody goes through alone, from its first drill to its last, by the clock of their own device.

use serde::{Deserialize, Serialize};

use crate::language::Language;
use crate::library::Library;
use crate::people::person::PersonId;
use crate::people::rules::Rules;
use crate::plan::draft::{DraftStep, MOST_STEPS};
use crate::plan::group::GroupId;
use crate::plan::{StepRequest, Title};
use crate::practice::sheet::{Given, HomeDrillSheet, Limits, Often, drill_sheet, longest};
use crate::text::{Name, Passage};
use crate::time::day::Date;
use crate::time::seconds;
use crate::versioned::Document;

/// What whoever made a home class says before it, in their own words.
pub type Intro = Passage<600>;

/// So long is there, before each drill but the first, to read what comes and to get ready for it (an agreed choice). A swallow
/// drill waits longer, until somebody says that their mouth is empty.
const BETWEEN_MS: i64 = seconds(15);

/// A plan as it was published for people to do at home.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HomeClass {
    /// What it is called.
    pub title: Title,
    /// What is said before it.
    pub intro: Option<Intro>,
    /// The group whose plan it is.
    pub group: GroupId,
    /// For whom it is; absent where it is for everybody of the group.
    pub person: Option<PersonId>,
    /// The steps of the plan. At home there are its drills, and a rest for each sip break; what needs somebody to lead is left out.
    pub steps: Vec<DraftStep>,
    /// On how many days a week it is to be done, 1 to 7.
    pub days_a_week: u32,
    /// The day on which it was published.
    pub from: Date,
    /// The last day on which it is to be done.
    pub until: Date,
    /// Who published it.
    pub by: Name,
}

impl Document for HomeClass {
    const KIND: &'static str = "home_class";

    fn check(&self) -> Result<(), String> {
        if !(1..=7).contains(&self.days_a_week) {
            return Err(format!("`days_a_week` is {}; it must be from 1 to 7", self.days_a_week));
        }
        let last = longest(self.from);
        if !(self.from..=last).contains(&self.until) {
            return Err(format!("`until` is {}; it must be from {} to {last}", self.until, self.from));
        }
        if self.steps.len() > MOST_STEPS {
            return Err(format!("a home class has at most {MOST_STEPS} steps"));
        }
        let is_drill = |step: &DraftStep| matches!(step.what, StepRequest::Drill { .. });
        if !self.steps.iter().any(is_drill) {
            return Err("a home class needs at least one drill".to_owned());
        }
        Ok(())
    }
}

/// A home class as one person does it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HomeClassSheet {
    /// What it is called.
    pub title: Title,
    /// What is said before it.
    pub intro: Option<Intro>,
    /// Who published it.
    pub by: Name,
    /// The day on which it was published.
    pub from: Date,
    /// The last day on which it is to be done.
    pub until: Date,
    /// On how many days a week.
    pub days_a_week: u32,
    /// What to do, in order.
    pub steps: Vec<HomeClassStep>,
    /// How long there is to get ready before each drill but the first, in milliseconds.
    pub between_ms: i64,
    /// How long the whole takes, in milliseconds: all spans, with the notice and the time to get ready before them.
    pub total_ms: i64,
    /// The titles of the drills that are not in it: not for this person, or over a limit that a clinician set. For staff only.
    pub left_out: Vec<Title>,
}

/// A step of a home class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum HomeClassStep {
    /// A drill, in the person's own form and dose.
    Drill {
        /// The drill as it would stand on a home sheet.
        sheet: Box<HomeDrillSheet>,
    },
    /// A rest, where the plan has a break for a sip: nobody asks at home who may drink.
    Rest {
        /// How long, in milliseconds.
        ms: i64,
    },
}

impl HomeClassStep {
    /// How long it takes, with the notice before it, in milliseconds.
    fn ms(&self) -> i64 {
        match self {
            Self::Drill { sheet } => {
                let own = sheet.content.forms.iter().find(|one| one.form == sheet.form);
                let timeline = own.map_or(&sheet.content.timeline, |own| &own.timeline);
                timeline.ready_ms + timeline.total_ms
            }
            Self::Rest { ms } => *ms,
        }
    }
}

impl HomeClassSheet {
    /// The same in another language, as far as that has the words. What somebody wrote of their own stays as it is.
    #[must_use]
    pub fn said_in(self, language: &Language) -> Self {
        let step = |step: HomeClassStep| match step {
            HomeClassStep::Drill { sheet } => {
                HomeClassStep::Drill { sheet: Box::new(sheet.said_in(language)) }
            }
            rest @ HomeClassStep::Rest { .. } => rest,
        };
        Self { steps: self.steps.into_iter().map(step).collect(), ..self }
    }
}

/// The home class of one person, from what is known of them now; without any step where nothing of it is for them.
#[must_use]
pub fn home_class(
    of: &HomeClass,
    limits: &mut Limits<'_>,
    rules: &Rules,
    library: &Library,
) -> HomeClassSheet {
    let (mut steps, mut left_out) = (Vec::new(), Vec::new());
    // It is one class on each of its days: a drill for which there is no room on all of them is on none.
    let often = Often { times: 1, days: of.days_a_week, or_less: false };
    for step in &of.steps {
        match &step.what {
            StepRequest::Drill { drill, change, items } => {
                let given = Given { drill: drill.as_str(), change, items: items.as_deref(), often };
                match drill_sheet(&given, limits, rules, library) {
                    Some(sheet) => steps.push(HomeClassStep::Drill { sheet: Box::new(sheet) }),
                    None => left_out.extend(step.step(library).map(|step| step.title)),
                }
            }
            StepRequest::Sip { seconds: s } => steps.push(HomeClassStep::Rest { ms: seconds(i64::from(*s)) }),
            StepRequest::Talk { .. }
            | StepRequest::CheckIn { .. }
            | StepRequest::Effort
            | StepRequest::Clues { .. } => {}
        }
    }
    let is_drill = |step: &HomeClassStep| matches!(step, HomeClassStep::Drill { .. });
    // A rest before anything was done, or after the last drill, is none.
    let first = steps.iter().position(is_drill).unwrap_or(steps.len());
    let end = steps.iter().rposition(is_drill).map_or(first, |last| last + 1);
    let steps: Vec<HomeClassStep> = steps.drain(first..end).collect();
    let drills = i64::try_from(steps.iter().filter(|step| is_drill(step)).count()).unwrap_or(i64::MAX);
    let played: i64 = steps.iter().map(HomeClassStep::ms).sum();
    HomeClassSheet {
        title: of.title.clone(),
        intro: of.intro.clone(),
        by: of.by.clone(),
        from: of.from,
        until: of.until,
        days_a_week: of.days_a_week,
        total_ms: played + BETWEEN_MS * (drills - 1).max(0),
        steps,
        between_ms: BETWEEN_MS,
        left_out,
    }
}
