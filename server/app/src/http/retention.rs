//! How long things are kept: the rules, what is due, and what went.

use std::sync::Arc;

use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::people::person::Person;
use samebreath_core::record::retention::{NOTICE_DAYS, Retention};
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::{Document, Versioned};
use samebreath_wire::retention::{ChangeRetention, DayReport, LeavingPerson, RetentionPage};
use samebreath_wire::today::LeftToDo;

use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::session::retention::{self, Leaving};

/// How many days' reports the page shows.
const REPORTS: u32 = 30;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/retention", get(page).put(change))
}

async fn page(State(app): Shared) -> Reply<Json<RetentionPage>> {
    let day = retention::today(app.clock.now()).ok_or(Failure::Restarting)?;
    let Versioned { version, content: rules, .. } = retention::rules(&app).await?;
    let due = retention::due(&app, day).await?;
    let leaving = |Leaving { person, name, last, on, is_held }: Leaving| LeavingPerson {
        person,
        name,
        last,
        on,
        held: is_held,
    };
    let reports = app.store.reports(REPORTS).await?;
    Ok(Json(RetentionPage {
        rules,
        version,
        leaving: due.leaving.into_iter().map(leaving).collect(),
        today: due.report,
        reports: reports.into_iter().map(|(day, report)| DayReport { day, report }).collect(),
    }))
}

async fn change(
    State(app): Shared,
    JsonBody(ChangeRetention { after, rules }): JsonBody<ChangeRetention>,
) -> Reply<Json<RetentionPage>> {
    rules.check().map_err(Failure::Body)?;
    let before = retention::rules(&app).await?;
    // An answer was lost, and the same rules come again.
    if before.content != rules || before.version == 0 {
        let mut changed = Versioned { content: rules, updated_at: app.clock.now(), ..before };
        if changed.version != after {
            return Err(Failure::Behind);
        }
        if after == 0 {
            changed.version = 1;
            app.store.add_document::<Retention>(&changed).await?;
        } else if !app.store.save_document(&changed).await? {
            return Err(Failure::Behind);
        }
    }
    page(State(app)).await
}

/// How many days may pass without a look at old records.
const LOOK_DAYS: i64 = 2;

/// What of it is left to do.
pub(super) async fn left(app: &App, now: EpochMs) -> Reply<Vec<LeftToDo>> {
    let mut left = Vec::new();
    let Some(today) = retention::today(now) else { return Ok(left) };
    if let Some((day, last)) = app.store.reports(1).await?.first().cloned()
        && (last.failed > 0 || today.days_since(day).abs() > LOOK_DAYS)
    {
        left.push(LeftToDo::RetentionFailed { day });
    }
    if app.is_trial {
        return Ok(left);
    }
    if retention::rules(app).await?.content.record_years.is_none() {
        left.push(LeftToDo::RetentionOpen);
    }
    let mut going = Vec::new();
    for (id, since) in app.store.announced().await? {
        // Classes are announced too, and nobody can hold them.
        if app.store.document::<Person>(id).await?.is_some() {
            going.push(since.plus_days(NOTICE_DAYS));
        }
    }
    left.extend(going.iter().min().map(|on| LeftToDo::RecordsGo { people: going.len(), on: *on }));
    Ok(left)
}
