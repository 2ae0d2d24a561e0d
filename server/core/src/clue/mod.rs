//! Clue rounds: themes with clues, answers and hints. Read from one TOML file each by [`read`].
//!
//! The words of a round stay on the server until the facilitator shows them; what a screen may
//! see is decided in [`crate::live`].

mod hear;
mod hints;
mod read;

use serde::{Deserialize, Serialize};

use crate::drill::Reference;
use crate::text::Line;

pub use hear::Verdict;
pub use read::read;

/// The name of a clue set's file without its ending.
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
    /// Its language, a BCP 47 tag such as `en`.
    pub language: Line<35>,
    /// How long a counter runs for each clue; `None` where nobody is timed.
    pub counter_ms: Option<i64>,
    /// The clues in order; at least one.
    pub clues: Vec<Clue>,
    /// Where the set comes from, if not from its author.
    pub sources: Vec<Reference>,
}

impl ClueSet {
    /// Only the clues with these numbers (from 1), in that order; numbers that are not there are left
    /// out.
    #[must_use]
    pub fn only(&self, numbers: &[u32]) -> Self {
        let pick = |n: &u32| self.clues.get((*n as usize).checked_sub(1)?).cloned();
        Self { clues: numbers.iter().filter_map(pick).collect(), ..self.clone() }
    }
}
