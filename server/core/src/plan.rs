//! Plans: the ordered steps of a session, read from a TOML file, complete in themselves.
//!
//! A plan holds its drills and clues whole, so that a session can be replayed years later whatever
//! has become of the library.

use serde::{Deserialize, Serialize};

use crate::clue::ClueSet;
use crate::dose::{Dose, DoseChange, PHASE_MS, length};
use crate::drill::{self, Drill};
use crate::file::{FileError, Source, Table};
use crate::library::Library;
use crate::text::Line;
use crate::time::seconds;
use crate::timeline::{self, Figures};

/// A private note for the facilitator.
pub type Note = Line<400>;
/// The words at the head of a step.
pub type Title = Line<80>;

/// The ordered steps for a session.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plan {
    /// What the session is called.
    pub title: Title,
    /// How long the class is booked for.
    pub class_ms: i64,
    /// At least one step.
    pub steps: Vec<Step>,
}

/// One entry of a plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// Shown to everyone at its head.
    pub title: Title,
    /// For the facilitator only.
    pub note: Option<Note>,
    /// What it is.
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
    },
    /// Talk, without a clock.
    Talk {
        /// What the plan allows for it.
        planned_ms: i64,
    },
    /// The facilitator asks how everyone is, without a clock.
    CheckIn {
        /// What the plan allows for it.
        planned_ms: i64,
    },
    /// A break for a sip, on the shared clock.
    Sip {
        /// Its length.
        length_ms: i64,
    },
    /// A round of clues, led by hand.
    Clues {
        /// The round, whole.
        set: ClueSet,
        /// What the plan allows for it.
        planned_ms: i64,
    },
}

/// A step as somebody asks for it, by the names of the library.
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
        change: DoseChange,
    },
    /// Talk.
    Talk {
        /// Its title.
        title: Title,
        /// What is allowed for it, 1 to 60 minutes.
        minutes: u32,
    },
    /// A sip break.
    Sip {
        /// Its length, 5 to 600 seconds.
        seconds: u32,
    },
}

impl Step {
    /// A step for `drill` with `change` applied to its usual dose.
    ///
    /// # Errors
    /// A sentence saying which number is out of bounds.
    pub fn of_drill(drill: &Drill, change: &DoseChange) -> Result<Self, String> {
        let dose = drill.dose.changed(change).map_err(|e| e.to_string())?;
        fits(drill, &dose)?;
        let title = Title::try_from(drill.name.as_str()).map_err(|e| e.to_string())?;
        Ok(Self { title, note: None, body: Body::Drill { drill: Box::new(drill.clone()), dose } })
    }

    /// The step that `request` asks for.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    pub fn of_request(request: &StepRequest, library: &Library) -> Result<Self, String> {
        match request {
            StepRequest::Drill { drill, change } => Self::of_drill(library.drill(drill.as_str())?, change),
            StepRequest::Talk { title, minutes } => {
                let planned_ms = seconds(60) * i64::from(*minutes);
                let bounds = (seconds(60), seconds(3600));
                length("the time for talk", planned_ms, bounds).map_err(|e| e.to_string())?;
                Ok(Self { title: title.clone(), note: None, body: Body::Talk { planned_ms } })
            }
            StepRequest::Sip { seconds: s } => {
                let length_ms = seconds(i64::from(*s));
                length("the sip break", length_ms, (seconds(5), seconds(600))).map_err(|e| e.to_string())?;
                let title = Title::try_from("A sip").map_err(|e| e.to_string())?;
                Ok(Self { title, note: None, body: Body::Sip { length_ms } })
            }
        }
    }

    /// This step with another dose.
    ///
    /// # Errors
    /// When it is not a drill, or a number is out of bounds.
    pub fn with_dose(&self, change: &DoseChange) -> Result<Self, String> {
        let Body::Drill { drill, dose } = &self.body else {
            return Err("only a drill has a dose".to_owned());
        };
        let dose = dose.changed(change).map_err(|e| e.to_string())?;
        fits(drill, &dose)?;
        Ok(Self { body: Body::Drill { drill: drill.clone(), dose }, ..self.clone() })
    }

    /// The drill, if this step is one.
    #[must_use]
    pub fn drill(&self) -> Option<&Drill> {
        match &self.body {
            Body::Drill { drill, .. } => Some(drill),
            Body::Talk { .. } | Body::CheckIn { .. } | Body::Sip { .. } | Body::Clues { .. } => None,
        }
    }

    /// The clue round, if this step is one.
    #[must_use]
    pub fn clues(&self) -> Option<&ClueSet> {
        match &self.body {
            Body::Clues { set, .. } => Some(set),
            Body::Talk { .. } | Body::CheckIn { .. } | Body::Sip { .. } | Body::Drill { .. } => None,
        }
    }

    /// How long the plan allows: the compiled clock (with its get-ready) or the planned time.
    #[must_use]
    pub fn planned_ms(&self) -> i64 {
        match &self.body {
            Body::Talk { planned_ms } | Body::CheckIn { planned_ms } | Body::Clues { planned_ms, .. } => {
                *planned_ms
            }
            Body::Drill { .. } | Body::Sip { .. } => {
                let timeline = timeline::compile(self);
                timeline.ready_ms + timeline.total_ms
            }
        }
    }
}

