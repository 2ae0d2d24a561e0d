//! Who came to the classes of a group, and what those were as files.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::get;
use axum::{Json, Router};
use jiff::tz::TimeZone;
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::record::attendance_table::{AttendanceTable, attendance_table};
use samebreath_core::staff::may::Act;
use samebreath_core::versioned::Versioned;
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::export::records::{self, FILES, OfClass};
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::documents;
use crate::http::whose::Groups;
use crate::session::history::{held, zone_of};

/// How many of the last classes are in the table: a quarter of a year.
const CLASSES: usize = 12;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/groups/{id}/attendance", get(of_group))
        .route("/api/planner/groups/{id}/records/{file}", get(file))
}

/// A group with its time zone, if whoever asks may read what its people did.
pub(super) async fn readable(app: &App, staff: &Staff, id: Uuid) -> Reply<(Group, TimeZone)> {
    let group = documents::stored::<Group>(app, staff, id).await?.content;
    let groups = Groups::of(staff, app).await?;
    groups.check(Act::ReadHealth, groups.day(Some(GroupId(id)), None))?;
    Ok((group, zone_of(app, Some(GroupId(id))).await?))
}

async fn of_group(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<AttendanceTable>> {
    let (group, _) = readable(&app, &staff, id).await?;
    let classes = held(&app, GroupId(id), CLASSES, None).await?;
    let people: Vec<Versioned<Person>> = app.store.documents().await?;
    let known = people.into_iter().map(|person| (PersonId(person.id), person.content.name)).collect();
    let classes: Vec<_> = classes.iter().map(|(session, day, record)| (*session, *day, &**record)).collect();
    Ok(Json(attendance_table(&classes, &group.people, &known)))
}

/// What all classes of a group were, as one of several tables.
async fn file(
    staff: Staff,
    State(app): Shared,
    Path((id, name)): Path<(Uuid, String)>,
) -> Reply<impl IntoResponse> {
    if !FILES.contains(&name.as_str()) {
        return Err(Failure::Body(format!("there is no file `{name}`; the files are {}", FILES.join(", "))));
    }
    let (_, zone) = readable(&app, &staff, id).await?;
    let classes = held(&app, GroupId(id), usize::MAX, None).await?;
    let classes: Vec<OfClass<'_>> =
        classes.iter().map(|(id, day, record)| OfClass { id: *id, day: *day, record }).collect();
    let text = records::file(&name, &classes, &zone).ok_or(Failure::NotFound)?;
    let kind = if name.ends_with(".csv") { "text/csv; charset=utf-8" } else { "application/json" };
    Ok(([(header::CONTENT_TYPE, kind)], text))
}
