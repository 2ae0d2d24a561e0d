//! A round that somebody writes in the planner. It may stay unfinished for as long as they like, and can be played
//! once nothing is missing from it.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::clue::hear::is_one_answer;
use crate::clue::hints::{self, Parts};
use crate::clue::read::{MOST_CLUES, is_beginning};
use crate::clue::{
    Answer, Because, Clue, ClueSet, ClueSetId, ClueWords, FactSource, Game, SecondClue, Theme, Verdict,
};
use crate::drill::dose::{PHASE_MS, length};
use crate::text::{LanguageTag, Line};
use crate::versioned::Document;

/// A round as it is written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct WrittenRound {
    /// The theme, shown to everyone.
    pub theme: Theme,
    /// What people are asked to do.
    pub game: Game,
    /// The language of its words.
    pub language: LanguageTag,
    /// How long the countdown of each clue runs, in milliseconds; absent where nobody is timed.
    pub counter_ms: Option<i64>,
    /// The clues in order.
    pub clues: Vec<WrittenClue>,
}

/// A clue as it is written; an empty text is one that is not there.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct WrittenClue {
    /// The clue itself; at most 200 characters.
    pub clue: String,
    /// The answer, or examples of a kind; at most 60 characters.
    pub answer: String,
    /// Other answers that are just as right, or words of the kind; at most 60 characters each.
    pub accept: Vec<String>,
    /// The wrong word in the choice of two; at most 60 characters.
    pub other: String,
    /// A second clue from another side, which is the first hint; at most 110 characters.
    pub more: String,
    /// The first part of the answer, for a hint; at most 60 characters.
    pub starts: String,
    /// Why this is the answer; at most 120 characters.
    pub because: String,
    /// Hints in place of the usual ones; at most 120 characters each.
    pub hints: Vec<String>,
    /// How common the answer is, from 1 (everyday) to 3 (rare).
    pub level: Option<u32>,
    /// Where a fact in the clue comes from; at most 300 characters.
    pub source: String,
}

/// What keeps a round from being played.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Unfinished {
    /// The number of the clue, from 1; absent where it is the round as a whole.
    pub clue: Option<u32>,
    /// What is missing or wrong.
    pub what: Flaw,
}

/// What is missing from a round, or wrong in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Flaw {
    /// The round has no clue.
    NoClues,
    /// The clue has no words.
    NoClue,
    /// The clue has no answer.
    NoAnswer,
    /// The first part is not how the answer begins, or is all of it, or a single letter.
    NotTheBeginning,
    /// The wrong word of the choice of two is a right answer.
    ChoiceIsRight,
    /// An earlier clue has the same answer.
    SameAnswer {
        /// The number of that clue, from 1.
        as_clue: u32,
    },
    /// There are no usual hints in the round's language, so the clue needs its own.
    NoHints,
}

/// Most other answers to a clue.
const MOST_ACCEPTED: usize = 200;
/// How the ids of the sets that are made from written rounds begin.
const OWN: &str = "own-";

impl Document for WrittenRound {
    const KIND: &'static str = "round";

    fn check(&self) -> Result<(), String> {
        if let Some(counter_ms) = self.counter_ms {
            length("the countdown", counter_ms, PHASE_MS).map_err(|e| e.to_string())?;
        }
        if self.clues.len() > MOST_CLUES {
            return Err(format!(
                "the round has {} clues; at most {MOST_CLUES} are allowed",
                self.clues.len()
            ));
        }
        let wrong = (1..).zip(&self.clues).find_map(|(number, clue)| Some((number, clue.check().err()?)));
        wrong.map_or(Ok(()), |(number, why)| Err(format!("clue {number}: {why}")))
    }
}

impl WrittenRound {
    /// A round of the library, to be changed; its translations are left out.
    #[must_use]
    pub fn of(set: &ClueSet) -> Self {
        let clues = set.clues.iter().map(|clue| WrittenClue::of(clue, set.game, &set.language)).collect();
        Self {
            theme: set.theme.clone(),
            game: set.game,
            language: set.language.clone(),
            counter_ms: set.counter_ms,
            clues,
        }
    }

