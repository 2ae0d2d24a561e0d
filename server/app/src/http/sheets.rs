//! Home sheets: those of a class for staff to hand out, and a person's own.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::people::link::LinkId;
use samebreath_core::people::person::Person;
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::practice::{HomeSheet, Limits, SheetOf, holds_until, home_sheet, loads_of};
use samebreath_core::staff::may::Act;
use samebreath_core::text::LanguageTag;
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
use crate::http::place::InLanguage;
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
    let library = app.shelf.library();
    let mut people = Vec::new();
    for person in class.record.people.iter().filter_map(|of| of.person) {
        // Somebody who was erased since has no sheet.
        let kept = app.store.document(person.0).await?;
        let Some(kept) = kept.map(|kept: Versioned<Person>| kept.content) else { continue };
        let mut limits = Limits::after(&kept, loads_of(&class.record, &library));
        let sheet = sheet(&app, &class, group.as_ref(), &mut limits);
        let language = sheet.language.clone();
        people.push(PersonSheet { person, sheet: in_language(&app, sheet, language) });
    }
    let emergency_number = app.emergency_number.clone();
    Ok(Json(ClassSheets {
        title: class.record.title.clone(),
        day: class.about.day,
        emergency_number,
        people,
    }))
}

/// A person's own sheets: one for each of their groups, from its last class, if they had a place in it.
async fn of_person(
    State(app): Shared,
    Path(link): Path<LinkId>,
    Query(language): Query<InLanguage>,
    headers: HeaderMap,
) -> Reply<Json<OwnSheets>> {
    let home = AtHome::of(&app, &headers, link).await?;
    let (library, tag) = (app.shelf.library(), language.tag());
    let mut classes = Vec::new();
    for (id, group) in &home.groups {
        let last = last_class(&app, *id).await?;
        classes
            .extend(last.filter(|(class, _)| class.person(home.who.id).is_some()).map(|last| (last, group)));
    }
    classes.sort_by_key(|((class, _), _)| std::cmp::Reverse(class.about.ended_at));
    let loads = classes.iter().flat_map(|((class, _), _)| loads_of(&class.record, &library));
    let mut limits = Limits::after(&home.who.person, loads.collect());
    let mut sheets = Vec::new();
    for ((class, today), group) in &classes {
        let sheet = sheet(&app, class, Some(group), &mut limits);
        if !sheet.items.is_empty() && *today <= sheet.until.plus_days(OLD_DAYS) {
            // What is not for them is for staff to know.
            let sheet = HomeSheet { left_out: Vec::new(), ..sheet };
            sheets.push(in_language(&app, sheet, tag.clone()));
        }
    }
    let (name, emergency_number) = (home.who.person.name.clone(), app.emergency_number.clone());
    Ok(Json(OwnSheets { name, emergency_number, sheets }))
}

fn sheet(app: &App, class: &HeldClass, group: Option<&Group>, limits: &mut Limits<'_>) -> HomeSheet {
    let from = class.about.day;
    let next = group.and_then(|group| group.next_day(from.plus_days(1)));
    let of = SheetOf { home: class.home(), from, until: holds_until(from, next) };
    home_sheet(&of, limits, &app.house.rules, &app.shelf.library())
}

/// The sheet in a language; as it is, where there are no words in that.
fn in_language(app: &App, sheet: HomeSheet, tag: Option<LanguageTag>) -> HomeSheet {
    let said = match tag.as_ref().and_then(|tag| app.house.languages.get(tag.as_str())) {
        Some(language) => sheet.said_in(language),
        None => sheet,
    };
    HomeSheet { language: tag, ..said }
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
        let class = HeldClass::of(entry.id, &ledger, &zone);
        // One that was ended before it began was none.
        if let Some(class) = class.filter(|class| class.record.started_at.is_some()) {
            return Ok(Some((class, today)));
        }
    }
    Ok(None)
}
