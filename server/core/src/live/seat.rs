//! A participant of a session, and what is known of them.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::clue::Verdict;
use crate::drill::Family;
use crate::live::{CheckIn, Condition, DeskRole, HowFar, PersonalForm, SeatId, StepId, StopReason, Whose};
use crate::text::{Name, Sentence};
use crate::time::EpochMs;

/// A participant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seat {
    /// The name on the roster.
    pub name: Name,
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
    pub stopped: Option<Stopped>,
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
pub struct Stopped {
    /// Since when.
    pub since: EpochMs,
    /// Why, if said.
    pub reason: Option<StopReason>,
    /// Who of the seat.
    pub whose: Whose,
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
