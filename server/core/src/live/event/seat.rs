//! What a person did.

use serde::{Deserialize, Serialize};

use crate::live::event::Event;
use crate::live::ids::{MessageId, SeatId, StepId};
use crate::live::practised::HomeLog;
use crate::live::said::{CheckIn, HowFar};
use crate::text::Line;

/// What a person did, or said with a tap.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case")]
#[allow(missing_docs, reason = "fields are named as in the commands that cause them")]
pub enum SeatEvent {
    /// They checked in.
    CheckedIn { answers: CheckIn },
    /// They did a step.
    Did { step: StepId },
    /// They took back that they did a step.
    Undid { step: StepId },
    /// They said how far they got.
    Got { step: StepId, far: HowFar },
    /// They said whether their mouth is empty.
    MouthSaid { empty: bool },
    /// They said how much effort it was.
    EffortSaid { number: u32, score: u8 },
    /// They answered a clue.
    ClueAnswered { step: StepId, number: u32, word: Option<Line<60>> },
    /// They read a message. Older ledgers do not name it and mean the oldest unread one.
    MessageRead {
        #[serde(default)]
        message: Option<MessageId>,
    },
    /// They gave a command that changed nothing. It is kept so that its id counts once for ever.
    Unchanged,
    /// They left.
    Left,
    /// They came back after leaving.
    CameBack,
    /// They said what they did at home with a drill of the class.
    Practised { log: Box<HomeLog> },
}

impl SeatEvent {
    /// The event, of the person on `seat`.
    #[must_use]
    pub fn of(self, seat: SeatId) -> Event {
        Event::Seat { seat, what: self }
    }
}
