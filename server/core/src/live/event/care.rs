//! What others did about one person: the entry, a desk, or the server.

use crate::drill::Family;
use crate::live::event::Event;
use crate::live::ids::{ReportId, SeatId, StepId};
use crate::live::said::{Mark, ReportState};
use crate::people::care::{Condition, Of, PersonalForm};
use crate::people::person::PersonId;
use crate::text::{Name, Sentence};
use crate::time::EpochMs;
use crate::time::day::Date;
use serde::{Deserialize, Serialize};

/// How a person got their seat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// They came in with the code.
    ByCode,
    /// They asked to come in.
    Asking,
    /// They are expected, with a personal link.
    Expected,
    /// They take part by telephone.
    ByPhone,
}

/// What others did about one person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case")]
#[allow(missing_docs, reason = "fields are named as in the commands that cause them")]
pub enum CareEvent {
    /// A person was given a seat.
    SeatTaken {
        name: Name,
        how: How,
        /// Somebody on the roster who may be the same person; a desk decides.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        perhaps: Option<SeatId>,
        /// Who it is, for somebody who is enrolled in the group.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        person: Option<PersonId>,
    },
    /// They asked and were let in, or came by their link.
    CameIn,
    /// They came by their link, from a device on which it had not been used before.
    NewDevice,
    /// They said beforehand whether they come.
    SentWord { comes: bool },
    /// They asked and were not let in.
    TurnedAway,
    /// A desk took the seat out.
    Removed { reason: Sentence },
    /// A desk has seen the stop.
    StopSeen,
    /// A desk said what becomes of a report.
    ReportHandled { report: ReportId, to: ReportState },
    /// They were no longer heard from in the middle of a swallow or a hold.
    Lost { heard_at: EpochMs, during: (StepId, i64) },
    /// They are heard from again.
    Found,
    /// Their screen is no longer heard from, since `heard_at`; of attendance, and no alarm. Older ledgers do not say so.
    ScreenAway { heard_at: EpochMs },
    /// Their screen is heard from again.
    ScreenBack,
    /// A desk is looking after a lost person.
    LostTaken,
    /// A desk knows how a lost person is and closed the alert.
    LostClosed,
    /// A desk asked them to rest.
    RestAsked,
    /// A desk sent them a message.
    MessageSent { text: Sentence },
    /// A desk marked by hand what they did.
    Marked { step: Option<StepId>, mark: Mark },
    /// Switching swallow drills on for everybody leaves this person out; it takes a switch of their own.
    SwallowKeptOff,
    /// Swallow drills are off for them again.
    SwallowEnded,
    /// A clinician cleared them for a family today.
    FamilyCleared { family: Family, by: Name },
    /// Such a clearance was taken back.
    FamilyEnded { family: Family },
    /// A clinician said which precautions they have.
    PrecautionsSet { conditions: Vec<Condition> },
    /// A clinician gave them a personal form.
    FormSet { form: PersonalForm },
    /// A personal form was taken away.
    FormLifted { of: Of },
    /// They get the easier forms, or no longer get them.
    OffToday { off: bool },
    /// Something needs to be done for them after class.
    FollowUpAdded { id: u32, what: Sentence, owner: Name, due: Date },
    /// It was done, and what came of it.
    FollowUpDone { id: u32, outcome: Sentence },
    /// Somebody corrected how long they were in the class; 0 minutes is not at all.
    AttendanceSet { minutes: u32, reason: Sentence },
}

impl CareEvent {
    /// The event, about the person on `seat`.
    #[must_use]
    pub fn of(self, seat: SeatId) -> Event {
        Event::Care { seat, what: self }
    }
}
