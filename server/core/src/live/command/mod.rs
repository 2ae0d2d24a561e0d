//! What people can ask of a session, and with what it is decided.

mod desk;
mod seat;

use serde::{Deserialize, Serialize};

use crate::library::Library;
use crate::live::ids::{SeatId, StepId};
use crate::live::presence::Presence;
use crate::text::Name;
use crate::time::EpochMs;

pub use desk::{DeskCommand, Rights};
pub use seat::SeatCommand;

/// What a command is decided with besides the state.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The server's clock.
    pub now: EpochMs,
    /// How far ahead something set moving takes effect, so that every screen has it before.
    pub lead_time_ms: i64,
    /// Where drills are looked up.
    pub library: &'a Library,
    /// Who is connected.
    pub presence: &'a Presence,
    /// Where and when a desk's key was pressed, where the desk said so.
    pub pressed: Option<Pressed>,
}

/// What was on a desk's screen when its key was pressed. What moves the class acts only there: a key that comes
/// twice, or after the class went on, does nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Pressed {
    /// The present step; nothing before the start.
    pub step: Option<StepId>,
    /// The number of the clue on the screens; 0 before the first, and where there is none.
    pub clue: u32,
    /// How many of its hints were shown.
    pub hints: u32,
    /// When, by the desk's estimate of the server's clock; nothing while it has none.
    pub at: Option<EpochMs>,
}

/// Anything that can be asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Command {
    /// Somebody joins by the code, or asks to.
    TakeSeat {
        /// How the person wants to be called.
        name: Name,
    },
    /// Somebody opens their personal link.
    Arrive {
        /// The seat it leads to.
        seat: SeatId,
    },
    /// The server noticed something.
    Notice(Noticed),
    /// A desk's command.
    Desk(DeskCommand),
    /// A participant's command.
    Seat(SeatCommand),
}

/// What the server notices by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Noticed {
    /// A person is not heard any more, in the middle of a swallow or a hold.
    Lost(SeatId),
    /// A lost person is heard again.
    Found(SeatId),
    /// The desk that leads is not heard any more.
    LeadLost,
    /// It is heard again.
    LeadBack,
}

/// Who may come in by the code.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Entry {
    /// Everybody who has it.
    #[default]
    Code,
    /// Whoever a desk lets in.
    Ask,
    /// Nobody; personal links still work.
    Closed,
}
