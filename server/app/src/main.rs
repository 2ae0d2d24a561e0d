//! The binary: reads the settings, sets up the log and the signals, runs, and maps the result to an
//! exit code.

use std::io::Write;
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;

use anyhow::Context;
use clap::Parser;
use samebreath::app::House;
use samebreath::begin::NewSession;
use samebreath::content::Content;
use samebreath::settings::{Cast, Host, LogForm, PlanCommand, Settings, What};
use samebreath::{begin, check, content, metrics, rehearsal, server};
use samebreath_core::plan::Plan;
use samebreath_store::Sqlite;
use tokio::net::TcpListener;
use tokio::signal::unix::{SignalKind, signal};
use tokio_util::sync::CancellationToken;
use tracing_subscriber::EnvFilter;

fn main() -> ExitCode {
    match run(Settings::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("samebreath: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(settings: Settings) -> anyhow::Result<()> {
    let Content { library, languages, refused } = content::content(settings.library.as_deref())?;
    for sentence in &refused {
        eprintln!("samebreath: left out: {sentence}");
    }
    match settings.command {
        What::Plan { command: PlanCommand::Check { file, json } } => {
            let checked = check::read_draft(&file, &library).and_then(|draft| {
                check::check(&draft, &library, &content::rules()?).map_err(anyhow::Error::msg)
            });
            match checked {
                Ok(checked) if json => print(&serde_json::to_string_pretty(&checked)?),
                Ok(checked) => print(&checked.text()),
                Err(error) if json => {
                    print(&serde_json::to_string_pretty(&check::Mistake::of(&error))?)?;
                    Err(error)
                }
                Err(error) => Err(error),
            }
        }
        What::Plan { command: PlanCommand::Tidy { file } } => {
            print(check::read_draft(&file, &library)?.write().trim_end())
        }
        What::Demo { cast, host } => {
            let class = Class::Rehearsal { plan: content::demo_plan(&library)?, cast };
            serve(&host, Content { library, languages, refused }, class)
        }
        What::Rehearse { plan, cast, host } => {
            let class = Class::Rehearsal { plan: check::read_plan(&plan, &library)?, cast };
            serve(&host, Content { library, languages, refused }, class)
        }
        What::Serve { plan, new, host } => {
            let plan = plan.map(|plan| check::read_plan(Path::new(&plan), &library)).transpose()?;
            serve(&host, Content { library, languages, refused }, Class::Real { plan, new })
        }
    }
}

/// Which class to host.
enum Class {
    Rehearsal { plan: Plan, cast: Cast },
    Real { plan: Option<Plan>, new: bool },
}

fn serve(host: &Host, content: Content, class: Class) -> anyhow::Result<()> {
    host.check().map_err(anyhow::Error::msg)?;
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("warn,samebreath=info"));
    // Whoever reads the log may end; a class goes on without it.
    let log = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .log_internal_errors(false);
    match host.log {
        LogForm::Text => log.init(),
        LogForm::Json => log.json().init(),
    }
    tokio::runtime::Runtime::new()?.block_on(async {
        let rules = host.rules.as_deref().map_or_else(|| Ok(content::rules()?), check::read_rules)?;
        let Content { library, languages, refused } = content;
        let house = House { library: Arc::new(library), languages, rules, refused };
        serve_until_stopped(host, house, class).await
    })
}

async fn serve_until_stopped(host: &Host, house: House, class: Class) -> anyhow::Result<()> {
    let shutdown = CancellationToken::new();
    let store = Sqlite::open(&host.data).await?;
    let listener =
        TcpListener::bind(host.listen).await.with_context(|| format!("cannot listen on {}", host.listen))?;
    let address = listener.local_addr()?;
    let rules = house.rules.clone();
    // A class of a thousand needs as many descriptors; what the system allows is asked for.
    if let Err(error) = rlimit::increase_nofile_limit(u64::MAX) {
        tracing::warn!(error = &error as &dyn std::error::Error, "the limit of open files stays as it is");
    }
    let app = server::build(store.clone(), house, host.reach(), shutdown.clone());
    begin::set_clock(&store, &app.clock).await?;
    let now = app.clock.now();
    let (entry, cast) = match class {
        Class::Rehearsal { plan, cast } => (
            Some(begin::new_session(&store, NewSession::of_plan(plan, rules, true, app.entry), now).await?),
            Some(cast),
        ),
        Class::Real { plan, new } => {
            let unfinished = if new { None } else { begin::unfinished(&store, &app.hub).await? };
            match (unfinished, plan) {
                (Some(entry), _) => (Some(entry), None),
                (None, Some(plan)) => (
                    Some(
                        begin::new_session(&store, NewSession::of_plan(plan, rules, false, app.entry), now)
                            .await?,
                    ),
                    None,
                ),
                // Only the planner: classes begin there.
                (None, None) => (None, None),
            }
        }
    };
    if let Some(metrics_address) = host.metrics {
        let listener = TcpListener::bind(metrics_address)
            .await
            .with_context(|| format!("cannot listen on {metrics_address}"))?;
        tokio::spawn(server::run_metrics(listener, metrics::install()?, shutdown.clone()));
    }
    let base = app.public_url.clone().unwrap_or_else(|| format!("http://{address}"));
    let planner = begin::planner_link(&store, &base, now).await?;
    let class = match &entry {
        Some(entry) => Some(begin::links(&store, entry, &base, now).await?),
        None => None,
    };
    let links = begin::HostLinks { class, planner };
    print(&if host.json { serde_json::to_string(&links)? } else { links.text() })?;
    if let (Some(entry), Some(cast)) = (&entry, cast) {
        tokio::spawn(rehearsal::rehearse(Arc::clone(&app), entry.id, cast));
    }
    tokio::spawn(stop_on_signal(shutdown));
    server::run(listener, app).await?;
    Ok(())
}

async fn stop_on_signal(shutdown: CancellationToken) {
    let (Ok(mut terminate), Ok(mut interrupt)) =
        (signal(SignalKind::terminate()), signal(SignalKind::interrupt()))
    else {
        return;
    };
    tokio::select! {
        _ = terminate.recv() => {}
        _ = interrupt.recv() => {}
    }
    tracing::info!("stopping");
    shutdown.cancel();
}

fn print(text: &str) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{text}")?;
    Ok(out.flush()?)
}
