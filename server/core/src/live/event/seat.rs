//! What a person did.

use crate::live::event::Event;
use crate::live::ids::{MessageId, ReportId, SeatId, StepId};
use crate::live::said::{CheckIn, HowFar, Said, StopReason, Whose};
use crate::text::Line;
use serde::{Deserialize, Serialize};

/// What a person did, or said with a tap.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case")]
#[allow(missing_docs, reason = "fields are named as in the commands that cause them")]
pub enum SeatEvent {
    /// They checked in.
    CheckedIn { answers: CheckIn },
    /// They did a step.
    Did { step: StepId },
    /// They took back that they did a step.
    Undid { step: StepId },
    /// They said how far they got.
    Got { step: StepId, far: HowFar },
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
    /// They said whether their mouth is empty.
    MouthSaid { empty: bool },
    /// They said how much effort it was.
    EffortSaid { number: u32, score: u8 },
    /// They answered a clue.
    ClueAnswered { step: StepId, number: u32, word: Option<Line<60>> },
    /// They read a message. Older ledgers do not name it and mean the oldest unread one.
    MessageRead {
        #[serde(default)]
        message: Option<MessageId>,
    },
    /// They gave a command that changed nothing. It is kept so that its id counts once for ever.
    Unchanged,
    /// They left.
    Left,
    /// They came back after leaving.
    CameBack,
}

impl SeatEvent {
    /// The event, of the person on `seat`.
    #[must_use]
    pub fn of(self, seat: SeatId) -> Event {
        Event::Seat { seat, what: self }
    }
}