    /// What keeps it from being played, in the order of its clues; empty when nothing does.
    #[must_use]
    pub fn unfinished(&self) -> Vec<Unfinished> {
        if self.clues.is_empty() {
            return vec![Unfinished { clue: None, what: Flaw::NoClues }];
        }
        let made = self.made();
        let flaw = |at: usize| match &made[at] {
            Err(flaw) => Some(*flaw),
            Ok(clue) => {
                let is_same = |other: &&Result<Clue, Flaw>| {
                    other
                        .as_ref()
                        .is_ok_and(|other| is_one_answer(other.answer.as_str(), clue.answer.as_str()))
                };
                let earlier = (1..).zip(&made[..at]).find(|(_, other)| is_same(other));
                earlier.filter(|_| self.game.finds_words()).map(|(as_clue, _)| Flaw::SameAnswer { as_clue })
            }
        };
        let numbered = (1..).zip(0..made.len());
        numbered.filter_map(|(number, at)| Some(Unfinished { clue: Some(number), what: flaw(at)? })).collect()
    }

    /// The set to play, named after the id under which the round is kept.
    ///
    /// # Errors
    /// A sentence for the first thing that is missing or wrong.
    pub fn set(&self, id: Uuid) -> Result<ClueSet, String> {
        if let Some(first) = self.unfinished().first() {
            return Err(format!("the round `{}` is not finished: {first}", self.theme));
        }
        Ok(self.made_of(id, self.made().into_iter().flatten()))
    }

    /// What each of `said` is worth as an answer to the clue at the same place; `None` for a clue without words or
    /// answer, and where nothing was said.
    #[must_use]
    pub fn hear(&self, said: &[String]) -> Vec<Option<Verdict>> {
        let made = self.made();
        let set = self.made_of(Uuid::nil(), made.iter().flatten().cloned());
        let mut number = 0;
        let verdicts = made.iter().enumerate().map(|(at, clue)| {
            number += u32::from(clue.is_ok());
            let said = said.get(at).filter(|said| clue.is_ok() && !said.trim().is_empty())?;
            Some(set.hear(number, said))
        });
        verdicts.collect()
    }

    /// The hints of each clue in the order in which they are given; none for a clue that is not finished.
    #[must_use]
    pub fn hints(&self) -> Vec<Vec<String>> {
        let hints = |made: Result<Clue, Flaw>| {
            let hints = made.map(|clue| clue.hints).unwrap_or_default();
            hints.iter().map(ToString::to_string).collect()
        };
        self.made().into_iter().map(hints).collect()
    }

    /// Each clue as it would be played, or what it lacks.
    fn made(&self) -> Vec<Result<Clue, Flaw>> {
        self.clues.iter().map(|clue| clue.clue(self.game, &self.language)).collect()
    }

    fn made_of(&self, id: Uuid, clues: impl Iterator<Item = Clue>) -> ClueSet {
        ClueSet {
            id: set_id(id),
            theme: self.theme.clone(),
            game: self.game,
            language: self.language.clone(),
            counter_ms: self.counter_ms,
            clues: clues.collect(),
            sources: Vec::new(),
            also: Vec::new(),
        }
    }
}

/// The id of the set that is made from the written round with this id.
#[must_use]
pub fn set_id(round: Uuid) -> ClueSetId {
    let id = ClueSetId::try_from(format!("{OWN}{round}"));
    id.unwrap_or_else(|_| unreachable!("forty visible characters are a set's id"))
}

/// The id of the written round from which the set with this id is made; `None` for a set that comes from a file.
#[must_use]
pub fn round_of(set: &str) -> Option<Uuid> {
    set.strip_prefix(OWN)?.parse().ok()
}

impl WrittenClue {
    fn of(clue: &Clue, game: Game, language: &LanguageTag) -> Self {
        let text = |line: Option<String>| line.unwrap_or_default();
        let parts = hints::phrases(language.as_str()).and_then(|phrases| hints::parts(game, clue, phrases));
        let own_hints = || clue.hints.iter().map(ToString::to_string).collect();
        let hints = if parts.is_some() { Vec::new() } else { own_hints() };
        let Parts { more, starts } = parts.unwrap_or_default();
        Self {
            clue: clue.clue.to_string(),
            answer: clue.answer.to_string(),
            accept: clue.accept.iter().map(ToString::to_string).collect(),
            other: text(clue.other.as_ref().map(ToString::to_string)),
            more: text(more),
            starts: text(starts),
            because: text(clue.because.as_ref().map(ToString::to_string)),
            hints,
            level: clue.level,
            source: text(clue.source.as_ref().map(ToString::to_string)),
        }
    }

