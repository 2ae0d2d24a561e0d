//! What staff do with lasting links: those of people, and that of their own calendar.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::{delete, get};
use axum::{Json, Router};
use samebreath_core::people::link::{LinkId, Medium};
use samebreath_core::people::person::{Person, PersonId};
use samebreath_store::own_links::{LinkOwner, OwnLink};
use samebreath_wire::own::{MadeOwnLink, NewOwnLink, OwnLinkCard};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::access::{own, token};
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::documents;

/// The most links that somebody has.
const MOST_LINKS: usize = 20;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/people/{id}/links", get(of_person).post(new_for_person))
        .route("/api/planner/people/{id}/links/{link}", delete(end_of_person))
        .route("/api/staff/calendar", get(own_calendars).post(new_calendar))
        .route("/api/staff/calendar/{link}", delete(end_calendar))
}

/// The person, if whoever asks may see them.
async fn person(app: &App, staff: &Staff, id: Uuid) -> Reply<LinkOwner> {
    documents::stored::<Person>(app, staff, id).await?;
    Ok(LinkOwner::Person(PersonId(id)))
}

async fn of_person(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<Vec<OwnLinkCard>>> {
    cards(&app, person(&app, &staff, id).await?).await
}

async fn new_for_person(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(new): JsonBody<NewOwnLink>,
) -> Reply<Json<MadeOwnLink>> {
    make(&app, person(&app, &staff, id).await?, new).await
}

async fn end_of_person(
    staff: Staff,
    State(app): Shared,
    Path((id, link)): Path<(Uuid, LinkId)>,
) -> Reply<Json<()>> {
    end(&app, person(&app, &staff, id).await?, link).await
}

async fn own_calendars(staff: Staff, State(app): Shared) -> Reply<Json<Vec<OwnLinkCard>>> {
    cards(&app, LinkOwner::Account(staff.id())).await
}

async fn new_calendar(
    staff: Staff,
    State(app): Shared,
    JsonBody(new): JsonBody<NewOwnLink>,
) -> Reply<Json<MadeOwnLink>> {
    if new.medium != Medium::Calendar {
        return Err(Failure::Body("`medium` must be `calendar`: staff sign in to open anything".to_owned()));
    }
    make(&app, LinkOwner::Account(staff.id()), new).await
}

async fn end_calendar(staff: Staff, State(app): Shared, Path(link): Path<LinkId>) -> Reply<Json<()>> {
    end(&app, LinkOwner::Account(staff.id()), link).await
}

async fn cards(app: &App, owner: LinkOwner) -> Reply<Json<Vec<OwnLinkCard>>> {
    Ok(Json(app.store.own_links_of(owner).await?.into_iter().map(card).collect()))
}

fn card(OwnLink { id, medium, created_at, used_at, devices, .. }: OwnLink) -> OwnLinkCard {
    OwnLinkCard { id, medium, created_at, used_at, devices }
}

/// Makes a link, which is shown this once. A request that comes again, because its answer was lost, gets another token
/// for the same link.
async fn make(
    app: &App,
    owner: LinkOwner,
    NewOwnLink { medium, request }: NewOwnLink,
) -> Reply<Json<MadeOwnLink>> {
    let (id, created_at) = (LinkId(request), app.clock.now());
    let kept = app.store.own_links_of(owner).await?;
    if kept.len() >= MOST_LINKS && !kept.iter().any(|link| link.id == id) {
        return Err(Failure::Body(format!("there are {MOST_LINKS} links already; end one that is not used")));
    }
    let link = OwnLink { id, owner, medium, created_at, used_at: None, devices: 0 };
    let token = token::new_token();
    if !app.store.add_own_link(&token::hash(&token), &link).await? {
        return Err(Failure::Body("this link is in use already; make another one".to_owned()));
    }
    let path = if medium.opens() { format!("/own#{token}") } else { format!("/calendar/{token}.ics") };
    Ok(Json(MadeOwnLink { card: card(link), path }))
}

async fn end(app: &App, owner: LinkOwner, link: LinkId) -> Reply<Json<()>> {
    let was_there = own::end_link(owner, link, &app.ends, &*app.store).await?;
    was_there.then_some(Json(())).ok_or(Failure::NotFound)
}
