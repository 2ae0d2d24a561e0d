//! The command line, and what it says about how people reach the server.

use std::net::SocketAddr;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use ipnet::IpNet;
use samebreath_core::live::Entry;

use crate::thin::Thinned;

pub use crate::site::Site;

/// Leads remote exercise classes: everyone's browser shows the same drill, countdown and clue at the
/// same instant, and the facilitator sees who is following, who has stopped and who reports discomfort.
///
/// It supports the judgement of a licensed clinician and does not diagnose. Local rules and licensed
/// practice come first.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 100)]
pub struct Settings {
    /// What to do.
    #[command(subcommand)]
    pub command: What,
    /// Folder with your own `drills` and `clues`, which add to the built-in ones or replace them
    #[arg(long, global = true, env = "SAMEBREATH_LIBRARY")]
    pub library: Option<PathBuf>,
    /// Regions whose words the word game has, such as `en-US` or `es-MX`; without any it is British and Iberian
    #[arg(long, global = true, env = "SAMEBREATH_REGIONS", value_delimiter = ',')]
    pub regions: Vec<String>,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum What {
    /// Try it out: a class of sixty minutes with a dozen rehearsed participants
    Demo {
        /// Whom to rehearse with
        #[command(flatten)]
        cast: Cast,
        /// How the server is reached
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
        /// How the server is reached
        #[command(flatten)]
        host: Host,
    },
    /// Host classes: go on with the unfinished class in the data folder, or begin one from a plan
    Serve {
        /// The plan file of a new class
        #[arg(long)]
        plan: Option<PathBuf>,
        /// Begin a new class even if the data folder has an unfinished one
        #[arg(long, requires = "plan")]
        new: bool,
        /// How the server is reached
        #[command(flatten)]
        host: Host,
    },
    /// Check whether a server on this machine is ready; the exit code is 0 if it is, for a container's health check
    Healthy {
        /// Address and port on which the server listens
        #[arg(long, env = "SAMEBREATH_LISTEN", default_value = "127.0.0.1:8787")]
        listen: SocketAddr,
    },
    /// Write a backup beside a running server: whole, checked, and readable by its owner only
    Backup {
        /// The new file, or a folder that gets a file named by the time
        to: PathBuf,
        /// Folder with the data
        #[arg(long, env = "SAMEBREATH_DATA", default_value = "samebreath-data")]
        data: PathBuf,
        /// Encrypt it for this age recipient (age1...), whose private key is kept elsewhere; may be given several times
        #[arg(long = "for", env = "SAMEBREATH_BACKUP_FOR", value_delimiter = ',')]
        recipients: Vec<age::x25519::Recipient>,
        /// Remove all but so many of the newest backups in the folder
        #[arg(long, value_parser = clap::value_parser!(u16).range(1..))]
        keep: Option<u16>,
        /// Remove all but the newest of each of the last so many days, weeks and months that have one: 7,4,3
        #[arg(long, conflicts_with = "keep", value_name = "DAYS,WEEKS,MONTHS")]
        thin: Option<Thinned>,
    },
    /// Put a backup in the place of the data, while no server runs. What was there is kept under another name
    Restore {
        /// The backup
        file: PathBuf,
        /// Folder with the data
        #[arg(long, env = "SAMEBREATH_DATA", default_value = "samebreath-data")]
        data: PathBuf,
        /// File with the private key of an encrypted backup
        #[arg(long)]
        key: Option<PathBuf>,
        /// Only check that the backup is whole and can be read by this version
        #[arg(long)]
        check: bool,
    },
    /// Let staff in again: whether the server is running or not
    Account {
        /// Folder with the data
        #[arg(long, env = "SAMEBREATH_DATA", default_value = "samebreath-data")]
        data: PathBuf,
        /// The address that people use when a proxy is in front of the server
        #[arg(long, env = "SAMEBREATH_PUBLIC_URL")]
        public_url: Option<String>,
        /// Address and port on which the server listens
        #[arg(long, env = "SAMEBREATH_LISTEN", default_value = "127.0.0.1:8787")]
        listen: SocketAddr,
        /// What to do
        #[command(subcommand)]
        command: AccountCommand,
    },
    /// The list of who did what, which is only added to
    Audit {
        /// Folder with the data
        #[arg(long, env = "SAMEBREATH_DATA", default_value = "samebreath-data")]
        data: PathBuf,
        /// What to do with it
        #[command(subcommand)]
        command: AuditCommand,
    },
    /// Check or tidy plan files
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

/// What to do with the list of who did what.
#[derive(Debug, Clone, Copy, Subcommand)]
pub enum AuditCommand {
    /// Check that no row and no signed note was changed or left out, and print the hash of the last row. Keep that elsewhere:
    /// if a later list does not have it, its end was cut off
    Verify,
    /// Print the list, a line for each act
    List,
}

/// What to do about accounts.
#[derive(Debug, Subcommand)]
pub enum AccountCommand {
    /// Print a link that makes the first account, while there is none; it works once, for an hour
    First,
    /// Print a link with which the owner chooses a new password; it works once, for a day
    Reset {
        /// The sign-in name
        name: String,
    },
}

/// What to do with plan files.
#[derive(Debug, Subcommand)]
pub enum PlanCommand {
    /// Check a plan: print the clock time, holds and seconds held of each step and in all, with advice
    Check {
        /// The plan file
        file: PathBuf,
        /// Print one JSON object; for a mistake, an object with its file, line and text
        #[arg(long)]
        json: bool,
    },
    /// Print a plan with everything in its usual order, for version control
    Tidy {
        /// The plan file
        file: PathBuf,
    },
}

/// How the server listens, and what holds for its classes.
#[derive(Debug, Clone, Args)]
pub struct Host {
    /// Address and port to listen on; port 0 takes a free one
    #[arg(long, env = "SAMEBREATH_LISTEN", default_value = "127.0.0.1:8787")]
    pub listen: SocketAddr,
    /// Folder for the data, created if it is missing
    #[arg(long, env = "SAMEBREATH_DATA", default_value = "samebreath-data")]
    pub data: PathBuf,
    /// The address that people use when a proxy is in front of the server, such as <https://class.example>. It
    /// may have a path, such as <https://clinic.example/voice>, which the proxy must remove from each request
    #[arg(long, env = "SAMEBREATH_PUBLIC_URL")]
    pub public_url: Option<String>,
    /// The local emergency number, shown to a person who reports an urgent sign
    #[arg(long, env = "SAMEBREATH_EMERGENCY_NUMBER")]
    pub emergency_number: Option<String>,
    /// Takes the practice page's copy off people's devices, so that it needs the network: for a fault in the copy
    #[arg(long, env = "SAMEBREATH_NO_OFFLINE_PRACTICE")]
    pub no_offline_practice: bool,
    /// Addresses or networks of the proxies in front of the server, which are believed when their X-Forwarded-For
    /// header names the address that a request comes from. By default, proxies on this machine
    #[arg(long, env = "SAMEBREATH_TRUSTED_PROXIES", value_delimiter = ',', default_values = ["127.0.0.0/8", "::1/128"])]
    pub trusted_proxies: Vec<IpNet>,
    /// Who may join a new class with its code, until a desk changes that. A rehearsal lets everybody in
    #[arg(long, env = "SAMEBREATH_ENTRY", default_value = "ask")]
    pub entry: EntryBy,
    /// The most people who may join one class with its code in a minute
    #[arg(long, env = "SAMEBREATH_JOINS_A_MINUTE", default_value_t = 120)]
    pub joins_a_minute: u32,
    /// File with house rules that replace the built-in ones: what a person's condition means for a family
    /// of drills, and where a number from 0 to 10 becomes a word. A class keeps the rules that it began with
    #[arg(long, env = "SAMEBREATH_RULES")]
    pub rules: Option<PathBuf>,
    /// Address and port for Prometheus metrics; without this there are none
    #[arg(long, env = "SAMEBREATH_METRICS")]
    pub metrics: Option<SocketAddr>,
    /// By which server mail is sent, if at all
    #[command(flatten)]
    pub mail: MailSettings,
    /// By whose sign-in staff may come in, if by any
    #[command(flatten)]
    pub oidc: OidcSettings,
    /// Let people on other machines join without https; their screens may then go to sleep
    #[arg(long)]
    pub insecure: bool,
    /// Print the links as one JSON object
    #[arg(long)]
    pub json: bool,
    /// Write the links into this file, which only its owner can read, instead of printing them
    #[arg(long, env = "SAMEBREATH_LINKS")]
    pub links: Option<PathBuf>,
    /// Format of the log on standard error
    #[arg(long, env = "SAMEBREATH_LOG", default_value = "text")]
    pub log: LogForm,
}

/// By which server mail is sent. Without `--mail-host`, nothing is.
#[derive(Debug, Clone, Default, Args)]
pub struct MailSettings {
    /// The organisation's mail server. Needs --public-url, so that links in a letter lead here
    #[arg(long, env = "SAMEBREATH_MAIL_HOST", requires = "mail_from")]
    pub mail_host: Option<String>,
    /// Its port; without it, 587 for starttls, 465 for implicit and 25 for none
    #[arg(long, env = "SAMEBREATH_MAIL_PORT")]
    pub mail_port: Option<u16>,
    /// How the way to it is encrypted
    #[arg(long, env = "SAMEBREATH_MAIL_TLS", default_value = "starttls")]
    pub mail_tls: MailTls,
    /// From whom mail is, such as "Voice Circle <voices@clinic.example>"
    #[arg(long, env = "SAMEBREATH_MAIL_FROM")]
    pub mail_from: Option<String>,
    /// The name with which the server signs in there
    #[arg(long, env = "SAMEBREATH_MAIL_USER", requires = "mail_password_file")]
    pub mail_user: Option<String>,
    /// File with the password for it
    #[arg(long, env = "SAMEBREATH_MAIL_PASSWORD_FILE")]
    pub mail_password_file: Option<PathBuf>,
    /// File with the certificate (PEM) of an authority of one's own that vouches for the mail server
    #[arg(long, env = "SAMEBREATH_MAIL_CA")]
    pub mail_ca: Option<PathBuf>,
}

/// How the way to the mail server is encrypted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum MailTls {
    /// Not at all; only for a server on this machine
    None,
    /// After a greeting, by STARTTLS; a server that does not offer it gets nothing
    #[default]
    Starttls,
    /// From the beginning
    Implicit,
}

/// By whose sign-in staff may come in (OpenID Connect). Without `--oidc-issuer`, by nobody's but this server's own.
#[derive(Debug, Clone, Default, Args)]
pub struct OidcSettings {
    /// The organisation's sign-in, by the address that it gives as its issuer, such as <https://login.clinic.example>. It
    /// must know this server by the address <PUBLIC URL>/sign-in. Needs --public-url
    #[arg(long, env = "SAMEBREATH_OIDC_ISSUER", requires = "oidc_client")]
    pub oidc_issuer: Option<String>,
    /// What it calls this server (its client id)
    #[arg(long, env = "SAMEBREATH_OIDC_CLIENT")]
    pub oidc_client: Option<String>,
    /// File with the secret by which it knows this server, if it gave one
    #[arg(long, env = "SAMEBREATH_OIDC_SECRET_FILE")]
    pub oidc_secret_file: Option<PathBuf>,
    /// What staff call it, such as "Clinic sign-in"
    #[arg(long, env = "SAMEBREATH_OIDC_NAME", default_value = "your organisation's sign-in")]
    pub oidc_name: String,
    /// File with the certificate (PEM) of an authority of one's own that vouches for it
    #[arg(long, env = "SAMEBREATH_OIDC_CA")]
    pub oidc_ca: Option<PathBuf>,
}

/// Who may join a new class with its code.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum EntryBy {
    /// Everybody who has the code
    Code,
    /// People whom a desk lets in
    Ask,
    /// Nobody; personal links still open the class
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

/// Format of the log.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum LogForm {
    /// Lines for people to read
    Text,
    /// Lines of JSON for programs
    Json,
}

