//! The HTTP interface: pages, joining, links, content ahead of time, and the handshake of sockets.

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::{ConnectInfo, Path, Query, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get, post};
use axum::{Json, Router};
use axum_extra::extract::cookie::CookieJar;
use samebreath_core::language::LanguageTag;
use samebreath_core::live::{
    Actor, Command, CommandId, Content, DeskRole, Event, How, Place, SeatId, StepId,
};
use samebreath_store::ledger::SessionId;
use samebreath_store::sessions::{Pass, Role};
use samebreath_wire::{ClientMessage, JoinRequest, Joined, Opened, PassRequest, RoleName, SeatPlace};
use serde::Deserialize;
use tower_http::CompressionLevel;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::timeout::RequestBodyDeadlineLayer;
use tracing::Instrument;
use uuid::Uuid;

use crate::app::{App, Body, Failure};
use crate::origin::{Origin, origin};
use crate::passes::{self, Door};
use crate::room::{Answerer, Asked, Input, RoomHandle, Who};
use crate::socket::{self, Conversation};
use crate::{assets, desk_http, handshake, metrics, planner_http, token};

/// Longest body of a request.
const BODY_BYTES: usize = 64 * 1024;
/// A body must be there within this.
const BODY_WITHIN: Duration = Duration::from_secs(15);
/// How long a joiner waits when there were too many failed joins.
const PATIENCE: Duration = Duration::from_secs(2);

pub(crate) type Shared = State<Arc<App>>;
pub(crate) type Answer<T> = Result<T, Failure>;

/// All routes of the public listener.
pub fn router(app: Arc<App>) -> Router {
    Router::new()
        .route("/api/join", post(join))
        .route("/api/pass", post(use_link))
        .route("/api/me/{door}", get(me))
        .route("/api/content/{door}/{step}/{rev}", get(content))
        .route("/api/commands", post(command))
        .merge(desk_http::routes())
        .merge(planner_http::routes())
        .route("/ws/{door}", any(upgrade))
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

async fn ready(State(app): Shared) -> Answer<&'static str> {
    if app.shutdown.is_cancelled() { Err(Failure::Restarting) } else { Ok("ready") }
}

/// Takes a seat by code and name.
async fn join(
    State(app): Shared,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    jar: CookieJar,
    Body(request): Body<JoinRequest>,
) -> Answer<(CookieJar, Json<Joined>)> {
    let seated = seat_by_code(&app, &request).await;
    metrics::join(seated.is_ok());
    if matches!(seated, Err(Failure::Code(_))) && !app.joins.count_failure(from) {
        tokio::time::sleep(PATIENCE).await;
        return Err(Failure::TooOften);
    }
    let (session, seat, place) = seated?;
    let pass = Pass { session, role: Role::Seat(seat) };
    let cookie = passes::give_cookie(pass, app.is_secure(), &app.store, app.clock.now()).await?;
    Ok((jar.add(cookie), Json(Joined { seat, place, stay: stay(session, seat) })))
}

async fn seat_by_code(app: &App, request: &JoinRequest) -> Answer<(SessionId, SeatId, SeatPlace)> {
    let code = token::read_code(&request.code).map_err(Failure::Code)?;
    let no_class = || Failure::Code("no class has this code; check it with your facilitator".to_owned());
    let entry = app.store.session_by_code(&code).await?.ok_or_else(no_class)?;
    let room = app.hub.room(entry.id).await?.ok_or_else(no_class)?;
    let name = request.name.clone();
    let events = ask(app, &room, Actor::Entry, Command::TakeSeat { name }).await?;
    let taken = events.iter().find_map(|event| match event {
        Event::SeatTaken { seat, how: How::Asking, .. } => Some((entry.id, *seat, SeatPlace::Asking)),
        Event::SeatTaken { seat, .. } => Some((entry.id, *seat, SeatPlace::In)),
        _ => None,
    });
    taken.ok_or(Failure::NotFound)
}

/// Hands a command to a room and waits until it is on disk. It gets an id of its own, so that it counts
/// once even when it is not known at first whether it was written.
pub(crate) async fn ask(app: &App, room: &RoomHandle, by: Actor, command: Command) -> Answer<Vec<Event>> {
    ask_as(app, room, by, CommandId(Uuid::now_v7()), command).await
}

async fn ask_as(
    app: &App,
    room: &RoomHandle,
    by: Actor,
    id: CommandId,
    command: Command,
) -> Answer<Vec<Event>> {
    let at = app.clock.now();
    let asked =
        |reply| Input::Command(Asked { by, id: Some(id), command, at, answer: Answerer::Waiting(reply) });
    Ok(room.ask(asked).await??)
}

/// Uses a link, or a hand-over code: the browser gets a cookie, and the token is not needed any more.
async fn use_link(
    State(app): Shared,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    jar: CookieJar,
    Body(request): Body<PassRequest>,
) -> Answer<(CookieJar, Json<Opened>)> {
    let (hash, now) = (token::link_hash(&request.token), app.clock.now());
    let Some(pass) = app.store.use_link(&hash, now).await? else {
        if !app.joins.count_failure(from) {
            tokio::time::sleep(PATIENCE).await;
            return Err(Failure::TooOften);
        }
        return Err(Failure::DeadLink);
    };
    let room = app.hub.room(pass.session).await?.ok_or(Failure::DeadLink)?;
    if let Role::Seat(seat) = pass.role {
        ask(&app, &room, Actor::Entry, Command::Arrive { seat }).await?;
    }
    let opened = opened(&app, &room, &pass).await?;
    let cookie = passes::give_cookie(pass, app.is_secure(), &app.store, now).await?;
    Ok((jar.add(cookie), Json(opened)))
}

