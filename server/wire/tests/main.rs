//! What crosses the wire, and the types made from it.
//!
//! One program holds these tests: each program of its own would be linked, and kept on the disk, anew.
#![allow(clippy::unwrap_used, missing_docs, reason = "tests")]

mod common;

mod golden;
mod positions;
mod rounds;
