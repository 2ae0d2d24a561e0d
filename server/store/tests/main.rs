//! What is kept, in real files.
//!
//! One program holds these tests: each program of its own would be linked, and kept on the disk, anew.
#![allow(clippy::unwrap_used, missing_docs, reason = "tests")]

#[macro_use]
mod suite;

mod audit;
mod backup;
mod notes;
mod people;
mod sqlite;
