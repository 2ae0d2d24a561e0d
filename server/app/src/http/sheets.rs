//! Home sheets: those of a class for staff to hand out, and a person's own.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::language::Language;
use samebreath_core::people::link::LinkId;
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::practice::{
    HomeClass, HomeClassSheet, HomeSheet, Limits, SheetOf, holds_until, home_class, home_sheet, loads_of,
};
use samebreath_core::record::class::ClassRecord;
use samebreath_core::staff::may::Act;
use samebreath_core::text::LanguageTag;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_wire::sheets::{ClassSheets, OwnHomeClass, OwnSheet, OwnSheets, PersonSheet};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::home_classes::for_person;
use crate::http::notes::over;
use crate::http::own::{AtHome, groups_of};
use crate::http::people::group_of;
use crate::http::place::InLanguage;
use crate::session::history::{CLASSES_BACK, day_of, held};

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
    if class.record.started_at.is_none() {
        return Err(Failure::Body("this class was ended before it began; it has no home sheets".to_owned()));
    }
    let entry = app.store.session(class.id).await?.ok_or(Failure::NotFound)?;
    let group = group_of(&app, entry.group).await?;
    let (library, day) = (app.shelf.library(), class.about.day);
    let mut people = Vec::new();
    for person in class.record.people.iter().filter_map(|of| of.person) {
        // Somebody who was erased since has no sheet.
        let kept = app.store.document(person.0).await?;
        let Some(kept) = kept.map(|kept: Versioned<Person>| kept.content) else { continue };
        let groups = groups_of(&app, person).await?;
        let good = good_now(&app, (person, &kept), &groups, &[]).await?;
        let sheet = match good.sheets.into_iter().find(|own| own.class == id) {
            Some(own) => own.sheet,
            // One from longer ago is no part of the present week.
            None => {
                let mut limits = Limits::after(&kept, loads_of(&class.record, &library));
                sheet(&app, (day, until_of(group.as_ref(), day)), &class.record, &mut limits)
            }
        };
        let language = sheet.language.clone();
        people.push(PersonSheet { person, sheet: in_language(&app, sheet, language) });
    }
    let emergency_number = app.emergency_number.clone();
    Ok(Json(ClassSheets { title: class.record.title.clone(), day, emergency_number, people }))
}

/// What a person has at home. A page that lies open asks for it again and again, so it is made from records that are kept in
/// memory.
async fn of_person(
    State(app): Shared,
    Path(link): Path<LinkId>,
    Query(language): Query<InLanguage>,
    headers: HeaderMap,
) -> Reply<Json<OwnSheets>> {
    let home = AtHome::of(&app, &headers, link).await?;
    let (person, tag) = (&home.who.person, language.tag());
    let groups: Vec<GroupId> = home.groups.iter().map(|(id, _)| *id).collect();
    let published = for_person(&app, home.who.id, &groups).await?;
    let good = good_now(&app, (home.who.id, person), &home.groups, &published).await?;
    // What is not for them is for staff to know.
    let sheets = good.sheets.into_iter().filter(|own| !own.sheet.items.is_empty()).map(|own| {
        let sheet = HomeSheet { left_out: Vec::new(), ..own.sheet };
        OwnSheet { sheet: in_language(&app, sheet, tag.clone()), ..own }
    });
    let known = language_of(&app, tag.clone());
    let classes = good.classes.into_iter().filter(|own| !own.sheet.steps.is_empty()).map(|own| {
        let sheet = HomeClassSheet { left_out: Vec::new(), ..own.sheet };
        let sheet = known.as_ref().map_or_else(|| sheet.clone(), |(said, _)| sheet.clone().said_in(said));
        OwnHomeClass { sheet, ..own }
    });
    Ok(Json(OwnSheets {
        name: person.name.clone(),
        emergency_number: app.emergency_number.clone(),
        shared: home.is_shared(),
        sheets: sheets.collect(),
        classes: classes.collect(),
    }))
}

/// What a person was given that is good now.
#[derive(Default)]
struct Good {
    /// One sheet for each of their groups, the newest first, from its last class, if they had a place in it.
    sheets: Vec<OwnSheet>,
    /// Their home classes, the newest first.
    classes: Vec<OwnHomeClass>,
}

