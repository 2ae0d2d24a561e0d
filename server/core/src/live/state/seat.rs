//! A participant of a session, and what is known of them.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::clue::Verdict;
use crate::drill::Family;
use crate::live::ids::{DeskRole, MessageId, SeatId, StepId};
use crate::live::said::{CheckIn, HowFar, StopReason, Whose};
use crate::people::care::{Condition, PersonalForm};
use crate::text::{Name, Sentence};
use crate::time::EpochMs;

/// Most people who have a place in one session at once (an agreed choice, far above the largest class that was
/// asked for).
pub const MOST_SEATS: usize = 2_000;

/// A participant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seat {
    /// The name that the person gave, or under which they are expected.
    pub name: Name,
    /// The name as names are compared.
    pub folded: String,
    /// How far the person is in.
    pub place: Place,
    /// Takes part by telephone, without a screen.
    pub by_phone: bool,
    /// When the person came; when the seat was made until then.
    pub joined_at: EpochMs,
    /// The check-in, once given.
    pub check_in: Option<CheckIn>,
    /// Answers by step.
    pub answers: BTreeMap<StepId, Answered>,
    /// Set from a stop until the person goes on.
    pub stopped: Option<Stop>,
    /// Asked to rest by a desk, until the person goes on.
    pub rest_asked: bool,
    /// Messages, oldest first.
    pub messages: Vec<Message>,
    /// The clinician who turned swallow drills on for today.
    pub swallow_cleared_by: Option<Name>,
    /// No clinician decided yet that they may be: everybody's switch leaves this person out.
    pub swallow_kept_off: bool,
    /// Families cleared for today in spite of a precaution, and by whom.
    pub cleared: BTreeMap<Family, Name>,
    /// What the clinician takes care of.
    pub precautions: BTreeSet<Condition>,
    /// Forms of their own.
    pub forms: Vec<PersonalForm>,
    /// Gets the easier forms today.
    pub off_today: bool,
    /// What the person last said of their mouth before a swallow drill.
    pub mouth_empty: Option<bool>,
    /// The effort by question.
    pub efforts: BTreeMap<u32, u8>,
    /// Not heard any more in the middle of a swallow or a hold.
    pub lost: Option<Lost>,
    /// The clue answers: step, number, word.
    pub clues: BTreeMap<(StepId, u32), ClueSaid>,
    /// Became part of another seat.
    pub merged_into: Option<SeatId>,
    /// Somebody on the roster who may be the same person.
    pub perhaps: Option<SeatId>,
    /// When a desk took the seat out.
    pub removed_at: Option<EpochMs>,
    /// When the newest report came, or more of one.
    pub reported_at: Option<EpochMs>,
}

impl Seat {
    /// The name with a number, for people of one name.
    pub(in crate::live) fn numbered(&self, number: u32) -> Name {
        let number = format!(" ({number})");
        let room = Name::LIMIT - number.chars().count();
        let short: String = self.name.as_str().chars().take(room).collect();
        Name::try_from(format!("{short}{number}")).unwrap_or_else(|_| self.name.clone())
    }

    /// Whoever has a place in the class, or had one: numbers stay when somebody leaves.
    pub(in crate::live) fn counts_as_namesake(&self) -> bool {
        let known = matches!(self.place, Place::Expected | Place::In | Place::Left | Place::Removed(_));
        known && self.merged_into.is_none()
    }

    /// Whether nobody else can have this place.
    pub(in crate::live) fn takes_a_place(&self) -> bool {
        let here = matches!(self.place, Place::Expected | Place::Asking | Place::In | Place::Left);
        here && self.merged_into.is_none()
    }
}

/// How far a person is in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Place {
    /// Has a link and did not come yet.
    Expected,
    /// Asks to come in.
    Asking,
    /// In the class.
    In,
    /// Was not let in.
    TurnedAway,
    /// Left by themselves.
    Left,
    /// Taken out by a desk.
    Removed(Sentence),
}

/// What a person said of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Answered {
    /// What.
    pub answer: Answer,
    /// When.
    pub at: EpochMs,
    /// How far an open hold went, if said.
    pub far: Option<HowFar>,
}

/// What a person can say of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Answer {
    /// Did it.
    Done,
    /// Stopped in it.
    Stopped,
}

/// A stop that lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop {
    /// Since when.
    pub since: EpochMs,
    /// Why, if said.
    pub reason: Option<StopReason>,
    /// Who of the seat.
    pub whose: Whose,
    /// A desk has seen it.
    pub seen: bool,
}

/// A person who was not heard any more in the middle of a swallow or a hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lost {
    /// When the person was last heard.
    pub heard_at: EpochMs,
    /// Step and offset then.
    pub during: (StepId, i64),
    /// The desk that sees to it.
    pub taken_by: Option<DeskRole>,
    /// A desk knows how the person is.
    pub closed: bool,
}

/// A short message of a desk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Message {
    /// Which.
    pub id: MessageId,
    /// What.
    pub text: Sentence,
    /// Of which desk.
    pub by: DeskRole,
    /// When.
    pub at: EpochMs,
    /// When the person said that they read it.
    pub read_at: Option<EpochMs>,
}

/// What a person said to a clue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClueSaid {
    /// Their word; nothing when they have it without writing.
    pub word: Option<String>,
    /// What the word is, compared once when it came.
    pub verdict: Option<Verdict>,
}

impl ClueSaid {
    /// Whether the person has it, written or not.
    #[must_use]
    pub fn has_it(&self) -> bool {
        self.verdict != Some(Verdict::Other)
    }
}
