//! Reads a plan's file.

use crate::drill::{self, Drill};
use crate::file::{FileError, Source, Table};
use crate::library::Library;
use crate::plan::choice::ItemChoice;
use crate::plan::draft::{self, Draft, DraftStep, HomeItem};
use crate::plan::minutes::Minutes;
use crate::plan::{self, Plan, StepRequest, Title};
use crate::time::day::clock_ms;
use crate::week::check_minutes;

/// Reads a plan file and checks it against the library, so that [`Draft::plan`] cannot fail.
///
/// # Errors
/// The first mistake: file, line, what was wrong and the nearest right name.
pub fn read(source: Source<'_>, library: &Library) -> Result<Draft, FileError> {
    let parsed = source.parse()?;
    let table = Table::new(source, "plan", parsed.span(), parsed.get_ref());
    let minutes = table.count("minutes")?.ok_or_else(|| table.missing("minutes"))?;
    check_minutes(minutes).map_err(|e| table.error_at("minutes", e))?;
    let title = table.need_line("title")?;
    let start = table.line("start")?;
    if let Some(start) = &start {
        clock_ms(start.as_str()).map_err(|e| table.error_at("start", e))?;
    }
    let steps: Vec<DraftStep> = table
        .tables("step", "step")?
        .iter()
        .map(|step| read_step(step, library))
        .collect::<Result<_, _>>()?;
    draft::check_many(steps.len()).map_err(|e| table.error(e))?;
    let home: Vec<HomeItem> = table
        .tables("home", "home")?
        .iter()
        .map(|item| read_home(item, library))
        .collect::<Result<_, _>>()?;
    if home.len() > draft::MOST_HOME {
        let text = format!("{} drills for home; at most {} are allowed", home.len(), draft::MOST_HOME);
        return Err(table.error_at("home", text));
    }
    table.finish()?;
    Ok(Draft { title, minutes, start, steps, home })
}

/// Reads a plan file as the plan that a session runs.
///
/// # Errors
/// As [`read`].
pub fn read_plan(source: Source<'_>, library: &Library) -> Result<Plan, FileError> {
    read(source, library)?.plan(library).map_err(|error| source.error(0..0, error.text))
}

const KINDS: [&str; 6] = ["drill", "talk", "check_in", "sip", "effort", "clues"];

fn read_step(table: &Table<'_>, library: &Library) -> Result<DraftStep, FileError> {
    let given: Vec<_> = KINDS.into_iter().filter(|kind| table.has(kind)).collect();
    let [kind] = given[..] else {
        let first_key_typo = table.finish();
        first_key_typo?;
        return Err(table.error(format!("a step has exactly one of {}", KINDS.join(", "))));
    };
    let mut title = None;
    let what = match kind {
        "drill" => {
            let drill = table.need_line::<60>("drill")?;
            let known = library.drill(drill.as_str()).map_err(|e| table.error_at("drill", e))?;
            let items = read_items(table, known, library)?.map(Box::new);
            StepRequest::Drill { drill, change: Box::new(drill::read_dose_change(table)?), items }
        }
        "sip" => {
            title = unusual(table.need_line("sip")?, plan::SIP);
            let length_ms = table.seconds("seconds")?.ok_or_else(|| table.missing("seconds"))?;
            let whole = u32::try_from(length_ms / 1000).ok().filter(|_| length_ms % 1000 == 0);
            let seconds = whole.ok_or_else(|| table.error_at("seconds", "a sip takes whole seconds"))?;
            StepRequest::Sip { seconds }
        }
        "effort" => {
            title = unusual(table.need_line("effort")?, plan::EFFORT);
            StepRequest::Effort
        }
        "clues" => {
            let set = table.need_line::<60>("clues")?;
            library.clue_set(set.as_str()).map_err(|e| table.error_at("clues", e))?;
            StepRequest::Clues { set, only: table.counts("only")?, minutes: minutes(table)? }
        }
        "check_in" => StepRequest::CheckIn { title: table.need_line("check_in")?, minutes: minutes(table)? },
        _ => StepRequest::Talk { title: table.need_line("talk")?, minutes: minutes(table)? },
    };
    if title.is_none() && matches!(kind, "drill" | "clues") {
        title = table.line("title")?;
    }
    let step = DraftStep { part: table.line("part")?, title, note: table.line("note")?, what };
    let at = match kind {
        "sip" => "seconds",
        "clues" => "only",
        _ => "minutes",
    };
    let checked = step.step(library);
    checked.map_err(|e| if table.has(at) { table.error_at(at, e) } else { table.error(e) })?;
    table.finish()?;
    Ok(step)
}

fn read_items(table: &Table<'_>, drill: &Drill, library: &Library) -> Result<Option<ItemChoice>, FileError> {
    let choice =
        ItemChoice { set: table.line("items")?, only: table.counts("only")?, words: table.lines("words")? };
    let choice = Some(choice).filter(|choice| *choice != ItemChoice::default());
    let at = ["words", "only", "items"].into_iter().find(|key| table.has(key));
    match (ItemChoice::items(choice.as_ref(), drill, library), at) {
        (Ok(_), _) => Ok(choice),
        (Err(why), Some(key)) => Err(table.error_at(key, why)),
        (Err(why), None) => Err(table.error(why)),
    }
}

fn read_home(table: &Table<'_>, library: &Library) -> Result<HomeItem, FileError> {
    let drill = table.need_line::<60>("drill")?;
    library.drill(drill.as_str()).map_err(|e| table.error_at("drill", e))?;
    let item = HomeItem {
        drill,
        change: drill::read_dose_change(table)?,
        times_a_day: table.count("times_a_day")?.unwrap_or(1),
        days_a_week: table.count("days_a_week")?.unwrap_or(7),
    };
    item.step(library).map_err(|e| table.error(e))?;
    table.finish()?;
    Ok(item)
}

/// The title of a step, unless it is the usual one.
fn unusual(title: Title, usual: &str) -> Option<Title> {
    Some(title).filter(|title| title.as_str() != usual)
}

/// The time of a step without a clock, in minutes or in seconds.
fn minutes(table: &Table<'_>) -> Result<Minutes, FileError> {
    match (table.count("minutes")?, table.count("seconds")?) {
        (Some(minutes), None) => Minutes::whole(minutes).map_err(|e| table.error_at("minutes", e)),
        (None, Some(seconds)) => Minutes::of_seconds(seconds).map_err(|e| table.error_at("seconds", e)),
        (None, None) => Err(table.missing("minutes")),
        (Some(_), Some(_)) => {
            Err(table.error_at("seconds", "this step has `minutes` too; give its time in one of the two"))
        }
    }
}
