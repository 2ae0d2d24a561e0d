//! Home sheets: those of a class for staff to hand out, and a person's own.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::people::link::LinkId;
use samebreath_core::people::person::Person;
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::practice::{HomeSheet, SheetOf, holds_until, home_sheet};
use samebreath_core::staff::may::Act;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_wire::sheets::{ClassSheets, OwnSheets, PersonSheet};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::notes::over;
use crate::http::own::AtHome;
use crate::http::people::group_of;
use crate::session::history::{day_in, zone_of};
use crate::session::notes::HeldClass;

/// For so many days after the day up to which it holds, a sheet is still shown, with a word that it is old.
const OLD_DAYS: i64 = 14;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/classes/{id}/sheets", get(of_class))
        .route("/api/own/{link}/sheets", get(of_person))
}

/// The sheets of everybody of a class who is enrolled, also of those who did not come.
async fn of_class(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<ClassSheets>> {
    let (class, _) = over(&app, &staff, id, Act::ReadHealth).await?;
    let entry = app.store.session(class.id).await?.ok_or(Failure::NotFound)?;
    let group = group_of(&app, entry.group).await?;
    let mut people = Vec::new();
    for of in &class.record.people {
        let Some(person) = of.person else { continue };
        // Somebody who was erased or taken out since has no sheet.
        let Some(kept) = app.store.document(person.0).await?.map(|kept: Versioned<Person>| kept.content)
        else {
            continue;
        };
        let sheet = sheet(&app, &class, group.as_ref(), &kept);
        people.push(PersonSheet { person, came: of.minutes > 0, sheet });
    }
    let emergency_number = app.emergency_number.clone();
    Ok(Json(ClassSheets {
        title: class.record.title.clone(),
        day: class.about.day,
        emergency_number,
        people,
    }))
}

/// A person's own sheets: one for each of their groups, from its last class.
async fn of_person(
    State(app): Shared,
    Path(link): Path<LinkId>,
    headers: HeaderMap,
) -> Reply<Json<OwnSheets>> {
    let home = AtHome::of(&app, &headers, link).await?;
    let mut sheets: Vec<HomeSheet> = Vec::new();
    for (id, group) in &home.groups {
        let Some((class, today)) = last_class(&app, *id).await? else { continue };
        let sheet = sheet(&app, &class, Some(group), &home.who.person);
        if !sheet.items.is_empty() && today <= sheet.until.plus_days(OLD_DAYS) {
            // What is not for them is for staff to know.
            sheets.push(HomeSheet { left_out: Vec::new(), ..sheet });
        }
    }
    sheets.sort_by_key(|sheet| std::cmp::Reverse(sheet.from));
    Ok(Json(OwnSheets { name: home.who.person.name, emergency_number: app.emergency_number.clone(), sheets }))
}

fn sheet(app: &App, class: &HeldClass, group: Option<&Group>, person: &Person) -> HomeSheet {
    let from = class.about.day;
    let next = group.and_then(|group| group.next_day(from.plus_days(1)));
    let of =
        SheetOf { home: class.home(), from, until: holds_until(from, next), led_by: &class.record.led_by };
    home_sheet(&of, person, &app.house.rules, &app.shelf.library())
}

/// The last class of a group that was held, and what day it is where the group meets.
async fn last_class(app: &App, group: GroupId) -> Reply<Option<(HeldClass, Date)>> {
    let zone = zone_of(app, Some(group)).await?;
    let Some(today) = day_in(&zone, app.clock.now()) else { return Ok(None) };
    // The newest come first.
    for entry in app.store.sessions_of(group).await? {
        if entry.ended_at.is_none() {
            continue;
        }
        let ledger = app.store.read_after(entry.id, 0).await?;
        if let Some(class) = HeldClass::of(entry.id, &ledger, &zone) {
            return Ok(Some((class, today)));
        }
    }
    Ok(None)
}
