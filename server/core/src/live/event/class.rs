//! What happened to the class as a whole, to its desks, or to several people at once.

use crate::live::command::Entry;
use crate::live::ids::{DeskRole, SeatId, StepId};
use crate::live::motion::Move;
use crate::people::rules::Rules;
use crate::plan::minutes::Minutes;
use crate::plan::{Plan, Step};
use crate::text::Name;
use crate::time::EpochMs;
use serde::{Deserialize, Serialize};

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

/// What happened to the class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case")]
#[allow(missing_docs, reason = "fields are named as in the commands that cause them")]
pub enum ClassEvent {
    /// The first line: everything the session starts from.
    Begun {
        plan: Plan,
        rules: Rules,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        starts: Option<EpochMs>,
        /// Whether it opens by itself before it starts.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        opens: bool,
    },
    /// People are let in.
    Opened,
    /// The session moves as its list of [`Move`]s says.
    Moved { why: Why, moves: Vec<Move> },
    /// A step was put after `after`.
    StepInserted { id: StepId, after: Option<StepId>, step: Step },
    /// A step that was inserted in class was put after another one.
    StepMoved { step: StepId, after: StepId },
    /// A step that was inserted in class was taken out before the class came to it.
    StepTakenOut { step: StepId },
    /// Another time is allowed for a step without a clock.
    MinutesSet { step: StepId, minutes: Minutes },
    /// A step got another dose and a higher revision.
    DoseSwapped { step: StepId, rev: u32, with: Step },
    /// The clue with this number, from 1, is on the screens from the instant `from`.
    ClueShown { step: StepId, number: u32, from: EpochMs },
    /// This many hints of the present clue are on the screens.
    HintShown { hints: u32, from: EpochMs },
    /// The answer of the present clue is on the screens.
    AnswerShown { from: EpochMs },
    /// The class is asked how much effort it was; the questions are numbered from 1.
    EffortAsked { number: u32 },
    /// A desk set who may come in with the code.
    EntrySet { to: Entry },
    /// A clinician turned swallow drills on for these people today.
    SwallowCleared { seats: Vec<SeatId>, by: Name },
    /// A seat became part of another.
    Merged { from: SeatId, into: SeatId },
    /// A follow-up is done. Only older ledgers have it, without a word about what came of it.
    FollowUpClosed { id: u32 },
    /// Somebody said who sits at a desk.
    DeskNamed { role: DeskRole, name: Name },
    /// The facilitator set whether the helper sees health notes.
    HealthShared { with_helper: bool },
    /// The desk that leads was no longer heard from.
    LeadLost,
    /// The desk that leads is heard from again.
    LeadBack,
    /// The lead went to another desk.
    DeskHanded { to: DeskRole },
    /// The session is over.
    Ended,
}

impl ClassEvent {
    /// Whether the class's screens show something different afterwards.
    #[must_use]
    pub fn changes_stage(&self) -> bool {
        match self {
            Self::Begun { .. }
            | Self::Opened
            | Self::Moved { .. }
            | Self::StepInserted { .. }
            | Self::StepMoved { .. }
            | Self::StepTakenOut { .. }
            | Self::DoseSwapped { .. }
            | Self::ClueShown { .. }
            | Self::HintShown { .. }
            | Self::AnswerShown { .. }
            | Self::EffortAsked { .. }
            | Self::LeadLost
            | Self::LeadBack
            | Self::DeskHanded { .. }
            | Self::Ended => true,
            Self::EntrySet { .. }
            | Self::MinutesSet { .. }
            | Self::SwallowCleared { .. }
            | Self::Merged { .. }
            | Self::FollowUpClosed { .. }
            | Self::DeskNamed { .. }
            | Self::HealthShared { .. } => false,
        }
    }
}
