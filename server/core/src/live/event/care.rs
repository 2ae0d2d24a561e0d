//! What others did about one person: the entry, a desk, or the server.

use crate::drill::Family;
use crate::live::event::Event;
use crate::live::ids::{ReportId, SeatId, StepId};
use crate::live::said::{Mark, ReportState};
use crate::people::care::{Condition, Of, PersonalForm};
use crate::text::{Name, Sentence};
use crate::time::EpochMs;
use crate::time::day::Date;
use serde::{Deserialize, Serialize};

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

/// What others did about one person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case")]
#[allow(missing_docs, reason = "fields are named as in the commands that cause them")]
pub enum CareEvent {
    /// There is a seat.
    SeatTaken {
        name: Name,
        how: How,
        /// Somebody on the roster who may be the same person; a desk says.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        perhaps: Option<SeatId>,
    },
    /// Asked and was let in, or came by their link.
    CameIn,
    /// Asked and was not let in.
    TurnedAway,
    /// A desk took the seat out.
    Removed { reason: Sentence },
    /// A desk has seen the stop.
    StopSeen,
    /// A desk saw to a report.
    ReportHandled { report: ReportId, to: ReportState },
    /// Was not heard any more in the middle of a swallow or a hold.
    Lost { heard_at: EpochMs, during: (StepId, i64) },
    /// Is heard again.
    Found,
    /// A desk sees to a lost person.
    LostTaken,
    /// A desk knows how a lost person is.
    LostClosed,
    /// Is asked to rest.
    RestAsked,
    /// Was sent a message.
    MessageSent { text: Sentence },
    /// A desk marked them by hand.
    Marked { step: Option<StepId>, mark: Mark },
    /// Swallow drills are not switched on for this person with everybody's, only by name.
    SwallowKeptOff,
    /// Swallow drills are off again.
    SwallowEnded,
    /// A clinician cleared them for a family today.
    FamilyCleared { family: Family, by: Name },
    /// That was taken back.
    FamilyEnded { family: Family },
    /// Their precautions.
    PrecautionsSet { conditions: Vec<Condition> },
    /// They have a form of their own.
    FormSet { form: PersonalForm },
    /// A personal form is gone.
    FormLifted { of: Of },
    /// They get the easier forms, or no longer.
    OffToday { off: bool },
    /// Something is to be done after class.
    FollowUpAdded { id: u32, what: Sentence, owner: Name, due: Date },
}

impl CareEvent {
    /// The event, about the person on `seat`.
    #[must_use]
    pub fn of(self, seat: SeatId) -> Event {
        Event::Care { seat, what: self }
    }
}
