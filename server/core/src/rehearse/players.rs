//! The rehearsed people of one class: what they notice on the stage, and what they do about it when.

use std::collections::HashSet;

use crate::live::{Content, Stage, StagePhase, StepId, StepRef};
use crate::rehearse::{Act, Due, Moment, Rehearsed, acts};
use crate::time::EpochMs;

/// The rehearsed people of one class.
#[derive(Debug)]
pub struct Players {
    people: Vec<Rehearsed>,
    seed: u64,
    plans: Vec<(usize, EpochMs, Due, Act)>,
    opened: bool,
    step: Option<StepId>,
    entered: HashSet<StepId>,
    clue: Option<(StepId, u32)>,
    effort: Option<u32>,
}

impl Players {
    /// People who have noticed nothing yet.
    #[must_use]
    pub fn new(people: Vec<Rehearsed>, seed: u64) -> Self {
        Self {
            people,
            seed,
            plans: Vec::new(),
            opened: false,
            step: None,
            entered: HashSet::new(),
            clue: None,
            effort: None,
        }
    }

    /// The person with this index.
    #[must_use]
    pub fn person(&self, index: usize) -> Option<&Rehearsed> {
        self.people.get(index)
    }

    /// The step that they notice as new, if there is one; its content has to be given to [`Self::enter`].
    #[must_use]
    pub fn new_step(&mut self, stage: &Stage) -> Option<StepRef> {
        let last = stage.moves.last().filter(|last| Some(last.step) != self.step)?;
        self.step = Some(last.step);
        self.entered.insert(last.step);
        Some(StepRef { id: last.step, rev: last.rev })
    }

    /// They see what the new step is.
    pub fn enter(&mut self, content: &Content, stage: &Stage, now: EpochMs) {
        let entered = u32::try_from(self.entered.len()).unwrap_or(u32::MAX);
        self.plan(now, Moment::Step { content, entered, of: stage.of });
    }

    /// They look at the stage. Returns what is due, with the indexes of those who do it.
    pub fn look(&mut self, stage: &Stage, now: EpochMs) -> Vec<(usize, Act)> {
        if !self.opened && stage.phase != StagePhase::Closed {
            self.opened = true;
            self.plan(now, Moment::Opened);
        }
        let clue = stage.clue.as_ref().zip(self.step).map(|(clue, step)| (step, clue.number));
        if clue != self.clue {
            self.clue = clue;
            if let Some((step, number)) = clue {
                self.plan(now, Moment::Clue { step, number });
            }
        }
        if stage.effort != self.effort {
            self.effort = stage.effort;
            if let Some(number) = stage.effort {
                self.plan(now, Moment::Effort { number });
            }
        }
        self.due(stage, now)
    }

    fn plan(&mut self, now: EpochMs, moment: Moment<'_>) {
        for (index, person) in self.people.iter().enumerate() {
            for (due, act) in acts(person, index as u64, self.seed, moment) {
                self.plans.push((index, now, due, act));
            }
        }
    }

    fn due(&mut self, stage: &Stage, now: EpochMs) -> Vec<(usize, Act)> {
        let position = stage.moves.iter().rfind(|m| m.at <= now).map(|m| (m.step, m.offset_at(now)));
        let present = stage.moves.last().map(|m| m.step);
        let is_due = |since: EpochMs, due: Due| match due {
            Due::After(ms) => now.since(since) >= ms,
            Due::At(step, ms) => position.is_some_and(|(at, offset_ms)| at == step && offset_ms >= ms),
        };
        let (due, later): (Vec<_>, Vec<_>) =
            std::mem::take(&mut self.plans).into_iter().partition(|(_, since, due, _)| is_due(*since, *due));
        self.plans = later;
        self.plans.retain(|(_, _, due, _)| match due {
            Due::After(_) => true,
            Due::At(step, _) => present.is_none_or(|present| present == *step),
        });
        due.into_iter().map(|(index, _, _, act)| (index, act)).collect()
    }
}
