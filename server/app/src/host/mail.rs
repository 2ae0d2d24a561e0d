//! Mail by the organisation's own SMTP server, where one was set. Everything works without.

use std::net::IpAddr;
use std::time::Duration;

use anyhow::Context;
use lettre::message::header::ContentType;
use lettre::message::{Mailbox, MessageBuilder};
use lettre::transport::smtp::authentication::Credentials;
use lettre::transport::smtp::client::{Certificate, Tls, TlsParameters};
use lettre::{Address, AsyncSmtpTransport, AsyncTransport, Tokio1Executor};
use samebreath_core::letter::Words;
use samebreath_core::text::Name;
use tokio::sync::Notify;
use uuid::Uuid;

use crate::reasons::said;
use crate::settings::{MailSettings, MailTls};

/// How long a mail server may take to answer.
const ANSWERS_WITHIN: Duration = Duration::from_secs(20);

/// Sends mail.
#[derive(Debug)]
pub struct Mailer {
    transport: AsyncSmtpTransport<Tokio1Executor>,
    from: Mailbox,
    /// What comes before the path of a page in a link.
    base: String,
    /// Set when a letter was posted.
    pub(crate) wake: Notify,
}

/// Why a letter was not sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotSent {
    /// It may work later.
    Later(String),
    /// It never will.
    Never(String),
}

impl Mailer {
    /// A mailer as the host set it; `None` where no mail server was set. `base` is what comes before the path of a page.
    ///
    /// # Errors
    /// When a setting is wrong, or a file of it cannot be read.
    pub fn new(settings: &MailSettings, base: String) -> anyhow::Result<Option<Self>> {
        let Some(host) = &settings.mail_host else { return Ok(None) };
        let from = settings.mail_from.as_deref().context("--mail-from is missing: from whom mail is")?;
        let from: Mailbox = from.parse().with_context(|| {
            format!("--mail-from is `{from}`; write it as Voice Circle <voices@clinic.example>")
        })?;
        let is_here = host == "localhost" || host.parse::<IpAddr>().is_ok_and(|at| at.is_loopback());
        anyhow::ensure!(
            settings.mail_tls != MailTls::None || is_here,
            "--mail-tls none is for a mail server on this machine; {host} is another"
        );
        let mut tls = TlsParameters::builder(host.clone());
        if let Some(file) = &settings.mail_ca {
            let pem = std::fs::read(file).with_context(|| format!("cannot read {}", file.display()))?;
            let known = Certificate::from_pem(&pem);
            tls = tls.add_root_certificate(
                known.with_context(|| format!("{} is no certificate", file.display()))?,
            );
        }
        let tls = tls.build().context("cannot prepare TLS for mail")?;
        // Never without encryption where it was asked for: a server that does not offer it gets nothing.
        let (tls, usual) = match settings.mail_tls {
            MailTls::None => (Tls::None, 25),
            MailTls::Starttls => (Tls::Required(tls), 587),
            MailTls::Implicit => (Tls::Wrapper(tls), 465),
        };
        let mut transport = AsyncSmtpTransport::<Tokio1Executor>::builder_dangerous(host)
            .port(settings.mail_port.unwrap_or(usual))
            .tls(tls)
            .timeout(Some(ANSWERS_WITHIN));
        if let Some(user) = &settings.mail_user {
            let file = settings.mail_password_file.as_ref();
            let file = file.context("--mail-user needs --mail-password-file")?;
            let password =
                std::fs::read_to_string(file).with_context(|| format!("cannot read {}", file.display()))?;
            transport = transport.credentials(Credentials::new(user.clone(), password.trim_end().to_owned()));
        }
        Ok(Some(Self { transport: transport.build(), from, base, wake: Notify::new() }))
    }

    /// The address of a page.
    #[must_use]
    pub fn address(&self, path: &str) -> String {
        format!("{}{path}", self.base)
    }

    /// Sends a letter. Each try has an id of its own, because a link has another token each time.
    ///
    /// # Errors
    /// Why not, and whether it may work later.
    pub async fn send(
        &self,
        (id, tries): (Uuid, u32),
        to: (&Name, &str),
        words: &Words,
    ) -> Result<(), NotSent> {
        let message = self
            .message(&format!("{id}.{tries}"), to, words)
            .map_err(|error| NotSent::Never(error.to_string()))?;
        let sent = self.transport.send(message).await;
        sent.map(drop).map_err(|error| {
            let why = said(&error);
            // A wrong password is no fault of the letter; whoever hosts can put it right.
            let is_ours = error.status().is_some_and(|code| code.to_string().starts_with("53"));
            if error.is_permanent() && !is_ours { NotSent::Never(why) } else { NotSent::Later(why) }
        })
    }

    fn message(
        &self,
        id: &str,
        (name, address): (&Name, &str),
        words: &Words,
    ) -> anyhow::Result<lettre::Message> {
        let address: Address = address.parse()?;
        let domain = self.from.email.domain();
        let message = MessageBuilder::new()
            .from(self.from.clone())
            .to(Mailbox::new(Some(name.to_string()), address))
            .message_id(Some(format!("<{id}@{domain}>")))
            .date_now()
            .subject(words.subject.clone())
            .header(ContentType::TEXT_PLAIN)
            .body(words.text.clone())?;
        Ok(message)
    }
}
