//! Shows what changed: to the class and each person at once, to the desks a little later.

use std::time::Duration;

use samebreath_core::live::{CareEvent, Event, Recorded, SafetyEvent};
use tokio::time::Instant;

use crate::host::metrics;
use crate::room::state::Room;

/// The shortest time between desk frames.
pub(super) const DESK_EVERY: Duration = Duration::from_millis(250);
/// The same after a report or when a person is lost. One alone is shown at once, while fifty in a second share
/// a few frames.
pub(super) const REPORT_WITHIN: Duration = Duration::from_millis(100);
/// About how often a desk gets a frame when only presence has changed. The frame is sent with the nearest check
/// of presence, so that the room does not wake up for it alone.
pub(super) const DESK_ABOUT_EVERY: Duration = Duration::from_secs(2);

impl Room {
    /// Shows what `events` changed: to the class and each person now, and to the desks soon.
    pub(crate) fn show(&mut self, events: &[Recorded]) {
        let now = self.around.clock.now();
        let stage_changed = events.first().is_some_and(|first| self.session.stage_seq() >= first.seq);
        let ahead = self.paused_ahead().filter(|_| stage_changed);
        let staged = ahead.as_ref().or(stage_changed.then_some(&self.session));
        self.audiences.show(&self.session, staged, events, now);
        let alarms = |r: &Recorded| {
            matches!(
                r.event,
                Event::Safety { what: SafetyEvent::Reported { .. } | SafetyEvent::ReportAmended { .. }, .. }
                    | Event::Care { what: CareEvent::Lost { .. }, .. }
            )
        };
        self.desk_within(if events.iter().any(alarms) { REPORT_WITHIN } else { DESK_EVERY });
    }

    /// Schedules a desk frame for when `since_the_last` has passed since the last one; that may be at once.
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