impl Host {
    /// How people reach the server and come in. In a trial nobody needs a password.
    #[must_use]
    pub fn reach(&self, is_trial: bool) -> Reach {
        Reach {
            site: self.public_url.as_deref().and_then(|url| Site::read(url).ok()).unwrap_or_default(),
            emergency_number: self.emergency_number.clone(),
            trusted_proxies: self.trusted_proxies.clone(),
            entry: self.entry.into(),
            joins_a_minute: self.joins_a_minute,
            is_trial,
            no_offline_practice: self.no_offline_practice,
        }
    }

    /// Checks the settings against each other.
    ///
    /// # Errors
    /// A sentence that says what is wrong and how to put it right.
    pub fn check(&self) -> Result<(), String> {
        let site = self.public_url.as_deref().map(Site::read).transpose()?.unwrap_or_default();
        if let Some(metrics) = self.metrics.filter(|at| !at.ip().is_loopback() && !self.insecure) {
            return Err(format!(
                "--metrics is {metrics}, which other machines can reach without any protection; \
                                 give an address that only this machine can reach, such as 127.0.0.1, or add --insecure"
            ));
        }
        if self.mail.mail_host.is_some() && site.origin.is_none() {
            return Err("--mail-host needs --public-url, so that links in a letter lead here".to_owned());
        }
        if self.oidc.oidc_issuer.is_some() && site.origin.is_none() {
            return Err("--oidc-issuer needs --public-url, so that staff come back here from it".to_owned());
        }
        if !self.listen.ip().is_loopback() && !site.is_secure() && !self.insecure {
            return Err(format!(
                "other machines can reach {}, and without https, names and reports travel unencrypted; \
                                 put an https proxy in front and give --public-url, or add --insecure for a trial on your own \
                                 network",
                self.listen
            ));
        }
        Ok(())
    }
}

/// How people reach the server and come in, as the host set it.
#[derive(Debug, Clone)]
pub struct Reach {
    /// The address under which people reach the server.
    pub site: Site,
    /// The local emergency number.
    pub emergency_number: Option<String>,
    /// Our own proxies, which are believed about where a request comes from.
    pub trusted_proxies: Vec<IpNet>,
    /// Who may join a new class with its code, until a desk changes that.
    pub entry: Entry,
    /// The most seats that may be taken with the code of one class in a minute.
    pub joins_a_minute: u32,
    /// Whether things are only tried out, so that nobody needs a password.
    pub is_trial: bool,
    /// Whether devices are to give up their copy of the practice page.
    pub no_offline_practice: bool,
}
