//! The messages between server and browser, their limits and close codes.
//!
//! One subprotocol, [`SUBPROTOCOL`]; every message is one JSON object in one text frame, tagged by
//! `kind`. `README.md` in this crate's folder is enough to write a client. The TypeScript types are
//! made from these ([`typescript`]) and committed with the web part.

mod close;
mod message;
pub mod planner;
pub mod typescript;

pub use close::{Close, Then};
pub use message::{
    ClientMessage, DecodeError, HandoverCode, IncidentBook, InviteRequest, Invited, JoinRequest, Joined,
    Opened, PassRequest, Problem, RoleName, SeatPlace, ServerMessage, Sheet,
};

/// The name and version offered and accepted in the handshake.
pub const SUBPROTOCOL: &str = "samebreath.v1";

/// Longest message from a browser. Ours are under 1 KiB.
pub const MESSAGE_BYTES: usize = 16 * 1024;

/// Messages a socket may send in a minute, besides reports, which have their own allowance.
pub const MESSAGES_A_MINUTE: u32 = 120;

/// Stops and reports of a socket that are taken at once, in a minute; more than these wait for their
/// turn and are never refused.
pub const REPORTS_A_MINUTE: u32 = 60;

/// How often a browser says that it is there.
pub const HEARTBEAT_MS: u32 = 10_000;
