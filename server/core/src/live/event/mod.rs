//! What happened in a session: the lines of its ledger. Events are grouped by whom they are about, so that each
//! reader can pick its own.

mod care;
mod class;
mod safety;
mod seat;

use serde::{Deserialize, Serialize};

use crate::live::ids::{Actor, CommandId, SeatId};
use crate::time::EpochMs;

pub use care::{CareEvent, How};
pub use class::{ClassEvent, Why};
pub use safety::SafetyEvent;
pub use seat::SeatEvent;

/// One line of the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recorded {
    /// Its place in the ledger: 1, 2, 3 ... without gaps.
    pub seq: u64,
    /// The server's clock when the event was accepted.
    pub at: EpochMs,
    /// Who caused it.
    pub by: Actor,
    /// The command that caused it, kept so that a command sent twice counts once.
    pub cause: Option<CommandId>,
    /// What happened.
    pub event: Event,
}

/// What happened. In a ledger all events lie side by side and are told apart by their names, which are all
/// different.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged, expecting = "no event has this name, or its fields are wrong")]
pub enum Event {
    /// About the class, its desks, or several people.
    Class(ClassEvent),
    /// What one person did.
    Seat {
        /// The person's seat.
        seat: SeatId,
        /// What they did.
        #[serde(flatten)]
        what: SeatEvent,
    },
    /// A person stopped, went on, or reported discomfort.
    Safety {
        /// Who.
        seat: SeatId,
        /// What they said.
        #[serde(flatten)]
        what: SafetyEvent,
    },
    /// What others did about one person: the entry, a desk, or the server.
    Care {
        /// The seat of the person it is about.
        seat: SeatId,
        /// What was done.
        #[serde(flatten)]
        what: CareEvent,
    },
}

impl Event {
    /// Whether the class's screens show something different afterwards.
    #[must_use]
    pub fn changes_stage(&self) -> bool {
        match self {
            Self::Class(event) => event.changes_stage(),
            Self::Seat { .. } | Self::Safety { .. } | Self::Care { .. } => false,
        }
    }

    /// Whether everybody's own view may be different afterwards.
    #[must_use]
    pub fn concerns_everybody(&self) -> bool {
        match self {
            Self::Class(ClassEvent::SwallowCleared { .. } | ClassEvent::Merged { .. }) => true,
            Self::Class(_) | Self::Seat { .. } | Self::Safety { .. } | Self::Care { .. } => {
                self.changes_stage()
            }
        }
    }

    /// The one seat that this event is about.
    #[must_use]
    pub fn seat(&self) -> Option<SeatId> {
        match self {
            Self::Seat { seat, .. } | Self::Safety { seat, .. } | Self::Care { seat, .. } => Some(*seat),
            Self::Class(_) => None,
        }
    }
}

impl From<ClassEvent> for Event {
    fn from(event: ClassEvent) -> Self {
        Self::Class(event)
    }
}
