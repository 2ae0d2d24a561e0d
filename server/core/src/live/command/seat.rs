//! What a participant can ask.

use crate::live::ids::{MessageId, ReportId, StepId};
use crate::live::said::{CheckIn, HowFar, Said, StopReason, Whose};
use crate::text::Line;
use serde::{Deserialize, Serialize};

/// What a participant can ask.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum SeatCommand {
    /// The check-in before the start; can be given again.
    CheckIn {
        /// What was tapped.
        answers: CheckIn,
    },
    /// Did the step.
    Done {
        /// Which.
        step: StepId,
    },
    /// Takes *Done* back.
    Undo {
        /// Of which step.
        step: StepId,
    },
    /// How far an open hold went.
    HowFar {
        /// Of which step.
        step: StepId,
        /// Up to which mark.
        far: HowFar,
    },
    /// Stops. Without a reason first; the reason can follow.
    Stop {
        /// Why, when said.
        reason: Option<StopReason>,
        /// Who of the seat.
        #[serde(default)]
        whose: Whose,
    },
    /// The stop was a slip of the finger.
    UndoStop,
    /// Can go on after a stop.
    GoOn,
    /// Reports discomfort; stops as well. Sent again with the same report id it completes it.
    Report {
        /// Made by the browser, so that it counts once.
        report: ReportId,
        /// What was said so far.
        said: Said,
    },
    /// Takes a report back; it stays in the record.
    TakeBack {
        /// Which.
        report: ReportId,
    },
    /// Says whether the mouth is empty, before the first swallow drill.
    ConfirmMouth {
        /// Whether it is.
        empty: bool,
    },
    /// How much effort it was.
    SayEffort {
        /// Which question of the class, from 1.
        number: u32,
        /// From 0 to 10.
        score: u8,
    },
    /// Answers the clue that is shown.
    AnswerClue {
        /// Of which round.
        step: StepId,
        /// Which clue of the round, from 1.
        number: u32,
        /// The word, or nothing for a spoken "got it".
        word: Option<Line<60>>,
    },
    /// Read a message.
    ReadMessage {
        /// Which.
        message: MessageId,
    },
    /// Leaves the class.
    Leave,
}

impl SeatCommand {
    /// What is taken from a person at every instant: also after the class, and from a seat that was
    /// taken out.
    #[must_use]
    pub fn is_for_safety(&self) -> bool {
        match self {
            Self::Report { .. } | Self::TakeBack { .. } | Self::Stop { .. } => true,
            Self::CheckIn { .. }
            | Self::Done { .. }
            | Self::Undo { .. }
            | Self::HowFar { .. }
            | Self::UndoStop
            | Self::GoOn
            | Self::ConfirmMouth { .. }
            | Self::SayEffort { .. }
            | Self::AnswerClue { .. }
            | Self::ReadMessage { .. }
            | Self::Leave => false,
        }
    }
}
