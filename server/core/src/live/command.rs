//! What people can ask of a session.

use serde::{Deserialize, Serialize};

use crate::dose::DoseChange;
use crate::library::Library;
use crate::live::{
    CheckIn, DeskRole, HowFar, Mark, Presence, ReportId, SeatId, StepId, StopReason, Strength, UrgentSign,
    Where,
};
use crate::plan::StepRequest;
use crate::text::{Line, Name, Sentence};
use crate::time::EpochMs;

/// What a command is decided with besides the state.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The server's clock.
    pub now: EpochMs,
    /// How far ahead something set moving takes effect, so that every screen has it before.
    pub lead_ms: i64,
    /// Where drills are looked up.
    pub library: &'a Library,
    /// Who is connected.
    pub presence: &'a Presence,
}

/// Anything that can be asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Command {
    /// Somebody joins by code or link.
    TakeSeat {
        /// How the person wants to be called.
        name: Name,
    },
    /// A desk's command.
    Desk(DeskCommand),
    /// A participant's command.
    Seat(SeatCommand),
}

/// What a desk can ask.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum DeskCommand {
    /// Lets people in.
    Open,
    /// Begins with the first step.
    Start,
    /// Goes to the following step.
    Next,
    /// Goes to the step before.
    Back,
    /// Goes to any step.
    GoTo {
        /// Where to.
        step: StepId,
    },
    /// Stands still until [`DeskCommand::GoOn`].
    Pause,
    /// Stands still at once, for safety.
    PauseForSafety,
    /// Ends a pause.
    GoOn,
    /// Repeats the step.
    AgainStep,
    /// Repeats the repetition.
    AgainRep,
    /// Makes the present span longer.
    MoreTime {
        /// By how many seconds, 5 to 120.
        seconds: u32,
    },
    /// Ends the present span, giving notice before work.
    CutShort,
    /// Puts a step after another, or after the present one.
    Insert {
        /// After which.
        after: Option<StepId>,
        /// What to put there.
        step: StepRequest,
    },
    /// Gives a drill another dose; a running one goes on at the start of its repetition.
    SwapDose {
        /// Which step.
        step: StepId,
        /// What changes.
        change: DoseChange,
    },
    /// Shows the following clue of the round.
    ShowClue,
    /// Shows the next hint.
    ShowHint,
    /// Shows the answer.
    ShowAnswer,
    /// Says that a report was seen.
    SeeReport {
        /// Which report.
        report: ReportId,
    },
    /// Says that a report was dealt with.
    CloseReport {
        /// Which report.
        report: ReportId,
    },
    /// Asks a person to rest.
    AskRest {
        /// Who.
        seat: SeatId,
    },
    /// Sends a person a short message.
    Message {
        /// Who.
        seat: SeatId,
        /// What.
        text: Sentence,
    },
    /// Takes a seat out of the session.
    Remove {
        /// Who.
        seat: SeatId,
        /// Why, for the record.
        reason: Sentence,
    },
    /// Makes one seat of two that are the same person.
    Merge {
        /// The seat that goes.
        from: SeatId,
        /// The seat that stays.
        into: SeatId,
    },
    /// Adds a person who takes part by telephone.
    AddByPhone {
        /// Who.
        name: Name,
    },
    /// Marks by hand what a person did.
    MarkSeat {
        /// Who.
        seat: SeatId,
        /// Done or stopped.
        answer: Mark,
    },
    /// Turns swallow drills on for one person, or for all present, for today.
    ClearSwallow {
        /// Who; nobody named means all present.
        seat: Option<SeatId>,
    },
    /// Gives the lead to the other desk, or takes it when the other one is gone.
    HandDesk {
        /// Who leads from now on.
        to: DeskRole,
    },
    /// Ends the session.
    End,
}

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
    },
    /// Can go on after a stop.
    GoOn,
    /// Reports discomfort; stops as well.
    Report {
        /// Made by the browser, so that it counts once.
        report: ReportId,
        /// What hurts.
        #[serde(rename = "where")]
        place: Where,
        /// How strong, if said.
        strength: Option<Strength>,
        /// A sign that needs help at once.
        urgent: Option<UrgentSign>,
        /// In words, if the person wrote any.
        words: Option<Sentence>,
    },
    /// Takes a report back; it stays in the record.
    TakeBack {
        /// Which.
        report: ReportId,
    },
    /// Answers the clue that is shown.
    AnswerClue {
        /// Which clue of the round, from 1.
        number: u32,
        /// The word, or nothing for a spoken "got it".
        word: Option<Line<60>>,
    },
    /// Read the message that is shown, the oldest unread one.
    ReadMessage,
    /// Leaves the class.
    Leave,
}
