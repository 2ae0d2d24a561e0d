//! What differs in a region: the same round with some of its clues replaced.

use crate::clue::hints;
use crate::clue::read::{no_answer_twice, read_clue};
use crate::clue::{Clue, ClueSet};
use crate::file::{FileError, Source, Table};

/// The round `set` with the clues that a region's file replaces, each named by its `number`.
///
/// # Errors
/// The first mistake, with its line.
pub fn overlay(set: &ClueSet, source: Source<'_>) -> Result<ClueSet, FileError> {
    let parsed = source.parse()?;
    let table = Table::new(source, "region's clue set", parsed.span(), parsed.get_ref());
    let theme = table.line("theme")?.unwrap_or_else(|| set.theme.clone());
    let phrases = hints::phrases(set.language.as_str());
    let mut clues: Vec<Clue> = set.clues.clone();
    let entries = table.tables("clue", "clue")?;
    for entry in &entries {
        let number = entry.count("number")?.ok_or_else(|| entry.missing("number"))?;
        let at = (number as usize).checked_sub(1).and_then(|index| clues.get_mut(index));
        let Some(clue) = at else {
            let many = set.clues.len();
            return Err(entry.error_at(
                "number",
                format!("`{}` has no clue {number}; its clues are 1 to {many}", set.id),
            ));
        };
        *clue = read_clue(entry, set.game, phrases)?;
    }
    if let Some(at) = no_answer_twice(&clues, set.game) {
        return Err(
            table.error(format!("the answer `{}` would come twice in `{}`", clues[at].answer, set.id))
        );
    }
    table.finish()?;
    Ok(ClueSet { theme, clues, ..set.clone() })
}
