//! The HTTP interface: its routes, content ahead of time, commands by plain request, and the handshake of sockets.

use std::sync::Arc;
use std::time::Duration;

use axum::extract::{FromRequest, Path, Query, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get, post};
use axum::{Json, Router};
use samebreath_core::language::LanguageTag;
use samebreath_core::live::{Actor, Command, CommandId, Content, Event, StepId};
use samebreath_store::sessions::Role;
use samebreath_wire::{ClientMessage, SeatPlace};
use serde::Deserialize;
use tower_http::CompressionLevel;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::timeout::RequestBodyDeadlineLayer;
use tracing::Instrument;
use uuid::Uuid;

use crate::app::{App, Body, Failure};
use crate::entry_http::seat_in;
use crate::origin::{Origin, origin};
use crate::passes::{self, Stay};
use crate::room::{Answerer, Asked, Input, RoomHandle, Who};
use crate::socket::{self, Conversation};
use crate::{assets, desk_http, entry_http, handshake, planner_http};

/// Longest body of a request.
const BODY_BYTES: usize = 64 * 1024;
/// A body must be there within this.
const BODY_WITHIN: Duration = Duration::from_secs(15);
/// Whoever waits for the ledger is told after this that it cannot be written.
const WRITTEN_WITHIN: Duration = Duration::from_secs(5);

pub(crate) type Shared = State<Arc<App>>;
pub(crate) type Answer<T> = Result<T, Failure>;

/// All routes of the public listener.
pub fn router(app: Arc<App>) -> Router {
    Router::new()
        .merge(entry_http::routes())
        .route("/api/content/{stay}/{step}/{rev}", get(content))
        .route("/api/commands/{stay}", post(command))
        .merge(desk_http::routes())
        .merge(planner_http::routes())
        .route("/ws/{stay}", any(upgrade))
        .route("/healthz", get(|| async { "alive" }))
        .route("/readyz", get(ready))
        // Only what is the same for everybody is compressed: a length that depends on secrets would tell.
        .fallback_service(get(assets::file).layer(CompressionLayer::new().quality(QUALITY)))
        .layer(RequestBodyLimitLayer::new(BODY_BYTES))
        .layer(RequestBodyDeadlineLayer::new(BODY_WITHIN))
        .layer(middleware::from_fn_with_state(Arc::clone(&app), guard))
        .layer(CatchPanicLayer::new())
        .with_state(app)
}

