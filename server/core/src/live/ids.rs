//! Who and what a session speaks of: seats, steps, commands and reports by number, and who acts.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// A participant's place in a session, numbered from 1 in the order of coming.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SeatId(pub u32);

/// A step of a live session; it keeps its id when steps are inserted before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StepId(pub u32);

/// Made by the browser; the same command sent twice has the same id and counts once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CommandId(pub Uuid);

/// A message of a desk to one person, numbered by its place in the ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MessageId(pub u32);

/// Made by the browser when a person reports discomfort.
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
    /// Watches the roster, and takes the desk when it is handed over or left.
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
    /// The server at the entry, for somebody who has no seat yet.
    Entry,
    /// The server, which notices who is not heard any more.
    Watch,
}
