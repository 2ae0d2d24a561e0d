//! What people can ask of a session, and what it is decided with.

mod desk;
mod seat;

use serde::{Deserialize, Serialize};

use crate::library::Library;
use crate::live::ids::{SeatId, StepId};
use crate::live::practised::HomeLog;
use crate::live::presence::Presence;
use crate::people::person::PersonId;
use crate::plan::group::Enrolled;
use crate::text::Name;
use crate::time::EpochMs;
use crate::time::day::Date;

pub use desk::{DeskCommand, Rights};
pub use seat::SeatCommand;

/// What a command is decided with, besides the session's state.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The server's clock.
    pub now: EpochMs,
    /// How far ahead of taking effect a change is announced, in milliseconds, so that every screen has it in time.
    pub lead_time_ms: i64,
    /// Where drills are looked up.
    pub library: &'a Library,
    /// Who is connected.
    pub presence: &'a Presence,
    /// What the desk showed when the key was pressed; absent where the desk did not say.
    pub pressed: Option<Pressed>,
}

/// What was on a desk's screen when its key was pressed. A command that moves the class acts only while this still
/// holds, so a key that is pressed twice, or after the class has gone on, does nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Pressed {
    /// The present step; absent before the start.
    pub step: Option<StepId>,
    /// The number of the clue on the screens, from 1; 0 while there is none.
    pub clue: u32,
    /// How many of that clue's hints were shown.
    pub hints: u32,
    /// When the key was pressed, by the desk's estimate of the server's clock; absent while it has no estimate.
    pub at: Option<EpochMs>,
}

/// Anything that can be asked of a session.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Command {
    /// Somebody joins with the code, or asks to be let in.
    TakeSeat {
        /// The name the person gave.
        name: Name,
    },
    /// Somebody opens their personal link.
    Arrive {
        /// The seat that the link leads to.
        seat: SeatId,
    },
    /// Somebody who is enrolled in the group comes by their own lasting link.
    Come {
        /// Who they are, as they are kept now.
        who: Box<Enrolled>,
        /// Whether the link had been used, but not on this device.
        new_device: bool,
    },
    /// Somebody who is enrolled in the group says whether they come.
    SendWord {
        /// Who they are.
        person: PersonId,
        /// Whether they come.
        comes: bool,
    },
    /// Somebody who is enrolled in the group says what they did at home.
    Practise {
        /// Who they are.
        person: PersonId,
        /// What they did.
        log: Box<HomeLog>,
        /// The server's day, by which whoever follows up is to do so.
        today: Date,
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
    /// A person is no longer heard from, in the middle of a swallow or a hold.
    Lost(SeatId),
    /// A lost person is heard from again.
    Found(SeatId),
    /// A person's screen is no longer heard from, whatever the class does.
    ScreenAway(SeatId),
    /// Such a screen is heard from again.
    ScreenBack(SeatId),
    /// The desk that leads is no longer heard from.
    LeadLost,
    /// The desk that leads is heard from again.
    LeadBack,
    /// It is time for people to come in.
    OpeningTime,
}

/// Who may come in with the code.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Entry {
    /// Everybody who has the code.
    #[default]
    Code,
    /// Only people whom a desk lets in.
    Ask,
    /// Nobody; personal links still work.
    Closed,
}
