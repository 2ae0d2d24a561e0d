//! What a person said of stopping and of discomfort.

use crate::live::event::SafetyEvent;
use crate::live::ids::SeatId;
use crate::live::said::{StopReason, Whose};
use crate::live::state::Session;
use crate::live::state::report::Report;
use crate::live::state::seat::{Answer, Answered, Stop};
use crate::time::EpochMs;

impl Session {
    pub(super) fn apply_safety(&mut self, seat: SeatId, what: &SafetyEvent, at: EpochMs) {
        match what {
            SafetyEvent::Stopped { reason, whose } => self.stop(seat, at, *reason, *whose),
            SafetyEvent::StopUndone => self.undo_stop(seat),
            SafetyEvent::WentOn => self.with(seat, |s| {
                s.stopped = None;
                s.rest_asked = false;
            }),
            SafetyEvent::Reported { report, said, during } => {
                self.with(seat, |s| s.reported_at = Some(at));
                self.stop(seat, at, Some(StopReason::Hurts), said.whose);
                self.reports.push(Report::new(*report, seat, at, said.clone(), *during));
            }
            SafetyEvent::ReportAmended { report, said, also } => {
                self.with(seat, |s| s.reported_at = Some(at));
                self.stop(seat, at, Some(StopReason::Hurts), said.whose);
                self.report(*report, |r| match also {
                    Some(other) => r.fold(*other, said),
                    None => r.amend(said),
                });
            }
            SafetyEvent::ReportTakenBack { report } => self.report(*report, |r| r.taken_back = true),
        }
    }

    pub(super) fn stop(&mut self, seat: SeatId, at: EpochMs, reason: Option<StopReason>, whose: Whose) {
        let step = self.moves.last().map(|m| m.step);
        self.with(seat, |s| {
            let since = s.stopped.map_or(at, |stopped| stopped.since);
            let reason = reason.or(s.stopped.and_then(|stopped| stopped.reason));
            s.stopped = Some(Stop { since, reason, whose, seen: false });
            if let Some(step) = step {
                s.answers.entry(step).or_insert(Answered { answer: Answer::Stopped, at, far: None });
            }
        });
    }

    fn undo_stop(&mut self, seat: SeatId) {
        let step = self.moves.last().map(|m| m.step);
        self.with(seat, |s| {
            s.stopped = None;
            s.answers.retain(|of, answered| Some(*of) != step || answered.answer != Answer::Stopped);
        });
    }
}
