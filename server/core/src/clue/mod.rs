//! Clue rounds: themes with clues, answers and hints. Read from one TOML file each by [`read`].
//!
//! A round may be translated: the file `toolbox.es.toml` holds the round of `toolbox.toml` in Spanish, clue by
//! clue. The translator writes new clues instead of translating word for word, since letters and sounds differ in
//! each language.
//!
//! The server keeps the words of a round until the facilitator shows them; [`crate::live`] decides what a screen
//! may see.

mod hear;
mod hints;
mod overlay;
mod read;
pub mod written;

use serde::{Deserialize, Serialize};

use crate::drill::Reference;
use crate::text::{LanguageTag, Line};

pub use hear::Verdict;
pub use overlay::overlay;
pub use read::read;

/// The name of a clue set's file without its ending. A translation's is the round's name, a dot and the language,
/// such as `toolbox.es`.
pub type ClueSetId = Line<60>;
/// The theme of a round.
pub type Theme = Line<60>;
/// The words of a clue.
pub type ClueWords = Line<200>;
/// An answer to a clue.
pub type Answer = Line<60>;
/// A second clue from another side.
pub type SecondClue = Line<110>;
/// Why an answer is right.
pub type Because = Line<120>;
/// Where a fact in a clue comes from.
pub type FactSource = Line<300>;

/// What people are asked to do in a round.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Game {
    /// Find the word.
    #[default]
    Clue,
    /// Finish a saying.
    Saying,
    /// Say which one does not fit, and why.
    OddOneOut,
    /// Say what goes with it.
    GoesTogether,
    /// Name as many words of a kind as come to mind; nobody is scored.
    Category,
    /// Find the word from where it comes.
    Origin,
}

impl Game {
    /// Whether each answer is one word to find, so that a round has it once.
    pub(crate) fn finds_words(self) -> bool {
        matches!(self, Self::Clue | Self::Origin)
    }
}

/// One clue with its answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Clue {
    /// The clue itself.
    pub clue: ClueWords,
    /// The answer; in a round of [`Game::Category`], some examples.
    pub answer: Answer,
    /// Other answers that are just as right; in a round of [`Game::Category`], words of the kind.
    pub accept: Vec<Answer>,
    /// The wrong word in the choice of two; never right.
    pub other: Option<Answer>,
    /// Why this is the answer; shown with it.
    pub because: Option<Because>,
    /// Hints in the order in which they are given.
    pub hints: Vec<Line<120>>,
    /// How common the answer is, from 1 (everyday) to 3 (rare); `None` where a level means nothing.
    pub level: Option<u32>,
    /// Where a fact in the clue comes from.
    pub source: Option<FactSource>,
}

/// A round of clues on one theme.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClueSet {
    /// Its id: the name of its file without the ending.
    pub id: ClueSetId,
    /// The theme, shown to everyone.
    pub theme: Theme,
    /// What people are asked to do.
    pub game: Game,
    /// The language of its words.
    pub language: LanguageTag,
    /// How long the countdown of each clue runs, in milliseconds; `None` where nobody is timed.
    pub counter_ms: Option<i64>,
    /// The clues in order; at least one.
    pub clues: Vec<Clue>,
    /// Where the set comes from, if its author did not write it.
    pub sources: Vec<Reference>,
    /// Its translations, clue by clue.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<ClueSet>,
}

impl Clue {
    /// The hints to show here while another language shows `shown` of its `of` hints: the same number, except that
    /// the last one comes only with the last one there.
    #[must_use]
    pub fn hints_at(&self, shown: usize, of: usize) -> &[Line<120>] {
        let all = self.hints.len();
        let many = if shown > 0 && shown >= of { all } else { shown.min(all.saturating_sub(1)) };
        self.hints.get(..many).unwrap_or(&self.hints)
    }

    /// What the hints that are `shown` say about the letters of the answer: a place for each letter, `_` where it is
    /// not known yet, with a space between words; `None` until their number is known.
    #[must_use]
    pub fn letters_known(&self, shown: &[Line<120>], language: &LanguageTag) -> Option<Line<60>> {
        let phrases = hints::phrases(language.as_str())?;
        hints::letters_known(self.answer.as_str(), shown, phrases)?.try_into().ok()
    }
}

impl ClueSet {
    /// Only the clues with these numbers (from 1), in that order; numbers without a clue are skipped.
    #[must_use]
    pub fn only(&self, numbers: &[u32]) -> Self {
        let pick = |n: &u32| self.clues.get((*n as usize).checked_sub(1)?).cloned();
        let also = self.also.iter().map(|other| other.only(numbers)).collect();
        Self { clues: numbers.iter().filter_map(pick).collect(), also, ..self.clone() }
    }

    /// The round in the language of `tag`; in its own language where it has no such translation.
    #[must_use]
    pub fn in_language(&self, tag: Option<&LanguageTag>) -> &Self {
        self.also.iter().find(|other| Some(&other.language) == tag).unwrap_or(self)
    }

    /// The id of the round that this one translates; `None` if it is no translation.
    #[must_use]
    pub fn translates(&self) -> Option<&str> {
        self.id.as_str().split_once('.').map(|(id, _)| id)
    }

    /// Adds `other` as a translation, replacing an earlier one in the same language.
    ///
    /// # Errors
    /// A sentence saying why it does not fit this round.
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
            return Err(format!("`{id}` has {has} clues, but `{of}` has {needs}; both need the same clues"));
        }
        self.also.retain(|earlier| earlier.language != other.language);
        self.also.push(other);
        Ok(())
    }
}
