//! What people say with a tap: the check-in, how far they got, why they stop, where it hurts.

use serde::{Deserialize, Serialize};

use crate::people::rules::Felt;
use crate::text::{Name, Sentence};

/// What a desk marks by hand for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Mark {
    /// The person did the present step.
    Done,
    /// The person stopped.
    Stopped,
    /// The person takes part again.
    Back,
}

/// How far a person got in an open hold, by their own word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum HowFar {
    /// Not to the first mark.
    Under,
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

/// Which of the two people on a seat is meant.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Whose {
    /// The first person.
    #[default]
    Own,
    /// The second person.
    Partner,
}

/// What a person says about their discomfort. It is sent with the first tap, and the next taps add to it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Said {
    /// Which of the people on this seat it is about.
    #[serde(default)]
    pub whose: Whose,
    /// Where it hurts.
    #[serde(rename = "where")]
    pub place: Option<Where>,
    /// How strong it is.
    pub strength: Option<Felt>,
    /// A sign that needs help at once.
    pub urgent: Option<UrgentSign>,
    /// More, in the person's own words.
    pub words: Option<Sentence>,
}

/// How far a report has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum ReportState {
    /// The server has it; no desk has looked.
    Recorded,
    /// A desk has seen it.
    Seen,
    /// Somebody at a desk is taking care of it.
    Taken,
    /// The person rests.
    Resting,
    /// The person takes part again.
    Back,
    /// The matter is resolved.
    Closed,
}

impl Said {
    /// This with `more` added. What was said before stays unless `more` replaces it, since two parts of a report
    /// can take different ways to the server and arrive in the wrong order.
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

    /// Whether this is graver than `before`, so that somebody has to look again.
    pub(in crate::live) fn is_graver_than(&self, before: &Self) -> bool {
        let rank = |felt: Option<Felt>| match felt {
            None => 0,
            Some(Felt::Word(word)) => 2 + 4 * word as u8,
            Some(Felt::Number(n)) => 1 + n,
        };
        self.urgent.is_some() && self.urgent != before.urgent || rank(self.strength) > rank(before.strength)
    }
}

/// The check-in before the start, one tap for each question. An unanswered question is absent, and the desk sees
/// that.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CheckIn {
    /// How the person feels.
    pub feeling: Option<Feeling>,
    /// Whether the person sits upright in a stable chair.
    pub seated: Option<bool>,
    /// Whether the mouth is empty.
    pub mouth_empty: Option<bool>,
    /// Whether water is at hand; the person drinks it only if their plan allows.
    pub water: Option<bool>,
    /// Whether the person said that they must not drink; absent in ledgers of earlier versions.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub must_not_drink: bool,
    /// Whether the person is alone.
    pub company: Option<Company>,
    /// Whether anything is new since the last class, such as a fall or a change of medicine.
    pub news: Option<bool>,
    /// Whether the person wants the easier forms today.
    pub easier: bool,
    /// Where the person is today, so that help can find them. Only desks see it.
    pub place: Option<Sentence>,
    /// Whom to call. Only desks see it.
    pub contact: Option<Sentence>,
    /// The second person on this device, if there is one.
    pub partner: Option<Partner>,
}

/// A second person on the same device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Partner {
    /// The second person's first name.
    pub name: Name,
    /// How that person feels.
    pub feeling: Option<Feeling>,
    /// Whether that person's mouth is empty.
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
