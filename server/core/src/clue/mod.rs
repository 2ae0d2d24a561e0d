//! Clue rounds: themes with clues, answers and hints. Read from one TOML file each by [`read`].
//!
//! A round may have its words in other languages as well: a file `toolbox.es.toml` holds the round of
//! `toolbox.toml` in Spanish, clue by clue. Words are found anew there, not put into other words: what
//! begins with which letter is another matter in each language.
//!
//! The words of a round stay on the server until the facilitator shows them; what a screen may
//! see is decided in [`crate::live`].

mod hear;
mod hints;
mod read;

use serde::{Deserialize, Serialize};

use crate::drill::Reference;
use crate::text::{LanguageTag, Line};

pub use hear::Verdict;
pub use read::read;

/// The name of a clue set's file without its ending; that of a translation has a dot and its language behind
/// the round's.
pub type ClueSetId = Line<60>;

/// What is asked of people in a round.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Game {
    /// Find the word.
    #[default]
    Clue,
    /// Finish a saying.
    Saying,
    /// Which one does not fit, and why.
    OddOneOut,
    /// What goes with it.
    GoesTogether,
    /// Name as many of a kind as come to mind: every word counts, nobody is scored.
    Category,
}

/// One clue with its answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Clue {
    /// The clue itself.
    pub clue: Line<200>,
    /// The word looked for; some examples in a round of [`Game::Category`].
    pub answer: Line<60>,
    /// Other words that are as right.
    pub accept: Vec<Line<60>>,
    /// The other word of the choice of two, which is never right.
    pub other: Option<Line<60>>,
    /// Why, shown with the answer.
    pub because: Option<Line<120>>,
    /// Hints in the order in which they are given.
    pub hints: Vec<Line<120>>,
    /// How common the answer is: 1 (of every day) to 3 (rare); `None` where that says nothing.
    pub level: Option<u32>,
    /// Where a fact in the clue comes from.
    pub source: Option<Line<300>>,
}

/// A round of clues on one theme.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClueSet {
    /// Its id: the file's name.
    pub id: ClueSetId,
    /// The theme, shown to everyone.
    pub theme: Line<60>,
    /// What is asked.
    pub game: Game,
    /// Its language.
    pub language: LanguageTag,
    /// How long a counter runs for each clue; `None` where nobody is timed.
    pub counter_ms: Option<i64>,
    /// The clues in order; at least one.
    pub clues: Vec<Clue>,
    /// Where the set comes from, if not from its author.
    pub sources: Vec<Reference>,
    /// The same round in other languages, clue by clue.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<ClueSet>,
}

impl Clue {
    /// The hints to show where `shown` of `of` hints are shown in another language: as many, but the last
    /// only with the last.
    #[must_use]
    pub fn hints_at(&self, shown: usize, of: usize) -> &[Line<120>] {
        let all = self.hints.len();
        let many = if shown > 0 && shown >= of { all } else { shown.min(all.saturating_sub(1)) };
        self.hints.get(..many).unwrap_or(&self.hints)
    }
}

impl ClueSet {
    /// Only the clues with these numbers (from 1), in that order; numbers that are not there are left
    /// out.
    #[must_use]
    pub fn only(&self, numbers: &[u32]) -> Self {
        let pick = |n: &u32| self.clues.get((*n as usize).checked_sub(1)?).cloned();
        let also = self.also.iter().map(|other| other.only(numbers)).collect();
        Self { clues: numbers.iter().filter_map(pick).collect(), also, ..self.clone() }
    }

    /// The round in a language; in its own where it has no such translation.
    #[must_use]
    pub fn in_language(&self, tag: Option<&LanguageTag>) -> &Self {
        self.also.iter().find(|other| Some(&other.language) == tag).unwrap_or(self)
    }

    /// The id of the round that this is a translation of.
    #[must_use]
    pub fn translates(&self) -> Option<&str> {
        self.id.as_str().split_once('.').map(|(id, _)| id)
    }

    /// Takes `other` as the same round in another language, in place of an earlier one.
    ///
    /// # Errors
    /// A sentence saying why it cannot be.
    pub(crate) fn translate(&mut self, other: Self) -> Result<(), String> {
        let (id, of) = (&other.id, &self.id);
        if other.language == self.language {
            return Err(format!("`{id}` is in `{}`, and so is `{of}` itself", self.language));
        }
        if other.game != self.game {
            return Err(format!("`{id}` is another game than `{of}`; give it the same"));
        }
        if other.clues.len() != self.clues.len() {
            let (has, needs) = (other.clues.len(), self.clues.len());
            return Err(format!("`{id}` has {has} clues; `{of}` has {needs}, and each needs its like"));
        }
        self.also.retain(|earlier| earlier.language != other.language);
        self.also.push(other);
        Ok(())
    }
}
