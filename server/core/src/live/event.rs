//! What happened in a session: the lines of its ledger.

use serde::{Deserialize, Serialize};

use crate::live::{
    Actor, CheckIn, CommandId, DeskRole, HowFar, Mark, Move, ReportId, SeatId, StepId, StopReason, Strength,
    UrgentSign, Where,
};
use crate::plan::{Plan, Step};
use crate::text::{Line, Name, Sentence};
use crate::time::EpochMs;

/// One line of the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recorded {
    /// Its place: 1, 2, 3 ... without gaps.
    pub seq: u64,
    /// The server's clock when it was accepted.
    pub at: EpochMs,
    /// Who caused it.
    pub by: Actor,
    /// The command that caused it, so that the same one is not counted twice.
    pub cause: Option<CommandId>,
    /// What happened.
    pub event: Event,
}

/// Why the session moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "the names of the commands")]
pub enum Why {
    Started,
    Next,
    Back,
    WentTo,
    Paused,
    PausedForSafety,
    WentOn,
    AgainStep,
    AgainRep,
    MoreTime,
    CutShort,
    DoseSwapped,
}

/// What happened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case")]
#[allow(missing_docs, reason = "fields are named as in the commands that cause them")]
pub enum Event {
    /// The first line: everything the session starts from.
    Begun { plan: Plan },
    /// People are let in.
    Opened,
    /// The session moves; the list is as [`super::Move`] says.
    Moved { why: Why, moves: Vec<Move> },
    /// A step was put after `after`.
    StepInserted { id: StepId, after: Option<StepId>, step: Step },
    /// A step has another dose and a higher revision.
    DoseSwapped { step: StepId, rev: u32, with: Step },
    /// A clue of the round is on the screens (number from 1).
    ClueShown { step: StepId, number: u32 },
    /// So many hints of the present clue are on the screens.
    HintShown { hints: u32 },
    /// The answer of the present clue is on the screens.
    AnswerShown,
    /// Somebody has a seat.
    SeatTaken { seat: SeatId, name: Name, by_phone: bool },
    /// Somebody checked in.
    CheckedIn { seat: SeatId, answers: CheckIn },
    /// Somebody did a step.
    Did { seat: SeatId, step: StepId },
    /// Somebody took that back.
    Undid { seat: SeatId, step: StepId },
    /// How far somebody got.
    Got { seat: SeatId, step: StepId, far: HowFar },
    /// Somebody stopped, or said why.
    Stopped { seat: SeatId, reason: Option<StopReason> },
    /// Somebody takes part again.
    WentOn { seat: SeatId },
    /// Somebody reports discomfort.
    Reported {
        seat: SeatId,
        report: ReportId,
        place: Where,
        strength: Option<Strength>,
        urgent: Option<UrgentSign>,
        words: Option<Sentence>,
        /// Where the session was: step and offset.
        during: Option<(StepId, i64)>,
    },
    /// A report was taken back; it stays in the record.
    ReportTakenBack { report: ReportId },
    /// A desk saw a report.
    ReportSeen { report: ReportId },
    /// A desk dealt with a report.
    ReportClosed { report: ReportId },
    /// Somebody answered the clue.
    ClueAnswered { seat: SeatId, step: StepId, number: u32, word: Option<Line<60>> },
    /// A person is asked to rest.
    RestAsked { seat: SeatId },
    /// A person was sent a message.
    MessageSent { seat: SeatId, text: Sentence },
    /// The person read the oldest unread one.
    MessageRead { seat: SeatId },
    /// A desk marked a person by hand.
    Marked { seat: SeatId, step: Option<StepId>, mark: Mark },
    /// Swallow drills are on for these people today.
    SwallowCleared { seats: Vec<SeatId> },
    /// Somebody left by themselves.
    Left { seat: SeatId },
    /// Somebody came back after leaving.
    CameBack { seat: SeatId },
    /// A seat was taken out.
    Removed { seat: SeatId, reason: Sentence },
    /// A seat became part of another.
    Merged { from: SeatId, into: SeatId },
    /// The lead changed.
    DeskHanded { to: DeskRole },
    /// The session is over.
    Ended,
}

impl Event {
    /// Whether the class's screens show something else afterwards.
    #[must_use]
    pub fn changes_stage(&self) -> bool {
        match self {
            Self::Begun { .. }
            | Self::Opened
            | Self::Moved { .. }
            | Self::StepInserted { .. }
            | Self::DoseSwapped { .. }
            | Self::ClueShown { .. }
            | Self::HintShown { .. }
            | Self::AnswerShown
            | Self::Ended => true,
            Self::SeatTaken { .. }
            | Self::CheckedIn { .. }
            | Self::Did { .. }
            | Self::Undid { .. }
            | Self::Got { .. }
            | Self::Stopped { .. }
            | Self::WentOn { .. }
            | Self::Reported { .. }
            | Self::ReportTakenBack { .. }
            | Self::ReportSeen { .. }
            | Self::ReportClosed { .. }
            | Self::ClueAnswered { .. }
            | Self::RestAsked { .. }
            | Self::MessageSent { .. }
            | Self::MessageRead { .. }
            | Self::Marked { .. }
            | Self::SwallowCleared { .. }
            | Self::Left { .. }
            | Self::CameBack { .. }
            | Self::Removed { .. }
            | Self::Merged { .. }
            | Self::DeskHanded { .. } => false,
        }
    }
}

impl Event {
    /// Whether this event is about `seat`.
    #[must_use]
    pub fn concerns(&self, seat: SeatId) -> bool {
        match self {
            Self::SeatTaken { seat: of, .. }
            | Self::CheckedIn { seat: of, .. }
            | Self::Did { seat: of, .. }
            | Self::Undid { seat: of, .. }
            | Self::Got { seat: of, .. }
            | Self::Stopped { seat: of, .. }
            | Self::WentOn { seat: of }
            | Self::Reported { seat: of, .. }
            | Self::ClueAnswered { seat: of, .. }
            | Self::RestAsked { seat: of }
            | Self::MessageSent { seat: of, .. }
            | Self::MessageRead { seat: of }
            | Self::Marked { seat: of, .. }
            | Self::Left { seat: of }
            | Self::CameBack { seat: of }
            | Self::Removed { seat: of, .. } => *of == seat,
            Self::SwallowCleared { seats } => seats.contains(&seat),
            Self::Merged { from, into } => *from == seat || *into == seat,
            Self::Begun { .. }
            | Self::Opened
            | Self::Moved { .. }
            | Self::StepInserted { .. }
            | Self::DoseSwapped { .. }
            | Self::ClueShown { .. }
            | Self::HintShown { .. }
            | Self::AnswerShown
            | Self::ReportTakenBack { .. }
            | Self::ReportSeen { .. }
            | Self::ReportClosed { .. }
            | Self::DeskHanded { .. }
            | Self::Ended => false,
        }
    }
}
