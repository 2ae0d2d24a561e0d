//! The command line.

use std::net::SocketAddr;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use ipnet::IpNet;
use samebreath_core::live::Entry;
use url::Url;

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
    /// Addresses or networks of proxies in front of the server: what they say in X-Forwarded-For about whom a request
    /// comes from is believed. Without it, those of this machine
    #[arg(long, env = "SAMEBREATH_TRUSTED_PROXIES", value_delimiter = ',', default_values = ["127.0.0.0/8", "::1/128"])]
    pub trusted_proxies: Vec<IpNet>,
    /// Who may come in by the code of a new class, until a desk says otherwise. A rehearsal lets everybody in
    #[arg(long, env = "SAMEBREATH_ENTRY", default_value = "ask")]
    pub entry: EntryBy,
    /// Most people who take a seat by the code of one class in a minute
    #[arg(long, env = "SAMEBREATH_JOINS_A_MINUTE", default_value_t = 120)]
    pub joins_a_minute: u32,
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

/// Who may come in by the code of a new class.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum EntryBy {
    /// Everybody who has it
    Code,
    /// Whoever the desk lets in
    Ask,
    /// Nobody; personal links still work
    Closed,
}

impl From<EntryBy> for Entry {
    fn from(by: EntryBy) -> Self {
        match by {
            EntryBy::Code => Self::Code,
            EntryBy::Ask => Self::Ask,
            EntryBy::Closed => Self::Closed,
        }
    }
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
        Reach {
            public_url: self.public_url.as_deref().and_then(|url| public_origin(url).ok()),
            emergency_number: self.emergency_number.clone(),
            trusted_proxies: self.trusted_proxies.clone(),
            entry: self.entry.into(),
            joins_a_minute: self.joins_a_minute,
        }
    }

    /// Checks what the parts cannot know of each other.
    ///
    /// # Errors
    /// A sentence with the remedy.
    pub fn check(&self) -> Result<(), String> {
        let origin = self.public_url.as_deref().map(public_origin).transpose()?;
        let secure = origin.is_some_and(|url| url.starts_with("https://"));
        if let Some(metrics) = self.metrics.filter(|at| !at.ip().is_loopback() && !self.insecure) {
            return Err(format!(
                "--metrics is {metrics}, which can be reached from other machines without any protection; \
                 give an address of this machine, or add --insecure"
            ));
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

/// The one form in which a browser names the server: scheme, host and a port that is not the usual one.
///
/// # Errors
/// A sentence with the remedy.
fn public_origin(given: &str) -> Result<String, String> {
    let wrong = |what: &str| format!("--public-url is `{given}`; {what}, such as https://class.example");
    let url = Url::parse(given).map_err(|_| wrong("it must be a whole address"))?;
    if !matches!(url.scheme(), "http" | "https") {
        return Err(wrong("it must begin with https:// (or http://)"));
    }
    let is_bare = matches!(url.path(), "" | "/") && url.query().is_none() && url.fragment().is_none();
    if !is_bare || !url.username().is_empty() || url.password().is_some() {
        return Err(wrong("it must be an address without a path: give a subdomain of its own"));
    }
    Ok(url.origin().ascii_serialization())
}

/// What the host says of how people are reached and come in.
#[derive(Debug, Clone)]
pub struct Reach {
    /// Scheme, host and port under which people reach the server; the request's own when not set.
    pub public_url: Option<String>,
    /// The local emergency number.
    pub emergency_number: Option<String>,
    /// Proxies of ours, whose word about an address counts.
    pub trusted_proxies: Vec<IpNet>,
    /// Who may come in by the code of a new class, until a desk says otherwise.
    pub entry: Entry,
    /// Most seats that are taken by the code of one class in a minute.
    pub joins_a_minute: u32,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_public_address_is_brought_into_the_form_that_browsers_send() {
        let check = |given: &str, expected: &str| {
            assert_eq!(public_origin(given).as_deref(), Ok(expected), "{given}");
        };
        check("https://class.example", "https://class.example");
        check("https://class.example/", "https://class.example");
        check("https://Class.Example:443", "https://class.example");
        check("http://class.example:8080", "http://class.example:8080");
        check("https://bücher.example", "https://xn--bcher-kva.example");
        for wrong in [
            "class.example",
            "ftp://class.example",
            "https://class.example/voice",
            "https://a:b@class.example",
        ] {
            let said = public_origin(wrong).expect_err(wrong);
            assert!(said.contains("such as https://class.example"), "{said}");
        }
    }
}
