//! The rules, without clock, random or IO.
//!
//! One program holds these tests: each program of its own would be linked, and kept on the disk, anew.
#![allow(clippy::unwrap_used, missing_docs, reason = "tests")]

mod common;

mod around;
mod attendance_table;
mod care;
mod coming;
mod concerns;
mod course;
mod did;
mod erasing;
mod forms;
mod groups;
mod home_class;
mod items;
mod languages;
mod ledgers;
mod library;
mod live;
mod lost;
mod matrix;
mod notes;
mod opening;
mod past;
mod plan_files;
mod planning;
mod practice;
mod progress;
mod properties;
mod record;
mod reports;
mod retention;
mod rounds;
mod safety;
mod seams;
mod since;
mod sums;
mod usual;
mod week;
mod worked_examples;
