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
    ClientMessage, DecodeError, EntryAnswer, EntryRequest, HandoverCode, IncidentBook, InviteRequest,
    Invited, JoinRequest, Joined, MySession, Opened, PassRequest, Problem, RoleName, SeatPlace,
    ServerMessage, Sheet,
};

/// The name and version offered and accepted in the handshake.
pub const SUBPROTOCOL: &str = "samebreath.v2";

/// Longest message from a browser. Ours are under 1 KiB.
pub const MESSAGE_BYTES: usize = 16 * 1024;

/// Messages, pings and requests that one seat, desk or wall may send in a minute, over all its sockets and plain
/// requests together. Nobody needs a tenth of it. More are not read before their turn comes.
pub const MESSAGES_A_MINUTE: u32 = 240;

/// Messages of one seat that are read at once before that.
pub const MESSAGES_AT_ONCE: u32 = 120;

/// How often a page that can be seen says that it is there; with the wait for its answer, a dead link is noticed
/// within 8 s.
pub const HEARTBEAT_MS: u32 = 5_000;
