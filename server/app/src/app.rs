//! What every request handler has at hand.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use axum::extract::FromRef;
use dashmap::DashMap;
use rand::RngExt as _;
use samebreath_core::live::Entry;
use samebreath_core::plan::history::Had;
use samebreath_core::record::class::ClassRecord;
use samebreath_core::time::day::Date;
use samebreath_store::Store;
use samebreath_store::ledger::SessionId;
use samebreath_wire::today::LeftToDo;
use tokio_util::sync::CancellationToken;
use tokio_util::task::TaskTracker;
use uuid::Uuid;

use crate::access::caller::TrustedProxies;
use crate::access::ceremonies::Ceremonies;
use crate::access::ends::Ends;
use crate::access::limits::Limits;
use crate::access::oidc::Provider;
use crate::access::passes::Stay;
use crate::access::password::Hashing;
use crate::host::clock::Clock;
use crate::host::house::House;
use crate::host::mail::Mailer;
use crate::host::shelf::Shelf;
use crate::room::ConnectionId;
use crate::room::hub::Hub;
use crate::settings::{Reach, Site};

/// What the ledgers of sessions amount to, remembered with the place up to which it was worked out.
pub type Folded<T> = DashMap<SessionId, (u64, T)>;

/// What the organisation runs already, as far as the host set it.
#[derive(Debug, Default)]
pub struct Outside {
    /// Its mail server.
    pub mail: Option<Mailer>,
    /// Its own sign-in.
    pub provider: Option<Provider>,
}

/// What all handlers share.
pub struct App {
    /// The live rooms.
    pub hub: Hub,
    /// Ledgers, documents and passes.
    pub store: Arc<dyn Store>,
    /// The server's clock.
    pub clock: Clock,
    /// What classes are made of: languages, house rules, and the library of the files.
    pub house: House,
    /// The library as it is now.
    pub shelf: Arc<Shelf>,
    /// The local emergency number, if it was set.
    pub emergency_number: Option<String>,
    /// Whether devices are to give up their copy of the practice page.
    pub no_offline_practice: bool,
    /// The address under which people reach the server.
    pub site: Site,
    /// Set when the server begins to stop.
    pub shutdown: CancellationToken,
    /// Connections, sockets and rooms, which must end before the process does.
    pub tasks: TaskTracker,
    /// How many requests anybody may make.
    pub limits: Limits,
    /// Held while old records are looked after.
    pub looking: tokio::sync::Mutex<()>,
    /// Questions to devices and to the provider.
    pub ceremonies: Ceremonies,
    /// From which keys are made up for those who have none.
    pub nobodys_key: [u8; 32],
    /// Works out the hashes of passwords.
    pub hashing: Hashing,
    /// Ends the sockets of whoever is signed out.
    pub ends: Ends,
    /// Whether things are only tried out here, without passwords.
    pub is_trial: bool,
    /// Our own proxies, which are believed about where a request comes from.
    pub trusted_proxies: TrustedProxies,
    /// Who may join a new class with its code, until a desk changes that.
    pub entry: Entry,
    /// Sends mail, where a mail server was set.
    pub mail: Option<Arc<Mailer>>,
    /// The organisation's own sign-in, where one was set.
    pub provider: Option<Provider>,
    /// What the screens of a class showed.
    pub had: Folded<Had>,
    /// What desks read about people, written down within the hour: by whom, what, and of whom.
    pub read_lately: DashMap<(Stay, Option<Uuid>, String, Uuid), ()>,
    /// What classes were.
    pub records: Folded<Option<Arc<ClassRecord>>>,
    /// What was noted in a class for later, and is open.
    pub noted: Folded<Vec<(Date, LeftToDo)>>,
    connections: AtomicU64,
}

impl App {
    /// Puts the parts together.
    pub fn new(
        hub: Hub,
        store: Arc<dyn Store>,
        clock: Clock,
        (house, shelf): (House, Arc<Shelf>),
        (people, outside): (Reach, Outside),
        shutdown: CancellationToken,
        tasks: TaskTracker,
    ) -> Arc<Self> {
        let connections = AtomicU64::new(1);
        let Reach {
            site,
            emergency_number,
            trusted_proxies,
            entry,
            joins_a_minute,
            is_trial,
            no_offline_practice,
        } = people;
        Arc::new(Self {
            hub,
            store,
            clock,
            had: Folded::new(),
            noted: Folded::new(),
            records: Folded::new(),
            read_lately: DashMap::new(),
            house,
            shelf,
            emergency_number,
            no_offline_practice,
            site,
            shutdown,
            tasks,
            limits: Limits::new(joins_a_minute),
            looking: tokio::sync::Mutex::default(),
            ceremonies: Ceremonies::default(),
            nobodys_key: rand::rng().random(),
            hashing: Hashing::default(),
            ends: Ends::default(),
            is_trial,
            trusted_proxies: TrustedProxies(trusted_proxies.into()),
            entry,
            mail: outside.mail.map(Arc::new),
            provider: outside.provider,
            connections,
        })
    }

    /// Forgets what ledgers amount to, after lines of them were written anew or when it was kept for a while.
    pub fn forget_folded(&self) {
        self.had.clear();
        self.noted.clear();
        self.records.clear();
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
