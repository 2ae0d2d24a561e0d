//! When groups meet, and what the coming days bring.

use std::sync::Arc;

use axum::extract::State;
use axum::routing::{get, post};
use axum::{Json, Router};
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::{Document, Versioned};
use samebreath_core::week::series::Occurrence;
use samebreath_store::sessions::SessionEntry;
use samebreath_wire::week::{ComingClass, GroupLook, GroupLookAt};

use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::who::Planner;

/// How many days the week looks ahead, today not counted.
const WEEK_DAYS: i64 = 7;
/// How many days a group's page looks ahead: eight weeks.
const AHEAD_DAYS: i64 = 55;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/planner/groups/look", post(look)).route("/api/planner/week", get(week))
}

/// The classes of a group as it is on the page.
async fn look(
    _: Planner,
    State(app): Shared,
    JsonBody(GroupLookAt { group }): JsonBody<GroupLookAt>,
) -> Reply<Json<GroupLook>> {
    group.check().map_err(Failure::Body)?;
    Ok(Json(GroupLook { classes: ahead(&group, app.clock.now(), AHEAD_DAYS) }))
}

/// The classes of today and of the next seven days, in every group.
async fn week(_: Planner, State(app): Shared) -> Reply<Json<Vec<ComingClass>>> {
    let now = app.clock.now();
    let groups: Vec<Versioned<Group>> = app.store.documents().await?;
    let plans: Vec<Versioned<Planned>> = app.store.documents().await?;
    let mut coming = Vec::new();
    for Versioned { id, content: group, .. } in groups {
        let id = GroupId(id);
        let Some(zone) = group.zone.clone() else { continue };
        let classes = ahead(&group, now, WEEK_DAYS);
        if classes.is_empty() {
            continue;
        }
        let sessions = app.store.sessions_of(id).await?;
        coming.extend(classes.into_iter().map(|class| {
            let plan = plans.iter().find(|plan| {
                let Planned { group, day, .. } = plan.content;
                (group, day) == (Some(id), Some(class.day))
            });
            let session: Option<&SessionEntry> = sessions.iter().find(|one| one.day == Some(class.day));
            ComingClass {
                group: id,
                name: group.name.to_string(),
                zone: zone.clone(),
                class,
                expected: group.people.len(),
                plan: plan.map(|plan| plan.id),
                session: session.map(|session| session.id.0),
                ended: session.is_some_and(|session| session.ended_at.is_some()),
            }
        }));
    }
    coming.sort_by_key(|one| one.class.starts);
    Ok(Json(coming))
}

/// The classes of a group from its today on.
fn ahead(group: &Group, now: EpochMs, days: i64) -> Vec<Occurrence> {
    let Some(series) = group.series() else { return Vec::new() };
    let Some(today) = series.zone.day(now) else { return Vec::new() };
    series.between(today, today.plus_days(days))
}
