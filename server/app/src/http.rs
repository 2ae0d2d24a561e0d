//! The HTTP interface: pages, joining, links, content ahead of time, and the handshake of sockets.

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::ws::WebSocketUpgrade;
use axum::extract::{ConnectInfo, Path, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get, post};
use axum::{Json, Router};
use axum_extra::extract::cookie::CookieJar;
use samebreath_core::live::{Actor, Command, Content, Event, SeatCommand, SeatId, StepId};
use samebreath_core::text::Name;
use samebreath_store::documents::{Pass, Role, Use};
use samebreath_store::ledger::SessionId;
use samebreath_wire::{
    ClientMessage, JoinRequest, Joined, MESSAGE_BYTES, Opened, PassRequest, RoleName, SUBPROTOCOL, Sheet,
};
use serde::{Deserialize, Serialize};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::timeout::RequestBodyDeadlineLayer;
use tracing::Instrument;

use crate::app::{App, Body, Failure};
use crate::origin::{Origin, origin};
use crate::passes::{self, Door};
use crate::room::{Answerer, Asked, Input, RoomHandle, Who};
use crate::socket::{self, Conversation};
use crate::{assets, metrics, token};

/// Longest body of a request.
const BODY_BYTES: usize = 64 * 1024;
/// A body must be there within this.
const BODY_WITHIN: Duration = Duration::from_secs(15);
/// How long a joiner waits when there were too many failed joins.
const PATIENCE: Duration = Duration::from_secs(2);
/// Personal links work for 60 days.
const LINK_MS: i64 = 60 * 24 * 3_600_000;
/// Buffers of a socket: a stage has about 1 KiB. The default of 128 KiB a socket is memory without use.
const BUFFER_BYTES: usize = 4 * 1024;
/// What may wait unsent on a socket before it is closed.
const UNSENT_BYTES: usize = 256 * 1024;

type Shared = State<Arc<App>>;
type Answer<T> = Result<T, Failure>;

/// All routes of the public listener.
pub fn router(app: Arc<App>) -> Router {
    Router::new()
        .route("/api/join", post(join))
        .route("/api/pass", post(use_link))
        .route("/api/me/{door}", get(me))
        .route("/api/content/{door}/{step}/{rev}", get(content))
        .route("/api/commands", post(command))
        .route("/api/desk/sheet", get(sheet))
        .route("/api/desk/invite", post(invite))
        .route("/ws/{door}", any(upgrade))
        .route("/healthz", get(|| async { "alive" }))
        .route("/readyz", get(ready))
        .fallback(get(assets::file))
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
    let (session, seat) = seated?;
    let pass = Pass { session, role: Role::Seat(seat) };
    let cookie = passes::give_cookie(pass, app.is_secure(), &app.store, app.clock.now()).await?;
    Ok((jar.add(cookie), Json(Joined { seat })))
}

async fn seat_by_code(app: &App, request: &JoinRequest) -> Answer<(SessionId, SeatId)> {
    let code = token::read_code(&request.code).map_err(Failure::Code)?;
    let no_class = || Failure::Code("no class has this code; check it with your facilitator".to_owned());
    let entry = app.store.session_by_code(&code).await?.ok_or_else(no_class)?;
    let room = app.hub.room(entry.id).await?.ok_or_else(no_class)?;
    Ok((entry.id, take_seat(app, &room, request.name.clone()).await?))
}

async fn take_seat(app: &App, room: &RoomHandle, name: Name) -> Answer<SeatId> {
    let events = ask(app, room, Actor::Entry, None, Command::TakeSeat { name }).await?;
    let seat =
        events.iter().find_map(|e| if let Event::SeatTaken { seat, .. } = e { Some(*seat) } else { None });
    seat.ok_or(Failure::NotFound)
}

/// Hands a command to a room and waits until it is on disk.
async fn ask(
    app: &App,
    room: &RoomHandle,
    by: Actor,
    id: Option<samebreath_core::live::CommandId>,
    command: Command,
) -> Answer<Vec<Event>> {
    let at = app.clock.now();
    let asked = |reply| Input::Command(Asked { by, id, command, at, answer: Answerer::Waiting(reply) });
    Ok(room.ask(asked).await??)
}

/// Uses a link: the browser gets a cookie, the fragment's token is not needed any more.
async fn use_link(
    State(app): Shared,
    jar: CookieJar,
    Body(request): Body<PassRequest>,
) -> Answer<(CookieJar, Json<Opened>)> {
    let (hash, now) = (token::hash(&request.token), app.clock.now());
    let mut pass = app.store.use_link(&hash, now).await?.ok_or(Failure::DeadLink)?;
    if let Role::Guest(name) = pass.role {
        let room = app.hub.room(pass.session).await?.ok_or(Failure::DeadLink)?;
        let seat = take_seat(&app, &room, name).await?;
        app.store.seat_guest(&hash, seat).await?;
        pass.role = Role::Seat(seat);
    }
    let role = role_name(&pass.role);
    let cookie = passes::give_cookie(pass, app.is_secure(), &app.store, now).await?;
    Ok((jar.add(cookie), Json(app.opened(role))))
}

fn role_name(role: &Role) -> RoleName {
    use samebreath_core::live::DeskRole;
    match role {
        Role::Desk(DeskRole::Facilitator) => RoleName::Facilitator,
        Role::Desk(DeskRole::Helper) => RoleName::Helper,
        Role::Seat(_) | Role::Guest(_) => RoleName::Seat,
        Role::Wall => RoleName::Wall,
    }
}

