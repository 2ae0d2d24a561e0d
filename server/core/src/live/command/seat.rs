//! What a participant can ask for.

use crate::live::ids::{MessageId, ReportId, StepId};
use crate::live::said::{CheckIn, HowFar, Said, StopReason, Whose};
use crate::text::Line;
use serde::{Deserialize, Serialize};

/// What a participant can ask for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum SeatCommand {
    /// Gives the check-in before the start; may be given again.
    CheckIn {
        /// The answers tapped so far.
        answers: CheckIn,
    },
    /// Says that the person did the step.
    Done {
        /// The step that was done.
        step: StepId,
    },
    /// Takes *Done* back.
    Undo {
        /// The step it was said of.
        step: StepId,
    },
    /// Says how far an open hold went.
    HowFar {
        /// The step with the hold.
        step: StepId,
        /// The mark that was reached.
        far: HowFar,
    },
    /// Stops. It is sent without a reason at the first tap; the reason can follow.
    Stop {
        /// Why, once the person says so.
        reason: Option<StopReason>,
        /// Which of the people on this seat stopped.
        #[serde(default)]
        whose: Whose,
    },
    /// Takes a stop back: it was a slip of the finger.
    UndoStop,
    /// Says that the person can go on after a stop.
    GoOn,
    /// Reports discomfort, which is also a stop. Sent again with the same report id, it says more about that
    /// report.
    Report {
        /// Made by the browser, so that a report sent twice counts once.
        report: ReportId,
        /// What was said so far.
        said: Said,
    },
    /// Takes a report back; it stays in the record.
    TakeBack {
        /// The report.
        report: ReportId,
    },
    /// Says whether the mouth is empty, before the first swallow drill.
    ConfirmMouth {
        /// Whether the mouth is empty.
        empty: bool,
    },
    /// Says how much effort it was.
    SayEffort {
        /// Which question of the class, from 1.
        number: u32,
        /// The effort, from 0 to 10.
        score: u8,
    },
    /// Answers the clue that is shown.
    AnswerClue {
        /// The step of the clue round.
        step: StepId,
        /// Which clue of the round, from 1.
        number: u32,
        /// The word; absent when the person taps that they have it without writing.
        word: Option<Line<60>>,
    },
    /// Says that a message was read.
    ReadMessage {
        /// The message.
        message: MessageId,
    },
    /// Leaves the class.
    Leave,
}

impl SeatCommand {
    /// Whether this is accepted at any time: also after the class, and from a seat that was taken out.
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
