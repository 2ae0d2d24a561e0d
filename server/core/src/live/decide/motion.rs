//! The commands that move the class, and the instant at which each takes effect.

use crate::drill::Phase;
use crate::drill::dose::DoseChange;
use crate::live::command::Context;
use crate::live::event::ClassEvent;
use crate::live::event::{Event, Why};
use crate::live::ids::StepId;
use crate::live::motion::{self, Move};
use crate::live::refusal::Refusal;
use crate::live::state::{LiveStep, Session};
use crate::plan::timeline::{Span, Stretch, Timeline};
use crate::time::{EpochMs, seconds};

/// Notice before work that begins out of the usual order, such as after a pause: as long as before every hold.
pub const NOTICE_MS: i64 = seconds(4);
/// The most time by which one span can be lengthened (an agreed choice).
const MOST_STRETCH_MS: i64 = seconds(600);

/// Where the class is, with the timeline as it runs.
struct Now<'a> {
    of: &'a Move,
    step: &'a LiveStep,
    timeline: Timeline,
    /// The position when the command arrives.
    offset_ms: i64,
    /// The position when the change takes effect.
    then_ms: i64,
    then: EpochMs,
}

impl Session {
    /// Refuses to move a class that stands still for safety. That includes a key that was pressed before the pause
    /// and arrived late: it was meant for a running class.
    pub(super) fn unless_paused_for_safety(&self) -> Result<&Self, Refusal> {
        if self.safety_pause.is_some() { Err(Refusal::SafetyPause) } else { Ok(self) }
    }

    pub(super) fn start(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        if self.started_at.is_some() {
            return Err(Refusal::AlreadyStarted);
        }
        self.enter(ctx, Why::Started, 0)
    }

    pub(super) fn next(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        match self.present_index()? {
            None => self.enter(ctx, Why::Started, 0),
            Some(index) if index + 1 == self.steps.len() => Err(Refusal::LastStep),
            Some(index) => self.enter(ctx, Why::Next, index + 1),
        }
    }

    pub(super) fn back(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        let index = self.present_index()?.ok_or(Refusal::NotStarted)?;
        self.enter(ctx, Why::Back, index.checked_sub(1).ok_or(Refusal::FirstStep)?)
    }

    pub(super) fn go_to(&self, ctx: &Context<'_>, step: StepId) -> Result<Event, Refusal> {
        let why = if self.started_at.is_none() { Why::Started } else { Why::WentTo };
        self.enter(ctx, why, self.need_step(step)?)
    }

    pub(super) fn again_step(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        self.enter(ctx, Why::AgainStep, self.present_index()?.ok_or(Refusal::NotStarted)?)
    }

    pub(super) fn pause(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        self.stand_still(Why::Paused, ctx.now.plus(ctx.lead_time_ms))
    }

    /// Takes effect at once, without the lead time that other changes have.
    pub(super) fn pause_for_safety(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        self.stand_still(Why::PausedForSafety, ctx.now)
    }

    /// The index of the present step in the plan; `None` before the start.
    fn present_index(&self) -> Result<Option<usize>, Refusal> {
        self.present_step().map(|step| self.need_step(step.id)).transpose()
    }

    pub(super) fn need_step(&self, id: StepId) -> Result<usize, Refusal> {
        self.steps.iter().position(|s| s.id == id).ok_or(Refusal::NoSuchStep(id.0))
    }

    /// Begins a step with its get-ready.
    fn enter(&self, ctx: &Context<'_>, why: Why, index: usize) -> Result<Event, Refusal> {
        let step = self.steps.get(index).ok_or(Refusal::LastStep)?;
        // Before the first swallow drill, and before the first one after a sip, the class stands still until the
        // facilitator goes on, so that everyone can check that their mouth is empty. This holds however the class
        // gets here.
        let waits_for_mouths = step.is_swallow() && self.mouths_due_on_entering(step);
        let mv = Move {
            at: ctx.now.plus(ctx.lead_time_ms),
            step: step.id,
            rev: step.rev,
            offset_ms: -step.timeline.ready_ms,
            running: !waits_for_mouths,
            stretch: Vec::new(),
        };
        Ok(ClassEvent::Moved { why, moves: vec![mv] }.into())
    }

    /// Whether mouths have to be checked on entering `step`. Leaving a step in which people drink makes a check
    /// due as well.
    fn mouths_due_on_entering(&self, step: &LiveStep) -> bool {
        let left = self.present_step().filter(|present| present.id != step.id);
        self.mouths_due || left.is_some_and(LiveStep::has_sip)
    }