/// What a page is told of its pass.
async fn opened(app: &App, room: &RoomHandle, pass: &Pass) -> Answer<Opened> {
    let place = match &pass.role {
        Role::Seat(seat) => Some(place(room, *seat).await?.ok_or(Failure::NoPass)?),
        Role::Desk(_) | Role::Wall => None,
    };
    let stay = if let Role::Seat(seat) = pass.role { Some(stay(pass.session, seat)) } else { None };
    let role = match &pass.role {
        Role::Desk(DeskRole::Facilitator) => RoleName::Facilitator,
        Role::Desk(DeskRole::Helper) => RoleName::Helper,
        Role::Seat(_) => RoleName::Seat,
        Role::Wall => RoleName::Wall,
    };
    Ok(Opened { role, place, stay, emergency_number: app.emergency_number.clone() })
}

/// Names a person's stay in one class, the same whichever way and how often they come back to it.
fn stay(session: SessionId, seat: SeatId) -> String {
    format!("{session}.{}", seat.0)
}

async fn place(room: &RoomHandle, seat: SeatId) -> Answer<Option<SeatPlace>> {
    let place = room.ask(|reply| Input::Place { seat, reply }).await?;
    Ok(place.map(|place| match place {
        Place::In | Place::Left | Place::Expected => SeatPlace::In,
        Place::Asking => SeatPlace::Asking,
        Place::TurnedAway => SeatPlace::TurnedAway,
        Place::Removed(_) => SeatPlace::Removed,
    }))
}

/// The pass and room of a request at a door.
pub(crate) async fn enter(app: &App, headers: &HeaderMap, door: Door) -> Answer<(Pass, RoomHandle)> {
    let pass = passes::pass(headers, door, app.is_secure(), &app.store, app.clock.now()).await?;
    let pass = pass.ok_or(Failure::NoPass)?;
    let room = app.hub.room(pass.session).await?.ok_or(Failure::NoPass)?;
    Ok((pass, room))
}

/// Says what this browser is at a door, so that a page knows before it opens a socket.
async fn me(State(app): Shared, Path(door): Path<DoorName>, headers: HeaderMap) -> Answer<Json<Opened>> {
    let (pass, room) = enter(&app, &headers, door.into()).await?;
    Ok(Json(opened(&app, &room, &pass).await?))
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
    Path((door, step, rev)): Path<(DoorName, u32, u32)>,
    Query(language): Query<InLanguage>,
    headers: HeaderMap,
) -> Answer<impl IntoResponse> {
    let door = Door::from(door);
    let (pass, room) = enter(&app, &headers, door).await?;
    if let Role::Seat(seat) = pass.role
        && place(&room, seat).await? != Some(SeatPlace::In)
    {
        return Err(Failure::NoPass);
    }
    let only_named = door != Door::Desk;
    let tag = language.tag();
    let (step, language) = (StepId(step), tag.clone());
    let content: Option<Content> =
        room.ask(|reply| Input::Content { step, rev, only_named, language, reply }).await?;
    let content = content.ok_or(Failure::NotFound)?;
    let content = match tag.and_then(|tag| app.house.languages.get(tag.as_str())) {
        Some(language) => language.say_content(content),
        None => content,
    };
    // One id and revision never changes, but another class may come to the same browser.
    Ok(([(header::CACHE_CONTROL, "private, no-cache")], Json(content)))
}

/// A participant's command while the socket is down.
async fn command(State(app): Shared, headers: HeaderMap, Body(message): Body<ClientMessage>) -> Answer<()> {
    let (pass, room) = enter(&app, &headers, Door::Seat).await?;
    let (Role::Seat(seat), ClientMessage::Seat { id, command }) = (pass.role, message) else {
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
    Path(door): Path<DoorName>,
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
    let (pass, room) = enter(&app, request.headers(), door.into()).await?;
    let who = match pass.role {
        Role::Desk(role) => Who::Desk(role),
        Role::Seat(seat) => Who::Seat(seat),
        Role::Wall => Who::Wall,
    };
    let conversation = Conversation {
        connection: app.next_connection(),
        who,
        language: language.tag(),
        room,
        clock: app.clock,
        shutdown: app.shutdown.clone(),
    };
    let span = tracing::info_span!("socket", session.id = %pass.session, connection.id = conversation.connection.0, who = ?who);
    let talk = async move {
        match opened.await {
            Ok((stream, read)) => socket::talk(stream, read, conversation).await,
            Err(error) => tracing::debug!(error = &*error, "no socket after the handshake"),
        }
    };
    app.tasks.spawn(talk.instrument(span));
    Ok(response)
}

/// A door's name in a path.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
enum DoorName {
    Desk,
    Seat,
    Wall,
}

impl From<DoorName> for Door {
    fn from(name: DoorName) -> Self {
        match name {
            DoorName::Desk => Self::Desk,
            DoorName::Seat => Self::Seat,
            DoorName::Wall => Self::Wall,
        }
    }
}
