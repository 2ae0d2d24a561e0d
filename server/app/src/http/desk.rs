//! What desks ask for by plain request while a class is on: the run sheet, one person's card, and links and codes for
//! others.

use axum::extract::{Path, State};
use axum::routing::{get, post};
use axum::{Json, Router};
use samebreath_core::live::{Actor, Clearing, Command, CommandId, DeskCommand, DeskRole, Event, SeatId};
use samebreath_core::people::person::Person;
use samebreath_core::record::class::ClassRecord;
use samebreath_core::record::usual::usual_times;
use samebreath_store::passes::{Pass, Role, Use};
use samebreath_wire::{AtDeskPerson, HandoverCode, InviteRequest, Invited, Sheet};

use crate::access::passes::{self, Stay};
use crate::access::token;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared, ask_as};
use crate::http::audit;
use crate::http::body::JsonBody;
use crate::http::who::AtDesk;
use crate::room::Input;
use crate::session::history::held;

/// How long a personal link works: 60 days.
const LINK_MS: i64 = 60 * 24 * 3_600_000;
/// How long a hand-over code works: half an hour, since a colleague types it as soon as it is read out. It works
/// once.
const HANDOVER_MS: i64 = 30 * 60_000;

/// The desks' routes.
pub(crate) fn routes() -> Router<std::sync::Arc<App>> {
    Router::new()
        .route("/api/desk/{stay}/sheet", get(sheet))
        .route("/api/desk/{stay}/person/{seat}", get(person))
        .route("/api/desk/{stay}/clearing", get(clearing))
        .route("/api/desk/{stay}/invite", post(invite))
        .route("/api/desk/{stay}/handover", post(handover))
}

/// What is usual is taken from so many of the group's last classes.
const CLASSES_OF_LATE: usize = 6;

/// The run sheet, with private notes.
async fn sheet(desk: AtDesk, State(app): Shared) -> Reply<Json<Sheet>> {
    let entry = app.store.session(desk.stay.session).await?.ok_or(Failure::NotFound)?;
    let (class_ms, steps) = desk.room.ask(|reply| Input::Sheet { reply }).await?;
    let classes = match entry.group {
        // What came later was not usual then.
        Some(group) => held(&app, group, CLASSES_OF_LATE, entry.of).await?,
        None => Vec::new(),
    };
    let before = classes.iter().filter(|(id, ..)| *id != entry.id.0);
    let records: Vec<&ClassRecord> = before.map(|(.., record)| &**record).collect();
    Ok(Json(Sheet {
        usual: usual_times(&records),
        title: entry.title,
        code: token::grouped(&entry.code),
        rehearsal: entry.rehearsal,
        class_ms,
        created_at: entry.created_at,
        steps,
    }))
}

/// One person's card: where they are, whom to call, what was sent to them, and health notes if this desk may see
/// them.
async fn person(
    desk: AtDesk,
    State(app): Shared,
    Path((_, seat)): Path<(Stay, u32)>,
) -> Reply<Json<AtDeskPerson>> {
    let seat = SeatId(seat);
    let card = desk.room.ask(|reply| Input::Person { seat, role: desk.role, reply }).await?;
    let card = card.ok_or(Failure::NotFound)?;
    // Somebody who came with the code is nobody of a group; then it is the class that says who they were.
    let person = desk.room.ask(|reply| Input::PersonAt { seat, reply }).await?;
    let subject = person.map_or(desk.stay.session.0, |person| person.0);
    audit::desk_read(&app, &desk, "person/{seat}", subject).await;
    let kept = match person {
        Some(person) => app.store.document::<Person>(person.0).await?,
        None => None,
    };
    Ok(Json(AtDeskPerson { card, contacts: kept.map(|kept| kept.content.contacts).unwrap_or_default() }))
}

/// The people for whom swallow drills could be turned on, with what speaks against it. Only for a desk that may see
/// health notes.
async fn clearing(desk: AtDesk, State(app): Shared) -> Reply<Json<Vec<Clearing>>> {
    let people = desk.room.ask(|reply| Input::Clearing { role: desk.role, reply }).await?;
    let people = people.ok_or(Failure::Forbidden)?;
    audit::desk_read(&app, &desk, "clearing", desk.stay.session.0).await;
    Ok(Json(people))
}

/// Makes a personal link. A person who is not on the roster gets a seat first.
async fn invite(
    desk: AtDesk,
    State(app): Shared,
    JsonBody(request): JsonBody<InviteRequest>,
) -> Reply<Json<Invited>> {
    let seat = match request {
        InviteRequest::Seat(seat) => {
            let known = desk.room.ask(|reply| Input::Seat { seat, reply }).await?;
            known.map(|_| seat).ok_or(Failure::NotFound)?
        }
        InviteRequest::Name { name, request } => {
            let command = Command::Desk(DeskCommand::Expect { name });
            let events =
                ask_as(&app, &desk.room, Actor::Desk(desk.role), CommandId(request), command).await?;
            let seat = events.iter().find_map(Event::seat);
            seat.ok_or(Failure::NotFound)?
        }
    };
    let pass = Pass::of(desk.stay.session, Role::Seat(seat));
    let expires_at = app.clock.now().plus(LINK_MS);
    let token = passes::give_link(pass, Use::Always, &*app.store, expires_at).await?;
    Ok(Json(Invited { seat, path: format!("/#p.{token}") }))
}

/// Makes a code that can be read out to a colleague, who opens the helper's desk with it.
async fn handover(desk: AtDesk, State(app): Shared) -> Reply<Json<HandoverCode>> {
    let (code, expires_at) = (token::new_code(), app.clock.now().plus(HANDOVER_MS));
    // Nobody knows whether whoever is told the code is a clinician.
    let role = Role::Desk(DeskRole::Helper);
    let pass = Pass { decides: app.is_trial, ..Pass::of(desk.stay.session, role) };
    app.store.add_pass(&token::link_hash(&code), pass, Use::Once, expires_at).await?;
    Ok(Json(HandoverCode { code: token::grouped(&code), expires_at }))
}
