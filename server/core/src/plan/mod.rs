//! Plans: the ordered steps of a session, with everything they need.
//!
//! A plan holds whole drills and clues, so that a session can be replayed years later, whatever has become of the
//! library. [`crate::plan::draft`] is the plan as people write it, with ids in their place.

pub mod advice;
pub mod choice;
pub mod course;
pub mod draft;
mod fits;
pub mod forms;
pub mod group;
pub mod history;
pub mod minutes;
pub mod timeline;

use serde::{Deserialize, Serialize};

use crate::clue::ClueSet;
use crate::drill::dose::{Dose, DoseChange, length};
use crate::drill::{Drill, DrillId, Family};
use crate::item::Item;
use crate::library::Library;
use crate::plan::choice::ItemChoice;
use crate::plan::minutes::Minutes;
use crate::plan::timeline::{Figures, Timeline};
use crate::text::Line;
use crate::time::seconds;

/// A private note for the facilitator.
pub type Note = Line<400>;
/// The title of a step, shown on the screens.
pub type Title = Line<80>;

/// The steps of a session, in order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plan {
    /// What the session is called.
    pub title: Title,
    /// How long the class is booked for, in milliseconds.
    pub class_ms: i64,
    /// At least one step.
    pub steps: Vec<Step>,
    /// When the class starts, as 10:00 local time; absent in ledgers of earlier versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start: Option<Line<8>>,
    /// What people take home; absent in ledgers of earlier versions.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub home: Vec<ForHome>,
}

/// A drill to do at home, as its person reads it when the class is over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ForHome {
    /// The drill's title.
    pub title: Title,
    /// Which drill it is; absent in ledgers of earlier versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub drill: Option<HomeDrill>,
    /// How many repetitions each time, over all sets.
    pub reps: u32,
    /// How often a day, 1 to 10.
    pub times_a_day: u32,
    /// On how many days a week, 1 to 7.
    pub days_a_week: u32,
}

/// Which drill is done at home, and in which dose.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HomeDrill {
    /// The drill.
    pub id: DrillId,
    /// Its family.
    pub family: Family,
    /// Changes to its usual dose.
    pub change: DoseChange,
}

/// One entry of a plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// The title shown to everyone.
    pub title: Title,
    /// A note that only the desks see.
    pub note: Option<Note>,
    /// The kind of step and what it holds.
    pub body: Body,
}

/// The kinds of step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Body {
    /// A drill with its dose, on the shared clock.
    Drill {
        /// The drill, whole.
        drill: Box<Drill>,
        /// Its dose.
        dose: Dose,
        /// The items of its repetitions, whole; empty for a drill without words of its own.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        items: Vec<Item>,
    },
    /// Talk; it has no clock.
    Talk {
        /// How long the plan allows for it, in milliseconds.
        planned_ms: i64,
    },
    /// The facilitator asks how everyone is; it has no clock.
    CheckIn {
        /// How long the plan allows for it, in milliseconds.
        planned_ms: i64,
    },
    /// A break for a sip, on the shared clock.
    Sip {
        /// Its length.
        length_ms: i64,
    },
    /// Everybody is asked how much effort it was; it has no clock.
    Effort {
        /// How long the plan allows for it, in milliseconds.
        planned_ms: i64,
    },
    /// A round of clues, led by hand.
    Clues {
        /// The round, whole.
        set: ClueSet,
        /// How long the plan allows for it, in milliseconds.
        planned_ms: i64,
    },
}

