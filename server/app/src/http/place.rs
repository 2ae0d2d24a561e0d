//! Requests of a stay, whatever its role: the content of a step, a command without a socket, and the handshake that
//! opens one.

use std::sync::Arc;

use axum::extract::{FromRequest, Path, Query, Request, State};
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use samebreath_core::live::{Actor, Command, Content, StepId};
use samebreath_core::text::LanguageTag;
use samebreath_store::passes::Role;
use samebreath_wire::{ClientMessage, SeatPlace};
use serde::Deserialize;
use tracing::Instrument;

use crate::access::passes::{self, Stay};
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared, ask_as, enter, enter_with, seat_in};
use crate::http::body::JsonBody;
use crate::http::handshake;
use crate::http::origin::{Origin, origin};
use crate::room::{Input, Who};
use crate::socket::{self, Conversation};

/// The routes of a stay.
pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/content/{stay}/{step}/{rev}", get(content))
        .route("/api/commands/{stay}", post(command))
        .route("/ws/{stay}", get(upgrade))
}

/// The language that a page asks for. A malformed tag counts as none, so that no page is refused because of it.
#[derive(Deserialize)]
pub(super) struct InLanguage {
    #[serde(rename = "in")]
    tag: Option<String>,
}

impl InLanguage {
    pub(super) fn tag(self) -> Option<LanguageTag> {
        LanguageTag::try_from(self.tag?).ok()
    }
}

/// The content of a step. Class screens and walls get only steps that the stage already names.
async fn content(
    State(app): Shared,
    Path((stay, step, rev)): Path<(Stay, u32, u32)>,
    Query(language): Query<InLanguage>,
    headers: HeaderMap,
) -> Reply<impl IntoResponse> {
    let room = enter(&app, &headers, &stay).await?;
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
        Some(language) => content.said_in(language),
        None => content,
    };
    Ok(([(header::CACHE_CONTROL, "private, no-cache")], Json(content)))
}

/// A participant's command while the socket is down. The allowance is charged before the body is read.
async fn command(State(app): Shared, Path(stay): Path<Stay>, request: Request) -> Reply<()> {
    let room = enter(&app, request.headers(), &stay).await?;
    let JsonBody(message) = JsonBody::<ClientMessage>::from_request(request, &app).await?;
    let (Role::Seat(seat), ClientMessage::Seat { id, command }) = (stay.role, message) else {
        return Err(Failure::Forbidden);
    };
    let is_safety = command.is_for_safety();
    tracing::info!(seat.id = seat.0, safety = is_safety, "command by plain request");
    ask_as(&app, &room, Actor::Seat(seat), id, Command::Seat(command)).await.map(drop)
}

/// Opens a socket: checks the origin and the pass, then starts the conversation. Clues are shown in the language
/// asked for, if they have it.
async fn upgrade(
    State(app): Shared,
    Path(stay): Path<Stay>,
    Query(language): Query<InLanguage>,
    mut request: Request,
) -> Reply<Response> {
    if app.shutdown.is_cancelled() {
        return Err(Failure::Restarting);
    }
    if origin(request.headers(), app.site.origin.as_deref()) != Origin::Own {
        return Err(Failure::ForeignOrigin);
    }
    let (response, opened) = handshake::answer(&mut request)?;
    let (room, pass) = enter_with(&app, request.headers(), &stay).await?;
    let ended = app.ends.of(pass.via);
    // Whoever was signed out in between finds no pass any more, and what ends later is heard.
    let still = passes::pass_for(request.headers(), &stay, &app.site, &*app.store, app.clock.now());
    still.await?.ok_or(Failure::NoPass)?;
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
        allowance: app.limits.allowance(&stay),
        decides: pass.decides,
        ended,
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
