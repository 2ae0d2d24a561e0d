//! What every request handler holds, and how a failure becomes an answer.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use axum::extract::FromRef;
use dashmap::DashMap;
use samebreath_core::live::Entry;
use samebreath_core::plan::history::Had;
use samebreath_store::Store;
use samebreath_store::ledger::SessionId;
use tokio_util::sync::CancellationToken;
use tokio_util::task::TaskTracker;

use crate::access::caller::TrustedProxies;
use crate::access::limits::Limits;
use crate::host::clock::Clock;
use crate::host::house::House;
use crate::room::ConnectionId;
use crate::room::hub::Hub;
use crate::settings::{Reach, Site};

/// Shared by all handlers.
pub struct App {
    /// Live rooms.
    pub hub: Hub,
    /// Documents and ledgers.
    pub store: Arc<dyn Store>,
    /// The server's clock.
    pub clock: Clock,
    /// What plans are made of.
    pub house: House,
    /// The local emergency number, if it was set.
    pub emergency_number: Option<String>,
    /// The address under which people reach the server.
    pub site: Site,
    /// Set when the server begins to stop.
    pub shutdown: CancellationToken,
    /// Sockets and rooms that must end before the process does.
    pub tasks: TaskTracker,
    /// How much anybody may ask.
    pub limits: Limits,
    /// Proxies of ours, whose word about an address counts.
    pub trusted_proxies: TrustedProxies,
    /// Who may come in by the code of a new class, until a desk says otherwise.
    pub entry: Entry,
    /// What the screens of classes showed up to a place in their ledgers, once it was asked for.
    pub had: DashMap<SessionId, (u64, Had)>,
    connections: AtomicU64,
}

impl App {
    /// Puts the parts together.
    pub fn new(
        hub: Hub,
        store: Arc<dyn Store>,
        clock: Clock,
        house: House,
        people: Reach,
        shutdown: CancellationToken,
        tasks: TaskTracker,
    ) -> Arc<Self> {
        let connections = AtomicU64::new(1);
        let Reach { site, emergency_number, trusted_proxies, entry, joins_a_minute } = people;
        Arc::new(Self {
            hub,
            store,
            clock,
            had: DashMap::new(),
            house,
            emergency_number,
            site,
            shutdown,
            tasks,
            limits: Limits::new(joins_a_minute),
            trusted_proxies: TrustedProxies(trusted_proxies.into()),
            entry,
            connections,
        })
    }

    /// A number for a new socket.
    pub fn next_connection(&self) -> ConnectionId {
        ConnectionId(self.connections.fetch_add(1, Ordering::Relaxed))
    }
}

impl FromRef<Arc<App>> for TrustedProxies {
    fn from_ref(app: &Arc<App>) -> Self {
        app.trusted_proxies.clone()
    }
}