/// A step as somebody asks for it, with ids in place of the drill or clues.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum StepRequest {
    /// A drill with changes to its usual dose.
    Drill {
        /// The drill's id.
        drill: Line<60>,
        /// Changes to its usual dose.
        #[serde(default)]
        change: Box<DoseChange>,
        /// The items of its repetitions, where they are not the usual ones.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[cfg_attr(feature = "ts-rs", ts(optional))]
        items: Option<Box<ItemChoice>>,
    },
    /// Talk.
    Talk {
        /// Its title.
        title: Title,
        /// How long is allowed for it.
        minutes: Minutes,
    },
    /// A check-in.
    CheckIn {
        /// Its title.
        title: Title,
        /// How long is allowed for it.
        minutes: Minutes,
    },
    /// A sip break.
    Sip {
        /// Its length, 5 to 600 seconds.
        seconds: u32,
    },
    /// The question of how much effort it was, answered from 0 to 10.
    Effort,
    /// A round of clues.
    Clues {
        /// The clue set's id.
        set: Line<60>,
        /// The numbers of its clues, from 1, in this order; all of them when empty.
        #[serde(default)]
        only: Vec<u32>,
        /// How long is allowed for it.
        minutes: Minutes,
    },
}

/// The usual title of a sip break.
pub const SIP: &str = "A sip";
/// The usual title of the effort question.
pub const EFFORT: &str = "How hard was it?";
/// How long a plan allows for the effort question (an agreed choice).
const EFFORT_MS: i64 = seconds(30);

impl Step {
    /// A step for `drill` with `change` applied to its usual dose, and its repetitions done with `items`.
    ///
    /// # Errors
    /// A sentence saying which number is out of bounds.
    pub fn of_drill(drill: &Drill, change: &DoseChange, items: Vec<Item>) -> Result<Self, String> {
        let dose = drill.dose.changed(change).map_err(|e| e.to_string())?;
        fits::check(drill, &dose)?;
        let title = title_of(drill.name.as_str())?;
        Ok(Self { title, note: None, body: Body::Drill { drill: Box::new(drill.clone()), dose, items } })
    }

