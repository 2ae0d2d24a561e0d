//! Sessions on disk: making one, finding one again, and what they leave behind.

pub mod go_on;
pub(crate) mod history;
pub(crate) mod incidents_csv;
pub mod links;
pub mod new;
