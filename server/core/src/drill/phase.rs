//! What people do in a timed part of a repetition.

use serde::{Deserialize, Serialize};

/// What people do in a timed part of a repetition.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "these are the names that clinicians use")]
pub enum Phase {
    GetReady,
    BreatheIn,
    BreatheOut,
    Move,
    Voice,
    Hold,
    /// The last seconds of a hold, with more force.
    FirmUp,
    Swallow,
    Release,
    Rest,
    /// A rest in which people may take a sip if their plan allows it.
    Sip,
    ChangeSides,
    /// People watch how it is done, and do nothing yet.
    Watch,
}

pub(crate) const PHASES: [(&str, Phase); 12] = [
    ("get-ready", Phase::GetReady),
    ("breathe-in", Phase::BreatheIn),
    ("breathe-out", Phase::BreatheOut),
    ("move", Phase::Move),
    ("voice", Phase::Voice),
    ("hold", Phase::Hold),
    ("firm-up", Phase::FirmUp),
    ("swallow", Phase::Swallow),
    ("release", Phase::Release),
    ("rest", Phase::Rest),
    ("sip", Phase::Sip),
    ("change-sides", Phase::ChangeSides),
];

impl Phase {
    /// Whether its seconds count as held: those of a hold, including its firmer end.
    #[must_use]
    pub fn is_held(self) -> bool {
        matches!(self, Self::Hold | Self::FirmUp)
    }

    /// Whether a person needs notice before it. A jump never lands in such a phase without warning.
    #[must_use]
    pub fn needs_notice(self) -> bool {
        matches!(self, Self::Hold | Self::FirmUp | Self::Swallow | Self::Voice | Self::Move)
    }
}