/// What a person was given that is good now. A limit that a clinician set for a week holds over all of it and over the classes
/// of the week.
async fn good_now(
    app: &App,
    (id, person): (PersonId, &Person),
    groups: &[(GroupId, Group)],
    published: &[(Uuid, HomeClass)],
) -> Reply<Good> {
    let now = app.clock.now();
    let mut classes = Vec::new();
    for (group_id, group) in groups {
        let today = today_of(group, now);
        let of_group = held(app, *group_id, CLASSES_BACK, None).await?;
        let last = of_group.last().map(|(session, ..)| *session);
        let theirs = |record: &ClassRecord| record.people.iter().any(|of| of.person == Some(id));
        let of_group = of_group.into_iter().filter(|(.., record)| theirs(record));
        classes.extend(of_group.map(|(session, day, record)| {
            let is_last = Some(session) == last;
            (session, day, record, *group_id, is_last.then_some((group, today)))
        }));
    }
    classes.sort_by_key(|(_, day, ..)| std::cmp::Reverse(*day));
    let Some(newest) = classes.first().map(|(_, day, ..)| *day) else { return Ok(Good::default()) };
    let library = app.shelf.library();
    let week = classes.iter().filter(|(_, day, ..)| newest.days_since(*day) < 7);
    let spent = week.flat_map(|(_, _, record, ..)| loads_of(record, &library)).collect();
    let all = classes.iter().flat_map(|(_, _, record, ..)| &record.people);
    let mut limits = Limits::after(person, spent).with_hurt(all.filter(|of| of.person == Some(id)));
    let mut good = Good::default();
    for (session, day, record, _, last) in &classes {
        let Some((group, today)) = last else { continue };
        let until = until_of(Some(group), *day);
        // One that is old takes nothing from a limit.
        if today.is_some_and(|today| today <= until.plus_days(OLD_DAYS)) {
            let by = record.led_by.first().cloned();
            let sheet = sheet(app, (*day, until), record, &mut limits);
            good.sheets.push(OwnSheet { class: *session, by, sheet });
        }
    }
    for (home_id, home) in published {
        let group = groups.iter().find(|(id, _)| *id == home.group).map(|(_, group)| group);
        let today = group.and_then(|group| today_of(group, now));
        // What they say that they did goes into the record of the last class of that group that they had a place in.
        let of_group = classes.iter().find(|(.., of, _)| *of == home.group);
        // Who is in the middle of it at midnight goes on, and devices are in other zones: pages offer it up to its last day.
        let is_good = today.is_some_and(|today| today <= home.until.plus_days(1));
        if let Some((session, ..)) = of_group.filter(|_| is_good) {
            let sheet = home_class(home, &mut limits, &app.house.rules, &library);
            good.classes.push(OwnHomeClass { id: *home_id, class: *session, sheet });
        }
    }
    Ok(good)
}

/// The day where a group meets.
fn today_of(group: &Group, now: EpochMs) -> Option<Date> {
    group.zone.as_ref().map_or_else(|| day_of(now), |zone| zone.day(now))
}

/// Up to which day a sheet from a class of a group on this day holds.
fn until_of(group: Option<&Group>, from: Date) -> Date {
    holds_until(from, group.and_then(|group| group.next_day(from.plus_days(1))))
}

/// The sheet of one person from a class, from its day to another.
fn sheet(app: &App, (from, until): (Date, Date), class: &ClassRecord, limits: &mut Limits<'_>) -> HomeSheet {
    let of = SheetOf { home: &class.home, from, until };
    home_sheet(&of, limits, &app.house.rules, &app.shelf.library())
}

/// The sheet in a language, or in one of which that is a kind; as it is, where there are no words in either.
fn in_language(app: &App, sheet: HomeSheet, tag: Option<LanguageTag>) -> HomeSheet {
    match language_of(app, tag) {
        Some((language, tag)) => HomeSheet { language: Some(tag), ..sheet.said_in(language) },
        None => HomeSheet { language: None, ..sheet },
    }
}

/// The words of a language, or of one of which that is a kind.
fn language_of(app: &App, tag: Option<LanguageTag>) -> Option<(&Language, LanguageTag)> {
    let whole = tag.as_ref().and_then(|tag| LanguageTag::try_from(tag.as_str().split('-').next()?).ok());
    tag.into_iter().chain(whole).find_map(|tag| Some((app.house.languages.get(tag.as_str())?, tag)))
}
