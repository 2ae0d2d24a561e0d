//! `serve`, `demo` and `rehearse`: host classes until the process is told to stop.

use std::sync::Arc;

use anyhow::Context;
use samebreath_core::plan::Plan;
use samebreath_store::Sqlite;
use samebreath_store::sessions::SessionEntry;
use sd_notify::NotifyState;
use tokio::net::TcpListener;
use tokio::signal::unix::{Signal, SignalKind, signal};
use tokio_util::sync::CancellationToken;
use tracing_subscriber::EnvFilter;

use crate::access::oidc::Provider;
use crate::access::staff;
use crate::app::{App, Outside};
use crate::commands::plan;
use crate::commands::print::{print, write_private};
use crate::host::house::House;
use crate::host::mail::Mailer;
use crate::host::metrics;
use crate::session::new::{NewSession, new_session};
use crate::session::{erase, go_on, links};
use crate::settings::{Cast, Host, LogForm};
use crate::{demo, rehearsal, server};

/// The class to host.
pub(super) enum Class {
    /// One with rehearsed participants; in the demo, in a house that has a past.
    Rehearsal {
        plan: Plan,
        cast: Cast,
        furnished: bool,
    },
    Real {
        plan: Option<Plan>,
        new: bool,
    },
}

impl Class {
    /// Whether things are only tried out, so that nobody needs a password.
    fn is_trial(&self) -> bool {
        matches!(self, Self::Rehearsal { .. })
    }
}

pub(super) fn serve(host: &Host, mut house: House, class: Class) -> anyhow::Result<()> {
    host.check().map_err(anyhow::Error::msg)?;
    begin_log(host.log);
    if let Some(rules) = &host.rules {
        house.rules = plan::read_rules(rules)?;
    }
    tokio::runtime::Runtime::new()?.block_on(serve_until_stopped(host, house, class))
}

fn begin_log(form: LogForm) {
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("warn,samebreath=info"));
    let log = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        // If the program that reads the log ends, the class goes on without a log.
        .log_internal_errors(false);
    match form {
        LogForm::Text => log.init(),
        LogForm::Json => log.json().init(),
    }
}

async fn serve_until_stopped(host: &Host, house: House, class: Class) -> anyhow::Result<()> {
    let shutdown = CancellationToken::new();
    // A program that has read the links may stop the server at once, so it must listen for signals by then.
    let (terminate, interrupt) = (signal(SignalKind::terminate())?, signal(SignalKind::interrupt())?);
    tokio::spawn(stop_on_signal(terminate, interrupt, shutdown.clone()));
    let store = Arc::new(Sqlite::open(&host.data).await?);
    let listener =
        TcpListener::bind(host.listen).await.with_context(|| format!("cannot listen on {}", host.listen))?;
    let address = listener.local_addr()?;
    // Every screen takes a file descriptor, so ask for as many as the system allows.
    if let Err(error) = rlimit::increase_nofile_limit(u64::MAX) {
        tracing::warn!(error = &error as &dyn std::error::Error, "could not raise the limit of open files");
    }
    // Where staff have accounts, they sign in for a rehearsal too.
    let is_trial = class.is_trial() && !staff::has_accounts(&*store).await?;
    let reach = host.reach(is_trial);
    let base = reach.site.base(address);
    let outside =
        Outside { mail: Mailer::new(&host.mail, base.clone())?, provider: Provider::new(&host.oidc, &base)? };
    let app = server::build(store, house, (reach, outside), shutdown.clone()).await;
    go_on::set_clock(&*app.store, &app.clock).await?;
    erase::erase_listed(&*app.store, app.clock.now()).await?;
    let (entry, cast) = class_to_host(&app, class).await?;
    if let Some(address) = host.metrics {
        let listener =
            TcpListener::bind(address).await.with_context(|| format!("cannot listen on {address}"))?;
        tokio::spawn(server::run_metrics(listener, metrics::install()?, shutdown.clone()));
    }
    let links = links::host_links(&app, entry.as_ref(), address).await?;
    let text = if host.json { serde_json::to_string(&links)? } else { links.text() };
    match &host.links {
        Some(file) => write_private(file, &text)?,
        None => print(&text)?,
    }
    if let (Some(entry), Some(cast)) = (&entry, cast) {
        tokio::spawn(rehearsal::rehearse(Arc::clone(&app), entry.id, cast));
    }
    // From here on connections wait on the listener. Without a service manager this tells nobody.
    tell_manager(NotifyState::Ready);
    server::run(listener, app).await?;
    Ok(())
}

/// Begins the class, or finds the unfinished one. Without either there is only the planner, in which a class can be
/// begun.
async fn class_to_host(app: &App, class: Class) -> anyhow::Result<(Option<SessionEntry>, Option<Cast>)> {
    let begin = async |plan, rehearsal| {
        let new = NewSession::of_plan(plan, app.house.rules.clone(), rehearsal, app.entry);
        new_session(&*app.store, new, app.clock.now()).await
    };
    match class {
        Class::Rehearsal { plan, cast, furnished } => {
            if furnished && app.is_trial {
                demo::furnish(app).await?;
            }
            Ok((Some(begin(plan, true).await?), Some(cast)))
        }
        Class::Real { plan: Some(plan), new: true } => Ok((Some(begin(plan, false).await?), None)),
        Class::Real { plan, .. } => {
            let entry = match (go_on::unfinished(&*app.store, &app.hub).await?, plan) {
                (Some(entry), _) => Some(entry),
                (None, Some(plan)) => Some(begin(plan, false).await?),
                (None, None) => None,
            };
            Ok((entry, None))
        }
    }
}

async fn stop_on_signal(mut terminate: Signal, mut interrupt: Signal, shutdown: CancellationToken) {
    tokio::select! {
        _ = terminate.recv() => {}
        _ = interrupt.recv() => {}
    }
    tracing::info!("stopping");
    tell_manager(NotifyState::Stopping);
    shutdown.cancel();
}

fn tell_manager(state: NotifyState) {
    if let Err(error) = sd_notify::notify(&[state]) {
        tracing::warn!(error = &error as &dyn std::error::Error, "the service manager was not told");
    }
}
