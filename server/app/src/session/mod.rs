//! Sessions on disk: how one is made and found again, and what it leaves behind.

pub mod erase;
pub mod go_on;
pub(crate) mod history;
pub mod links;
pub mod new;
pub(crate) mod notes;
pub mod outbox;
pub mod retention;
