//! What people say that they did at home. It goes into the ledger of the class that gave it to them.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::routing::post;
use axum::{Json, Router};
use samebreath_core::live::{Actor, Command, HomeLog};
use samebreath_core::people::link::LinkId;
use samebreath_core::people::person::PersonId;
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
    let (session, person) = (session_for(&app, home.who.id, class).await?, home.who.id);
    let room = app.hub.room(session).await?.ok_or(Failure::NotFound)?;
    ask(&app, &room, Actor::Entry, Command::Practise { person, log: Box::new(log.clone()), today }).await?;
    if first_with(&app, session, person, log.id).await.is_some_and(|first| first != log) {
        return Err(Failure::Differs);
    }
    Ok(Json(()))
}

/// The class whose ledger takes a log of this person: the one that gave them the drill, or their newest one where that is no
/// longer kept.
async fn session_for(app: &App, person: PersonId, class: Uuid) -> Reply<SessionId> {
    let mut theirs = Vec::new();
    for session in app.store.classes_of(person).await? {
        let Some(entry) = app.store.session(session).await? else { continue };
        if !entry.rehearsal {
            theirs.push(entry);
        }
    }
    let named = theirs.iter().find(|entry| entry.id.0 == class);
    let entry = named.or_else(|| theirs.iter().max_by_key(|entry| entry.created_at));
    entry.map(|entry| entry.id).ok_or(Failure::NotFound)
}

/// What this person's first log with an id says.
async fn first_with(app: &App, session: SessionId, person: PersonId, id: Uuid) -> Option<HomeLog> {
    let record = record_of(app, session).await?;
    let of = record.people.iter().find(|of| of.person == Some(person))?;
    of.practised.iter().find(|log| log.id == id).cloned()
}
