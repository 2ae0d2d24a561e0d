//! What a person said of stopping and of discomfort. Each is a line of the incident timeline.

use serde::{Deserialize, Serialize};

use crate::live::event::Event;
use crate::live::ids::{ReportId, SeatId, StepId};
use crate::live::said::{Said, StopReason, Whose};

/// A person stopped, went on, or reported discomfort.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case")]
#[allow(missing_docs, reason = "fields are named as in the commands that cause them")]
pub enum SafetyEvent {
    /// They stopped, or said why they did.
    Stopped { reason: Option<StopReason>, whose: Whose },
    /// They took a stop back: it was a slip of the finger.
    StopUndone,
    /// They take part again.
    WentOn,
    /// They reported discomfort.
    Reported {
        report: ReportId,
        said: Said,
        /// Where the session was: step and offset.
        during: Option<(StepId, i64)>,
    },
    /// They said more about a report.
    ReportAmended {
        report: ReportId,
        said: Said,
        /// Another report by the same person, which was added to this open one and has to be seen anew.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        also: Option<ReportId>,
    },
    /// They took a report back; it stays in the record.
    ReportTakenBack { report: ReportId },
}

impl SafetyEvent {
    /// The event, for the person on `seat`.
    #[must_use]
    pub fn of(self, seat: SeatId) -> Event {
        Event::Safety { seat, what: self }
    }
}
