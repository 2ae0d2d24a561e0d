//! Compiles the forms of a drill. Each is exactly as long as the drill itself, side by side and set by set, so that
//! whoever does another form begins and ends with the class.

use crate::drill::dose::{Dose, Hold};
use crate::drill::form::{DrillForm, FormPace};
use crate::drill::{Drill, Phase, PhaseSpec};
use crate::item::Item;
use crate::plan::timeline::{self, Compiler, Timeline};

/// A phase that would be shorter than this at the end of what a form has is left out, in milliseconds.
const LEAST_MS: i64 = 500;

/// The timeline of a form within a drill of this dose; `None` for a form without phases of its own.
#[must_use]
pub fn compile_form(drill: &Drill, dose: &Dose, items: &[Item], form: &DrillForm) -> Option<Timeline> {
    if form.phases.is_empty() {
        return None;
    }
    let mut compiler = Compiler::default();
    compiler.watch(drill, dose);
    let class = Class { drill, dose, items, form };
    for (index, side) in drill.sides.iter().enumerate() {
        compiler.turn_to(index, side, drill, dose);
        for set in 1..=dose.sets {
            compiler.set = set;
            match form.pace {
                FormPace::Class => class.with_each_rep(&mut compiler, index, set),
                FormPace::Own => class.at_own_pace(&mut compiler, index, set),
            }
            if set < dose.sets {
                compiler.rest(drill, dose.set_rest_ms);
            }
        }
    }
    Some(compiler.finish(timeline::ready_ms(drill)))
}

/// What the class does meanwhile.
struct Class<'a> {
    drill: &'a Drill,
    dose: &'a Dose,
    items: &'a [Item],
    form: &'a DrillForm,
}

impl Class<'_> {
    fn rep_ms(&self) -> i64 {
        timeline::rep_ms(self.drill, self.dose)
    }

    fn with_each_rep(&self, compiler: &mut Compiler, side: usize, set: u32) {
        for rep in 1..=self.dose.reps {
            compiler.rep = rep;
            let end_ms = compiler.at_ms + self.rep_ms();
            if self.form.reps.is_none_or(|most| rep <= most) {
                self.repetition(compiler, end_ms, (side, set, rep));
            }
            compiler.rest(self.drill, end_ms - compiler.at_ms);
            if rep < self.dose.reps {
                compiler.rest(self.drill, self.dose.rest_ms);
            }
        }
    }

    fn at_own_pace(&self, compiler: &mut Compiler, side: usize, set: u32) {
        let reps = i64::from(self.dose.reps);
        let end_ms = compiler.at_ms + reps * self.rep_ms() + (reps - 1) * self.dose.rest_ms;
        let takes_ms: i64 = self.form.phases.iter().map(|spec| self.length_of(spec).clock_ms()).sum();
        let fit = u32::try_from((end_ms - compiler.at_ms) / takes_ms.max(1)).unwrap_or(u32::MAX).max(1);
        for rep in 1..=self.form.reps.unwrap_or(fit).min(fit) {
            compiler.rep = rep;
            self.repetition(compiler, end_ms, (side, set, rep));
        }
        compiler.rest(self.drill, end_ms - compiler.at_ms);
    }

    /// One repetition of the form, cut off where the drill's own ends in a shorter dose than usual.
    fn repetition(&self, compiler: &mut Compiler, end_ms: i64, place: (usize, u32, u32)) {
        let item = timeline::item_of(self.drill, self.dose, self.items, place);
        for spec in &self.form.phases {
            let left_ms = end_ms - compiler.at_ms;
            let length = self.length_of(spec);
            if left_ms < LEAST_MS {
                return;
            }
            let length = if length.clock_ms() <= left_ms { length } else { Hold::Fixed { ms: left_ms } };
            let is_firm = spec.firm.as_ref().is_some_and(|(firm_ms, _)| *firm_ms < length.clock_ms());
            let firm = spec.firm.clone().filter(|_| is_firm);
            compiler.phase(&PhaseSpec { firm, ..spec.clone() }, length, item);
        }
    }

    /// Where a plan makes a kind of phase shorter, it is no longer in any form.
    fn length_of(&self, spec: &PhaseSpec) -> Hold {
        let planned = spec.length_in(self.dose).clock_ms();
        if planned < spec.length.clock_ms() { Hold::Fixed { ms: planned } } else { spec.length }
    }
}

impl Compiler {
    /// A rest until the class goes on, which lengthens one that is on already.
    fn rest(&mut self, drill: &Drill, len_ms: i64) {
        if len_ms <= 0 {
            return;
        }
        match self.spans.last_mut().filter(|span| span.phase == Phase::Rest) {
            Some(span) => {
                span.len_ms += len_ms;
                self.at_ms += len_ms;
            }
            None => self.push(Phase::Rest, &drill.between.cue, len_ms),
        }
    }
}
