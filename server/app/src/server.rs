//! Runs the server on a listener until it is told to stop, and lets everything end in order.

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::routing::get;
use axum::serve::ListenerExt;
use metrics_exporter_prometheus::PrometheusHandle;
use samebreath_store::Sqlite;
use samebreath_store::bus::InProcess;
use socket2::{SockRef, TcpKeepalive};
use tokio::net::{TcpListener, TcpStream};
use tokio_util::sync::CancellationToken;
use tokio_util::task::TaskTracker;

use crate::app::{App, House, Reach};
use crate::clock::Clock;
use crate::http;
use crate::hub::Hub;
use crate::room::Surroundings;

/// How long sockets and rooms may take to end, and the store to close.
const END_WITHIN: Duration = Duration::from_secs(10);
/// Unacknowledged data for this long means that the other side is gone.
const USER_TIMEOUT: Duration = Duration::from_secs(20);

/// Puts the parts together, without listening yet.
#[must_use]
pub fn build(store: Sqlite, house: House, reach: Reach, shutdown: CancellationToken) -> Arc<App> {
    let (clock, tasks) = (Clock::start(), TaskTracker::new());
    let around = Surroundings {
        ledger: Arc::new(store.clone()),
        bus: Arc::new(InProcess::default()),
        library: Arc::clone(&house.library),
        clock,
        shutdown: shutdown.clone(),
    };
    let hub = Hub::new(around, tasks.clone());
    App::new(hub, store, clock, house, reach, shutdown, tasks)
}

/// Serves until the app's shutdown is set, then ends sockets, rooms and the store, in that order.
///
/// # Errors
/// When the listener fails.
pub async fn run(listener: TcpListener, app: Arc<App>) -> std::io::Result<()> {
    let shutdown = app.shutdown.clone();
    let service = http::router(Arc::clone(&app)).into_make_service_with_connect_info::<SocketAddr>();
    let listener = listener.tap_io(|stream| {
        if let Err(error) = prepare(stream) {
            tracing::debug!(error = &error as &dyn std::error::Error, "socket options not set");
        }
    });
    axum::serve(listener, service).with_graceful_shutdown(async move { shutdown.cancelled().await }).await?;
    app.tasks.close();
    if tokio::time::timeout(END_WITHIN, app.tasks.wait()).await.is_err() {
        tracing::warn!("some sockets or rooms did not end in time");
    }
    // Everything acknowledged is on disk; a connection that does not come back must not keep the server up.
    if tokio::time::timeout(END_WITHIN, app.store.close()).await.is_err() {
        tracing::warn!("the store did not close in time");
    }
    Ok(())
}

/// Small messages go out at once, and a peer that vanished is noticed.
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

/// Serves the metrics on a listener of their own.
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
