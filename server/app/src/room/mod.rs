//! A live session in memory: one task owns it, everybody else holds a handle.
//!
//! The task takes what waits, decides it, appends the events and only then shows and acknowledges
//! them; a safety pause alone is shown first. It never waits for the ledger: while one write is under
//! way it goes on hearing, and what comes gathers for the next; taps that can wait gather for a moment in any case. Nor does it wait for a socket: it puts
//! frames on outlets, where a slow reader finds the newest and skips the rest.

mod ahead;
mod answers;
mod audiences;
mod commit;
mod connections;
mod handle;
pub mod hub;
mod lead_time;
mod run;
mod show;
mod state;
mod writing;

pub use handle::{Answerer, Asked, ConnectionId, Input, RoomGone, RoomHandle, ScreenOutlet, Who};
pub use run::start;
pub use state::Surroundings;
