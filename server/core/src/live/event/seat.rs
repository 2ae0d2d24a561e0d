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
    /// Checked in.
    CheckedIn { answers: CheckIn },
    /// Did a step.
    Did { step: StepId },
    /// Took that back.
    Undid { step: StepId },
    /// Said how far they got.
    Got { step: StepId, far: HowFar },
    /// Stopped, or said why.
    Stopped { reason: Option<StopReason>, whose: Whose },
    /// The stop was a slip of the finger.
    StopUndone,
    /// Takes part again.
    WentOn,
    /// Reports discomfort.
    Reported {
        report: ReportId,
        said: Said,
        /// Where the session was: step and offset.
        during: Option<(StepId, i64)>,
    },
    /// Said more about it.
    ReportAmended {
        report: ReportId,
        said: Said,
        /// Another report of the same person, which was folded into this open one: it has to be seen anew.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        also: Option<ReportId>,
    },
    /// Took a report back; it stays in the record.
    ReportTakenBack { report: ReportId },
    /// Said whether their mouth is empty.
    MouthSaid { empty: bool },
    /// Said how much effort it was.
    EffortSaid { number: u32, score: u8 },
    /// Answered the clue.
    ClueAnswered { step: StepId, number: u32, word: Option<Line<60>> },
    /// Read a message; in older ledgers, where it is not named, the oldest unread one.
    MessageRead {
        #[serde(default)]
        message: Option<MessageId>,
    },
    /// Gave a command that changed nothing. It is kept so that its id counts once for ever.
    Unchanged,
    /// Left.
    Left,
    /// Came back after leaving.
    CameBack,
}

impl SeatEvent {
    /// The event, of the person on `seat`.
    #[must_use]
    pub fn of(self, seat: SeatId) -> Event {
        Event::Seat { seat, what: self }
    }
}
