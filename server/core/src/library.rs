//! The library: drills, clue sets and item sets by id, passed to whatever needs to look one up.

use std::collections::BTreeMap;

use uuid::Uuid;

use crate::clue::written::{self, WrittenRound};
use crate::clue::{ClueSet, ClueSetId};
use crate::drill::{Drill, DrillId};
use crate::file::unknown;
use crate::item::{ItemSet, ItemSetId};
use crate::text::LanguageTag;

/// All drills, clue sets and item sets a server knows.
#[derive(Debug, Clone, Default)]
pub struct Library {
    drills: BTreeMap<DrillId, Drill>,
    clue_sets: BTreeMap<ClueSetId, ClueSet>,
    item_sets: BTreeMap<ItemSetId, ItemSet>,
    item_words: Vec<ItemWords>,
    /// Why a set that is being written cannot be played yet.
    unfinished: BTreeMap<ClueSetId, String>,
}

/// What a sentence of an item is in another language.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ItemWords {
    /// The language.
    pub language: LanguageTag,
    /// The sentence as the set has it.
    pub own: String,
    /// The sentence in that language.
    pub other: String,
}

impl Library {
    /// Adds a drill, replacing one with the same id.
    pub fn add_drill(&mut self, drill: Drill) {
        self.drills.insert(drill.id.clone(), drill);
    }

    /// Adds a clue set, replacing one with the same id and its translations; or adds a translation to its round.
    ///
    /// # Errors
    /// A sentence saying why a translation does not fit its round.
    pub fn add_clue_set(&mut self, set: ClueSet) -> Result<(), String> {
        let Some(of) = set.translates() else {
            self.clue_sets.insert(set.id.clone(), set);
            return Ok(());
        };
        match self.clue_sets.values_mut().find(|round| round.id.as_str() == of) {
            Some(round) => round.translate(set),
            None => Err(unknown("clue set", of, self.clue_sets.keys().map(ClueSetId::as_str))),
        }
    }

    /// Adds a round that was written in the planner; one that is not finished is only remembered with the reason.
    pub fn add_written(&mut self, id: Uuid, round: &WrittenRound) {
        match round.set(id) {
            Ok(set) => drop(self.clue_sets.insert(set.id.clone(), set)),
            Err(why) => drop(self.unfinished.insert(written::set_id(id), why)),
        }
    }

    /// A clue set in one of its languages, to be changed.
    ///
    /// # Errors
    /// A sentence that suggests the nearest id, or says which languages the set has.
    pub fn clue_set_in(&mut self, id: &str, language: &str) -> Result<&mut ClueSet, String> {
        let ids: Vec<ClueSetId> = self.clue_sets.keys().cloned().collect();
        let found = self.clue_sets.values_mut().find(|set| set.id.as_str() == id);
        let set = found.ok_or_else(|| unknown("clue set", id, ids.iter().map(ClueSetId::as_str)))?;
        if set.language.as_str() == language {
            return Ok(set);
        }
        let other = set.also.iter_mut().find(|other| other.language.as_str() == language);
        other.ok_or_else(|| format!("the clue set `{id}` is not there in `{language}`"))
    }

    /// Adds an item set, replacing one with the same id; or adds a translation to its set.
    ///
    /// # Errors
    /// A sentence saying why a translation does not fit its set.
    pub fn add_item_set(&mut self, set: ItemSet) -> Result<(), String> {
        let Some(of) = set.translates() else {
            self.item_sets.insert(set.id.clone(), set);
            return Ok(());
        };
        let own = self.item_set(of)?;
        let words = own.said_by(&set)?.into_iter().map(|(own, other)| ItemWords {
            language: set.language.clone(),
            own: own.to_owned(),
            other: other.to_owned(),
        });
        let words: Vec<_> = words.collect();
        self.item_words.extend(words);
        Ok(())
    }

    /// All item sets in the order of their ids.
    pub fn item_sets(&self) -> impl Iterator<Item = &ItemSet> {
        self.item_sets.values()
    }

    /// What items are in other languages.
    #[must_use]
    pub fn item_words(&self) -> &[ItemWords] {
        &self.item_words
    }

    /// The item set called `id`.
    ///
    /// # Errors
    /// A sentence that suggests the nearest id.
    pub fn item_set(&self, id: &str) -> Result<&ItemSet, String> {
        let found = self.item_sets.values().find(|s| s.id.as_str() == id);
        found.ok_or_else(|| unknown("item set", id, self.item_sets.keys().map(ItemSetId::as_str)))
    }

    /// All drills in the order of their ids.
    pub fn drills(&self) -> impl Iterator<Item = &Drill> {
        self.drills.values()
    }

    /// All clue sets in the order of their ids.
    pub fn clue_sets(&self) -> impl Iterator<Item = &ClueSet> {
        self.clue_sets.values()
    }

    /// The drill called `id`.
    ///
    /// # Errors
    /// A sentence that suggests the nearest id.
    pub fn drill(&self, id: &str) -> Result<&Drill, String> {
        let found = self.drills.values().find(|d| d.id.as_str() == id);
        found.ok_or_else(|| unknown("drill", id, self.drills.keys().map(DrillId::as_str)))
    }

    /// The clue set called `id`.
    ///
    /// # Errors
    /// A sentence that suggests the nearest id, or says what a round that was written still needs.
    pub fn clue_set(&self, id: &str) -> Result<&ClueSet, String> {
        let found = self.clue_sets.values().find(|s| s.id.as_str() == id);
        let why = || {
            if let Some((_, why)) = self.unfinished.iter().find(|(known, _)| known.as_str() == id) {
                return why.clone();
            }
            if written::round_of(id).is_some() {
                return "the round that was written for this step is not here; it may have been removed, or the plan comes from elsewhere".to_owned();
            }
            unknown("clue set", id, self.clue_sets.keys().map(ClueSetId::as_str))
        };
        found.ok_or_else(why)
    }
}
