//! The command line.

use std::net::SocketAddr;
use std::path::PathBuf;

use crate::app::Reach;
use clap::{Args, Parser, Subcommand, ValueEnum};

/// Leads remote exercise classes: everyone's browser shows the same drill, countdown and clue at the
/// same instant; the facilitator sees who is with her, who stopped and who hurts.
///
/// It supports a licensed clinician's judgement and gives no diagnosis; local rules and licensed
/// practice decide.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 100)]
pub struct Settings {
    /// What to do.
    #[command(subcommand)]
    pub command: What,
    /// Folder with own `drills` and `clues`, which add to those of the program or take their place
    #[arg(long, global = true, env = "SAMEBREATH_LIBRARY")]
    pub library: Option<PathBuf>,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum What {
    /// Try it: a class of sixty minutes with a dozen rehearsed participants
    Demo {
        /// Whom to rehearse with
        #[command(flatten)]
        cast: Cast,
        /// Where and how to listen
        #[command(flatten)]
        host: Host,
    },
    /// Rehearse leading your own plan, with the same rehearsed participants
    Rehearse {
        /// The plan file
        plan: PathBuf,
        /// Whom to rehearse with
        #[command(flatten)]
        cast: Cast,
        /// Where and how to listen
        #[command(flatten)]
        host: Host,
    },
    /// Host a class: goes on with the class in the data folder, or begins one from a plan
    Serve {
        /// The plan of a new class
        #[arg(long)]
        plan: Option<PathBuf>,
        /// Begin a new class even when one in the data folder has not ended
        #[arg(long, requires = "plan")]
        new: bool,
        /// Where and how to listen
        #[command(flatten)]
        host: Host,
    },
    /// Look at plan files
    Plan {
        /// What to do with them
        #[command(subcommand)]
        command: PlanCommand,
    },
}

/// Whom to rehearse with.
#[derive(Debug, Clone, Copy, Args)]
pub struct Cast {
    /// Chooses how the rehearsed participants behave; the same seed gives the same class
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    /// How many rehearsed participants, 1 to 40
    #[arg(long, default_value_t = 12, value_parser = clap::value_parser!(u8).range(1..=40))]
    pub people: u8,
}

/// What to do with plan files.
#[derive(Debug, Subcommand)]
pub enum PlanCommand {
    /// Check a plan: its clock total, holds and seconds held, step by step and in all, and advice
    Check {
        /// The plan file
        file: PathBuf,
        /// Print one JSON object; a mistake is one as well, with file, line and text
        #[arg(long)]
        json: bool,
    },
    /// Print a plan in its usual order, for version control
    Tidy {
        /// The plan file
        file: PathBuf,
    },
}

/// Where and how to listen.
#[derive(Debug, Clone, Args)]
pub struct Host {
    /// Address and port to listen on; port 0 takes a free one
    #[arg(long, env = "SAMEBREATH_LISTEN", default_value = "127.0.0.1:8787")]
    pub listen: SocketAddr,
    /// Folder for the data, made when missing
    #[arg(long, env = "SAMEBREATH_DATA", default_value = "samebreath-data")]
    pub data: PathBuf,
    /// The address people use, such as <https://class.example>, when a proxy stands in front
    #[arg(long, env = "SAMEBREATH_PUBLIC_URL")]
    pub public_url: Option<String>,
    /// The local emergency number, shown to a person who reports an urgent sign
    #[arg(long, env = "SAMEBREATH_EMERGENCY_NUMBER")]
    pub emergency_number: Option<String>,
    /// House rules in place of those that come with the program: what a person's condition means for
    /// a family of drills, and where a number from 0 to 10 becomes a word. A class keeps the rules it
    /// began with
    #[arg(long, env = "SAMEBREATH_RULES")]
    pub rules: Option<PathBuf>,
    /// Address for Prometheus metrics; none without it
    #[arg(long, env = "SAMEBREATH_METRICS")]
    pub metrics: Option<SocketAddr>,
    /// Allow people from other machines in without https; screens then may fall asleep
    #[arg(long)]
    pub insecure: bool,
    /// Print the links as one JSON object
    #[arg(long)]
    pub json: bool,
    /// Form of the log on standard error
    #[arg(long, env = "SAMEBREATH_LOG", default_value = "text")]
    pub log: LogForm,
}

/// Form of the log.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum LogForm {
    /// Lines for people
    Text,
    /// Lines for programs
    Json,
}

impl Host {
    /// How people are reached.
    #[must_use]
    pub fn reach(&self) -> Reach {
        Reach { public_url: self.public_url.clone(), emergency_number: self.emergency_number.clone() }
    }

    /// Checks what the parts cannot know of each other.
    ///
    /// # Errors
    /// A sentence with the remedy.
    pub fn check(&self) -> Result<(), String> {
        let secure = self.public_url.as_ref().is_some_and(|url| url.starts_with("https://"));
        if let Some(url) = &self.public_url
            && !(url.starts_with("https://") || url.starts_with("http://"))
        {
            return Err(format!("--public-url is `{url}`; it must begin with https:// (or http://)"));
        }
        if !self.listen.ip().is_loopback() && !secure && !self.insecure {
            return Err(format!(
                "{} can be reached from other machines, and without https names and reports travel in the clear; \
                 put a proxy with https in front and give --public-url, or add --insecure for a trial in your own network",
                self.listen
            ));
        }
        Ok(())
    }
}
