//! `plan check` and `plan tidy`: what a plan adds up to, and the plan in its usual order.

use std::path::Path;

use anyhow::Context;
use samebreath_core::file::{FileError, Source};
use samebreath_core::library::Library;
use samebreath_core::people::rules::{self, Rules};
use samebreath_core::plan::advice::{Advice, Around, advise};
use samebreath_core::plan::draft::{self, Draft};
use samebreath_core::plan::{self, Plan};
use serde::Serialize;

use crate::commands::print::print;
use crate::host::house::House;

/// What a plan adds up to, and what a careful colleague would say about it.
#[derive(Debug, Serialize)]
pub struct Check {
    title: String,
    class_s: i64,
    clock_s: f64,
    reps: u32,
    holds: u32,
    held_s: f64,
    steps: Vec<CheckedStep>,
    advice: Vec<Advice>,
}

#[derive(Debug, Serialize)]
struct CheckedStep {
    title: String,
    starts_s: f64,
    clock_s: f64,
    reps: u32,
    holds: u32,
    held_s: f64,
}

/// A mistake in a file, as `--json` prints it.
#[derive(Debug, Serialize)]
pub struct Mistake {
    file: Option<String>,
    line: Option<usize>,
    error: String,
}

impl Mistake {
    /// The mistake that `error` describes.
    #[must_use]
    pub fn of(error: &anyhow::Error) -> Self {
        let found = error.downcast_ref::<FileError>();
        Self {
            file: found.map(|e| e.file.clone()),
            line: found.map(|e| e.line),
            error: found.map_or_else(|| format!("{error:#}"), |e| e.message.clone()),
        }
    }
}

/// `plan check`: prints what a plan adds up to. With `json`, prints the result or a mistake as one object.
pub(super) fn print_check(file: &Path, house: &House, json: bool) -> anyhow::Result<()> {
    let checked = read_draft(file, &house.library)
        .and_then(|draft| check(&draft, &house.library, &house.rules).map_err(anyhow::Error::msg));
    match checked {
        Ok(checked) if json => print(&serde_json::to_string_pretty(&checked)?),
        Ok(checked) => print(&checked.text()),
        Err(error) => {
            if json {
                print(&serde_json::to_string_pretty(&Mistake::of(&error))?)?;
            }
            Err(error)
        }
    }
}

/// `plan tidy`: prints a plan in its usual order.
pub(super) fn print_tidy(file: &Path, house: &House) -> anyhow::Result<()> {
    print(read_draft(file, &house.library)?.write().trim_end())
}

/// Reads the plan at `path`.
///
/// # Errors
/// When the file cannot be read or has a mistake. The error names the file and line and says what would be right.
pub fn read_plan(path: &Path, library: &Library) -> anyhow::Result<Plan> {
    read_draft(path, library)?.plan(library).map_err(|error| anyhow::Error::msg(error.text))
}

/// Reads the draft at `path`.
///
/// # Errors
/// When the file cannot be read or has a mistake. The error names the file and line and says what would be right.
pub fn read_draft(path: &Path, library: &Library) -> anyhow::Result<Draft> {
    let text = std::fs::read_to_string(path).with_context(|| format!("cannot read {}", path.display()))?;
    Ok(draft::read(Source::new(&path.display().to_string(), &text), library)?)
}

/// Reads the house rules at `path`.
///
/// # Errors
/// When the file cannot be read or has a mistake. The error names the file and line and says what would be right.
pub fn read_rules(path: &Path) -> anyhow::Result<Rules> {
    let text = std::fs::read_to_string(path).with_context(|| format!("cannot read {}", path.display()))?;
    Ok(rules::read(Source::new(&path.display().to_string(), &text))?)
}

/// Adds up the plan that `draft` makes, and gives advice on it.
///
/// # Errors
/// A sentence that says what is wrong and what would be right.
pub fn check(draft: &Draft, library: &Library, rules: &Rules) -> Result<Check, String> {
    let plan = draft.plan(library).map_err(|error| error.text)?;
    let advice = advise(draft, &plan, library, Around { rules, group: None, week: &[] });
    Ok(add_up(&plan, advice))
}

fn add_up(plan: &Plan, advice: Vec<Advice>) -> Check {
    let steps = plan.steps.iter().zip(plan::schedule(&plan.steps)).map(|(step, slot)| CheckedStep {
        title: step.title.to_string(),
        starts_s: in_seconds(slot.starts_ms),
        clock_s: in_seconds(slot.clock_ms),
        reps: slot.figures.reps,
        holds: slot.figures.holds,
        held_s: in_seconds(slot.figures.held_ms),
    });
    let steps = steps.collect();
    let figures = plan.figures();
    Check {
        title: plan.title.to_string(),
        class_s: plan.class_ms / 1000,
        clock_s: in_seconds(plan.planned_ms()),
        reps: figures.reps,
        holds: figures.holds,
        held_s: in_seconds(figures.held_ms),
        steps,
        advice,
    }
}

impl Check {
    /// The result as a text for people.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!("{}\n\n  starts    clock  holds   held  step\n", self.title);
        for step in &self.steps {
            let holds = if step.holds == 0 { String::new() } else { step.holds.to_string() };
            let held = if step.held_s == 0.0 { String::new() } else { format!("{} s", step.held_s) };
            text += &format!(
                "{:>8} {:>8} {holds:>6} {held:>6}  {}\n",
                minutes(step.starts_s),
                minutes(step.clock_s),
                step.title
            );
        }
        let over_s = self.clock_s - self.class_s as f64;
        let against = if over_s > 0.0 {
            format!("{} over", minutes(over_s))
        } else {
            format!("{} left", minutes(-over_s))
        };
        text + &format!(
            "\n  {} of {} on the clock ({against}); {} holds, {} s held\n",
            minutes(self.clock_s),
            minutes(self.class_s as f64),
            self.holds,
            self.held_s
        ) + &self.advice.iter().map(|advice| self.advice_text(advice)).collect::<String>()
    }

    fn advice_text(&self, advice: &Advice) -> String {
        let step = advice.step.and_then(|step| self.steps.get(step));
        let at = step.map(|step| format!("{}: ", step.title)).unwrap_or_default();
        format!("\n  {at}{}\n    {} ({})\n", advice.text, advice.reason, advice.source)
    }
}

fn in_seconds(ms: i64) -> f64 {
    ms as f64 / 1000.0
}

fn minutes(seconds: f64) -> String {
    format!("{}:{:02}", (seconds / 60.0).floor(), (seconds % 60.0).round())
}
