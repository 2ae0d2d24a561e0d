//! Items: the words that a repetition asks for, such as a phrase to say or a face to make. [`read`] reads a set of them
//! from its own TOML file.

mod read;

use serde::{Deserialize, Serialize};

use crate::text::{LanguageTag, Line};

pub(crate) use read::has_one_stress;
pub use read::read;

/// The name of an item set's file without its ending, such as `everyday-short`; a translation's ends in its language.
pub type ItemSetId = Line<60>;

/// What the items of a set are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum ItemKind {
    /// Something people say in daily life.
    Phrase,
    /// A question, and the statement that answers it.
    Pair,
    /// A sentence with one word to stress, between asterisks.
    Stress,
    /// The lines of one short text, each said on one breath.
    Reading,
    /// A mood, to be shown by the face.
    Face,
    /// A mood and words to say with it.
    Mood,
    /// A kind of thing, to name things of.
    Topic,
    /// A letter, to find words with.
    Letter,
    /// The beginning of a saying, and its end.
    Saying,
    /// Something to think about, and the answer.
    Riddle,
}

pub(crate) const KINDS: [(&str, ItemKind); 10] = [
    ("phrase", ItemKind::Phrase),
    ("pair", ItemKind::Pair),
    ("stress", ItemKind::Stress),
    ("reading", ItemKind::Reading),
    ("face", ItemKind::Face),
    ("mood", ItemKind::Mood),
    ("topic", ItemKind::Topic),
    ("letter", ItemKind::Letter),
    ("saying", ItemKind::Saying),
    ("riddle", ItemKind::Riddle),
];

impl ItemKind {
    /// Whether each item has a second part.
    #[must_use]
    pub fn has_two_parts(self) -> bool {
        matches!(self, Self::Pair | Self::Mood | Self::Saying | Self::Riddle)
    }

    /// Whether the items of a set belong together, in their order.
    #[must_use]
    pub fn is_in_order(self) -> bool {
        self == Self::Reading
    }
}

/// The words of an item.
pub type Words = Line<120>;

/// What one repetition asks for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Item {
    /// The words, shown large.
    pub say: Words,
    /// The second part: the answer to a question, the words for a mood, the end of a saying.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub then: Option<Words>,
    /// The pose that the picture shows, where it is not the drill's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub pose: Option<Line<40>>,
}

/// A part of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Part {
    /// The words.
    Say,
    /// The second part.
    Then,
}

impl Item {
    /// The words of a part; those of an item without a second part are the same for both.
    #[must_use]
    pub fn part(&self, part: Part) -> &Words {
        match part {
            Part::Say => &self.say,
            Part::Then => self.then.as_ref().unwrap_or(&self.say),
        }
    }
}

/// Items of one kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ItemSet {
    /// Its id: the name of its file without the ending.
    pub id: ItemSetId,
    /// Its name in the planner.
    pub name: Line<60>,
    /// What its items are.
    pub kind: ItemKind,
    /// The language of its items, a BCP 47 tag.
    pub language: LanguageTag,
    /// At least one.
    pub items: Vec<Item>,
}

impl ItemSet {
    /// The id of the set that this one translates, if its name says so.
    #[must_use]
    pub fn translates(&self) -> Option<&str> {
        self.id.as_str().split_once('.').map(|(of, _)| of)
    }

    /// The items with these numbers, from 1, in this order; all of them where no number is given.
    ///
    /// # Errors
    /// A sentence naming the first number that no item has.
    pub fn only(&self, numbers: &[u32]) -> Result<Vec<Item>, String> {
        if numbers.is_empty() {
            return Ok(self.items.clone());
        }
        let of = |number: &u32| {
            let at = (*number as usize).checked_sub(1).and_then(|index| self.items.get(index));
            at.cloned().ok_or_else(|| {
                format!("`{}` has no item {number}; its items are 1 to {}", self.id, self.items.len())
            })
        };
        numbers.iter().map(of).collect()
    }

    /// The pairs of sentences by which `other` says the same as this set.
    ///
    /// # Errors
    /// A sentence saying why `other` is no translation of it.
    pub fn said_by<'a>(&'a self, other: &'a Self) -> Result<Vec<(&'a str, &'a str)>, String> {
        if self.kind != other.kind || self.items.len() != other.items.len() {
            return Err(format!(
                "`{}` has {} items; its translation `{}` needs as many, of the same kind, and has {}",
                self.id,
                self.items.len(),
                other.id,
                other.items.len()
            ));
        }
        let pairs = self.items.iter().zip(&other.items).flat_map(|(own, its)| {
            let then = own.then.as_ref().zip(its.then.as_ref());
            std::iter::once((&own.say, &its.say)).chain(then)
        });
        Ok(pairs.map(|(own, its)| (own.as_str(), its.as_str())).collect())
    }
}
