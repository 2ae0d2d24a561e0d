//! Compiles a step into its timeline.
//!
//! One rule decides every total. The phases of a repetition are added up; rests between two repetitions, sets or
//! sides come only *between* them, with none after the last. A rest that is itself a phase of the repetition
//! counts every time.

use std::iter::Sum;

use serde::{Deserialize, Serialize};

use crate::drill::dose::{Dose, Hold};
use crate::drill::{Drill, Each, Phase, PhaseSpec, Side, Tune};
use crate::item::{Item, Words};
use crate::text::Line;
use crate::time::seconds;

/// The least notice before a drill's clock begins; every hold needs at least 4 s of it. People with Parkinson's needed
/// up to 3.2 s between the warning and "go" (Jahanshahi et al. 1992).
pub const READY_MS: i64 = seconds(5);
/// The pace at which what stands on the screen meanwhile can be read (rate from memory).
const WORDS_A_MINUTE: usize = 140;
/// "Get ready", which stands on every screen.
const READY_WORDS: usize = 2;
/// That the mouth must be empty, before a swallow drill.
const MOUTH_WORDS: usize = 6;
/// That people may look away, where the tones guide them.
const AWAY_WORDS: usize = 9;

/// What people read while somebody shows them how it is done.
pub const WATCH: &str = "Watch first.";

/// A stretch of the timeline in which one thing is asked for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Span {
    /// Milliseconds from the timeline's start.
    pub start_ms: i64,
    /// Length in milliseconds, more than 0.
    pub len_ms: i64,
    /// What people do in it.
    pub phase: Phase,
    /// The cue on the screen.
    pub cue: Line<80>,
    /// The pose that the picture shows, where it is not the side's or the drill's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub pose: Option<Line<40>>,
    /// The set, from 1.
    pub set: u32,
    /// The repetition within the set, from 1; 0 while people watch.
    pub rep: u32,
    /// The side or position, as an index into the drill's sides.
    pub side: u32,
    /// Marks of an open hold.
    pub marks: Option<Marks>,
    /// How many milliseconds of this span the plan counts as held.
    pub held_ms: i64,
    /// The words of the repetition's item, shown larger than the cue.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub say: Option<Words>,
    /// Where the tune of the voice goes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub tune: Option<Tune>,
    /// The time from one beat to the next, in milliseconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub beat_ms: Option<i64>,
}

/// Marks of an open hold, in milliseconds from the span's start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Marks {
    /// First mark.
    pub floor_ms: i64,
    /// Target.
    pub target_ms: i64,
}

impl Span {
    /// Where the span ends.
    #[must_use]
    pub fn end_ms(&self) -> i64 {
        self.start_ms + self.len_ms
    }
}

/// All spans of a step; empty for steps without a clock.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Timeline {
    /// The get-ready before offset 0, in milliseconds; the position starts at minus this.
    pub ready_ms: i64,
    /// Spans in order, without gaps, the first at 0.
    pub spans: Vec<Span>,
    /// Where the last span ends, in milliseconds.
    pub total_ms: i64,
}

/// More time for one span, given while the step runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Stretch {
    /// The index of the span.
    pub span: u32,
    /// How much longer the span becomes, in milliseconds.
    pub by_ms: i64,
}

/// What a step amounts to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Figures {
    /// Repetitions over all sets and sides.
    pub reps: u32,
    /// Holds.
    pub holds: u32,
    /// Milliseconds held, as planned.
    pub held_ms: i64,
}

impl Sum for Figures {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), |a, b| Self {
            reps: a.reps + b.reps,
            holds: a.holds + b.holds,
            held_ms: a.held_ms + b.held_ms,
        })
    }
}

/// The timeline of a break in which people drink.
#[must_use]
pub fn compile_sip<const N: usize>(cue: &Line<N>, length_ms: i64) -> Timeline {
    let mut compiler = Compiler::default();
    compiler.push(Phase::Sip, cue, length_ms);
    compiler.finish(0)
}

/// Compiles a drill with a dose. The repetitions, or the sets, take the items in their order, and begin anew where there
/// are too few.
#[must_use]
pub fn compile_drill(drill: &Drill, dose: &Dose, items: &[Item]) -> Timeline {
    let mut compiler = Compiler::default();
    compiler.watch(drill, dose);
    for (index, side) in drill.sides.iter().enumerate() {
        compiler.turn_to(index, side, drill, dose);
        for set in 1..=dose.sets {
            for rep in 1..=dose.reps {
                (compiler.set, compiler.rep) = (set, rep);
                let item = item_of(drill, dose, items, (index, set, rep));
                for spec in &drill.phases {
                    compiler.phase(spec, spec.length_in(dose), item);
                }
                if rep < dose.reps {
                    compiler.push(drill.between.phase, &drill.between.cue, dose.rest_ms);
                }
            }
            if set < dose.sets {
                compiler.push(drill.between.phase, &drill.between.cue, dose.set_rest_ms);
            }
        }
    }
    compiler.finish(ready_ms(drill))
}

