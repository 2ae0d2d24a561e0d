//! The seats, steps, commands, messages and reports that a session refers to by number, and who acts in it.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// A participant's place in a session; seats are numbered from 1 in the order in which people came.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SeatId(pub u32);

/// A step of a live session; it keeps its id when steps are inserted before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StepId(pub u32);

/// A command's id, made by the browser; a command sent twice has the same id and counts once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CommandId(pub Uuid);

/// A message from a desk to one person, numbered by its place in the ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MessageId(pub u32);

/// A report's id, made by the browser when a person reports discomfort.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ReportId(pub Uuid);

/// The two members of staff.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum DeskRole {
    /// Leads the class.
    Facilitator,
    /// Watches the roster, and takes the lead when it is handed over or left.
    Helper,
}

/// Who gives a command.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "who", content = "id", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Actor {
    /// A desk.
    Desk(DeskRole),
    /// A participant.
    Seat(SeatId),
    /// The server's entry, for somebody who has no seat yet.
    Entry,
    /// The server, for what it notices by itself.
    Watch,
}
