//! Runs the server on a listener until it is told to stop, then lets everything end in order.

mod housekeeping;
mod threshold;

use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::routing::get;
use metrics_exporter_prometheus::PrometheusHandle;
use samebreath_store::Store;
use samebreath_store::bus::InProcess;
use samebreath_store::ledger::Ledger;
use socket2::{SockRef, TcpKeepalive};
use tokio::net::{TcpListener, TcpStream};
use tokio_util::sync::CancellationToken;
use tokio_util::task::TaskTracker;

use crate::app::{App, Outside};
use crate::host::clock::Clock;
use crate::host::house::House;
use crate::host::shelf::Shelf;
use crate::http::routes;
use crate::room::Surroundings;
use crate::room::hub::Hub;
use crate::server::threshold::Threshold;
use crate::session::outbox;
use crate::settings::Reach;

/// How long connections, sockets and rooms may take to end. With [`CLOSE_WITHIN`] that is ten seconds in all.
const END_WITHIN: Duration = Duration::from_secs(7);
/// How long the store may then take to close.
const CLOSE_WITHIN: Duration = Duration::from_secs(3);
/// How long to wait before accepting again after a connection could not be accepted.
const ACCEPT_AGAIN: Duration = Duration::from_millis(50);
/// When sent data stays unacknowledged for this long, the other side is gone.
const USER_TIMEOUT: Duration = Duration::from_secs(20);

/// Puts the parts together, without listening yet.
pub async fn build(
    store: Arc<dyn Store>,
    house: House,
    (reach, outside): (Reach, Outside),
    shutdown: CancellationToken,
) -> Arc<App> {
    let (clock, tasks) = (Clock::start(), TaskTracker::new());
    let shelf = Arc::new(Shelf::new(Arc::clone(&house.library)));
    shelf.fill(&*store).await;
    let around = Surroundings {
        ledger: Arc::clone(&store) as Arc<dyn Ledger>,
        bus: Arc::new(InProcess::default()),
        shelf: Arc::clone(&shelf),
        clock: clock.clone(),
        shutdown: shutdown.clone(),
    };
    let hub = Hub::new(around, tasks.clone());
    App::new(hub, store, clock, (house, shelf), (reach, outside), shutdown, tasks)
}

/// Serves until the app's shutdown is set, then ends connections, sockets and rooms within [`END_WITHIN`], and
/// closes the store.
///
/// # Errors
/// When the listener fails for good.
pub async fn run(listener: TcpListener, app: Arc<App>) -> std::io::Result<()> {
    let router = routes::router(Arc::clone(&app));
    let threshold = Arc::new(Threshold::default());
    tokio::spawn(housekeeping::keep(Arc::clone(&app)));
    tokio::spawn(outbox::keep(Arc::clone(&app)));
    let cut = CancellationToken::new();
    loop {
        let accepted = tokio::select! {
            () = app.shutdown.cancelled() => break,
            accepted = listener.accept() => accepted,
        };
        let (stream, from) = match accepted {
            Ok(accepted) => accepted,
            Err(error) => {
                // Either the other side was gone already, or the process has no file descriptor left. Connections
                // that end free some, so trying again helps.
                tracing::warn!(error = &error as &dyn std::error::Error, "could not accept a connection");
                tokio::time::sleep(ACCEPT_AGAIN).await;
                continue;
            }
        };
        if let Err(error) = prepare(&stream) {
            tracing::debug!(error = &error as &dyn std::error::Error, "could not set the socket's options");
        }
        let is_proxy = app.trusted_proxies.has(from.ip());
        let served =
            Arc::clone(&threshold).serve(stream, from, is_proxy, router.clone(), app.shutdown.clone());
        app.tasks.spawn(cut.clone().run_until_cancelled_owned(served));
    }
    drop(listener);
    app.tasks.close();
    if tokio::time::timeout(END_WITHIN, app.tasks.wait()).await.is_err() {
        tracing::warn!("some connections or rooms did not end in time");
        cut.cancel();
    }
    // Everything acknowledged is on disk, so a store that does not close must not keep the server running.
    if tokio::time::timeout(CLOSE_WITHIN, app.store.close()).await.is_err() {
        tracing::warn!("the store did not close in time");
    }
    Ok(())
}

/// Makes small messages go out at once, and a vanished peer be noticed.
fn prepare(stream: &TcpStream) -> std::io::Result<()> {
    stream.set_nodelay(true)?;
    let socket = SockRef::from(stream);
    let keepalive =
        TcpKeepalive::new().with_time(Duration::from_secs(15)).with_interval(Duration::from_secs(5));
    socket.set_tcp_keepalive(&keepalive)?;
    #[cfg(target_os = "linux")]
    socket.set_tcp_user_timeout(Some(USER_TIMEOUT))?;
    Ok(())
}

/// Serves the metrics on their own listener.
///
/// # Errors
/// When the listener fails.
pub async fn run_metrics(
    listener: TcpListener,
    metrics: PrometheusHandle,
    shutdown: CancellationToken,
) -> std::io::Result<()> {
    let page = get(move || std::future::ready(metrics.render()));
    axum::serve(listener, Router::new().route("/metrics", page))
        .with_graceful_shutdown(async move { shutdown.cancelled().await })
        .await
}
