//! Who came to the classes of a group.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::record::attendance_table::{AttendanceTable, attendance_table};
use samebreath_core::record::class::ClassRecord;
use samebreath_core::staff::may::Act;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::http::ask::{Reply, Shared};
use crate::http::documents;
use crate::http::whose::Groups;
use crate::session::history::{day_in, record_of, zone_of};

/// How many of the last classes are in the table: a quarter of a year.
const CLASSES: usize = 12;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/planner/groups/{id}/attendance", get(of_group))
}

async fn of_group(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<AttendanceTable>> {
    let group = documents::stored::<Group>(&app, &staff, id).await?.content;
    let groups = Groups::of(&staff, &app).await?;
    groups.check(Act::ReadHealth, groups.day(Some(GroupId(id)), None))?;
    let zone = zone_of(&app, Some(GroupId(id))).await?;
    let mut classes: Vec<(Uuid, Date, Arc<ClassRecord>)> = Vec::new();
    // The newest come first.
    for entry in
        app.store.sessions_of(GroupId(id)).await?.into_iter().filter(|entry| entry.ended_at.is_some())
    {
        if classes.len() == CLASSES {
            break;
        }
        let Some(record) = record_of(&app, entry.id).await else { continue };
        let Some(day) = record.started_at.and_then(|at| day_in(&zone, at)) else { continue };
        classes.push((entry.id.0, day, record));
    }
    classes.reverse();
    let people: Vec<Versioned<Person>> = app.store.documents().await?;
    let known = people.into_iter().map(|person| (PersonId(person.id), person.content.name)).collect();
    let classes: Vec<_> = classes.iter().map(|(session, day, record)| (*session, *day, &**record)).collect();
    Ok(Json(attendance_table(&classes, &group.people, &known)))
}
