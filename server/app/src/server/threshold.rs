//! The threshold: connections that have not become a websocket. Their number is limited for each address and in
//! all, and each has a limited time for its next request. When the threshold is full, the oldest connection
//! makes room.

use std::collections::{BTreeMap, HashMap};
use std::net::{IpAddr, SocketAddr};
use std::pin::pin;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use axum::Router;
use axum::extract::ConnectInfo;
use axum::http::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::TcpStream;
use tokio_util::sync::CancellationToken;
use tower_service::Service;

use crate::access::caller::Caller;

/// The most connections of one address. A browser opens six to a server, so a residence with forty people behind
/// one address stays below this.
const MOST_OF_ONE: u32 = 256;
/// The most connections of all addresses together. Each takes some 10 KiB.
const MOST_IN_ALL: usize = 4_096;
/// The time within which each request's head must arrive, the first and every later one. It also ends idle
/// connections.
const HEAD_WITHIN: Duration = Duration::from_secs(10);
/// The longest head of a request. Our own pages send about 1 KiB.
const HEAD_BYTES: usize = 16 * 1024;

/// The connections that have not become a websocket.
#[derive(Default)]
pub struct Threshold(Mutex<Standing>);

#[derive(Default)]
struct Standing {
    next: u64,
    open: BTreeMap<u64, (u128, CancellationToken)>,
    of_one: HashMap<u128, u32>,
}

impl Standing {
    fn leave(&mut self, number: u64) -> Option<CancellationToken> {
        let (key, cut) = self.open.remove(&number)?;
        if let Some(many) = self.of_one.get_mut(&key) {
            *many -= 1;
            if *many == 0 {
                self.of_one.remove(&key);
            }
        }
        Some(cut)
    }
}

/// A connection's place at the threshold, given up when it is dropped.
struct Place {
    threshold: Arc<Threshold>,
    number: u64,
    /// Set when another connection needs the place.
    cut: CancellationToken,
}

impl Drop for Place {
    fn drop(&mut self) {
        self.threshold.standing().leave(self.number);
    }
}

impl Threshold {
    fn standing(&self) -> MutexGuard<'_, Standing> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A place for a connection from `from`; `None` when that address has too many already. A trusted proxy may
    /// have any number, since many people are behind it.
    fn stand(self: &Arc<Self>, from: IpAddr, is_proxy: bool) -> Option<Place> {
        let key = Caller(from).key();
        let mut standing = self.standing();
        let of_one = standing.of_one.get(&key).copied().unwrap_or(0);
        if of_one >= MOST_OF_ONE && !is_proxy {
            return None;
        }
        if standing.open.len() >= MOST_IN_ALL {
            let longest = standing.open.keys().next().copied();
            if let Some(cut) = longest.and_then(|number| standing.leave(number)) {
                cut.cancel();
            }
        }
        let (number, cut) = (standing.next, CancellationToken::new());
        standing.next += 1;
        standing.open.insert(number, (key, cut.clone()));
        *standing.of_one.entry(key).or_default() += 1;
        drop(standing);
        Some(Place { threshold: Arc::clone(self), number, cut })
    }

    /// Serves the requests of a connection until it becomes a websocket, ends, or has to make room. After
    /// `shutdown` it finishes the request under way and takes no more.
    pub async fn serve(
        self: Arc<Self>,
        stream: TcpStream,
        from: SocketAddr,
        is_proxy: bool,
        router: Router,
        shutdown: CancellationToken,
    ) {
        let Some(place) = self.stand(from.ip(), is_proxy) else {
            tracing::debug!("too many connections from one address");
            return;
        };
        let service = service_fn(move |mut request: Request<Incoming>| {
            request.extensions_mut().insert(ConnectInfo(from));
            router.clone().call(request)
        });
        let connection = http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(HEAD_WITHIN)
            .max_buf_size(HEAD_BYTES)
            .serve_connection(TokioIo::new(stream), service)
            .with_upgrades();
        let mut connection = pin!(connection);
        let ended = tokio::select! {
            ended = connection.as_mut() => ended,
            () = place.cut.cancelled() => return,
            () = shutdown.cancelled() => {
                connection.as_mut().graceful_shutdown();
                connection.await
            }
        };
        if let Err(error) = ended {
            tracing::debug!(error = &error as &dyn std::error::Error, "connection ended");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_address_has_its_share_and_the_longest_makes_room() {
        let threshold = Arc::new(Threshold::default());
        let address = |n: u32| IpAddr::from(n.to_be_bytes());
        let of_one: Vec<_> =
            (0..MOST_OF_ONE + 5).filter_map(|_| threshold.stand(address(1), false)).collect();
        assert_eq!(of_one.len(), MOST_OF_ONE as usize);
        assert!(threshold.stand(address(1), true).is_some(), "many people may be behind a proxy");
        let first = threshold.stand(address(2), false).expect("another address");
        drop(of_one);
        assert!(threshold.standing().of_one.len() == 1, "addresses with no connection left are forgotten");
        let many: Vec<_> =
            (0..MOST_IN_ALL as u32).filter_map(|n| threshold.stand(address(100 + n), false)).collect();
        assert_eq!(many.len(), MOST_IN_ALL);
        assert!(first.cut.is_cancelled(), "the oldest connection makes room");
        assert_eq!(threshold.standing().open.len(), MOST_IN_ALL);
        drop((first, many));
        assert!(threshold.standing().open.is_empty() && threshold.standing().of_one.is_empty());
    }
}