    /// Checks what the clue has so far.
    fn check(&self) -> Result<(), String> {
        fits::<{ ClueWords::LIMIT }>("the clue", &self.clue)?;
        fits::<{ Answer::LIMIT }>("the answer", &self.answer)?;
        fits::<{ Answer::LIMIT }>("the wrong word", &self.other)?;
        fits::<{ SecondClue::LIMIT }>("the second clue", &self.more)?;
        fits::<{ Answer::LIMIT }>("the first part", &self.starts)?;
        fits::<{ Because::LIMIT }>("the reason", &self.because)?;
        fits::<{ FactSource::LIMIT }>("the source", &self.source)?;
        self.accept.iter().try_for_each(|word| fits::<{ Answer::LIMIT }>("another right answer", word))?;
        self.hints.iter().try_for_each(|hint| fits::<120>("a hint", hint))?;
        if self.accept.len() > MOST_ACCEPTED {
            return Err(format!("{} other answers; at most {MOST_ACCEPTED} are allowed", self.accept.len()));
        }
        match self.level {
            Some(level) if !(1..=3).contains(&level) => {
                Err(format!("the level is {level}; it must be 1 (everyday), 2 or 3 (rare)"))
            }
            _ => Ok(()),
        }
    }

    /// The clue to play.
    fn clue(&self, game: Game, language: &LanguageTag) -> Result<Clue, Flaw> {
        let clue = Clue {
            clue: line(&self.clue).ok_or(Flaw::NoClue)?,
            answer: line(&self.answer).ok_or(Flaw::NoAnswer)?,
            accept: self.accept.iter().filter_map(|word| line(word)).collect(),
            other: line(&self.other),
            because: line(&self.because),
            hints: self.hints.iter().filter_map(|hint| line(hint)).collect(),
            level: self.level,
            source: line(&self.source),
        };
        // What another game asked for may still be there, and is not used in this one.
        let has_choice = !matches!(game, Game::Category | Game::OddOneOut);
        let is_right = |other: &Answer| clue.right().any(|right| is_one_answer(right, other.as_str()));
        if has_choice && clue.other.as_ref().is_some_and(is_right) {
            return Err(Flaw::ChoiceIsRight);
        }
        let starts = Some(self.starts.trim()).filter(|starts| game.finds_words() && !starts.is_empty());
        if starts.is_some_and(|starts| !is_beginning(starts, clue.answer.as_str())) {
            return Err(Flaw::NotTheBeginning);
        }
        if !clue.hints.is_empty() || game == Game::Category {
            return Ok(clue);
        }
        let phrases = hints::phrases(language.as_str()).ok_or(Flaw::NoHints)?;
        let more = Some(self.more.trim()).filter(|more| !more.is_empty());
        let ladder = hints::ladder(game, &clue, more, starts, phrases);
        Ok(Clue { hints: ladder, ..clue })
    }
}

fn line<const MAX: usize>(text: &str) -> Option<Line<MAX>> {
    Line::try_from(text).ok()
}

/// Whether a text that may still be empty can be a line.
fn fits<const MAX: usize>(what: &str, text: &str) -> Result<(), String> {
    if text.trim().is_empty() {
        return Ok(());
    }
    Line::<MAX>::try_from(text).map(drop).map_err(|e| format!("{what}: {e}"))
}

impl std::fmt::Display for Unfinished {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if let Some(number) = self.clue {
            write!(f, "clue {number} ")?;
        }
        match self.what {
            Flaw::NoClues => write!(f, "it needs at least one clue"),
            Flaw::NoClue => write!(f, "has no words"),
            Flaw::NoAnswer => write!(f, "has no answer"),
            Flaw::NotTheBeginning => {
                write!(
                    f,
                    "has a first part that is not how its answer begins; two letters or more, and not all of it"
                )
            }
            Flaw::ChoiceIsRight => write!(f, "has a right answer as the wrong word of its choice of two"),
            Flaw::SameAnswer { as_clue } => write!(f, "has the same answer as clue {as_clue}"),
            Flaw::NoHints => write!(f, "needs hints of its own in this language"),
        }
    }
}
