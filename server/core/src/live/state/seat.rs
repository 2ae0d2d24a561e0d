//! A participant of a session, and what is known of them.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::clue::Verdict;
use crate::drill::Family;
use crate::live::event::How;
use crate::live::ids::{DeskRole, MessageId, SeatId, StepId};
use crate::live::practised::HomeLog;
use crate::live::said::{CheckIn, HowFar, StopReason, Whose};
use crate::people::care::{Condition, PersonalForm};
use crate::people::person::PersonId;
use crate::text::{Name, Sentence, name};
use crate::time::EpochMs;

/// Most people who can have a place in one session at once (an agreed choice, far above any class we expect).
pub const MOST_SEATS: usize = 2_000;

/// A correction of how long somebody was in the class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Attendance {
    /// How many minutes; 0 is not at all.
    pub minutes: u32,
    /// Why it was something else than was recorded.
    pub reason: Sentence,
}

/// A participant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seat {
    /// The name that the person gave, or under which they are expected.
    pub name: Name,
    /// Who it is, if they are enrolled in the group.
    pub person: Option<PersonId>,
    /// The name in the form in which names are compared.
    pub folded: String,
    /// Whether the person is in the class, and if not, why.
    pub place: Place,
    /// Whether the person takes part by telephone, without a screen.
    pub by_phone: bool,
    /// When the person came; until then, when the seat was made.
    pub joined_at: EpochMs,
    /// The check-in, once it is given.
    pub check_in: Option<CheckIn>,
    /// What the person said of each step.
    pub answers: BTreeMap<StepId, Answered>,
    /// The stop, until the person goes on.
    pub stopped: Option<Stop>,
    /// Whether a desk asked the person to rest; cleared when they go on.
    pub rest_asked: bool,
    /// Messages to the person, oldest first.
    pub messages: Vec<Message>,
    /// The clinician who turned swallow drills on for this person today.
    pub swallow_cleared_by: Option<Name>,
    /// No clinician has decided on swallow drills for this person, so switching them on for everybody leaves this
    /// person out.
    pub swallow_kept_off: bool,
    /// Families cleared for today in spite of a precaution, and the clinician who did it.
    pub cleared: BTreeMap<Family, Name>,
    /// The person's precautions, as a clinician set them.
    pub precautions: BTreeSet<Condition>,
    /// The person's own forms, as a clinician set them.
    pub forms: Vec<PersonalForm>,
    /// Whether the person gets the easier forms today.
    pub off_today: bool,
    /// What the person last said about their mouth before a swallow drill.
    pub mouth_empty: Option<bool>,
    /// The effort from 0 to 10, by the number of the question.
    pub efforts: BTreeMap<u32, u8>,
    /// Set when the person was no longer heard from in the middle of a swallow or a hold.
    pub lost: Option<Lost>,
    /// How long somebody said that they were in the class, in the place of what was recorded.
    pub attendance: Option<Attendance>,
    /// Since when their screen is no longer heard from.
    pub away_since: Option<EpochMs>,
    /// What the person said to each clue, by step and number.
    pub clues: BTreeMap<(StepId, u32), ClueSaid>,
    /// The seat that this one was merged into.
    pub merged_into: Option<SeatId>,
    /// Somebody on the roster who may be the same person.
    pub perhaps: Option<SeatId>,
    /// Whether they came from a device on which their link had not been used before.
    pub new_device: bool,
    /// Whether they come, if they said so beforehand.
    pub comes: Option<bool>,
    /// When a desk took the seat out.
    pub removed_at: Option<EpochMs>,
    /// When the person last reported, or said more about a report.
    pub reported_at: Option<EpochMs>,
    /// What the person did at home after the class, as it came in.
    pub practised: Vec<HomeLog>,
}