/// The item of a repetition: the next one with each repetition or with each set, and the first ones again where there are
/// too few.
pub(super) fn item_of<'a>(
    drill: &Drill,
    dose: &Dose,
    items: &'a [Item],
    (side, set, rep): (usize, u32, u32),
) -> Option<&'a Item> {
    let each = drill.items.as_ref().map(|items| items.each).unwrap_or_default();
    let sets = side * dose.sets as usize + set as usize - 1;
    let at = match each {
        Each::Rep => sets * dose.reps as usize + rep as usize - 1,
        Each::Set => sets,
    };
    items.get(at % items.len().max(1))
}

/// How long people get ready for a drill, in milliseconds: in full seconds, long enough to read what stands on the
/// screen meanwhile, which is the first caution and the first cue.
#[must_use]
pub fn ready_ms(drill: &Drill) -> i64 {
    let words = |text: &str| text.split_whitespace().count();
    let caution = drill.cautions.first().map_or(0, |caution| words(caution.as_str()));
    let cue = drill.phases.first().map_or(0, |phase| words(phase.cue.as_str()));
    let mouth = if drill.family.is_swallow() { MOUTH_WORDS } else { 0 };
    let away = if drill.eyes_away { AWAY_WORDS } else { 0 };
    let read_s = ((READY_WORDS + caution + cue + mouth + away) * 60).div_ceil(WORDS_A_MINUTE);
    READY_MS.max(seconds(i64::try_from(read_s).unwrap_or(i64::MAX / 1000)))
}

/// The length that [`compile_drill`] would give, without building the timeline, so that bounds can be checked
/// first.
#[must_use]
pub fn total_ms(drill: &Drill, dose: &Dose) -> i64 {
    let rep = rep_ms(drill, dose);
    let (reps, sets) = (i64::from(dose.reps), i64::from(dose.sets));
    let sides = i64::try_from(drill.sides.len()).unwrap_or(i64::MAX);
    let set = reps * rep + (reps - 1) * dose.rest_ms;
    watch_ms(drill, dose)
        + sides * (sets * set + (sets - 1) * dose.set_rest_ms)
        + (sides - 1) * dose.switch_ms
}

/// How long one repetition takes, in milliseconds.
pub(super) fn rep_ms(drill: &Drill, dose: &Dose) -> i64 {
    drill.phases.iter().map(|spec| spec.length_in(dose).clock_ms()).sum()
}

/// How long people watch before they begin, in milliseconds: the explaining, and what is shown first.
fn watch_ms(drill: &Drill, dose: &Dose) -> i64 {
    dose.explain_ms + i64::from(dose.shown) * rep_ms(drill, dose)
}

#[derive(Default)]
pub(super) struct Compiler {
    pub(super) spans: Vec<Span>,
    pub(super) at_ms: i64,
    pub(super) set: u32,
    pub(super) rep: u32,
    side: u32,
}

impl Compiler {
    /// Goes on to a side, with time to change where it is not the first one.
    pub(super) fn turn_to(&mut self, index: usize, side: &Side, drill: &Drill, dose: &Dose) {
        self.side = u32::try_from(index).unwrap_or(u32::MAX);
        if index > 0 {
            (self.set, self.rep) = (1, 1);
            self.push(Phase::ChangeSides, side.name.as_ref().unwrap_or(&drill.name), dose.switch_ms);
        }
    }

    /// Time to explain, and to show what is shown first. It belongs to no repetition.
    pub(super) fn watch(&mut self, drill: &Drill, dose: &Dose) {
        if let Ok(cue) = Line::<80>::try_from(WATCH) {
            self.push(Phase::Watch, &cue, watch_ms(drill, dose));
        }
        if let Some(span) = self.spans.last_mut() {
            span.rep = 0;
        }
    }

