//! Words that a group has not had lately: the clues of its rounds, and the items of its drills.

use std::cmp::Reverse;

use crate::clue::written::round_of;
use crate::clue::{ClueSet, ClueSetId};
use crate::drill::dose::DoseChange;
use crate::drill::{Drill, Each};
use crate::item::{ItemSet, Words};
use crate::library::Library;
use crate::plan::StepRequest;
use crate::plan::choice::ItemChoice;
use crate::plan::draft::{Draft, DraftStep};
use crate::plan::history::History;

impl Draft {
    /// This plan with clues and items that the group has not had lately.
    #[must_use]
    pub fn freshened(&self, library: &Library, history: &History, weeks: u32) -> Self {
        self.with_fresh_clues(library, history, weeks).with_fresh_items(library, history)
    }

    /// This plan with clues that the group has not had within `weeks`. A step keeps its own clues that are left
    /// and is filled up from its round. Where those are too few, it takes clues from the round of the same game
    /// that has the most left, if that has more. Where nothing is left anywhere, the step stays as it is.
    fn with_fresh_clues(&self, library: &Library, history: &History, weeks: u32) -> Self {
        let mut taken: Vec<(ClueSetId, u32)> = Vec::new();
        let steps = self.steps.iter().map(|step| {
            let StepRequest::Clues { set, only, minutes } = &step.what else { return step.clone() };
            let Ok(usual) = library.clue_set(set.as_str()) else { return step.clone() };
            let many = if only.is_empty() { usual.clues.len() } else { only.len() };
            let left = |set: &ClueSet| -> Vec<u32> {
                let is_free = |n: &u32| !taken.contains(&(set.id.clone(), *n));
                history.left(set, weeks).into_iter().filter(is_free).collect()
            };
            let free = left(usual);
            let kept = only.iter().filter(|n| free.contains(n));
            let more = free.iter().filter(|n| !only.contains(n));
            let own: Vec<u32> = kept.chain(more).copied().take(many).collect();
            // A round that somebody wrote may be about people of another group.
            let of_kind = library
                .clue_sets()
                .filter(|set| set.game == usual.game && round_of(set.id.as_str()).is_none());
            let fullest = of_kind.map(|set| (set, left(set))).max_by_key(|(_, left)| left.len());
            let (fresh, mut numbers) = match fullest {
                Some((other, left)) if own.len() < many && left.len() > own.len() => (other, left),
                _ => (usual, own),
            };
            if numbers.is_empty() {
                return step.clone();
            }
            numbers.truncate(many);
            taken.extend(numbers.iter().map(|n| (fresh.id.clone(), *n)));
            let is_whole = numbers.iter().copied().eq((1..).take(fresh.clues.len()));
            let only = if is_whole { Vec::new() } else { numbers };
            // A title that names another round's theme would mislead.
            let title = step.title.clone().filter(|_| fresh.id == usual.id);
            let what = StepRequest::Clues { set: fresh.id.clone(), only, minutes: *minutes };
            DraftStep { title, what, ..step.clone() }
        });
        let steps = steps.collect();
        Self { steps, ..self.clone() }
    }

    /// This plan with the items that the group had longest ago, or never. Words of the plan's own stay, and so does how
    /// many there are. Of items that belong together, the whole set is another one.
    fn with_fresh_items(&self, library: &Library, history: &History) -> Self {
        let mut taken: Vec<Words> = Vec::new();
        let steps = self.steps.iter().map(|step| {
            let StepRequest::Drill { drill: id, change, items } = &step.what else { return step.clone() };
            let Ok(drill) = library.drill(id.as_str()) else { return step.clone() };
            let Some(fresh) = fresh_items(drill, change, items.as_deref(), library, history, &taken) else {
                return step.clone();
            };
            let Ok(chosen) = ItemChoice::items(Some(&fresh), drill, library) else { return step.clone() };
            taken.extend(chosen.iter().map(|item| item.say.clone()));
            let what = StepRequest::Drill {
                drill: id.clone(),
                change: change.clone(),
                items: Some(Box::new(fresh)),
            };
            DraftStep { what, ..step.clone() }
        });
        let steps = steps.collect();
        Self { steps, ..self.clone() }
    }
}

fn fresh_items(
    drill: &Drill,
    change: &DoseChange,
    now: Option<&ItemChoice>,
    library: &Library,
    history: &History,
    taken: &[Words],
) -> Option<ItemChoice> {
    let uses = drill.items.as_ref()?;
    if now.is_some_and(|now| !now.words.is_empty()) {
        return None;
    }
    let set = now.and_then(|now| now.set.as_ref()).unwrap_or(&uses.set);
    let set = library.item_set(set.as_str()).ok()?;
    // What never came is fresher than what came long ago; what another step of the plan has comes last.
    let age = |say: &Words| if taken.contains(say) { -1 } else { history.item(say).unwrap_or(i64::MAX) };
    if set.kind.is_in_order() {
        let first = |set: &ItemSet| set.items.first().map_or(-1, |item| age(&item.say));
        let alike = library.item_sets().filter(|other| other.kind == set.kind);
        let set = alike.max_by_key(|other| (first(other), Reverse(other.id.clone())))?;
        return Some(ItemChoice { set: Some(set.id.clone()), ..ItemChoice::default() });
    }
    let dose = drill.dose.changed(change).ok()?;
    let many = match uses.each {
        Each::Rep => dose.reps.saturating_mul(dose.sets),
        Each::Set => dose.sets,
    };
    let mut numbers: Vec<(u32, i64)> =
        (1..).zip(&set.items).map(|(number, item)| (number, age(&item.say))).collect();
    numbers.sort_by_key(|(_, age)| Reverse(*age));
    numbers.truncate(usize::try_from(many).unwrap_or(usize::MAX));
    let only = numbers.into_iter().map(|(number, _)| number).collect();
    Some(ItemChoice { set: Some(set.id.clone()), only, words: Vec::new() })
}
