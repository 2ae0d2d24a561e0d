//! One person over their classes.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::live::{Form, form_at_home};
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::ForHome;
use samebreath_core::plan::group::GroupId;
use samebreath_core::practice::{AtHome, ClassGiven, HomeClass, Limits, at_home, holds_until, home_class};
use samebreath_core::record::class::{ClassRecord, PersonRecord};
use samebreath_core::record::progress::progress;
use samebreath_core::staff::may::Act;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_wire::notes::PersonOverTime;
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::home_classes::for_person;
use crate::http::notes::shown;
use crate::http::people::group_of;
use crate::http::whose::Groups;
use crate::session::history::{day_in, record_of, zone_of};

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/planner/people/{id}/progress", get(of_person))
}

async fn of_person(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<PersonOverTime>> {
    let kept: Versioned<Person> = app.store.document(id).await?.ok_or(Failure::NotFound)?;
    let (person, groups) = (PersonId(id), Groups::of(&staff, &app).await?);
    groups.check(Act::ReadHealth, groups.person(person))?;
    let classes = classes_of(&app, &groups, person).await?;
    let may_sign = groups.may(Act::Sign, groups.person(person));
    let seen = |class: Uuid| classes.iter().any(|(session, ..)| *session == class);
    let notes = app.store.notes_of_person(person).await?;
    let other_notes = notes.iter().filter(|note| note.to.is_none() && !seen(note.class.0)).count();
    let notes = notes.iter().filter(|note| seen(note.class.0)).map(|note| shown(note, may_sign)).collect();
    let at_home = at_home_after(&app, &classes, (person, &kept.content)).await?;
    let classes: Vec<_> =
        classes.iter().map(|(session, day, record, _)| (*session, *day, &**record)).collect();
    let progress = progress(&classes, person);
    Ok(Json(PersonOverTime { person, name: kept.content.name, progress, at_home, notes, other_notes }))
}

/// A class: its id, its day, what it was, and its group.
type ClassOf = (Uuid, Date, Arc<ClassRecord>, Option<GroupId>);

/// The classes of a person that were held, as far as whoever asks may see them, the earliest first.
async fn classes_of(app: &App, groups: &Groups<'_>, person: PersonId) -> Reply<Vec<ClassOf>> {
    let mut found = Vec::new();
    for session in app.store.classes_of(person).await? {
        let Some(entry) = app.store.session(session).await? else { continue };
        if entry.rehearsal || entry.ended_at.is_none() || !groups.may(Act::ReadHealth, groups.class(&entry)) {
            continue;
        }
        let Some(record) = record_of(app, session).await else { continue };
        let zone = zone_of(app, entry.group).await?;
        let Some((at, day)) = record.started_at.and_then(|at| Some((at, day_in(&zone, at)?))) else {
            continue;
        };
        found.push((at, (session.0, day, record, entry.group)));
    }
    found.sort_by_key(|(at, _)| *at);
    Ok(found.into_iter().map(|(_, class)| class).collect())
}

/// What somebody did at home after each of these classes that gave them something to do, the newest first.
async fn at_home_after(
    app: &App,
    classes: &[ClassOf],
    (person, kept): (PersonId, &Person),
) -> Reply<Vec<AtHome>> {
    let library = app.shelf.library();
    // What is not for them was on no sheet of theirs.
    let is_theirs = |home: &ForHome, did: &PersonRecord| {
        let Some(given) = &home.drill else { return false };
        let drill = library.drill(given.id.as_str());
        did.practised.iter().any(|log| log.drill == given.id)
            || drill.is_ok_and(|drill| form_at_home(kept, drill, &app.house.rules).0 != Form::Rest)
    };
    let groups: BTreeSet<GroupId> = classes.iter().filter_map(|(.., group)| *group).collect();
    let published = for_person(app, person, &Vec::from_iter(groups)).await?;
    let mut found = Vec::new();
    for (at, (_, from, record, group)) in classes.iter().enumerate() {
        let Some(of) = record.people.iter().find(|of| of.person == Some(person)) else { continue };
        let later = classes[at + 1..].iter().find(|(.., of)| of == group).map(|(_, day, ..)| *day);
        let next = match later {
            Some(day) => Some(day),
            None => group_of(app, *group).await?.and_then(|group| group.next_day(from.plus_days(1))),
        };
        let home: Vec<ForHome> = record.home.iter().filter(|home| is_theirs(home, of)).cloned().collect();
        let until = holds_until(*from, next);
        // What was asked for on some of these days, in this group.
        let is_then =
            |home: &HomeClass| Some(home.group) == *group && home.from < until && *from <= home.until;
        // What is not for them was in no class of theirs, unless they did it.
        let is_for_them = |home: &HomeClass| {
            let mut limits = Limits::after(kept, Vec::new());
            !home_class(home, &mut limits, &app.house.rules, &library).steps.is_empty()
        };
        let did = |class: &Uuid| {
            of.practised.iter().any(|log| log.run.as_ref().is_some_and(|run| run.class == *class))
        };
        let is_given =
            |(class, home): &&(Uuid, HomeClass)| is_then(home) && (did(class) || is_for_them(home));
        let given = published.iter().filter(is_given);
        let given = given.map(|(class, home)| ClassGiven {
            class: *class,
            title: home.title.clone(),
            days_a_week: home.days_a_week,
            period: (home.from, home.until.plus_days(1)),
        });
        let given: Vec<ClassGiven> = given.collect();
        if !record.home.is_empty() || !of.practised.is_empty() || !given.is_empty() {
            found.push(at_home(&of.practised, (&home, &given), (*from, until), &library));
        }
    }
    found.reverse();
    Ok(found)
}
