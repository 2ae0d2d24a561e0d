//! What happened in a session: the lines of its ledger.

use serde::{Deserialize, Serialize};

use crate::drill::Family;
use crate::live::command::Entry;
use crate::live::ids::{Actor, CommandId, DeskRole, MessageId, ReportId, SeatId, StepId};
use crate::live::motion::Move;
use crate::live::said::{CheckIn, HowFar, Mark, ReportState, Said, StopReason, Whose};
use crate::people::care::{Condition, Of, PersonalForm};
use crate::people::rules::Rules;
use crate::plan::{Plan, Step};
use crate::text::{Line, Name, Sentence};
use crate::time::EpochMs;
use crate::time::day::Date;

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

/// How a seat came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// Came in by the code.
    ByCode,
    /// Asks to come in.
    Asking,
    /// Expected, with a personal link.
    Expected,
    /// Takes part by telephone.
    ByPhone,
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
    Resumed,
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
    Begun { plan: Plan, rules: Rules },
    /// People are let in.
    Opened,
    /// The session moves; the list is as [`Move`] says.
    Moved { why: Why, moves: Vec<Move> },
    /// A step was put after `after`.
    StepInserted { id: StepId, after: Option<StepId>, step: Step },
    /// A step has another dose and a higher revision.
    DoseSwapped { step: StepId, rev: u32, with: Step },
    /// A clue of the round is on the screens (number from 1) at the instant `from`.
    ClueShown { step: StepId, number: u32, from: EpochMs },
    /// So many hints of the present clue are on the screens.
    HintShown { hints: u32, from: EpochMs },
    /// The answer of the present clue is on the screens.
    AnswerShown { from: EpochMs },
    /// The class is asked how much effort it was.
    EffortAsked { number: u32 },
    /// Who may come in by the code.
    EntrySet { to: Entry },
    /// There is a seat.
    SeatTaken {
        seat: SeatId,
        name: Name,
        how: How,
        /// Somebody on the roster who may be the same person; a desk says.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        perhaps: Option<SeatId>,
    },
    /// Somebody who asked was let in, or came by their link.
    CameIn { seat: SeatId },
    /// Somebody who asked was not let in.
    TurnedAway { seat: SeatId },
    /// Somebody checked in.
    CheckedIn { seat: SeatId, answers: CheckIn },
    /// Somebody did a step.
    Did { seat: SeatId, step: StepId },
    /// Somebody took that back.
    Undid { seat: SeatId, step: StepId },
    /// How far somebody got.
    Got { seat: SeatId, step: StepId, far: HowFar },
    /// Somebody stopped, or said why.
    Stopped { seat: SeatId, reason: Option<StopReason>, whose: Whose },
    /// A desk has seen the stop.
    StopSeen { seat: SeatId },
    /// The stop was a slip of the finger.
    StopUndone { seat: SeatId },
    /// Somebody takes part again.
    WentOn { seat: SeatId },
    /// Somebody reports discomfort.
    Reported {
        seat: SeatId,
        report: ReportId,
        said: Said,
        /// Where the session was: step and offset.
        during: Option<(StepId, i64)>,
    },
    /// The person said more about it.
    ReportAmended {
        seat: SeatId,
        report: ReportId,
        said: Said,
        /// Another report of the same person, which was folded into this open one: it has to be seen anew.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        also: Option<ReportId>,
    },
    /// A report was taken back; it stays in the record.
    ReportTakenBack { seat: SeatId, report: ReportId },
    /// A desk saw to a report.
    ReportHandled { seat: SeatId, report: ReportId, to: ReportState },
    /// A person was not heard any more in the middle of a swallow or a hold.
    Lost { seat: SeatId, heard_at: EpochMs, during: (StepId, i64) },
    /// A lost person is heard again.
    Found { seat: SeatId },
    /// A desk sees to a lost person.
    LostTaken { seat: SeatId },
    /// A desk knows how a lost person is.
    LostClosed { seat: SeatId },
    /// Somebody said whether their mouth is empty.
    MouthSaid { seat: SeatId, empty: bool },
    /// Somebody said how much effort it was.
    EffortSaid { seat: SeatId, number: u32, score: u8 },
    /// Somebody answered the clue.
    ClueAnswered { seat: SeatId, step: StepId, number: u32, word: Option<Line<60>> },
    /// A person is asked to rest.
    RestAsked { seat: SeatId },
    /// A person was sent a message.
    MessageSent { seat: SeatId, text: Sentence },
    /// The person read a message; in older ledgers, where it is not named, the oldest unread one.
    MessageRead {
        seat: SeatId,
        #[serde(default)]
        message: Option<MessageId>,
    },
    /// A desk marked a person by hand.
    Marked { seat: SeatId, step: Option<StepId>, mark: Mark },
    /// A clinician turned swallow drills on for these people today.
    SwallowCleared { seats: Vec<SeatId>, by: Name },
    /// Swallow drills are not switched on for this person with everybody's, only by name.
    SwallowKeptOff { seat: SeatId },
    /// They are off again for one.
    SwallowEnded { seat: SeatId },
    /// A clinician cleared a person for a family today.
    FamilyCleared { seat: SeatId, family: Family, by: Name },
    /// That was taken back.
    FamilyEnded { seat: SeatId, family: Family },
    /// A person's precautions.
    PrecautionsSet { seat: SeatId, conditions: Vec<Condition> },
    /// A person has a form of their own.
    FormSet { seat: SeatId, form: PersonalForm },
    /// A personal form is gone.
    FormLifted { seat: SeatId, of: Of },
    /// A person gets the easier forms, or no longer.
    OffToday { seat: SeatId, off: bool },
    /// Something is to be done after class.
    FollowUpAdded { id: u32, seat: SeatId, what: Sentence, owner: Name, due: Date },
    /// It is done.
    FollowUpClosed { id: u32 },
    /// A command of this seat was taken and changed nothing. It is kept so that its id counts once for ever.
    Unchanged { seat: SeatId },
    /// Somebody left by themselves.
    Left { seat: SeatId },
    /// Somebody came back after leaving.
    CameBack { seat: SeatId },
    /// A seat was taken out.
    Removed { seat: SeatId, reason: Sentence },
    /// A seat became part of another.
    Merged { from: SeatId, into: SeatId },
    /// Who sits at a desk.
    DeskNamed { role: DeskRole, name: Name },
    /// Whether the helper sees health notes.
    HealthShared { with_helper: bool },
    /// The desk that leads was not heard any more.
    LeadLost,
    /// It is heard again.
    LeadBack,
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
            | Self::AnswerShown { .. }
            | Self::EffortAsked { .. }
            | Self::LeadLost
            | Self::LeadBack
            | Self::DeskHanded { .. }
            | Self::Ended => true,
            Self::EntrySet { .. } | Self::DeskNamed { .. } | Self::HealthShared { .. } => false,
            Self::SwallowCleared { .. } | Self::FollowUpClosed { .. } | Self::Merged { .. } => false,
            of_a_seat => {
                debug_assert!(of_a_seat.seat().is_some(), "named above, or about a seat");
                false
            }
        }
    }

    /// Whether every person's own view may differ afterwards.
    #[must_use]
    pub fn concerns_everybody(&self) -> bool {
        match self {
            Self::Moved { .. }
            | Self::StepInserted { .. }
            | Self::DoseSwapped { .. }
            | Self::SwallowCleared { .. }
            | Self::Merged { .. } => true,
            other => other.changes_stage(),
        }
    }

    /// The one seat that this event is about.
    #[must_use]
    pub fn seat(&self) -> Option<SeatId> {
        match self {
            Self::SeatTaken { seat, .. }
            | Self::CameIn { seat }
            | Self::TurnedAway { seat }
            | Self::CheckedIn { seat, .. }
            | Self::Did { seat, .. }
            | Self::Undid { seat, .. }
            | Self::Got { seat, .. }
            | Self::Stopped { seat, .. }
            | Self::StopSeen { seat }
            | Self::StopUndone { seat }
            | Self::Unchanged { seat }
            | Self::WentOn { seat }
            | Self::Reported { seat, .. }
            | Self::ReportAmended { seat, .. }
            | Self::ReportTakenBack { seat, .. }
            | Self::ReportHandled { seat, .. }
            | Self::Lost { seat, .. }
            | Self::Found { seat }
            | Self::LostTaken { seat }
            | Self::LostClosed { seat }
            | Self::MouthSaid { seat, .. }
            | Self::EffortSaid { seat, .. }
            | Self::ClueAnswered { seat, .. }
            | Self::RestAsked { seat }
            | Self::MessageSent { seat, .. }
            | Self::MessageRead { seat, .. }
            | Self::Marked { seat, .. }
            | Self::SwallowKeptOff { seat }
            | Self::SwallowEnded { seat }
            | Self::FamilyCleared { seat, .. }
            | Self::FamilyEnded { seat, .. }
            | Self::PrecautionsSet { seat, .. }
            | Self::FormSet { seat, .. }
            | Self::FormLifted { seat, .. }
            | Self::OffToday { seat, .. }
            | Self::FollowUpAdded { seat, .. }
            | Self::Left { seat }
            | Self::CameBack { seat }
            | Self::Removed { seat, .. } => Some(*seat),
            Self::Begun { .. }
            | Self::Opened
            | Self::Moved { .. }
            | Self::StepInserted { .. }
            | Self::DoseSwapped { .. }
            | Self::ClueShown { .. }
            | Self::HintShown { .. }
            | Self::AnswerShown { .. }
            | Self::EffortAsked { .. }
            | Self::EntrySet { .. }
            | Self::SwallowCleared { .. }
            | Self::FollowUpClosed { .. }
            | Self::Merged { .. }
            | Self::DeskNamed { .. }
            | Self::HealthShared { .. }
            | Self::LeadLost
            | Self::LeadBack
            | Self::DeskHanded { .. }
            | Self::Ended => None,
        }
    }
}
