//! Coming in: with a code, with a link, or back to a class that the browser is already in.

use samebreath_wire::own::OwnPlace;
use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::routing::{get, post};
use axum::{Json, Router};
use axum_extra::extract::cookie::CookieJar;
use samebreath_core::live::{Actor, CareEvent, Command, CommandId, DeskRole, Event, How, SeatId};
use samebreath_store::ledger::SessionId;
use samebreath_store::passes::{Pass, Role};
use samebreath_store::sessions::SessionEntry;
use samebreath_wire::{
    EntryAnswer, EntryRequest, JoinRequest, Joined, MySession, Opened, PassRequest, RoleName, SeatPlace,
};

use crate::access::caller::Caller;
use crate::access::passes::{self, Kept, Stay};
use crate::access::token;
use crate::app::App;
use crate::failure::Failure;
use crate::host::metrics;
use crate::http::ask::{Reply, Shared, ask, ask_as, enter_with, pay, seat_in};
use crate::http::body::JsonBody;
use crate::room::RoomHandle;

/// The routes for coming in.
pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/entry", post(entry))
        .route("/api/join", post(join))
        .route("/api/pass", post(use_link))
        .route("/api/me", get(mine))
        .route("/api/me/{stay}", get(me))
}

/// Says which class a code opens, and which seat this browser already has in that class.
async fn entry(
    State(app): Shared,
    caller: Caller,
    headers: HeaderMap,
    JsonBody(request): JsonBody<EntryRequest>,
) -> Reply<Json<EntryAnswer>> {
    let entry = class_of(&app, caller, &request.code).await?;
    let stays = passes::stays(&headers, &app.site, &*app.store, app.clock.now()).await?;
    let mut seat = None;
    for stay in stays.into_iter().filter(|stay| stay.session == entry.id) {
        let Some(own) = my_session(&app, &stay).await? else { continue };
        if matches!(own.place, Some(SeatPlace::In | SeatPlace::Asking)) {
            seat = Some(own);
        }
    }
    Ok(Json(EntryAnswer { title: entry.title, seat }))
}

/// The class that a code opens. A wrong code counts against the caller's address.
async fn class_of(app: &App, caller: Caller, typed: &str) -> Reply<SessionEntry> {
    let found = match token::read_code(typed) {
        Ok(code) => app.store.session_by_code(&code).await?.filter(|entry| entry.ended_at.is_none()),
        Err(wrong) => {
            app.limits.count_wrong(caller).await?;
            return Err(Failure::Code(wrong));
        }
    };
    if let Some(entry) = found {
        return Ok(entry);
    }
    app.limits.count_wrong(caller).await?;
    Err(Failure::Code("no class has this code; check it with your facilitator".to_owned()))
}

/// Takes a seat with a code and a name.
async fn join(
    State(app): Shared,
    caller: Caller,
    jar: CookieJar,
    JsonBody(request): JsonBody<JoinRequest>,
) -> Reply<(CookieJar, Json<Joined>)> {
    let seated = seat_by_code(&app, caller, request).await;
    metrics::join(seated.is_ok());
    let (session, seat, place) = seated?;
    let pass = Pass::of(session, Role::Seat(seat));
    let stay = Stay::of(&pass).to_string();
    let cookie = passes::give_cookie(pass, Kept::Usual, &app.site, &*app.store, app.clock.now()).await?;
    Ok((jar.add(cookie), Json(Joined { stay, place })))
}

async fn seat_by_code(
    app: &App,
    caller: Caller,
    request: JoinRequest,
) -> Reply<(SessionId, SeatId, SeatPlace)> {
    let JoinRequest { code, name, request } = request;
    let entry = class_of(app, caller, &code).await?;
    app.limits.count_join(caller, entry.id)?;
    let room = app.hub.room(entry.id).await?.ok_or(Failure::NotFound)?;
    let events = ask_as(app, &room, Actor::Entry, CommandId(request), Command::TakeSeat { name }).await?;
    let taken = events.iter().find_map(|event| match event {
        Event::Care { seat, what: CareEvent::SeatTaken { how: How::Asking, .. } } => {
            Some((entry.id, *seat, SeatPlace::Asking))
        }
        Event::Care { seat, what: CareEvent::SeatTaken { .. } } => Some((entry.id, *seat, SeatPlace::In)),
        _ => None,
    });
    taken.ok_or(Failure::NotFound)
}

