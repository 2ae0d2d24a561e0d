//! What people say with a tap: the check-in, how far, why they stop, where it hurts.

use serde::{Deserialize, Serialize};

use crate::people::rules::Felt;
use crate::text::{Name, Sentence};

/// What a desk marks by hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Mark {
    /// Did the present step.
    Done,
    /// Stopped.
    Stopped,
    /// Takes part again.
    Back,
}

/// How far a person got in an open hold, by their own word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum HowFar {
    /// To the first mark.
    FirstMark,
    /// To the target.
    Target,
    /// Beyond the target.
    Beyond,
}

/// Why a person stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum StopReason {
    /// Tired.
    Tired,
    /// Enough for today.
    EnoughForToday,
    /// It hurts; a report says where.
    Hurts,
    /// Something else.
    Other,
}

/// Where it hurts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "plain body parts")]
pub enum Where {
    Neck,
    Throat,
    Jaw,
    Chest,
    Head,
    Shoulder,
    Back,
    Breathing,
    Dizzy,
    Elsewhere,
}

/// Signs that need help at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "the urgent list, in plain words")]
pub enum UrgentSign {
    CannotBreathe,
    Choking,
    ChestPain,
    Faint,
    SuddenWeakness,
    Bleeding,
    /// Asks for help at once, without a word about what it is.
    Help,
}

/// Of whom on a seat with two names.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Whose {
    /// Of the first name.
    #[default]
    Own,
    /// Of the second.
    Partner,
}

/// What a person says of their discomfort. It is sent with the first tap and completed by the next.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Said {
    /// Of whom on this seat.
    #[serde(default)]
    pub whose: Whose,
    /// Where it hurts.
    #[serde(rename = "where")]
    pub place: Option<Where>,
    /// How strong.
    pub strength: Option<Felt>,
    /// A sign that needs help at once.
    pub urgent: Option<UrgentSign>,
    /// In words.
    pub words: Option<Sentence>,
}

/// How far a report has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum ReportState {
    /// The class has it; no desk has looked.
    Recorded,
    /// A desk has seen it.
    Seen,
    /// A desk sees to it.
    Taken,
    /// The person rests.
    Resting,
    /// The person takes part again.
    Back,
    /// Dealt with.
    Closed,
}

impl Said {
    /// This with `more` said. What was said before stays unless something else takes its place, since
    /// two parts of a report can come in the wrong order over two ways.
    #[must_use]
    pub(in crate::live) fn with(&self, more: &Self) -> Self {
        Self {
            whose: more.whose,
            place: more.place.or(self.place),
            strength: more.strength.or(self.strength),
            urgent: more.urgent.or(self.urgent),
            words: more.words.clone().or_else(|| self.words.clone()),
        }
    }

    /// Whether this is graver than `before`, so that somebody must look again.
    pub(in crate::live) fn is_graver_than(&self, before: &Self) -> bool {
        let rank = |felt: Option<Felt>| match felt {
            None => 0,
            Some(Felt::Word(word)) => 2 + 4 * word as u8,
            Some(Felt::Number(n)) => 1 + n,
        };
        self.urgent.is_some() && self.urgent != before.urgent || rank(self.strength) > rank(before.strength)
    }
}

/// The check-in before the start, one tap a question. What was not answered is absent, and the desk
/// sees that it is.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CheckIn {
    /// How the person feels.
    pub feeling: Option<Feeling>,
    /// Sits upright in a stable chair.
    pub seated: Option<bool>,
    /// Nothing in the mouth.
    pub mouth_empty: Option<bool>,
    /// Has water at hand; drinks it only if the plan allows.
    pub water: Option<bool>,
    /// Alone or with somebody.
    pub company: Option<Company>,
    /// Whether anything is new since the last class, such as a fall or another medicine.
    pub news: Option<bool>,
    /// Wants the easier forms today.
    pub easier: bool,
    /// Where the person is today, for help to find them. Seen by desks only.
    pub place: Option<Sentence>,
    /// Whom to call. Seen by desks only.
    pub contact: Option<Sentence>,
    /// The second person on this device, if there is one.
    pub partner: Option<Partner>,
}

/// A second person on the same device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Partner {
    /// The first name.
    pub name: Name,
    /// How that person feels.
    pub feeling: Option<Feeling>,
    /// Nothing in that person's mouth.
    pub mouth_empty: Option<bool>,
}

/// How a person feels today.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Feeling {
    /// Well.
    Well,
    /// So-so.
    SoSo,
    /// Not well.
    NotWell,
}

/// Whether somebody is with the person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Company {
    /// Alone.
    Alone,
    /// With somebody.
    With,
}
