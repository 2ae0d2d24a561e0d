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
    /// The address people use, such as <https://class.example>, when a proxy stands in front. It may have a path, which
    /// the proxy takes away: <https://clinic.example/voice>
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
            site: self.public_url.as_deref().and_then(|url| Site::read(url).ok()).unwrap_or_default(),
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
        let site = self.public_url.as_deref().map(Site::read).transpose()?.unwrap_or_default();
        if let Some(metrics) = self.metrics.filter(|at| !at.ip().is_loopback() && !self.insecure) {
            return Err(format!(
                "--metrics is {metrics}, which can be reached from other machines without any protection; \
                 give an address of this machine, or add --insecure"
            ));
        }
        if !self.listen.ip().is_loopback() && !site.is_secure() && !self.insecure {
            return Err(format!(
                "{} can be reached from other machines, and without https names and reports travel in the clear; \
                 put a proxy with https in front and give --public-url, or add --insecure for a trial in your own network",
                self.listen
            ));
        }
        Ok(())
    }
}

/// The address under which people reach the server.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Site {
    /// Scheme, host and a port that is not the usual one, in the one form that browsers send; nothing where it was not
    /// set, and each request says its own.
    pub origin: Option<String>,
    /// What stands before the path of every page, such as `/voice`, and is taken away by the proxy; empty at the root
    /// of a host.
    pub path: String,
}

impl Site {
    /// Reads an address such as <https://class.example> or <https://clinic.example/voice>.
    ///
    /// # Errors
    /// A sentence with the remedy.
    pub fn read(given: &str) -> Result<Self, String> {
        let wrong = |what: &str| format!("--public-url is `{given}`; {what}, such as https://class.example");
        let url = Url::parse(given).map_err(|_| wrong("it must be a whole address"))?;
        if !matches!(url.scheme(), "http" | "https") {
            return Err(wrong("it must begin with https:// (or http://)"));
        }
        if url.query().is_some() || url.fragment().is_some() {
            return Err(wrong("it must be an address without `?` and `#`"));
        }
        if !url.username().is_empty() || url.password().is_some() {
            return Err(wrong("it must be an address without a user"));
        }
        let path = url.path().trim_end_matches('/');
        let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '/' | '-' | '_' | '.');
        if !path.chars().all(plain) || path.contains("//") {
            return Err(wrong("its path may have letters, digits, `-`, `_`, `.` and single `/`"));
        }
        Ok(Self { origin: Some(url.origin().ascii_serialization()), path: path.to_owned() })
    }

    /// Whether browsers reach the server by https, so that cookies can insist on it.
    #[must_use]
    pub fn is_secure(&self) -> bool {
        self.origin.as_ref().is_some_and(|origin| origin.starts_with("https://"))
    }

    /// What stands before the path of a page in a link; `listens_on` is where the server listens.
    #[must_use]
    pub fn base(&self, listens_on: SocketAddr) -> String {
        let origin = self.origin.clone().unwrap_or_else(|| format!("http://{listens_on}"));
        format!("{origin}{}", self.path)
    }

    /// What the names of its cookies begin with. With https the browser itself enforces their path, which must be `/`,
    /// and their security; so that two sites of one host do not take each other's cookies, their path is in the name.
    #[must_use]
    pub fn cookie_prefix(&self) -> String {
        let host = if self.is_secure() { "__Host-" } else { "" };
        format!("{host}samebreath{}-", self.path.replace('/', "-"))
    }
}

/// What the host says of how people are reached and come in.
#[derive(Debug, Clone)]
pub struct Reach {
    /// The address under which people reach the server.
    pub site: Site,
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
            let site = Site::read(given).expect(given);
            assert_eq!(site.base(([127, 0, 0, 1], 1).into()), expected, "{given}");
        };
        check("https://class.example", "https://class.example");
        check("https://class.example/", "https://class.example");
        check("https://Class.Example:443", "https://class.example");
        check("http://class.example:8080", "http://class.example:8080");
        check("https://bücher.example", "https://xn--bcher-kva.example");
        check("https://class.example/voice/", "https://class.example/voice");
        check("https://class.example/a/b", "https://class.example/a/b");
        for wrong in [
            "class.example",
            "ftp://class.example",
            "https://class.example/?x",
            "https://class.example/#x",
            "https://class.example/a//b",
            "https://class.example/a\"b",
            "https://a:b@class.example",
        ] {
            let said = Site::read(wrong).expect_err(wrong);
            assert!(said.contains("such as https://class.example"), "{said}");
        }
    }
    #[test]
    fn sites_of_one_host_have_cookies_of_their_own() {
        let prefix = |given: &str| Site::read(given).expect(given).cookie_prefix();
        assert_eq!(Site::default().cookie_prefix(), "samebreath-");
        assert_eq!(prefix("https://class.example"), "__Host-samebreath-");
        assert_eq!(prefix("https://class.example/a/b"), "__Host-samebreath-a-b-");
        assert_eq!(prefix("http://class.example/a"), "samebreath-a-");
    }
}
