//! Which items a step is done with.

use serde::{Deserialize, Serialize};

use crate::drill::Drill;
use crate::item::{Item, ItemKind, ItemSet, ItemSetId, Words, has_one_stress};
use crate::library::Library;
use crate::time::seconds;

/// Most words of one's own for a step.
pub const MOST_OWN: usize = 50;
/// The pace at which words are read or said (rate from memory).
const WORDS_A_MINUTE: usize = 140;

/// The items that somebody chose for a step, in place of its drill's usual ones: another set, some of a set, or words of
/// one's own.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ItemChoice {
    /// The set; the drill's usual one where absent.
    pub set: Option<ItemSetId>,
    /// The numbers of its items, from 1, in this order; all of them when empty.
    pub only: Vec<u32>,
    /// Words of one's own, in place of a set.
    pub words: Vec<Words>,
}

impl ItemChoice {
    /// The items of a step: those chosen, or else the drill's usual ones. A drill without items has none.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    pub fn items(choice: Option<&Self>, drill: &Drill, library: &Library) -> Result<Vec<Item>, String> {
        let Some(uses) = &drill.items else {
            return match choice {
                None => Ok(Vec::new()),
                Some(_) => Err(format!(
                    "`{}` is done without words; leave out `items`, `only` and `words`",
                    drill.id
                )),
            };
        };
        let usual = library.item_set(uses.set.as_str())?;
        let usual_choice = Self::default();
        let choice = choice.unwrap_or(&usual_choice);
        let items = if choice.words.is_empty() {
            let set = choice.set.as_ref().map_or(Ok(usual), |set| library.item_set(set.as_str()))?;
            if set.kind != usual.kind {
                return Err(wrong_kind(drill, set, usual.kind, library));
            }
            set.only(&choice.only)?
        } else {
            choice.own(usual.kind)?
        };
        match items.iter().find_map(|item| too_long(drill, item)) {
            Some(why) => Err(why),
            None => Ok(items),
        }
    }

    fn own(&self, kind: ItemKind) -> Result<Vec<Item>, String> {
        if self.set.is_some() || !self.only.is_empty() {
            return Err("`words` stand in place of a set; leave out `items` and `only`".to_owned());
        }
        if kind.has_two_parts() {
            return Err("each item of this drill has two parts; choose a set with `items`".to_owned());
        }
        if self.words.len() > MOST_OWN {
            return Err(format!("{} `words`; at most {MOST_OWN} are allowed", self.words.len()));
        }
        if let Some(word) = self.words.iter().find(|words| kind == ItemKind::Stress && !has_one_stress(words))
        {
            return Err(format!("`{word}` needs one word between asterisks, as in `I *never* said that.`"));
        }
        Ok(self.words.iter().map(|say| Item { say: say.clone(), then: None, pose: None }).collect())
    }
}

fn wrong_kind(drill: &Drill, set: &ItemSet, kind: ItemKind, library: &Library) -> String {
    let right: Vec<_> =
        library.item_sets().filter(|set| set.kind == kind).map(|set| set.id.as_str()).collect();
    format!("`{}` is of another kind than `{}` needs; right would be {}", set.id, drill.id, right.join(", "))
}

/// Why an item cannot be said in the time of a phase in which people say it or do it.
fn too_long(drill: &Drill, item: &Item) -> Option<String> {
    let said = drill.phases.iter().filter(|spec| spec.phase.needs_notice());
    said.filter_map(|spec| Some((spec, item.part(spec.item?)))).find_map(|(spec, words)| {
        let needs_s = (words.as_str().split_whitespace().count() * 60).div_ceil(WORDS_A_MINUTE);
        let has_ms = spec.length.clock_ms();
        let is_short = seconds(i64::try_from(needs_s).unwrap_or(i64::MAX / 1000)) > has_ms;
        is_short.then(|| {
            format!("`{words}` takes {needs_s} s to say; `{}` gives it {} s", drill.id, has_ms / 1000)
        })
    })
}
