//! Erasing a person, and holding their record where it must be kept for now.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::{get, put};
use axum::{Json, Router};
use samebreath_core::live::Session;
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::record::erase::mentions;
use samebreath_core::time::day::Date;
use samebreath_store::erasure::Hold;
use samebreath_store::own_links::LinkOwner;
use samebreath_wire::own::{ErasePerson, ErasureReport, ErasureSheet, HeldRecord, HoldRecord};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::documents;
use crate::http::own::groups_of;
use crate::session::erase;
use crate::session::history::day_of;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/people/{id}/erasure", get(sheet).post(carry_out))
        .route("/api/planner/people/{id}/hold", put(set_hold).delete(lift_hold))
}

/// What would be erased, and what stands against it.
async fn sheet(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<ErasureSheet>> {
    let kept = documents::stored::<Person>(&app, &staff, id).await?;
    let person = PersonId(id);
    let mut sheet = ErasureSheet {
        name: kept.content.name,
        groups: groups_of(&app, person).await?.into_iter().map(|(_, group)| group.name.to_string()).collect(),
        links: app.store.own_links_of(LinkOwner::Person(person)).await?.len(),
        classes: 0,
        first: None,
        last: None,
        reports: 0,
        follow_ups: 0,
        notes: app.store.notes_of_person(person).await?.iter().filter(|note| note.to.is_none()).count(),
        mentions: 0,
        not_over: false,
        held: held(&app, person).await?,
    };
    for session in app.store.classes_of(person).await? {
        let Some(entry) = app.store.session(session).await? else { continue };
        let ledger = app.store.read_after(session, 0).await?;
        let Some(class) = Session::replay(&ledger) else { continue };
        let seat = class.seat_of_person(person);
        let day: Option<Date> = entry.of.or_else(|| day_of(entry.created_at));
        sheet.classes += 1;
        sheet.first = sheet.first.into_iter().chain(day).min();
        sheet.last = sheet.last.into_iter().chain(day).max();
        sheet.reports += class.reports().iter().filter(|report| Some(report.seat) == seat).count();
        let open = class.follow_ups().iter().filter(|one| one.closed_at.is_none());
        sheet.follow_ups += open.filter(|one| Some(one.seat) == seat).count();
        sheet.mentions += mentions(&ledger, person);
        sheet.not_over |= !class.has_ended();
    }
    Ok(Json(sheet))
}

/// Erases somebody. Whoever asks has typed the person's name.
async fn carry_out(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(ErasePerson { name }): JsonBody<ErasePerson>,
) -> Reply<Json<ErasureReport>> {
    let person = PersonId(id);
    if app.store.document::<Person>(id).await?.is_none()
        && let Some(day) = app.store.erased_on(person).await?
    {
        // The answer to the first request was lost.
        return Ok(Json(ErasureReport { classes: 0, lines: 0, day }));
    }
    let kept = documents::stored::<Person>(&app, &staff, id).await?;
    if name.trim() != kept.content.name.as_str() {
        return Err(Failure::Body(format!(
            "`name` is “{}”; type the person's name, “{}”, to erase them",
            name.trim(),
            kept.content.name
        )));
    }
    // Whoever asked may hang up; what was begun is finished.
    let begun = tokio::spawn(async move { erase::in_house(&app, person).await });
    let (done, day) = begun.await.map_err(|_| Failure::Restarting)??;
    Ok(Json(ErasureReport { classes: done.classes, lines: done.lines, day }))
}

async fn set_hold(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(HoldRecord { reason }): JsonBody<HoldRecord>,
) -> Reply<Json<HeldRecord>> {
    documents::stored::<Person>(&app, &staff, id).await?;
    let hold = Hold { reason, since: app.clock.now() };
    app.store.set_hold(PersonId(id), Some(&hold)).await?;
    Ok(Json(HeldRecord { reason: hold.reason, since: hold.since }))
}

async fn lift_hold(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<()>> {
    documents::stored::<Person>(&app, &staff, id).await?;
    app.store.set_hold(PersonId(id), None).await?;
    Ok(Json(()))
}

async fn held(app: &App, person: PersonId) -> Reply<Option<HeldRecord>> {
    let hold = app.store.hold_on(person).await?;
    Ok(hold.map(|Hold { reason, since }| HeldRecord { reason, since }))
}