impl Seat {
    /// A seat that somebody has just got, in one way or another.
    pub(in crate::live) fn new(name: Name, how: How, perhaps: Option<SeatId>, joined_at: EpochMs) -> Self {
        Self {
            folded: name::folded(name.as_str()),
            name,
            person: None,
            place: match how {
                How::ByCode | How::ByPhone => Place::In,
                How::Asking => Place::Asking,
                How::Expected => Place::Expected,
            },
            by_phone: how == How::ByPhone,
            joined_at,
            check_in: None,
            answers: BTreeMap::new(),
            stopped: None,
            rest_asked: false,
            messages: Vec::new(),
            swallow_cleared_by: None,
            swallow_kept_off: false,
            cleared: BTreeMap::new(),
            precautions: BTreeSet::new(),
            forms: Vec::new(),
            off_today: false,
            mouth_empty: None,
            efforts: BTreeMap::new(),
            lost: None,
            attendance: None,
            away_since: None,
            clues: BTreeMap::new(),
            merged_into: None,
            perhaps,
            new_device: false,
            comes: None,
            removed_at: None,
            reported_at: None,
            practised: Vec::new(),
        }
    }

    /// The name with a number, for people with the same name.
    pub(in crate::live) fn numbered(&self, number: u32) -> Name {
        let number = format!(" ({number})");
        let room = Name::LIMIT - number.chars().count();
        let short: String = self.name.as_str().chars().take(room).collect();
        Name::try_from(format!("{short}{number}")).unwrap_or_else(|_| self.name.clone())
    }

    /// Whether this seat counts when people with the same name are numbered. Those who left still count, so that
    /// the others keep their numbers.
    pub(in crate::live) fn counts_as_namesake(&self) -> bool {
        let known = matches!(self.place, Place::Expected | Place::In | Place::Left | Place::Removed(_));
        known && self.merged_into.is_none()
    }

    /// Whether this seat counts towards [`MOST_SEATS`].
    pub(in crate::live) fn takes_a_place(&self) -> bool {
        let here = matches!(self.place, Place::Expected | Place::Asking | Place::In | Place::Left);
        here && self.merged_into.is_none()
    }
}

/// Whether a person is in the class, and if not, why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Place {
    /// Has a personal link and has not come yet.
    Expected,
    /// Has asked to come in.
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

/// What a person said about a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Answered {
    /// Whether they did it or stopped.
    pub answer: Answer,
    /// When they said so.
    pub at: EpochMs,
    /// How far an open hold went, if they said so.
    pub far: Option<HowFar>,
}

/// What a person can say about a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Answer {
    /// They did it.
    Done,
    /// They stopped during it.
    Stopped,
}

/// A stop that has not ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop {
    /// When the person stopped.
    pub since: EpochMs,
    /// Why, if the person said so.
    pub reason: Option<StopReason>,
    /// Which of the people on the seat stopped.
    pub whose: Whose,
    /// Whether a desk has seen it.
    pub seen: bool,
}

/// A person who was no longer heard from in the middle of a swallow or a hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lost {
    /// When the person was last heard from.
    pub heard_at: EpochMs,
    /// The step and offset at that time.
    pub during: (StepId, i64),
    /// The desk that is looking after it.
    pub taken_by: Option<DeskRole>,
    /// Whether a desk knows how the person is and closed the alert.
    pub closed: bool,
}

/// A short message from a desk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Message {
    /// The message's id.
    pub id: MessageId,
    /// The text of the message.
    pub text: Sentence,
    /// The desk that sent it.
    pub by: DeskRole,
    /// When it was sent.
    pub at: EpochMs,
    /// When the person said that they had read it.
    pub read_at: Option<EpochMs>,
}

/// What a person said to a clue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClueSaid {
    /// The word; `None` when the person tapped that they have it without writing.
    pub word: Option<String>,
    /// What the word is worth, compared once when it came.
    pub verdict: Option<Verdict>,
}

impl ClueSaid {
    /// Whether the person has the answer, written or not.
    #[must_use]
    pub fn has_it(&self) -> bool {
        self.verdict != Some(Verdict::Other)
    }
}
