//! Sessions on disk: how one is made and found again, and what it leaves behind.

pub mod erase;
pub mod go_on;
pub(crate) mod history;
pub(crate) mod incidents_csv;
pub mod links;
pub mod new;
pub(crate) mod notes;
pub mod outbox;
pub(crate) mod person_copy;
pub(crate) mod records_csv;
pub mod retention;
pub(crate) mod table;
pub(crate) mod words;
