//! The shell around the core: settings, rooms and sockets, the HTTP interface and the embedded web
//! files. The binary `samebreath` is `main.rs`; tests build and run the same parts on port 0.

pub mod app;
mod assets;
pub mod begin;
mod caller;
pub mod check;
pub mod clock;
mod connections;
pub mod content;
mod desk_http;
mod documents_http;
mod entry_http;
mod frames;
mod group_history;
mod handle;
mod handshake;
mod housekeeping;
mod http;
pub mod hub;
mod incident_file;
mod lead;
mod limits;
pub mod metrics;
mod origin;
pub mod outlet;
mod passes;
mod planner_http;
mod record;
pub mod rehearsal;
pub mod room;
mod routes;
pub mod server;
mod session_http;
pub mod settings;
mod socket;
mod threshold;
mod token;