/// Uses a link or a hand-over code: the browser gets a cookie and no longer needs the token.
async fn use_link(
    State(app): Shared,
    caller: Caller,
    jar: CookieJar,
    JsonBody(PassRequest { token, request }): JsonBody<PassRequest>,
) -> Reply<(CookieJar, Json<Opened>)> {
    let (hash, now) = (token::link_hash(&token), app.clock.now());
    let Some(pass) = app.store.use_link(&hash, request, now).await? else {
        app.limits.count_wrong(caller).await?;
        return Err(Failure::DeadLink);
    };
    let room = app.hub.room(pass.session).await?.ok_or(Failure::DeadLink)?;
    if let Role::Seat(seat) = pass.role {
        ask(&app, &room, Actor::Entry, Command::Arrive { seat }).await?;
    }
    let opened = opened(&app, &room, &pass).await?;
    let cookie = passes::give_cookie(pass, Kept::Usual, &app.site, &*app.store, now).await?;
    Ok((jar.add(cookie), Json(opened)))
}

/// What a page is told about its stay.
async fn opened(app: &App, room: &RoomHandle, pass: &Pass) -> Reply<Opened> {
    let stay = Stay::of(pass);
    let entry = app.store.session(stay.session).await?.ok_or(Failure::NoPass)?;
    let (seat, place) = match stay.role {
        Role::Seat(seat) => {
            let (_, place) = seat_in(room, seat).await?.ok_or(Failure::NoPass)?;
            (Some(seat), Some(place))
        }
        Role::Desk(_) | Role::Wall => (None, None),
    };
    let device = match (&stay.role, pass.via) {
        (Role::Seat(_), Some(via)) => app.store.own_device_by_id(via).await?,
        _ => None,
    };
    Ok(Opened {
        stay: stay.to_string(),
        title: entry.title,
        role: role_name(&stay.role),
        seat,
        place,
        emergency_number: app.emergency_number.clone(),
        decides: pass.decides,
        own: device.map(|device| OwnPlace { link: device.link, shared: device.shared }),
    })
}

pub(crate) fn role_name(role: &Role) -> RoleName {
    match role {
        Role::Desk(DeskRole::Facilitator) => RoleName::Facilitator,
        Role::Desk(DeskRole::Helper) => RoleName::Helper,
        Role::Seat(_) => RoleName::Seat,
        Role::Wall => RoleName::Wall,
    }
}

/// Says what this browser is in a session, so that a page knows it before it opens a socket.
async fn me(State(app): Shared, Path(stay): Path<Stay>, headers: HeaderMap) -> Reply<Json<Opened>> {
    let (room, pass) = enter_with(&app, &headers, &stay).await?;
    Ok(Json(opened(&app, &room, &pass).await?))
}

/// Every unfinished class that this browser is in, so that people find their way back.
async fn mine(State(app): Shared, headers: HeaderMap) -> Reply<Json<Vec<MySession>>> {
    let mut sessions = Vec::new();
    for stay in passes::stays(&headers, &app.site, &*app.store, app.clock.now()).await? {
        sessions.extend(my_session(&app, &stay).await?);
    }
    Ok(Json(sessions))
}

/// One such class; `None` when it is over or its ledger cannot be read. It is charged to the stay's allowance, as a
/// request of its own would be.
async fn my_session(app: &App, stay: &Stay) -> Reply<Option<MySession>> {
    pay(app, stay)?;
    let entry = app.store.session(stay.session).await?.filter(|entry| entry.ended_at.is_none());
    let Some(entry) = entry else { return Ok(None) };
    let seat = match stay.role {
        Role::Seat(seat) => {
            let room = match app.hub.room(stay.session).await {
                Ok(Some(room)) => room,
                Err(error) if error.is_of_one_session() => return Ok(None),
                other => other?.ok_or(Failure::NotFound)?,
            };
            let Some(found) = seat_in(&room, seat).await? else { return Ok(None) };
            Some(found)
        }
        Role::Desk(_) | Role::Wall => None,
    };
    let (name, place) = seat.unzip();
    let role = role_name(&stay.role);
    Ok(Some(MySession { stay: stay.to_string(), title: entry.title, role, name, place }))
}
