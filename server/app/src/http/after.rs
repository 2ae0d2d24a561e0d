//! What desks ask for when their class is over: what it was, who could see to what is left, where its plan goes on, and
//! the incident timeline.

use axum::extract::State;
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::live::{DeskRole, Session};
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::Group;
use samebreath_core::record::class::class_record;
use samebreath_core::record::concerns::concerns;
use samebreath_core::record::incidents::incidents;
use samebreath_core::staff::may::Act;
use samebreath_core::text::Name;
use samebreath_core::versioned::Versioned;
use samebreath_store::sessions::SessionEntry;
use samebreath_wire::{AfterClass, NextPlan};

use crate::app::App;
use crate::export::incidents_csv;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::audit;
use crate::http::people::group_of;
use crate::http::week::plan_of;
use crate::http::who::AtDesk;

/// The routes of desks whose class is over.
pub(crate) fn routes() -> Router<std::sync::Arc<App>> {
    Router::new()
        .route("/api/desk/{stay}/after", get(after))
        .route("/api/desk/{stay}/incidents.csv", get(incident_csv))
}

/// Reads what a class was. For a desk that may not see health notes, what clinicians set for people is left out of the
/// incident timeline.
async fn read(app: &App, desk: &AtDesk, what: &str) -> Reply<AfterClass> {
    let ledger = app.store.read_after(desk.stay.session, 0).await?;
    let session = Session::replay(&ledger).ok_or(Failure::NotFound)?;
    let record = class_record(&ledger).ok_or(Failure::NotFound)?;
    audit::desk_read(app, desk, what, desk.stay.session.0).await;
    let mut incidents = incidents(&ledger);
    incidents.retain(|line| session.sees_health(desk.role) || !line.what.is_health_note());
    let concerns = concerns(&record);
    let record = if session.sees_health(desk.role) { record } else { record.without_health() };
    let entry = app.store.session(desk.stay.session).await?.ok_or(Failure::NotFound)?;
    let group = group_of(app, entry.group).await?;
    Ok(AfterClass {
        record,
        concerns,
        incidents,
        follow_ups: session.follow_ups().to_vec(),
        colleagues: colleagues(app, &entry, group.as_ref()).await?,
        next: match group {
            Some(group) if desk.role == DeskRole::Facilitator => next_plan(app, &entry, &group).await?,
            _ => None,
        },
    })
}

/// Those who may read what concerns the health of the people of this class, by name: only they find on their own pages
/// what is left to do about somebody.
async fn colleagues(app: &App, entry: &SessionEntry, group: Option<&Group>) -> Reply<Vec<Name>> {
    let Some(group) = group else { return Ok(Vec::new()) };
    let mut here = app.store.accounts().await?;
    here.retain(|kept| {
        kept.ended_at.is_none() && kept.account.may(Act::ReadHealth, group.whose_on(kept.id, entry.of))
    });
    let mut names: Vec<Name> = here.into_iter().map(|kept| kept.account.name).collect();
    names.sort();
    Ok(names)
}

/// Where the plan of this class goes on: to the next class of its group, once that is known. Who only stands in plans no other
/// class.
async fn next_plan(app: &App, entry: &SessionEntry, group: &Group) -> Reply<Option<NextPlan>> {
    let Some((series, of)) = group.series().zip(entry.of) else { return Ok(None) };
    if group.others.iter().any(|other| other.of == of && other.stand_in.is_some()) {
        return Ok(None);
    }
    let plans: Vec<Versioned<Planned>> = app.store.documents().await?;
    let (Some(held), Some(id)) = (series.on(of), entry.group) else { return Ok(None) };
    let Some(plan) = plan_of(&plans, id, &held).map(|plan| plan.id) else { return Ok(None) };
    Ok(group.class_after(held.day).map(|next| NextPlan {
        plan,
        day: next.day,
        made: plan_of(&plans, id, &next).map(|made| made.id),
    }))
}

async fn after(desk: AtDesk, State(app): Shared) -> Reply<Json<AfterClass>> {
    read(&app, &desk, "after").await.map(Json)
}

/// The incident timeline as a file for a spreadsheet.
async fn incident_csv(desk: AtDesk, State(app): Shared) -> Reply<impl IntoResponse> {
    let after = read(&app, &desk, "incidents.csv").await?;
    tracing::info!("incident timeline exported");
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"incidents.csv\""),
    ];
    Ok((headers, incidents_csv::csv(&after)))
}
