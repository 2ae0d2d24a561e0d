//! A real server on a free port, and what it does for everybody around a class.
//!
//! One program holds these tests: each program of its own would be linked, and kept on the disk, anew.
#![allow(clippy::unwrap_used, missing_docs, reason = "tests")]

mod common;
#[path = "../../core/tests/common/mod.rs"]
mod core_tests;

mod accounts;
mod after;
mod backup;
mod class;
mod demo;
mod doors;
mod entrusted;
mod entry;
mod erased;
mod gathering;
mod groups;
mod home_classes;
mod host;
mod known_truth;
mod notes;
mod notify;
mod outlet;
mod outlive;
mod own;
mod people;
mod plan_check;
mod planner;
mod process;
mod progress;
mod retention;
mod rounds;
mod safety;
mod seams;
mod shares;
mod sums;
mod today;
mod week;
