//! Clue rounds: themes with clues, answers and hints, read from TOML.
//!
//! The words of a round stay on the server until the facilitator shows them; what a screen may
//! see is decided in [`crate::live`].

use serde::{Deserialize, Serialize};

use crate::file::{FileError, Source, Table};
use crate::text::Line;

/// The name of a clue set's file without its ending.
pub type ClueSetId = Line<60>;

/// One clue with its answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Clue {
    /// The clue itself.
    pub clue: Line<200>,
    /// The word looked for.
    pub answer: Line<60>,
    /// Hints in the order in which they are given.
    pub hints: Vec<Line<120>>,
}

/// A round of clues on one theme.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClueSet {
    /// Its id: the file's name.
    pub id: ClueSetId,
    /// The theme, shown to everyone.
    pub theme: Line<60>,
    /// The clues in order; at least one.
    pub clues: Vec<Clue>,
}

/// Reads one clue set; `id` is the file's name without its ending.
///
/// A clue without hints of its own gets two: the number of letters and the first letter
/// (common practice, no source).
///
/// # Errors
/// The first mistake, with its line.
pub fn read(id: &str, source: Source<'_>) -> Result<ClueSet, FileError> {
    let parsed = source.parse()?;
    let table = Table::new(source, "clue set", parsed.span(), parsed.get_ref());
    let id = ClueSetId::try_from(id).map_err(|e| table.error(format!("the file's name: {e}")))?;
    let mut clues = Vec::new();
    for entry in table.tables("clue", "clue")? {
        let clue = Clue {
            clue: entry.need_line("text")?,
            answer: entry.need_line("answer")?,
            hints: entry.lines("hints")?,
        };
        entry.finish()?;
        clues.push(if clue.hints.is_empty() { with_usual_hints(clue) } else { clue });
    }
    if clues.is_empty() {
        return Err(table.error("this clue set needs at least one [[clue]]"));
    }
    let set = ClueSet { id, theme: table.need_line("theme")?, clues };
    table.finish()?;
    Ok(set)
}

fn with_usual_hints(clue: Clue) -> Clue {
    let letters = clue.answer.as_str().chars().filter(|c| c.is_alphabetic()).count();
    let first = clue.answer.as_str().chars().next().map(|c| c.to_uppercase().to_string());
    let texts = [Some(format!("{letters} letters")), first.map(|first| format!("It starts with {first}"))];
    let hints = texts.into_iter().flatten().filter_map(|text| Line::try_from(text).ok()).collect();
    Clue { hints, ..clue }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clue_without_hints_gets_the_usual_two() {
        let text = "theme = \"Kitchen\"\n[[clue]]\ntext = \"It boils\"\nanswer = \"kettle\"\n";
        let set = read("kitchen", Source::new("kitchen.toml", text)).expect("a clue set");
        let hints: Vec<_> = set.clues[0].hints.iter().map(Line::as_str).collect();
        assert_eq!(hints, ["6 letters", "It starts with K"]);
    }

    #[test]
    fn a_missing_answer_is_reported_with_its_line() {
        let text = "theme = \"Kitchen\"\n\n[[clue]]\ntext = \"It boils\"\n";
        let error = read("kitchen", Source::new("kitchen.toml", text)).expect_err("no answer");
        assert_eq!(error.to_string(), "kitchen.toml:3: this clue needs `answer`");
    }
}