    fn stand_still(&self, why: Why, at: EpochMs) -> Result<Event, Refusal> {
        let last = self.moves.last().ok_or(Refusal::NotStarted)?;
        if !last.running && why == Why::Paused || self.safety_pause.is_some() {
            return Err(Refusal::Paused);
        }
        let position = self.position(at).ok_or(Refusal::NotStarted)?;
        let mv = Move { at, offset_ms: position.offset_ms, running: false, ..position.of.clone() };
        Ok(ClassEvent::Moved { why, moves: vec![mv] }.into())
    }

    pub(super) fn go_on(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        let last = self.moves.last().ok_or(Refusal::NotStarted)?;
        if last.running {
            return Err(Refusal::NotPaused);
        }
        let step = self.step(last.step).ok_or(Refusal::NoSuchStep(last.step.0))?;
        let timeline = step.timeline.stretched(&last.stretch);
        let at = ctx.now.plus(ctx.lead_time_ms).max(last.at);
        let moves = run_from(Move { at, running: true, ..last.clone() }, notice(&timeline, last.offset_ms));
        Ok(ClassEvent::Moved { why: Why::WentOn, moves }.into())
    }

    /// Ends a safety pause: after a notice, the repetition begins again with its breath in.
    pub(super) fn resume(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        let last = self.moves.last().ok_or(Refusal::NotStarted)?;
        self.safety_pause.ok_or(Refusal::NotPaused)?;
        let step = self.step(last.step).ok_or(Refusal::NoSuchStep(last.step.0))?;
        let timeline = step.timeline.stretched(&last.stretch);
        let inside = timeline.at(last.offset_ms).map(|index| timeline.rep_start(index));
        let offset_ms = inside.map_or(last.offset_ms, |start| timeline.spans[start].start_ms);
        // A class that stood still before its swallow drill stands still there again.
        let running = !(step.is_swallow() && self.mouths_due);
        let at = ctx.now.plus(ctx.lead_time_ms).max(last.at);
        let notice_ms = if timeline.is_clocked() { NOTICE_MS } else { 0 };
        let moves = run_from(Move { at, offset_ms, running, ..last.clone() }, notice_ms);
        Ok(ClassEvent::Moved { why: Why::Resumed, moves }.into())
    }

    pub(super) fn again_rep(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        let now = self.on_the_clock(ctx)?;
        // In the rest after the last repetition, "again" means that last one.
        let inside = now.offset_ms.clamp(0, now.timeline.total_ms - 1);
        let index = now.timeline.at(inside).ok_or(Refusal::ClockOver)?;
        let start = now.timeline.rep_start(index);
        let offset_ms = now.timeline.spans[start].start_ms;
        Ok(ClassEvent::Moved { why: Why::AgainRep, moves: now.jump_to(offset_ms) }.into())
    }

    pub(super) fn more_time(&self, ctx: &Context<'_>, by_s: u32) -> Result<Event, Refusal> {
        if !(5..=120).contains(&by_s) {
            return Err(Refusal::Wrong(format!("{by_s} s more was asked for; it must be from 5 to 120")));
        }
        let now = self.on_the_clock(ctx)?;
        let by_ms = seconds(i64::from(by_s));
        if now.offset_ms < 0 {
            let mv = Move { at: now.then, offset_ms: now.then_ms.min(0) - by_ms, ..now.of.clone() };
            return Ok(ClassEvent::Moved { why: Why::MoreTime, moves: vec![mv] }.into());
        }
        let span = now.timeline.at(now.offset_ms).ok_or(Refusal::ClockOver)?;
        // A span that is about to end is lengthened at once, so that the press is not lost.
        let same_span = now.timeline.at(now.then_ms) == Some(span);
        let (at, offset_ms) = if same_span { (now.then, now.then_ms) } else { (ctx.now, now.offset_ms) };
        let mut mv = Move { at, offset_ms, ..now.of.clone() };
        let index = u32::try_from(span).unwrap_or(u32::MAX);
        let so_far: i64 = mv.stretch.iter().filter(|s| s.span == index).map(|s| s.by_ms).sum();
        if so_far + by_ms > MOST_STRETCH_MS {
            return Err(Refusal::Wrong("this part has already been made ten minutes longer".to_owned()));
        }
        mv.stretch.retain(|s| s.span != index);
        mv.stretch.push(Stretch { span: index, by_ms: so_far + by_ms });
        Ok(ClassEvent::Moved { why: Why::MoreTime, moves: vec![mv] }.into())
    }

    /// Ends the present span. When work follows, the last seconds stay as notice before it.
    pub(super) fn cut_short(&self, ctx: &Context<'_>) -> Result<Event, Refusal> {
        let now = self.on_the_clock(ctx)?;
        let end_ms = match now.timeline.at(now.offset_ms) {
            Some(span) => now.timeline.spans[span].end_ms(),
            None if now.offset_ms < 0 => 0,
            None => return Err(Refusal::ClockOver),
        };
        let to_ms = if now.leads_to_work(end_ms) { end_ms - NOTICE_MS } else { end_ms };
        if to_ms <= now.then_ms {
            return Err(Refusal::EndsAnyway);
        }
        let mv = Move { at: now.then, offset_ms: to_ms, ..now.of.clone() };
        Ok(ClassEvent::Moved { why: Why::CutShort, moves: vec![mv] }.into())
    }

