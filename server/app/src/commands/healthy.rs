//! `healthy`: says whether a server on this machine is ready.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::time::Duration;

use anyhow::{Context, ensure};
use axum::body::Body;
use axum::http::{Request, header};
use hyper::client::conn::http1;
use hyper_util::rt::TokioIo;
use tokio::net::TcpStream;
use tokio::time::timeout;

/// A server that has not answered within this is not ready. The server itself gives up on its disk after 5 s.
const WITHIN: Duration = Duration::from_secs(6);

/// Asks the server on `listen` whether it is ready.
///
/// # Errors
/// When no server answers, or it says that it is not ready.
pub(super) fn ask(listen: SocketAddr) -> anyhow::Result<()> {
    let asked = async { timeout(WITHIN, ask_ready(reachable(listen))).await };
    tokio::runtime::Builder::new_current_thread().enable_all().build()?.block_on(asked)??;
    Ok(())
}

async fn ask_ready(at: SocketAddr) -> anyhow::Result<()> {
    let stream = TcpStream::connect(at).await.with_context(|| format!("no server answers on {at}"))?;
    let (mut sender, connection) = http1::handshake(TokioIo::new(stream)).await?;
    tokio::spawn(connection);
    let request = Request::get("/readyz").header(header::HOST, at.to_string()).body(Body::empty())?;
    let status = sender.send_request(request).await?.status();
    ensure!(status.is_success(), "the server on {at} is not ready: {status}");
    Ok(())
}

/// Where to reach the server: one that listens on every address is asked on the loopback address.
fn reachable(listen: SocketAddr) -> SocketAddr {
    let ip = match listen.ip() {
        IpAddr::V4(ip) if ip.is_unspecified() => Ipv4Addr::LOCALHOST.into(),
        IpAddr::V6(ip) if ip.is_unspecified() => Ipv6Addr::LOCALHOST.into(),
        ip => ip,
    };
    SocketAddr::new(ip, listen.port())
}
