//! The routes of the public listener, and the limits and headers that apply to every request and answer.

use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::{Request, State};
use axum::http::{HeaderName, HeaderValue, Method, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use tower_http::CompressionLevel;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::timeout::RequestBodyDeadlineLayer;

use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared, WRITTEN_WITHIN};
use crate::http::origin::{Origin, origin};
use crate::http::{
    accounts, after, assets, attendance, classes, desk, doors, entry, erasure, feed, fhir, home_classes,
    letters, look, notes, oidc, openapi, own, own_links, passkeys, people, person_copy, place, planner,
    practice, progress, retention, rounds, sheets, staff, sums, today, week,
};

/// The longest body of a request.
const BODY_BYTES: usize = 64 * 1024;
/// The time within which a body must arrive.
const BODY_WITHIN: Duration = Duration::from_secs(15);
/// A high level of compression: each device fetches a page once per version, and on a slow line a smaller file
/// saves more time than compressing costs.
const QUALITY: CompressionLevel = CompressionLevel::Precise(9);

/// All routes of the public listener.
pub fn router(app: Arc<App>) -> Router {
    Router::new()
        .merge(entry::routes())
        .merge(place::routes())
        .merge(desk::routes())
        .merge(after::routes())
        .merge(planner::routes())
        .merge(look::routes())
        .merge(people::routes())
        .merge(rounds::routes())
        .merge(week::routes())
        .merge(today::routes())
        .merge(classes::routes())
        .merge(staff::routes())
        .merge(accounts::routes())
        .merge(own::routes())
        .merge(own_links::routes())
        .merge(retention::routes())
        .merge(passkeys::routes())
        .merge(attendance::routes())
        .merge(notes::routes())
        .merge(sums::routes())
        .merge(sheets::routes())
        .merge(home_classes::routes())
        .merge(practice::routes())
        .merge(progress::routes())
        .merge(person_copy::routes())
        .merge(fhir::routes())
        .merge(openapi::routes())
        .merge(oidc::routes())
        .merge(letters::routes())
        .merge(feed::routes())
        .merge(erasure::routes())
        .route("/healthz", get(|| async { "alive" }))
        .route("/readyz", get(ready))
        .route_layer(middleware::from_fn_with_state(Arc::clone(&app), doors::open))
        // Only files that are the same for everybody are compressed: the compressed length of a private answer
        // could give away its secrets.
        .fallback_service(
            get(assets::file).layer(CompressionLayer::new().quality(QUALITY)).with_state(Arc::clone(&app)),
        )
        .layer(RequestBodyLimitLayer::new(BODY_BYTES))
        .layer(RequestBodyDeadlineLayer::new(BODY_WITHIN))
        .layer(middleware::from_fn_with_state(Arc::clone(&app), guard))
        .layer(CatchPanicLayer::new())
        .with_state(app)
}

/// Refuses changes from other websites, and sets the headers of every answer.
async fn guard(State(app): Shared, request: Request, next: Next) -> Response {
    let changes = !matches!(*request.method(), Method::GET | Method::HEAD);
    let cross_site = request.headers().get("sec-fetch-site").is_some_and(|v| v == "cross-site");
    let foreign = origin(request.headers(), app.site.origin.as_deref()) == Origin::Foreign;
    let mut response = if changes && (foreign || cross_site) {
        Failure::ForeignOrigin.into_response()
    } else {
        next.run(request).await
    };
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    if app.site.is_secure() {
        let value = HeaderValue::from_static("max-age=63072000; includeSubDomains");
        headers.insert(header::STRICT_TRANSPORT_SECURITY, value);
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

const HEADERS: [(&str, &str); 7] = [
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; \
         connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; \
         frame-ancestors 'none'; object-src 'none'; require-trusted-types-for 'script'; \
         trusted-types svelte-trusted-html samebreath-worker",
    ),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-embedder-policy", "require-corp"),
    ("cross-origin-resource-policy", "same-origin"),
    (
        "permissions-policy",
        "camera=(), geolocation=(), microphone=(), screen-wake-lock=(self), fullscreen=(self)",
    ),
    ("referrer-policy", "no-referrer"),
    ("x-content-type-options", "nosniff"),
];

/// Says whether the server is ready: it is not stopping, and it can write to its ledgers.
async fn ready(State(app): Shared) -> Reply<&'static str> {
    if app.shutdown.is_cancelled() {
        return Err(Failure::Restarting);
    }
    let written = tokio::time::timeout(WRITTEN_WITHIN, app.store.can_write()).await;
    if written == Ok(true) { Ok("ready") } else { Err(Failure::NotRecording) }
}
