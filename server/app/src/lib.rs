//! The shell around the core: settings, rooms and sockets, the HTTP interface and the embedded web
//! files. The binary `samebreath` is `main.rs`; tests run the same parts on a free port.

mod access;
pub mod app;
pub mod commands;
pub mod demo;
mod export;
mod failure;
pub mod host;
mod http;
pub mod outlet;
mod reasons;
pub mod rehearsal;
pub mod room;
pub mod server;
pub mod session;
pub mod settings;
mod site;
mod socket;
pub mod thin;

pub use http::doors::{DOORS, Door};
