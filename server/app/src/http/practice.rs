//! What people say that they did at home. It goes into the ledger of the class that gave it to them.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::routing::post;
use axum::{Json, Router};
use samebreath_core::live::{Actor, Command, HomeLog};
use samebreath_core::people::link::LinkId;
use samebreath_core::people::person::PersonId;
use samebreath_core::record::class::{ClassRecord, PersonRecord};
use samebreath_core::time::EpochMs;
use samebreath_store::ledger::SessionId;
use samebreath_wire::sheets::HomeDone;
use uuid::Uuid;

use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared, ask};
use crate::http::body::JsonBody;
use crate::http::own::AtHome;
use crate::session::history::{day_of, record_of};

/// A device may be so many days ahead, for it may lie in another time zone; and what was done offline may come so many days
/// later. About any other day people are asked.
const AHEAD_DAYS: i64 = 1;
const BACK_DAYS: i64 = 60;
/// A class that began longer ago takes no more logs.
const OLD_MS: i64 = 90 * 24 * 3_600_000;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/own/{link}/practice", post(done))
}

async fn done(
    State(app): Shared,
    Path(link): Path<LinkId>,
    headers: HeaderMap,
    JsonBody(HomeDone { class, log }): JsonBody<HomeDone>,
) -> Reply<Json<()>> {
    let home = AtHome::of(&app, &headers, link).await?;
    let now = app.clock.now();
    let zone = home.groups.iter().find_map(|(_, group)| group.zone.as_ref());
    let today = zone.and_then(|zone| zone.day(now)).or_else(|| day_of(now));
    let today =
        today.ok_or_else(|| Failure::Body("the server's clock is wrong; try again later".to_owned()))?;
    // What hurt is taken whatever the device's clock says.
    if !log.hurt && !(-BACK_DAYS..=AHEAD_DAYS).contains(&log.day.days_since(today)) {
        return Err(Failure::OtherDay(log.day, today));
    }
    let person = home.who.id;
    let session = session_for(&app, person, SessionId(class), now).await?;
    let room = app.hub.room(session).await?.ok_or(Failure::NotFound)?;
    ask(&app, &room, Actor::Entry, Command::Practise { person, log: Box::new(log.clone()), today }).await?;
    if first_with(&app, session, person, log.id).await.is_some_and(|first| first != log) {
        return Err(Failure::Differs);
    }
    Ok(Json(()))
}

/// The class whose ledger takes a log of this person: the one that gave them the drill, or the last that was held where that is
/// no longer kept, or so old that nobody looks at it.
async fn session_for(app: &App, person: PersonId, class: SessionId, now: EpochMs) -> Reply<SessionId> {
    if began_with(app, person, class).await?.is_some_and(|began| began > now.plus(-OLD_MS)) {
        return Ok(class);
    }
    let mut newest: Option<(EpochMs, SessionId)> = None;
    for session in app.store.classes_of(person).await? {
        let began = began_with(app, person, session).await?;
        newest = newest.max(began.map(|began| (began, session)));
    }
    newest.map(|(_, session)| session).ok_or(Failure::NotFound)
}

/// When a class began in which this person has a seat; `None` for anything else.
async fn began_with(app: &App, person: PersonId, session: SessionId) -> Reply<Option<EpochMs>> {
    if app.store.session(session).await?.is_none_or(|entry| entry.rehearsal) {
        return Ok(None);
    }
    let record = record_of(app, session).await;
    Ok(record.filter(|record| seat_of(record, person).is_some()).and_then(|record| record.started_at))
}

fn seat_of(record: &ClassRecord, person: PersonId) -> Option<&PersonRecord> {
    record.people.iter().find(|of| of.person == Some(person))
}

/// What this person's first log with an id says.
async fn first_with(app: &App, session: SessionId, person: PersonId, id: Uuid) -> Option<HomeLog> {
    let record = record_of(app, session).await?;
    seat_of(&record, person)?.practised.iter().find(|log| log.id == id).cloned()
}
