//! Shows what cannot wait for the disk: a safety pause, and an urgent report.

use samebreath_core::live::{Alert, Command, DeskCommand, DeskFrame, Event, Recorded, SafetyEvent, Session};
use samebreath_core::time::EpochMs;

use crate::room::handle::Asked;
use crate::room::show::REPORT_WITHIN;
use crate::room::state::{Alarming, Pausing, Room};

/// The most urgent reports that the desks are shown before they are recorded: every desk frame works all of them
/// out again.
const MOST_ALARMING: usize = 32;

impl Room {
    /// Shows a safety pause before it is recorded, and puts it ahead of everything that waits. A key that was
    /// pressed before the pause but is decided after it does not move the class.
    pub(crate) fn pause_at_once(&mut self, asked: Asked) {
        if self.pausing.is_none() && self.ahead(Pausing::of(&asked)).is_some() {
            self.pausing = Some(Pausing::of(&asked));
            self.show_stage();
        }
        self.asked.push_front(asked);
    }

    /// Alerts the desks to an urgent report before it is recorded, so that they see it even while the ledger
    /// cannot be written.
    pub(crate) fn alarm_at_once(&mut self, asked: &Asked) {
        if !asked.alarms_at_once() || self.alarming.len() >= MOST_ALARMING {
            return;
        }
        let Asked { by, id, command, at, .. } = asked;
        self.alarming.push(Alarming { by: *by, id: *id, command: command.clone(), at: *at });
        self.desk_within(REPORT_WITHIN);
    }

    /// What the desks see, including urgent reports that are not on disk yet, which are marked as unrecorded.
    pub(crate) fn desk_frame(&self, now: EpochMs) -> DeskFrame {
        if self.alarming.is_empty() {
            return self.session.desk(now, &self.presence);
        }
        let mut ahead = self.session.clone();
        let mut unrecorded = Vec::new();
        let library = self.around.shelf.library();
        for Alarming { by, id, command, at } in &self.alarming {
            if id.is_some_and(|id| ahead.has_counted(id)) {
                continue;
            }
            for event in ahead.decide(&self.context(&library, *at, None), *by, command).unwrap_or_default() {
                if let Event::Safety {
                    what: SafetyEvent::Reported { report, .. } | SafetyEvent::ReportAmended { report, .. },
                    ..
                } = &event
                {
                    unrecorded.push(*report);
                }
                ahead.apply(&Recorded { seq: ahead.seq() + 1, at: *at, by: *by, cause: *id, event });
            }
        }
        let mut desk = ahead.desk(now, &self.presence);
        // The sequence number tells the desk what is in the ledger, so it must not count events that are not.
        desk.seq = self.session.seq();
        for alert in &mut desk.alerts {
            if let Alert::Report(report) = alert {
                report.recorded = !unrecorded.contains(&report.id);
            }
        }
        desk
    }

    /// Stops showing ahead what is now on disk, or was refused after all.
    pub(super) fn settle(&mut self, batch: &[Asked]) {
        self.alarming
            .retain(|alarming| batch.iter().all(|asked| (asked.by, asked.id) != (alarming.by, alarming.id)));
        if self.pausing.is_some_and(|pausing| batch.iter().any(|asked| Pausing::of(asked) == pausing)) {
            self.pausing = None;
            self.show_stage();
        }
    }

    /// Shows the stage, including a safety pause that is not on disk yet.
    pub(crate) fn show_stage(&mut self) {
        let ahead = self.paused_ahead();
        self.audiences.show_stage(ahead.as_ref().unwrap_or(&self.session), self.around.clock.now());
    }

    /// The session with the safety pause that is already shown but not yet on disk, if there is one.
    pub(crate) fn paused_ahead(&self) -> Option<Session> {
        self.pausing.and_then(|pausing| self.ahead(pausing))
    }

    /// The session as it would be with this pause; `None` when the pause would be refused.
    fn ahead(&self, Pausing { by, id, at }: Pausing) -> Option<Session> {
        if id.is_some_and(|id| self.session.has_counted(id)) {
            return None;
        }
        let pause = Command::Desk(DeskCommand::PauseForSafety);
        let events =
            self.session.decide(&self.context(&self.around.shelf.library(), at, None), by, &pause).ok()?;
        let mut ahead = self.session.clone();
        for event in events {
            ahead.apply(&Recorded { seq: ahead.seq() + 1, at, by, cause: None, event });
        }
        Some(ahead)
    }
}
