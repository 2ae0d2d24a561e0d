//! Showing what changed: the class and each person at once, the desks a little later.

use std::time::Duration;

use samebreath_core::live::{CareEvent, Event, Recorded, SeatEvent};
use tokio::time::Instant;

use crate::host::metrics;
use crate::room::state::Room;

/// Desk frames are at most this often.
pub(super) const DESK_EVERY: Duration = Duration::from_millis(250);
/// A report or a lost person waits at most this long for a desk frame: fifty in one second are a few
/// frames, and one alone is shown at once.
pub(super) const REPORT_WITHIN: Duration = Duration::from_millis(100);
/// A desk is told of who was heard about so often when nothing else is to be told: with the look at presence that
/// is nearest to it, so that the room does not wake up for it alone.
pub(super) const DESK_ABOUT_EVERY: Duration = Duration::from_secs(2);

impl Room {
    /// Shows what `events` changed: class and persons, then the desk.
    pub(crate) fn show(&mut self, events: &[Recorded]) {
        let now = self.around.clock.now();
        let stage_changed = events.iter().any(|r| r.event.changes_stage());
        let ahead = self.paused_ahead().filter(|_| stage_changed);
        let staged = ahead.as_ref().or(stage_changed.then_some(&self.session));
        self.audiences.show(&self.session, staged, events, now);
        let alarms = |r: &Recorded| {
            matches!(
                r.event,
                Event::Seat { what: SeatEvent::Reported { .. } | SeatEvent::ReportAmended { .. }, .. }
                    | Event::Care { what: CareEvent::Lost { .. }, .. }
            )
        };
        self.desk_within(if events.iter().any(alarms) { REPORT_WITHIN } else { DESK_EVERY });
    }

    /// At once if the desk was not shown anything for so long, else when it will be so long.
    pub(crate) fn desk_within(&mut self, since_the_last: Duration) {
        let due = self.desk_shown + since_the_last;
        self.desk_due = Some(self.desk_due.map_or(due, |earlier| earlier.min(due)));
    }

    pub(super) fn show_desk(&mut self) {
        self.desk_due = None;
        self.desk_shown = Instant::now();
        if self.audiences.has_desks() {
            let desk = self.desk_frame(self.around.clock.now());
            self.audiences.show_desk(desk);
            metrics::desk_frame();
        }
    }
}