    /// One phase of a repetition with this length, and the repetition's item.
    pub(super) fn phase(&mut self, spec: &PhaseSpec, length: Hold, item: Option<&Item>) {
        let firm_ms = spec.firm.as_ref().map_or(0, |(ms, _)| *ms);
        let first_ms = length.clock_ms() - firm_ms;
        let planned_ms = if spec.phase.is_held() { length.planned_ms() } else { 0 };
        self.push(spec.phase, &spec.cue, first_ms);
        let shown = spec.item.and_then(|part| Some((item?, part)));
        if let Some(span) = self.spans.last_mut() {
            span.pose.clone_from(&spec.pose);
            if let Some((item, part)) = shown {
                span.say = Some(item.part(part).clone());
                span.pose = item.pose.clone().or_else(|| spec.pose.clone());
            }
            span.tune = spec.tune;
            span.beat_ms = spec.beat_ms;
            span.held_ms = planned_ms.min(first_ms);
            span.marks = match length {
                Hold::Open { floor_ms, target_ms, .. } => Some(Marks { floor_ms, target_ms }),
                Hold::Fixed { .. } => None,
            };
        }
        if let Some((_, cue)) = &spec.firm {
            self.push(Phase::FirmUp, cue, firm_ms);
            if let Some(span) = self.spans.last_mut() {
                span.pose.clone_from(&spec.pose);
                span.held_ms = (planned_ms - first_ms).max(0);
            }
        }
    }

    pub(super) fn push<const N: usize>(&mut self, phase: Phase, cue: &Line<N>, len_ms: i64) {
        if len_ms <= 0 {
            return;
        }
        let cue = cue.as_str().chars().take(80).collect::<String>();
        let Ok(cue) = Line::try_from(cue) else { return };
        let (start_ms, set, rep, side) = (self.at_ms, self.set.max(1), self.rep.max(1), self.side);
        let span = Span {
            start_ms,
            len_ms,
            phase,
            cue,
            pose: None,
            set,
            rep,
            side,
            marks: None,
            held_ms: 0,
            say: None,
            tune: None,
            beat_ms: None,
        };
        self.spans.push(span);
        self.at_ms += len_ms;
    }

    pub(super) fn finish(self, ready_ms: i64) -> Timeline {
        Timeline { ready_ms, spans: self.spans, total_ms: self.at_ms }
    }
}

impl Timeline {
    /// Whether the step runs on the shared clock.
    #[must_use]
    pub fn is_clocked(&self) -> bool {
        !self.spans.is_empty()
    }

    /// The index of the span at `offset_ms`; `None` before the start and after the end.
    #[must_use]
    pub fn at(&self, offset_ms: i64) -> Option<usize> {
        if offset_ms < 0 || offset_ms >= self.total_ms {
            return None;
        }
        Some(self.spans.partition_point(|span| span.end_ms() <= offset_ms))
    }

    /// This timeline with some spans lengthened.
    #[must_use]
    pub fn stretched(&self, stretches: &[Stretch]) -> Self {
        let mut at_ms = 0;
        let mut spans = self.spans.clone();
        for (index, span) in spans.iter_mut().enumerate() {
            span.start_ms = at_ms;
            let index = u32::try_from(index).unwrap_or(u32::MAX);
            let by_ms = stretches.iter().filter(|s| s.span == index).map(|s| s.by_ms).sum::<i64>();
            span.len_ms += by_ms;
            if span.phase.is_held() {
                span.held_ms += by_ms;
            }
            at_ms += span.len_ms;
        }
        Self { ready_ms: self.ready_ms, spans, total_ms: at_ms }
    }

    /// The index of the span in which the repetition of span `index` begins; a rest belongs to the repetition
    /// before it.
    #[must_use]
    pub fn rep_start(&self, index: usize) -> usize {
        let key = |i: usize| self.spans.get(i).map(|s| (s.side, s.set, s.rep));
        let mut start = index;
        while start > 0 && key(start - 1) == key(index) {
            start -= 1;
        }
        let change_of_sides = |i: usize| self.spans.get(i).map(|s| s.phase) == Some(Phase::ChangeSides);
        if change_of_sides(start) && start < index { start + 1 } else { start }
    }

    /// What the step amounts to as planned.
    #[must_use]
    pub fn figures(&self) -> Figures {
        let done = self.spans.iter().filter(|span| span.rep > 0);
        let mut reps: Vec<_> = done.map(|s| (s.side, s.set, s.rep)).collect();
        reps.dedup();
        let holds = self.spans.iter().filter(|s| s.phase == Phase::Hold).count();
        Figures {
            reps: u32::try_from(reps.len()).unwrap_or(u32::MAX),
            holds: u32::try_from(holds).unwrap_or(u32::MAX),
            held_ms: self.spans.iter().map(|s| s.held_ms).sum(),
        }
    }
}
