//! How a class begins from a plan, and how it is found again.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::{get, post};
use axum::{Json, Router};
use samebreath_core::live::{Entry, Session};
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::Roll;
use samebreath_core::time::EpochMs;
use samebreath_store::ledger::SessionId;
use samebreath_store::sessions::SessionEntry;
use samebreath_wire::planner::{BeginClass, ClassCard, ClassLinks};
use uuid::Uuid;

use crate::access::token;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::documents;
use crate::http::people::{PERSON_GONE, roll_of};
use crate::http::planner::GROUP_GONE;
use crate::http::who::Planner;
use crate::rehearsal;
use crate::session::links;
use crate::session::new::{self, NewSession};
use crate::settings::Cast;

/// The planner's routes about classes.
pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/classes", get(classes))
        .route("/api/planner/classes/{id}/links", post(new_links))
        .route("/api/planner/plans/{id}/class", post(begin_class))
}

/// Begins a class, or a rehearsal, from the saved plan.
async fn begin_class(
    _: Planner,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(BeginClass { version, rehearsal, request }): JsonBody<BeginClass>,
) -> Reply<Json<ClassLinks>> {
    let now = app.clock.now();
    // A request that is sent again because its answer was lost finds the class that it made.
    if let Some(made) = app.store.session_by_request(request).await? {
        return Ok(Json(class_links(&app, &made, now).await?));
    }
    let Planned { draft, group, day } = documents::stored_as(&app, id, version).await?.content;
    let plan = draft.plan(&app.shelf.library()).map_err(|e| Failure::Body(e.text))?;
    let roll = roll_of(&app, group).await?;
    if group.is_some() && roll.is_none() {
        return Err(Failure::Body(GROUP_GONE.to_owned()));
    }
    let people = roll.iter().filter(|_| !rehearsal).flat_map(Session::expected).collect();
    if roll.as_ref().is_some_and(Roll::misses_somebody) {
        return Err(Failure::Body(PERSON_GONE.to_owned()));
    }
    let class = day.and_then(|day| roll.as_ref()?.group.series()?.of_day(day));
    // The class may have been moved since it was planned.
    let starts = class.as_ref().filter(|class| Some(class.day) != day).map(|class| class.starts);
    let of = class.map(|class| class.of);
    let zone = roll.and_then(|roll| roll.group.zone);
    let entry = if rehearsal { Entry::Code } else { app.entry };
    let rules = app.house.rules.clone();
    let new = NewSession {
        plan,
        rules,
        rehearsal,
        group,
        day,
        of,
        zone,
        starts,
        people,
        entry,
        request: Some(request),
    };
    let entry = new::new_session(&*app.store, new, now).await.map_err(|error| {
        tracing::error!(error = &*error, "could not begin a class");
        Failure::Restarting
    })?;
    let links = class_links(&app, &entry, now).await?;
    if rehearsal {
        let cast = Cast { seed: 1, people: 12 };
        tokio::spawn(rehearsal::rehearse(Arc::clone(&app), entry.id, cast));
    }
    Ok(Json(links))
}

/// The classes that have not ended, so that one can be found again after its links were lost.
async fn classes(_: Planner, State(app): Shared) -> Reply<Json<Vec<ClassCard>>> {
    let entries = app.store.unfinished_sessions().await?;
    let card = |entry: SessionEntry| ClassCard {
        id: entry.id.0,
        title: entry.title,
        code: token::grouped(&entry.code),
        rehearsal: entry.rehearsal,
        created_at: entry.created_at,
        group: entry.group,
    };
    Ok(Json(entries.into_iter().map(card).collect()))
}

/// New links for a class that has not ended.
async fn new_links(_: Planner, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<ClassLinks>> {
    let entry = app.store.session(SessionId(id)).await?.filter(|entry| entry.ended_at.is_none());
    let entry = entry.ok_or(Failure::NotFound)?;
    Ok(Json(class_links(&app, &entry, app.clock.now()).await?))
}

/// The links of a class, without scheme and host: the page knows at which address it was opened.
async fn class_links(app: &App, entry: &SessionEntry, now: EpochMs) -> Reply<ClassLinks> {
    let links::Links { desk, helper, wall, class, code, .. } =
        links::links(&*app.store, entry, "", now).await?;
    Ok(ClassLinks { desk, helper, wall, class, code })
}