/// Longest clock of one step: an hour (an agreed choice).
const STEP_MS: i64 = seconds(3600);

/// Checks what a dose alone cannot know: the firmer end must fit the hold, and the step the hour.
fn fits(drill: &Drill, dose: &Dose) -> Result<(), String> {
    for spec in &drill.phases {
        if let (Some((firm_ms, _)), Some(hold)) = (&spec.firm, dose.hold)
            && hold.clock_ms() <= *firm_ms
        {
            return Err(format!(
                "the hold of `{}` ends firmer for {firm_ms} ms; it must be longer than that",
                drill.id
            ));
        }
    }
    let total_ms = timeline::total_ms(drill, dose);
    if total_ms > STEP_MS {
        return Err(format!(
            "this dose takes {} s; a step may take at most {} s",
            total_ms / 1000,
            STEP_MS / 1000
        ));
    }
    Ok(())
}

impl Plan {
    /// The clock total of all steps.
    #[must_use]
    pub fn planned_ms(&self) -> i64 {
        self.steps.iter().map(Step::planned_ms).sum()
    }

    /// Repetitions, holds and seconds held of all steps.
    #[must_use]
    pub fn figures(&self) -> Figures {
        self.steps.iter().map(|step| timeline::compile(step).figures()).sum()
    }
}

/// Reads a plan file.
///
/// # Errors
/// The first mistake: file, line, what was wrong and the nearest right name.
pub fn read(source: Source<'_>, library: &Library) -> Result<Plan, FileError> {
    let parsed = source.parse()?;
    let table = Table::new(source, "plan", parsed.span(), parsed.get_ref());
    let minutes = table.count("minutes")?.ok_or_else(|| table.missing("minutes"))?;
    if !(1..=240).contains(&minutes) {
        return Err(table.error_at("minutes", format!("`minutes` is {minutes}; it must be from 1 to 240")));
    }
    let title = table.need_line("title")?;
    let steps = table
        .tables("step", "step")?
        .into_iter()
        .map(|step| read_step(&step, library))
        .collect::<Result<Vec<_>, _>>()?;
    match steps.len() {
        0 => return Err(table.error("this plan needs at least one [[step]]")),
        1..=100 => {}
        many => return Err(table.error(format!("this plan has {many} steps; at most 100 are allowed"))),
    }
    table.finish()?;
    Ok(Plan { title, class_ms: i64::from(minutes) * 60_000, steps })
}

const KINDS: [&str; 5] = ["drill", "talk", "check_in", "sip", "clues"];

fn read_step(table: &Table<'_>, library: &Library) -> Result<Step, FileError> {
    let given: Vec<_> = KINDS.into_iter().filter(|kind| table.has(kind)).collect();
    let [kind] = given[..] else {
        let first_key_typo = table.finish();
        first_key_typo?;
        return Err(table.error(format!("a step has exactly one of {}", KINDS.join(", "))));
    };
    let step = match kind {
        "drill" => read_drill_step(table, library)?,
        "sip" => {
            let length_ms = table.seconds("seconds")?.ok_or_else(|| table.missing("seconds"))?;
            length("seconds", length_ms, (seconds(5), PHASE_MS.1))
                .map_err(|e| table.error_at("seconds", e.to_string()))?;
            Step { title: table.need_line("sip")?, note: None, body: Body::Sip { length_ms } }
        }
        "clues" => {
            let id = table.need_line::<60>("clues")?;
            let set = library.clue_set(id.as_str()).map_err(|e| table.error_at("clues", e))?.clone();
            let title = Title::try_from(set.theme.as_str()).map_err(|e| table.error(e.to_string()))?;
            let title = table.line("title")?.unwrap_or(title);
            Step { title, note: None, body: Body::Clues { set, planned_ms: minutes(table)? } }
        }
        "check_in" => Step {
            title: table.need_line("check_in")?,
            note: None,
            body: Body::CheckIn { planned_ms: minutes(table)? },
        },
        _ => Step {
            title: table.need_line("talk")?,
            note: None,
            body: Body::Talk { planned_ms: minutes(table)? },
        },
    };
    let step = Step { note: table.line("note")?, ..step };
    table.finish()?;
    Ok(step)
}

fn read_drill_step(table: &Table<'_>, library: &Library) -> Result<Step, FileError> {
    let id = table.need_line::<60>("drill")?;
    let drill = library.drill(id.as_str()).map_err(|e| table.error_at("drill", e))?;
    let change = drill::read_dose_change(table)?;
    let step = Step::of_drill(drill, &change).map_err(|e| table.error(e))?;
    let title = table.line("title")?.unwrap_or(step.title);
    Ok(Step { title, ..step })
}

fn minutes(table: &Table<'_>) -> Result<i64, FileError> {
    match table.count("minutes")? {
        None => Err(table.missing("minutes")),
        Some(minutes @ 1..=60) => Ok(i64::from(minutes) * 60_000),
        Some(other) => {
            Err(table.error_at("minutes", format!("`minutes` is {other}; it must be from 1 to 60")))
        }
    }
}
