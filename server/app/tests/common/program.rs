//! The program, as a host types its commands.
#![allow(clippy::unwrap_used, missing_docs, reason = "shared by several test files")]

use std::process::Command;

/// Runs a command of the program, and returns whether it went well and what it said.
pub fn run(args: &[&str]) -> (bool, String) {
    let done = Command::new(env!("CARGO_BIN_EXE_samebreath")).args(args).output().unwrap();
    let said = [done.stdout, done.stderr].concat();
    (done.status.success(), String::from_utf8(said).unwrap())
}
