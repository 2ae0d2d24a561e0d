//! The binary: reads the settings, runs the command, and maps the result to an exit code.

use std::process::ExitCode;

use clap::Parser;
use samebreath::commands;
use samebreath::settings::Settings;

fn main() -> ExitCode {
    match commands::run(Settings::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("samebreath: {error:#}");
            ExitCode::FAILURE
        }
    }
}
