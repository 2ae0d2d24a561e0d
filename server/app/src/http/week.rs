//! When groups meet, and what the coming days bring.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use axum::{Json, Router};
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::staff::may::Act;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::{Document, Versioned};
use samebreath_core::week::calendar::{Calendar, InCalendar};
use samebreath_core::week::series::Occurrence;
use samebreath_store::sessions::SessionEntry;
use samebreath_wire::week::{ComingClass, GroupLook, GroupLookAt};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::documents;
use crate::http::whose::Groups;

/// How many days the week looks ahead, today not counted.
const WEEK_DAYS: i64 = 7;
/// The most weeks that a group's page looks ahead, some two years.
const MOST_WEEKS: u32 = 110;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/groups/look", post(look))
        .route("/api/planner/groups/{id}/class.ics", get(calendar))
        .route("/api/planner/week", get(week))
}

/// The classes of a group as it is on the page.
async fn look(
    State(app): Shared,
    JsonBody(GroupLookAt { group, weeks }): JsonBody<GroupLookAt>,
) -> Reply<Json<GroupLook>> {
    group.check().map_err(Failure::Body)?;
    if !(1..=MOST_WEEKS).contains(&weeks) {
        return Err(Failure::Body(format!("`weeks` is {weeks}; it must be from 1 to {MOST_WEEKS}")));
    }
    let days = i64::from(weeks) * 7 - 1;
    Ok(Json(GroupLook { classes: group.ahead(app.clock.now(), days) }))
}

/// The classes of a group as a calendar file, from today on.
async fn calendar(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<impl IntoResponse> {
    let group = documents::stored::<Group>(&app, &staff, id).await?;
    let series = group.content.series();
    let series = series.ok_or_else(|| {
        Failure::Body("a calendar needs the group's day of the week, its time and its time zone".to_owned())
    })?;
    let (name, uid) = (group.content.name.as_str(), id.to_string());
    let classes = vec![InCalendar { series, name, uid, sequence: group.version - 1 }];
    let text = Calendar { name, classes, made_at: group.updated_at, now: app.clock.now() }.text();
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"class.ics\""),
    ];
    Ok((headers, text))
}

async fn week(staff: Staff, State(app): Shared) -> Reply<Json<Vec<ComingClass>>> {
    let groups = Groups::of(&staff, &app).await?;
    Ok(Json(coming_week(&app, &groups, app.clock.now()).await?))
}

/// The plan that was made for a class of a group; the one that was saved last where there are several.
pub(super) fn plan_of<'a>(
    plans: &'a [Versioned<Planned>],
    group: GroupId,
    class: &Occurrence,
) -> Option<&'a Versioned<Planned>> {
    let plan_on = |on: Date| {
        plans.iter().find(|plan| (plan.content.group, plan.content.day) == (Some(group), Some(on)))
    };
    // A class may have been moved after its plan was made.
    plan_on(class.day).or_else(|| plan_on(class.of))
}

/// The classes of today and of the next seven days, in every group that is not others' alone.
pub(super) async fn coming_week(app: &App, seen: &Groups<'_>, now: EpochMs) -> Reply<Vec<ComingClass>> {
    // A helper sees the classes in which they may help, and whoever stands in those in which they do.
    let sees = |group: &Group, class: &Occurrence| {
        let whose = group.whose_on(seen.staff().id(), Some(class.of));
        seen.may(Act::Schedule, whose) || seen.may(Act::Help, whose)
    };
    let plans: Vec<Versioned<Planned>> = app.store.documents().await?;
    let mut coming = Vec::new();
    for (id, group) in seen.all() {
        let Some(zone) = group.zone.clone() else { continue };
        let mut classes = group.ahead(now, WEEK_DAYS);
        classes.retain(|class| sees(group, class));
        if classes.is_empty() {
            continue;
        }
        let sessions = app.store.sessions_of(id).await?;
        coming.extend(classes.into_iter().map(|class| {
            let plan = plan_of(&plans, id, &class);
            let session: Option<&SessionEntry> = sessions.iter().find(|one| one.of == Some(class.of));
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
    Ok(coming)
}
