//! A live session in memory: one task owns it, and everything else holds a handle.
//!
//! The task takes the commands that wait, decides them, appends the events, and only then shows and
//! acknowledges them. Only a safety pause and an urgent report are shown first. The task never waits for the
//! ledger: while a write is under way it goes on taking input, which gathers for the next write. Taps that can
//! wait gather for a moment in any case. Nor does the task wait for a socket: it writes frames to outlets, where
//! a slow reader finds the newest and skips the rest.

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
