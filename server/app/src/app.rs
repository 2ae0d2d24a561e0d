//! What every request handler holds, and how a failure becomes an answer.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use axum::Json;
use axum::extract::{FromRef, FromRequest, Request};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use dashmap::DashMap;
use ipnet::IpNet;
use samebreath_core::language::Language;
use samebreath_core::library::Library;
use samebreath_core::live::{Entry, Refusal};
use samebreath_core::people::rules::Rules;
use samebreath_core::plan::history::Had;
use samebreath_store::ledger::SessionId;
use samebreath_store::{Sqlite, StoreError};
use samebreath_wire::Problem;
use tokio_util::sync::CancellationToken;
use tokio_util::task::TaskTracker;

use crate::caller::TrustedProxies;
use crate::clock::Clock;
use crate::hub::Hub;
use crate::limits::{Limits, TooOften};
use crate::room::{ConnectionId, Stopped};

/// Shared by all handlers.
pub struct App {
    /// Live rooms.
    pub hub: Hub,
    /// Documents and ledgers.
    pub store: Sqlite,
    /// The server's clock.
    pub clock: Clock,
    /// What plans are made of.
    pub house: House,
    /// The local emergency number, if it was set.
    pub emergency_number: Option<String>,
    /// Scheme, host and port under which people reach the server, if they were set.
    pub public_url: Option<String>,
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
        store: Sqlite,
        clock: Clock,
        house: House,
        people: Reach,
        shutdown: CancellationToken,
        tasks: TaskTracker,
    ) -> Arc<Self> {
        let connections = AtomicU64::new(1);
        let Reach { public_url, emergency_number, trusted_proxies, entry, joins_a_minute } = people;
        Arc::new(Self {
            hub,
            store,
            clock,
            had: DashMap::new(),
            house,
            emergency_number,
            public_url,
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

    /// Whether browsers reach the server by https, so that cookies can insist on it.
    pub fn is_secure(&self) -> bool {
        self.public_url.as_ref().is_some_and(|url| url.starts_with("https://"))
    }
}

impl FromRef<Arc<App>> for TrustedProxies {
    fn from_ref(app: &Arc<App>) -> Self {
        app.trusted_proxies.clone()
    }
}

/// What plans are made of.
#[derive(Debug, Clone, Default)]
pub struct House {
    /// Drills and clue sets.
    pub library: Arc<Library>,
    /// What participants read of them in other languages, by their BCP 47 tags.
    pub languages: BTreeMap<String, Language>,
    /// The house rules.
    pub rules: Rules,
    /// Own files that were left out of the library, each with file, line and reason.
    pub refused: Vec<String>,
}

/// What the host says of how people are reached and come in.
#[derive(Debug, Clone)]
pub struct Reach {
    /// Scheme, host and port under which people reach the server; the request's own when not set.
    pub public_url: Option<String>,
    /// The local emergency number.
    pub emergency_number: Option<String>,
    /// Proxies of ours, whose word about an address counts.
    pub trusted_proxies: Vec<IpNet>,
    /// Who may come in by the code of a new class, until a desk says otherwise.
    pub entry: Entry,
    /// Most seats that are taken by the code of one class in a minute.
    pub joins_a_minute: u32,
}

/// A failure, as the browser sees it.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// No valid pass for this.
    #[error("this browser is not in that class; use your link or join by the code")]
    NoPass,
    /// A pass that does not reach this far.
    #[error("this is not yours to see")]
    Forbidden,
    /// A page of another website.
    #[error("requests from other websites are refused")]
    ForeignOrigin,
    /// Nothing there.
    #[error("there is nothing here")]
    NotFound,
    /// A link that was used, expired or never existed.
    #[error("this link does not work any more; ask for a new one")]
    DeadLink,
    /// A body that cannot be read; the sentence says where and why.
    #[error("{0}")]
    Body(String),
    /// A request that is no websocket handshake for this server; the sentence says what it must be.
    #[error("{0}")]
    Handshake(String),
    /// A code that cannot be one, or that no open class has.
    #[error("{0}")]
    Code(String),
    /// Too many tries.
    #[error("that was tried often in the last minute; wait a moment and try again")]
    TooOften,
    /// The ledger cannot be written just now.
    #[error("nothing can be written down on the server just now; try again in a moment")]
    NotRecording,
    /// The ledger of this class cannot be read.
    #[error("the records of this class cannot be read; whoever hosts the server finds the reason in its log")]
    Unreadable,
    /// Somebody else saved the document first.
    #[error("somebody else saved this first; look at theirs before going on")]
    Behind,
    /// The session refused.
    #[error("{0}")]
    Refused(#[from] Refusal),
    /// The server is stopping.
    #[error("the server restarts; try again in a moment")]
    Restarting,
    /// Something that should not happen; it is in the log.
    #[error("something went wrong on the server; try again")]
    Inside(#[source] StoreError),
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        if error.is_of_one_session() { Self::Unreadable } else { Self::Inside(error) }
    }
}

impl From<TooOften> for Failure {
    fn from(_: TooOften) -> Self {
        Self::TooOften
    }
}

impl From<Stopped> for Failure {
    fn from(_: Stopped) -> Self {
        Self::Restarting
    }
}

impl Failure {
    fn status_and_code(&self) -> (StatusCode, &'static str) {
        match self {
            Self::NoPass => (StatusCode::UNAUTHORIZED, "no_pass"),
            Self::Forbidden => (StatusCode::FORBIDDEN, "forbidden"),
            Self::ForeignOrigin => (StatusCode::FORBIDDEN, "foreign_origin"),
            Self::NotFound => (StatusCode::NOT_FOUND, "not_found"),
            Self::DeadLink => (StatusCode::NOT_FOUND, "dead_link"),
            Self::Body(_) => (StatusCode::UNPROCESSABLE_ENTITY, "body"),
            Self::Handshake(_) => (StatusCode::UPGRADE_REQUIRED, "handshake"),
            Self::Code(_) => (StatusCode::NOT_FOUND, "code"),
            Self::TooOften => (StatusCode::TOO_MANY_REQUESTS, "too_often"),
            Self::NotRecording => (StatusCode::SERVICE_UNAVAILABLE, "not_recording"),
            Self::Unreadable => (StatusCode::INTERNAL_SERVER_ERROR, "unreadable_class"),
            Self::Behind => (StatusCode::CONFLICT, "behind"),
            Self::Refused(refusal) => (StatusCode::CONFLICT, refusal.code()),
            Self::Restarting => (StatusCode::SERVICE_UNAVAILABLE, "restarting"),
            Self::Inside(_) => (StatusCode::INTERNAL_SERVER_ERROR, "inside"),
        }
    }
}

impl IntoResponse for Failure {
    fn into_response(self) -> Response {
        if let Self::Inside(error) = &self {
            tracing::error!(error = error as &dyn std::error::Error, "request failed");
        }
        let (status, code) = self.status_and_code();
        let mut response =
            (status, Json(Problem { code: code.to_owned(), text: self.to_string() })).into_response();
        if matches!(status, StatusCode::SERVICE_UNAVAILABLE | StatusCode::TOO_MANY_REQUESTS) {
            response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from_static("2"));
        }
        // RFC 6455, section 4.4.
        if status == StatusCode::UPGRADE_REQUIRED {
            let headers = response.headers_mut();
            headers.insert(header::UPGRADE, HeaderValue::from_static("websocket"));
            headers.insert(header::SEC_WEBSOCKET_VERSION, HeaderValue::from_static("13"));
        }
        response
    }
}

/// A JSON body; a wrong one is answered with where and why.
#[derive(Debug)]
pub struct Body<T>(pub T);

impl<S: Send + Sync, T: serde::de::DeserializeOwned> FromRequest<S> for Body<T> {
    type Rejection = Failure;

    async fn from_request(request: Request, state: &S) -> Result<Self, Failure> {
        let body = Json::<T>::from_request(request, state).await;
        body.map(|Json(body)| Self(body)).map_err(|rejection| Failure::Body(rejection.body_text()))
    }
}
