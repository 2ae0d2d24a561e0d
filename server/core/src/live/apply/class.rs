//! Applies what happened to the class as a whole.

use crate::live::event::Recorded;
use crate::live::event::{ClassEvent, Why};
use crate::live::ids::{Actor, StepId};
use crate::live::motion;
use crate::live::motion::Move;
use crate::live::state::{LiveClue, LiveStep, Session};
use crate::plan::Body;
use crate::time::EpochMs;

impl Session {
    pub(super) fn apply_to_class(&mut self, event: &ClassEvent, recorded: &Recorded) {
        let at = recorded.at;
        match event {
            // The first line is read by `from_first`.
            ClassEvent::Begun { .. } => {}
            ClassEvent::Opened => self.opened_at = Some(at),
            ClassEvent::Moved { why, moves } => self.move_on(*why, moves, at),
            ClassEvent::StepInserted { id, after, step } => {
                let at = after.and_then(|after| self.steps.iter().position(|s| s.id == after));
                let live = LiveStep { inserted: true, ..LiveStep::new(*id, 0, step.clone()) };
                self.steps.insert(at.map_or(0, |i| i + 1), live);
                self.last_step_id = self.last_step_id.max(id.0);
                self.sheet_rev += 1;
            }
            ClassEvent::StepMoved { step, after } => self.put_after(*step, *after),
            ClassEvent::StepTakenOut { step } => {
                self.steps.retain(|live| live.id != *step);
                self.sheet_rev += 1;
            }
            ClassEvent::MinutesSet { step, minutes } => {
                if let Some(live) = self.steps.iter_mut().find(|live| live.id == *step)
                    && let Ok(with) = live.step.with_minutes(*minutes)
                {
                    live.step = with;
                }
                self.sheet_rev += 1;
            }
            ClassEvent::DoseSwapped { step, rev, with } => {
                if let Some(live) = self.steps.iter_mut().find(|s| s.id == *step) {
                    let inserted = live.inserted;
                    *live = LiveStep { inserted, ..LiveStep::new(*step, *rev, with.clone()) };
                }
                self.sheet_rev += 1;
            }
            ClassEvent::ClueShown { step, number, from } => {
                let (step, number, from) = (*step, *number, *from);
                self.clue = Some(LiveClue { step, number, hints: 0, answer: false, from, since: from });
                let shown = self.clues_shown.entry(step).or_default();
                *shown = number.max(*shown);
            }
            ClassEvent::HintShown { hints, from } => {
                self.clue = self.clue.map(|clue| LiveClue { hints: *hints, from: *from, ..clue });
            }
            ClassEvent::AnswerShown { from } => {
                self.clue = self.clue.map(|clue| LiveClue { answer: true, from: *from, ..clue });
            }
            ClassEvent::EffortAsked { number } => {
                self.effort = Some(*number);
                self.efforts_asked = *number;
            }
            ClassEvent::EntrySet { to } => self.entry = *to,
            ClassEvent::SwallowCleared { seats, by } => {
                for seat in seats {
                    self.with(*seat, |s| s.swallow_cleared_by = Some(by.clone()));
                }
            }
            ClassEvent::Merged { from, into } => self.merge(*from, *into),
            ClassEvent::FollowUpClosed { id } => {
                if let Some(follow_up) = self.follow_ups.iter_mut().find(|f| f.id == *id) {
                    follow_up.closed_at = Some(at);
                }
            }
            ClassEvent::DeskNamed { role, name } => drop(self.names.insert(*role, name.clone())),
            ClassEvent::HealthShared { with_helper } => self.helper_sees_health = *with_helper,
            ClassEvent::LeadLost => self.lead_lost = true,
            ClassEvent::LeadBack => self.lead_lost = false,
            ClassEvent::DeskHanded { to } => {
                self.handed_by = if let Actor::Desk(by) = recorded.by { Some(by) } else { None };
                self.lead = *to;
                self.lead_lost = false;
            }
            ClassEvent::Ended => self.ended_at = Some(at),
        }
    }

    fn put_after(&mut self, step: StepId, after: StepId) {
        let Some(from) = self.steps.iter().position(|live| live.id == step) else { return };
        let live = self.steps.remove(from);
        let at = self.steps.iter().position(|live| live.id == after);
        self.steps.insert(at.map_or(from, |at| at + 1), live);
        self.sheet_rev += 1;
    }

    fn move_on(&mut self, why: Why, moves: &[Move], at: EpochMs) {
        if why == Why::Started {
            self.started_at = moves.first().map(|m| m.at);
        }
        self.safety_pause = if why == Why::PausedForSafety { self.safety_pause.or(Some(at)) } else { None };
        let step_before = self.moves.last().map(|m| m.step);
        motion::add(&mut self.moves, moves);
        self.empty_mouths(step_before);
        if self.moves.last().map(|m| m.step) != step_before || why == Why::AgainStep {
            self.enter_round(why);
            self.effort = None;
            if self.present_step().is_some_and(|step| matches!(step.step.body, Body::Effort { .. })) {
                self.efforts_asked += 1;
                self.effort = Some(self.efforts_asked);
            }
        }
    }

    /// A round that the class comes back to goes on with the clue that was on the screens when it was left.
    fn enter_round(&mut self, why: Why) {
        if let Some(left) = self.clue.take() {
            self.clues_left.insert(left.step, left);
        }
        let Some(entered) = self.moves.last() else { return };
        if why == Why::AgainStep {
            self.clues_left.remove(&entered.step);
        }
        let from = entered.at;
        self.clue = self.clues_left.get(&entered.step).map(|left| LiveClue { from, since: from, ..*left });
    }

    /// After a sip, no mouth counts as empty until the person says so. A swallow drill that is already running is
    /// exempt: the question was asked before it.
    fn empty_mouths(&mut self, step_before: Option<StepId>) {
        let Some(last) = self.moves.last() else { return };
        let (step, running) = (last.step, last.running);
        let entered = step_before != Some(step);
        let sipped_before = step_before.filter(|_| entered).and_then(|id| self.step(id));
        let here = self.step(step);
        let is_swallow = here.is_some_and(LiveStep::is_swallow);
        let sips = here.is_some_and(|step| matches!(step.step.body, Body::Sip { .. })) && entered;
        if sips || sipped_before.is_some_and(LiveStep::has_sip) {
            self.mouths_due = true;
            self.seats.values_mut().for_each(|seat| seat.mouth_empty = None);
        }
        if is_swallow && running {
            self.mouths_due = false;
        }
    }
}