    pub(super) fn swap_dose(
        &self,
        ctx: &Context<'_>,
        id: StepId,
        change: &DoseChange,
    ) -> Result<Vec<Event>, Refusal> {
        let live = &self.steps[self.need_step(id)?];
        let with = live.step.with_dose(change).map_err(Refusal::Wrong)?;
        if with == live.step {
            return Err(Refusal::NoChange);
        }
        let swapped = LiveStep::new(id, live.rev + 1, with.clone());
        let mut events = vec![ClassEvent::DoseSwapped { step: id, rev: swapped.rev, with }.into()];
        if self.moves.last().map(|m| m.step) == Some(id) {
            events.push(self.carry_over(ctx, live, &swapped)?);
        }
        Ok(events)
    }

    /// Goes on with the new dose at the start of the same repetition, or at the end when the new dose has no such
    /// repetition.
    fn carry_over(&self, ctx: &Context<'_>, old: &LiveStep, new: &LiveStep) -> Result<Event, Refusal> {
        let now = self.on_the_clock(ctx)?;
        let offset_ms = if now.offset_ms < 0 {
            now.then_ms.min(0)
        } else {
            let here = now.timeline.at(now.offset_ms).map(|i| &old.timeline.spans[i]);
            let key = here.map(|span| (span.side, span.set, span.rep));
            let same = new.timeline.spans.iter().find(|s| Some((s.side, s.set, s.rep)) == key);
            match here.map(|span| span.phase) {
                // What has been explained and shown is not explained again.
                Some(Phase::Watch) => now.then_ms.min(same.map_or(0, Span::end_ms)),
                _ => same.map_or(new.timeline.total_ms, |span| span.start_ms),
            }
        };
        let of = Move { rev: new.rev, stretch: Vec::new(), ..now.of.clone() };
        let next = Now { of: &of, step: new, timeline: new.timeline.clone(), ..now };
        Ok(ClassEvent::Moved { why: Why::DoseSwapped, moves: next.jump_to(offset_ms) }.into())
    }

    fn on_the_clock(&self, ctx: &Context<'_>) -> Result<Now<'_>, Refusal> {
        // A command given while another is about to take effect refers to what that one brings.
        let of = self.moves.last().ok_or(Refusal::NotStarted)?;
        let step = self.step(of.step).ok_or(Refusal::NoSuchStep(of.step.0))?;
        if !step.timeline.is_clocked() {
            return Err(Refusal::NoClock);
        }
        let then = ctx.now.plus(ctx.lead_time_ms).max(of.at);
        let present =
            motion::position(&self.moves, ctx.now).filter(|p| p.of.step == of.step && p.of.rev == of.rev);
        let offset_ms = present.map_or(of.offset_ms, |p| p.offset_ms);
        let timeline = step.timeline.stretched(&of.stretch);
        Ok(Now { of, step, timeline, offset_ms, then_ms: of.offset_at(then), then })
    }
}

impl Now<'_> {
    /// Moves that bring the class to `offset_ms`. A paused class stays paused.
    fn jump_to(&self, offset_ms: i64) -> Vec<Move> {
        let to = Move { at: self.then, offset_ms, rev: self.step.rev, ..self.of.clone() };
        run_from(to, notice(&self.timeline, offset_ms))
    }

    fn leads_to_work(&self, end_ms: i64) -> bool {
        let here = self.timeline.at(self.offset_ms).map(|i| self.timeline.spans[i].phase);
        let resting = !here.is_some_and(Phase::needs_notice);
        let next = self.timeline.at(end_ms).map(|i| self.timeline.spans[i].phase);
        resting && next.is_some_and(Phase::needs_notice)
    }
}

/// The class at `to`, where it stands still for the length of the notice before it runs. The notice begins with
/// the move rather than when a screen hears of it, so that all screens start their countdown at the same instant.
fn run_from(to: Move, notice_ms: i64) -> Vec<Move> {
    if !to.running || notice_ms == 0 {
        return vec![to];
    }
    let go = Move { at: to.at.plus(notice_ms), ..to.clone() };
    vec![Move { running: false, ..to }, go]
}

/// How long people are given before the clock runs on from `offset_ms`, in milliseconds: long enough to get ready
/// when work comes next.
fn notice(timeline: &Timeline, offset_ms: i64) -> i64 {
    let work = timeline.at(offset_ms).is_some_and(|i| timeline.spans[i].phase.needs_notice());
    if work { NOTICE_MS } else { 0 }
}
