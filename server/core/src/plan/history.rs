//! What a group has had, so that clues are not repeated too soon and the planner can say when a drill last came.

use std::collections::{BTreeMap, BTreeSet};

use crate::clue::ClueSet;
use crate::item::Words;
use crate::plan::{Plan, Step};
use crate::text::Line;
use crate::time::day::Date;

/// A clue, named by its answer, whichever round it is in: a group that had `piano` last week has had it.
type ClueKey = Line<60>;

/// The drills, clues and items of one day.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Had {
    drills: BTreeSet<Line<60>>,
    clues: BTreeSet<ClueKey>,
    items: BTreeSet<Words>,
}

impl Had {
    /// Adds the drill of a step and the items that its repetitions are done with; does nothing for another step.
    pub fn add_drill(&mut self, step: &Step) {
        self.drills.extend(step.drill().map(|drill| drill.id.clone()));
        self.items.extend(step.timeline().spans.into_iter().filter_map(|span| span.say));
    }

    /// Adds a clue of a round by its number, from 1; does nothing where no clue has that number.
    pub fn add_clue(&mut self, set: &ClueSet, number: u32) {
        let clue = (number as usize).checked_sub(1).and_then(|index| set.clues.get(index));
        self.clues.extend(clue.map(|clue| clue.answer.clone()));
    }

    /// What a plan would show.
    #[must_use]
    pub fn in_plan(plan: &Plan) -> Self {
        let mut had = Self::default();
        plan.steps.iter().for_each(|step| had.add_drill(step));
        let sets = plan.steps.iter().filter_map(Step::clues);
        let clues = sets.flat_map(|set| set.clues.iter().map(|clue| clue.answer.clone()));
        Self { clues: clues.collect(), ..had }
    }
}

/// The last day on which each drill, clue and item came, up to a given day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct History {
    day: Date,
    drills: BTreeMap<Line<60>, Date>,
    clues: BTreeMap<ClueKey, Date>,
    items: BTreeMap<Words, Date>,
}

impl History {
    /// What the group had before `day`.
    #[must_use]
    pub fn before(day: Date, had: impl IntoIterator<Item = (Date, Had)>) -> Self {
        let mut history =
            Self { day, drills: BTreeMap::new(), clues: BTreeMap::new(), items: BTreeMap::new() };
        for (on, had) in had.into_iter().filter(|(on, _)| *on < day) {
            for drill in had.drills {
                keep_later(history.drills.entry(drill).or_insert(on), on);
            }
            for clue in had.clues {
                keep_later(history.clues.entry(clue).or_insert(on), on);
            }
            for item in had.items {
                keep_later(history.items.entry(item).or_insert(on), on);
            }
        }
        history
    }

    /// For each drill, how many days before the given day it last came, in the order of their ids.
    pub fn drills(&self) -> impl Iterator<Item = (&Line<60>, i64)> {
        self.drills.iter().map(|(drill, on)| (drill, self.day.days_since(*on)))
    }

    /// How many days before the given day a clue last came; `None` if it never did.
    #[must_use]
    pub fn clue(&self, answer: &Line<60>) -> Option<i64> {
        let on = self.clues.get(answer)?;
        Some(self.day.days_since(*on))
    }

    /// How many days before the given day an item last came, by its words; `None` if it never did.
    #[must_use]
    pub fn item(&self, say: &Words) -> Option<i64> {
        self.items.get(say).map(|on| self.day.days_since(*on))
    }

    /// The numbers (from 1) of a round's clues that did not come within the last `weeks`.
    #[must_use]
    pub fn left(&self, set: &ClueSet, weeks: u32) -> Vec<u32> {
        let numbers = (1..).zip(&set.clues);
        let left = numbers.filter(|(_, clue)| !self.is_within(&clue.answer, weeks));
        left.map(|(number, _)| number).collect()
    }

    /// Whether a clue came within the last `weeks`.
    #[must_use]
    pub fn is_within(&self, answer: &Line<60>, weeks: u32) -> bool {
        self.clue(answer).is_some_and(|days| days < i64::from(weeks) * 7)
    }
}

fn keep_later(last: &mut Date, on: Date) {
    *last = on.max(*last);
}