/// The pass and room of a request at a door.
async fn enter(app: &App, headers: &HeaderMap, door: Door) -> Answer<(Pass, RoomHandle)> {
    let pass = passes::pass(headers, door, app.is_secure(), &app.store, app.clock.now()).await?;
    let pass = pass.ok_or(Failure::NoPass)?;
    let room = app.hub.room(pass.session).await?.ok_or(Failure::NoPass)?;
    Ok((pass, room))
}

/// Says what this browser is at a door, so that a page knows before it opens a socket.
async fn me(State(app): Shared, Path(door): Path<DoorName>, headers: HeaderMap) -> Answer<Json<Opened>> {
    let (pass, _) = enter(&app, &headers, door.into()).await?;
    Ok(Json(app.opened(role_name(&pass.role))))
}

/// The content of a step. Class screens and walls get only what the stage already names.
async fn content(
    State(app): Shared,
    Path((door, step, rev)): Path<(DoorName, u32, u32)>,
    headers: HeaderMap,
) -> Answer<impl IntoResponse> {
    let door = Door::from(door);
    let (_, room) = enter(&app, &headers, door).await?;
    let only_named = door != Door::Desk;
    let content: Option<Content> =
        room.ask(|reply| Input::Content { step: StepId(step), rev, only_named, reply }).await?;
    let content = content.ok_or(Failure::NotFound)?;
    // One id and revision never changes, but another class may come to the same browser.
    Ok(([(header::CACHE_CONTROL, "private, no-cache")], Json(content)))
}

/// A participant's command while the socket is down.
async fn command(State(app): Shared, headers: HeaderMap, Body(message): Body<ClientMessage>) -> Answer<()> {
    let (pass, room) = enter(&app, &headers, Door::Seat).await?;
    let (Role::Seat(seat), ClientMessage::Seat { id, command }) = (pass.role, message) else {
        return Err(Failure::Forbidden);
    };
    let is_safety = matches!(command, SeatCommand::Report { .. } | SeatCommand::Stop { .. });
    tracing::info!(seat.id = seat.0, safety = is_safety, "command by plain request");
    ask(&app, &room, Actor::Seat(seat), Some(id), Command::Seat(command)).await.map(drop)
}

/// The run sheet, with private notes.
async fn sheet(State(app): Shared, headers: HeaderMap) -> Answer<Json<Sheet>> {
    let (pass, room) = enter(&app, &headers, Door::Desk).await?;
    let entry = app.store.session(pass.session).await?.ok_or(Failure::NotFound)?;
    let (class_ms, steps) = room.ask(|reply| Input::Sheet { reply }).await?;
    Ok(Json(Sheet {
        title: entry.title,
        code: token::grouped(&entry.code),
        rehearsal: entry.rehearsal,
        class_ms,
        created_at: entry.created_at,
        steps,
    }))
}

/// Asks for a personal link.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct InviteRequest {
    name: Name,
}

/// A personal link, to be sent to that person only.
#[derive(Debug, Serialize)]
struct Invited {
    path: String,
}

async fn invite(
    State(app): Shared,
    headers: HeaderMap,
    Body(request): Body<InviteRequest>,
) -> Answer<Json<Invited>> {
    let (pass, _) = enter(&app, &headers, Door::Desk).await?;
    let guest = Pass { session: pass.session, role: Role::Guest(request.name) };
    let expires_at = app.clock.now().plus(LINK_MS);
    let token = passes::give_link(guest, Use::Always, &app.store, expires_at).await?;
    Ok(Json(Invited { path: format!("/#p.{token}") }))
}

/// The handshake of a socket: its own origin, a pass, and then the conversation.
async fn upgrade(
    State(app): Shared,
    Path(door): Path<DoorName>,
    headers: HeaderMap,
    upgrade: WebSocketUpgrade,
) -> Answer<Response> {
    if app.shutdown.is_cancelled() {
        return Err(Failure::Restarting);
    }
    if origin(&headers, app.public_url.as_deref()) != Origin::Own {
        return Err(Failure::ForeignOrigin);
    }
    let (pass, room) = enter(&app, &headers, door.into()).await?;
    let who = match pass.role {
        Role::Desk(role) => Who::Desk(role),
        Role::Seat(seat) => Who::Seat(seat),
        Role::Wall => Who::Wall,
        Role::Guest(_) => return Err(Failure::NoPass),
    };
    let conversation = Conversation {
        connection: app.next_connection(),
        who,
        room,
        clock: app.clock,
        shutdown: app.shutdown.clone(),
    };
    let span = tracing::info_span!("socket", session.id = %pass.session, connection.id = conversation.connection.0, who = ?who);
    let tasks = app.tasks.clone();
    Ok(upgrade
        .protocols([SUBPROTOCOL])
        .read_buffer_size(BUFFER_BYTES)
        .write_buffer_size(BUFFER_BYTES)
        .max_write_buffer_size(UNSENT_BYTES)
        .max_message_size(MESSAGE_BYTES)
        .max_frame_size(MESSAGE_BYTES)
        .on_upgrade(move |socket| tasks.track_future(socket::talk(socket, conversation).instrument(span))))
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