/// Refuses foreign pages, and puts the headers on every answer.
async fn guard(State(app): Shared, request: Request, next: Next) -> Response {
    let changes = !matches!(*request.method(), Method::GET | Method::HEAD);
    let cross_site = request.headers().get("sec-fetch-site").is_some_and(|v| v == "cross-site");
    let foreign = origin(request.headers(), app.public_url.as_deref()) == Origin::Foreign;
    let mut response = if changes && (foreign || cross_site) {
        Failure::ForeignOrigin.into_response()
    } else {
        next.run(request).await
    };
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    if app.is_secure() {
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
         trusted-types svelte-trusted-html",
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

/// Ready to serve: not stopping, and what is tapped can be written down.
async fn ready(State(app): Shared) -> Answer<&'static str> {
    if app.shutdown.is_cancelled() {
        return Err(Failure::Restarting);
    }
    let written = tokio::time::timeout(WRITTEN_WITHIN, app.store.can_write()).await;
    if written == Ok(true) { Ok("ready") } else { Err(Failure::NotRecording) }
}

/// Hands a command to a room and waits until it is on disk. It gets an id of its own, so that it counts
/// once even when it is not known at first whether it was written.
pub(crate) async fn ask(app: &App, room: &RoomHandle, by: Actor, command: Command) -> Answer<Vec<Event>> {
    ask_as(app, room, by, CommandId(Uuid::now_v7()), command).await
}

pub(crate) async fn ask_as(
    app: &App,
    room: &RoomHandle,
    by: Actor,
    id: CommandId,
    command: Command,
) -> Answer<Vec<Event>> {
    let at = app.clock.now();
    let answer = |reply| Answerer::Waiting(reply);
    let asked =
        |reply| Input::Command(Asked { by, id: Some(id), pressed: None, command, at, answer: answer(reply) });
    // While the ledger cannot be written nobody waits for ever; the room goes on trying.
    let answered = tokio::time::timeout(WRITTEN_WITHIN, room.ask(asked)).await;
    Ok(answered.map_err(|_| Failure::NotRecording)???)
}

/// The room of a stay, for a request that may be there.
pub(crate) async fn enter(app: &App, headers: &HeaderMap, stay: &Stay) -> Answer<RoomHandle> {
    if !passes::may_stay(headers, stay, app.is_secure(), &app.store, app.clock.now()).await? {
        return Err(Failure::NoPass);
    }
    app.hub.room(stay.session).await?.ok_or(Failure::NoPass)
}

/// Pages are fetched once per device and version; the smaller half of the scale would cost a slow line more.
const QUALITY: CompressionLevel = CompressionLevel::Precise(9);

/// Asks for words in a language. One that nobody can have is as good as none: no page is refused for it.
#[derive(Deserialize)]
struct InLanguage {
    #[serde(rename = "in")]
    tag: Option<String>,
}

impl InLanguage {
    fn tag(self) -> Option<LanguageTag> {
        LanguageTag::try_from(self.tag?).ok()
    }
}

/// The content of a step. Class screens and walls get only what the stage already names.
async fn content(
    State(app): Shared,
    Path((stay, step, rev)): Path<(Stay, u32, u32)>,
    Query(language): Query<InLanguage>,
    headers: HeaderMap,
) -> Answer<impl IntoResponse> {
    let room = enter(&app, &headers, &stay).await?;
    app.limits.allowance(&stay).take().map_err(|_| Failure::TooOften)?;
    if let Role::Seat(seat) = stay.role
        && !matches!(seat_in(&room, seat).await?, Some((_, SeatPlace::In)))
    {
        return Err(Failure::NoPass);
    }
    let only_named = !matches!(stay.role, Role::Desk(_));
    let tag = language.tag();
    let (step, language) = (StepId(step), tag.clone());
    let content: Option<Content> =
        room.ask(|reply| Input::Content { step, rev, only_named, language, reply }).await?;
    let content = content.ok_or(Failure::NotFound)?;
    let content = match tag.and_then(|tag| app.house.languages.get(tag.as_str())) {
        Some(language) => language.say_content(content),
        None => content,
    };
    Ok(([(header::CACHE_CONTROL, "private, no-cache")], Json(content)))
}

/// A participant's command while the socket is down. It is charged before its body is read.
async fn command(State(app): Shared, Path(stay): Path<Stay>, request: Request) -> Answer<()> {
    let room = enter(&app, request.headers(), &stay).await?;
    app.limits.allowance(&stay).take().map_err(|_| Failure::TooOften)?;
    let Body(message) = Body::<ClientMessage>::from_request(request, &app).await?;
    let (Role::Seat(seat), ClientMessage::Seat { id, command }) = (stay.role, message) else {
        return Err(Failure::Forbidden);
    };
    let is_safety = command.is_for_safety();
    tracing::info!(seat.id = seat.0, safety = is_safety, "command by plain request");
    ask_as(&app, &room, Actor::Seat(seat), id, Command::Seat(command)).await.map(drop)
}

/// The handshake of a socket: its own origin, a pass, and then the conversation. What is said of a clue is
/// said in the language asked for, where the clue has it.
async fn upgrade(
    State(app): Shared,
    Path(stay): Path<Stay>,
    Query(language): Query<InLanguage>,
    mut request: Request,
) -> Answer<Response> {
    if app.shutdown.is_cancelled() {
        return Err(Failure::Restarting);
    }
    if origin(request.headers(), app.public_url.as_deref()) != Origin::Own {
        return Err(Failure::ForeignOrigin);
    }
    let (response, opened) = handshake::answer(&mut request)?;
    let room = enter(&app, request.headers(), &stay).await?;
    let allowance = app.limits.allowance(&stay);
    allowance.take().map_err(|_| Failure::TooOften)?;
    let who = match stay.role {
        Role::Desk(role) => Who::Desk(role),
        Role::Seat(seat) => Who::Seat(seat),
        Role::Wall => Who::Wall,
    };
    let conversation = Conversation {
        connection: app.next_connection(),
        who,
        language: language.tag(),
        room,
        clock: app.clock.clone(),
        allowance,
        shutdown: app.shutdown.clone(),
    };
    let span = tracing::info_span!("socket", session.id = %stay.session, connection.id = conversation.connection.0, who = ?who);
    let talk = async move {
        match opened.await {
            Ok((stream, read)) => socket::talk(stream, read, conversation).await,
            Err(error) => tracing::debug!(error = &*error, "no socket after the handshake"),
        }
    };
    app.tasks.spawn(talk.instrument(span));
    Ok(response)
}