    /// The step that `request` asks for.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    pub fn of_request(request: &StepRequest, library: &Library) -> Result<Self, String> {
        match request {
            StepRequest::Drill { drill, change, items } => {
                let drill = library.drill(drill.as_str())?;
                Self::of_drill(drill, change, ItemChoice::items(items.as_deref(), drill, library)?)
            }
            StepRequest::Talk { title, minutes } => {
                Ok(Self::unclocked(title.clone(), Body::Talk { planned_ms: minutes.ms() }))
            }
            StepRequest::CheckIn { title, minutes } => {
                Ok(Self::unclocked(title.clone(), Body::CheckIn { planned_ms: minutes.ms() }))
            }
            StepRequest::Sip { seconds: s } => {
                let length_ms = seconds(i64::from(*s));
                length("seconds", length_ms, (seconds(5), seconds(600))).map_err(|e| e.to_string())?;
                Ok(Self::unclocked(title_of(SIP)?, Body::Sip { length_ms }))
            }
            StepRequest::Effort => {
                Ok(Self::unclocked(title_of(EFFORT)?, Body::Effort { planned_ms: EFFORT_MS }))
            }
            StepRequest::Clues { set, only, minutes } => {
                let set = library.clue_set(set.as_str())?;
                let many = set.clues.len();
                if let Some(wrong) = only.iter().find(|n| !(1..=many).contains(&(**n as usize))) {
                    return Err(format!("`{}` has no clue {wrong}; its clues are 1 to {many}", set.id));
                }
                let set = if only.is_empty() { set.clone() } else { set.only(only) };
                let title = title_of(set.theme.as_str())?;
                Ok(Self::unclocked(title, Body::Clues { set, planned_ms: minutes.ms() }))
            }
        }
    }

    fn unclocked(title: Title, body: Body) -> Self {
        Self { title, note: None, body }
    }

    /// This step with another dose.
    ///
    /// # Errors
    /// When it is not a drill, or a number is out of bounds.
    pub fn with_dose(&self, change: &DoseChange) -> Result<Self, String> {
        let Body::Drill { drill, dose, items } = &self.body else {
            return Err("only a drill has a dose".to_owned());
        };
        let dose = dose.changed(change).map_err(|e| e.to_string())?;
        fits::check(drill, &dose)?;
        let body = Body::Drill { drill: drill.clone(), dose, items: items.clone() };
        Ok(Self { body, ..self.clone() })
    }

    /// The drill, if this step is one.
    #[must_use]
    pub fn drill(&self) -> Option<&Drill> {
        match &self.body {
            Body::Drill { drill, .. } => Some(drill),
            Body::Talk { .. }
            | Body::CheckIn { .. }
            | Body::Sip { .. }
            | Body::Effort { .. }
            | Body::Clues { .. } => None,
        }
    }

    /// The clue round, if this step is one.
    #[must_use]
    pub fn clues(&self) -> Option<&ClueSet> {
        match &self.body {
            Body::Clues { set, .. } => Some(set),
            Body::Talk { .. }
            | Body::CheckIn { .. }
            | Body::Sip { .. }
            | Body::Effort { .. }
            | Body::Drill { .. } => None,
        }
    }

    /// The spans of the step; none where it has no clock.
    #[must_use]
    pub fn timeline(&self) -> Timeline {
        match &self.body {
            Body::Drill { drill, dose, items } => timeline::compile_drill(drill, dose, items),
            Body::Sip { length_ms } => timeline::compile_sip(&self.title, *length_ms),
            Body::Talk { .. } | Body::CheckIn { .. } | Body::Effort { .. } | Body::Clues { .. } => {
                Timeline::default()
            }
        }
    }

    /// The same step with another time, if it is a step without a clock.
    ///
    /// # Errors
    /// The step has a clock of its own.
    pub fn with_minutes(&self, minutes: Minutes) -> Result<Self, String> {
        let mut step = self.clone();
        match &mut step.body {
            Body::Talk { planned_ms: planned }
            | Body::CheckIn { planned_ms: planned }
            | Body::Effort { planned_ms: planned }
            | Body::Clues { planned_ms: planned, .. } => *planned = minutes.ms(),
            Body::Drill { .. } | Body::Sip { .. } => {
                return Err(format!("`{}` has a clock of its own; change its dose", self.title));
            }
        }
        Ok(step)
    }

    /// How long the plan allows for it: its timeline with the get-ready, or the planned time.
    #[must_use]
    pub fn planned_ms(&self) -> i64 {
        match &self.body {
            Body::Talk { planned_ms }
            | Body::CheckIn { planned_ms }
            | Body::Effort { planned_ms }
            | Body::Clues { planned_ms, .. } => *planned_ms,
            Body::Drill { .. } | Body::Sip { .. } => {
                let timeline = self.timeline();
                timeline.ready_ms + timeline.total_ms
            }
        }
    }
}

fn title_of(text: &str) -> Result<Title, String> {
    Title::try_from(text).map_err(|e| e.to_string())
}

impl Plan {
    /// What all steps take together, in milliseconds.
    #[must_use]
    pub fn planned_ms(&self) -> i64 {
        self.steps.iter().map(Step::planned_ms).sum()
    }

    /// Repetitions, holds and seconds held of all steps.
    #[must_use]
    pub fn figures(&self) -> Figures {
        schedule(&self.steps).iter().map(|slot| slot.figures).sum()
    }
}

/// When a step begins, and what it amounts to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    /// Milliseconds from the start of the class.
    pub starts_ms: i64,
    /// How long the plan allows for it, in milliseconds.
    pub clock_ms: i64,
    /// Repetitions, holds and time held; all 0 unless the step is a drill.
    pub figures: Figures,
}

/// The slots of steps that follow each other from the start of the class.
#[must_use]
pub fn schedule(steps: &[Step]) -> Vec<Slot> {
    let slot = |starts_ms: &mut i64, step: &Step| {
        let figures = step.drill().map(|_| step.timeline().figures()).unwrap_or_default();
        let slot = Slot { starts_ms: *starts_ms, clock_ms: step.planned_ms(), figures };
        *starts_ms += slot.clock_ms;
        Some(slot)
    };
    steps.iter().scan(0, slot).collect()
}
