//! The messages between server and browser, with their limits and close codes.
//!
//! There is one subprotocol, [`SUBPROTOCOL`]. Every message is one JSON object in one text frame, tagged by
//! `kind`. `README.md` in this crate's folder is enough to write a client. [`typescript`] makes the TypeScript
//! types from these types; they are committed with the web part.

mod close;
mod limits;
mod message;
pub mod notes;
pub mod own;
pub mod planner;
pub mod retention;
pub mod sheets;
pub mod staff;
pub mod sums;
pub mod today;
pub mod typescript;
pub mod week;

pub use close::{Close, Then};
pub use message::{
    AfterClass, AtDeskPerson, ClientMessage, DecodeError, EntryAnswer, EntryRequest, HandoverCode,
    InviteRequest, Invited, JoinRequest, Joined, MySession, NextPlan, Opened, PassRequest, Problem, RoleName,
    SeatPlace, ServerMessage, Sheet,
};

/// The name and version offered and accepted in the handshake.
pub const SUBPROTOCOL: &str = "samebreath.v2";

/// Longest message from a browser, in bytes. Ours are under 1 KiB.
pub const MESSAGE_BYTES: usize = 16 * 1024;

/// How many messages, pings and requests one seat, desk or wall may send in a minute, over all its sockets and
/// plain requests together. Nobody needs a tenth of that. The server does not read more until their turn comes.
pub const MESSAGES_A_MINUTE: u32 = 240;

/// How many messages of one seat are read at once before that limit slows them down.
pub const MESSAGES_AT_ONCE: u32 = 120;

/// How often a visible page says that it is there, in milliseconds. With the wait for the answer, a dead link is
/// noticed within 8 s.
pub const HEARTBEAT_MS: u32 = 5_000;
