//! Home classes: plans that staff publish for the people of a group to do alone.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::{delete, get, post};
use axum::{Json, Router};
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::practice::{HomeClass, HomeClassStep, Limits, holds_until, home_class, longest};
use samebreath_core::staff::may::{Act, Whose};
use samebreath_core::time::day::Date;
use samebreath_core::versioned::{Document, Versioned};
use samebreath_wire::sheets::{HomeClassAsk, HomeClassCard, HomeClassFor, HomeClassLook, PublishHomeClass};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::documents::{self, Kept};
use crate::http::people::group_of;
use crate::http::whose::Groups;
use crate::session::history::{CLASSES_BACK, day_of, held};

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/groups/{id}/home-classes", get(of_group))
        .route("/api/planner/plans/{id}/home-class", post(publish))
        .route("/api/planner/plans/{id}/home-class/look", post(look))
        .route("/api/planner/home-classes/{id}", delete(documents::remove::<HomeClass>))
}

/// What is in a home class for somebody says what is cleared for them.
impl Kept for HomeClass {
    const ACT: Act = Act::ReadHealth;

    fn whose(groups: &Groups<'_>, _: Uuid, content: &Self) -> Whose {
        groups.of_group(content.group)
    }
}

/// A plan that may become a home class, and for whom.
struct Ready {
    planned: Planned,
    group_id: GroupId,
    group: Group,
    today: Date,
    people: Vec<(PersonId, Person)>,
}

impl Ready {
    async fn of(
        app: &App,
        staff: &Staff,
        (id, version): (Uuid, u64),
        person: Option<PersonId>,
    ) -> Reply<Self> {
        let Versioned { content: planned, version: now, .. } =
            documents::stored::<Planned>(app, staff, id).await?;
        let group_id = planned.group;
        let (Some(group_id), Some(group)) = (group_id, group_of(app, group_id).await?) else {
            return Err(Failure::Body(
                "a home class is for people of a group; choose the plan's group first".to_owned(),
            ));
        };
        let groups = Groups::of(staff, app).await?;
        groups.check(Act::ReadHealth, groups.of_group(group_id))?;
        if now != version {
            return Err(Failure::Behind);
        }
        if let Some(person) = person.filter(|person| !group.people.contains(person)) {
            return Err(Failure::Body(format!("nobody in {} has the id {}", group.name, person.0)));
        }
        let whom = |id: &&PersonId| person.is_none_or(|person| person == **id);
        let mut people = Vec::new();
        for id in group.people.iter().filter(whom) {
            let kept: Option<Versioned<Person>> = app.store.document(id.0).await?;
            people.extend(kept.map(|kept| (*id, kept.content)));
        }
        Ok(Self { today: today_in(app, &group)?, planned, group_id, group, people })
    }

    /// The home class that comes of it.
    fn class(&self, staff: &Staff, asked: PublishHomeClass) -> Reply<HomeClass> {
        let class = HomeClass {
            title: self.planned.draft.title.clone(),
            intro: asked.intro,
            group: self.group_id,
            person: asked.person,
            steps: self.planned.draft.steps.clone(),
            days_a_week: asked.days_a_week,
            from: self.today,
            until: asked.until,
            by: staff.account().name.clone(),
        };
        class.check().map_err(Failure::Body)?;
        Ok(class)
    }
}

/// The day where a group meets.
fn today_in(app: &App, group: &Group) -> Reply<Date> {
    let now = app.clock.now();
    let today = group.zone.as_ref().map_or_else(|| day_of(now), |zone| zone.day(now));
    today.ok_or_else(|| Failure::Body("the server's clock is wrong; set it first".to_owned()))
}

/// What it would be for each person. A limit for a week is looked at alone here: what else is in their week is known when they
/// ask for it.
async fn look(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(asked): JsonBody<HomeClassAsk>,
) -> Reply<Json<HomeClassLook>> {
    let ready = Ready::of(&app, &staff, (id, asked.version), asked.person).await?;
    let next = ready.group.next_day(ready.today.plus_days(1));
    // The class after that has a sheet of its own, and perhaps a home class.
    let until = holds_until(ready.today, next).plus_days(-1).max(ready.today);
    let class = ready.class(
        &staff,
        PublishHomeClass {
            version: asked.version,
            person: asked.person,
            intro: None,
            days_a_week: asked.days_a_week,
            until,
            request: id,
        },
    )?;
    let library = app.shelf.library();
    let classes = held(&app, ready.group_id, CLASSES_BACK, None).await?;
    let known: BTreeSet<PersonId> =
        classes.iter().flat_map(|(.., record)| &record.people).filter_map(|of| of.person).collect();
    let people = ready.people.iter().map(|(person, of)| {
        let mut limits = Limits::after(of, Vec::new());
        let sheet = home_class(&class, &mut limits, &app.house.rules, &library);
        let drills = sheet.steps.iter().filter(|step| matches!(step, HomeClassStep::Drill { .. })).count();
        HomeClassFor {
            person: *person,
            name: of.name.clone(),
            total_ms: sheet.total_ms,
            drills: u32::try_from(drills).unwrap_or(u32::MAX),
            known: known.contains(person),
            left_out: sheet.left_out,
        }
    });
    let (today, last) = (ready.today, longest(ready.today));
    Ok(Json(HomeClassLook { today, last, until, people: people.collect() }))
}

async fn publish(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(asked): JsonBody<PublishHomeClass>,
) -> Reply<Json<()>> {
    let ready = Ready::of(&app, &staff, (id, asked.version), asked.person).await?;
    // What cannot be played is not published.
    ready.planned.draft.plan(&app.shelf.library()).map_err(|e| Failure::Body(e.text))?;
    let once = documents::Once::of(asked.request);
    let class = ready.class(&staff, asked)?;
    let added = documents::add(&app, &staff, once, class).await?;
    tracing::info!(id = %added.id, "home class published");
    Ok(Json(()))
}

/// The home classes of a group, the newest first.
async fn of_group(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<GroupId>,
) -> Reply<Json<Vec<HomeClassCard>>> {
    let group = group_of(&app, Some(id)).await?.ok_or(Failure::NotFound)?;
    let groups = Groups::of(&staff, &app).await?;
    groups.check(Act::ReadHealth, groups.of_group(id))?;
    let today = today_in(&app, &group)?;
    let mut published: Vec<Versioned<HomeClass>> = app.store.documents().await?;
    published.retain(|one| one.content.group == id);
    published.sort_by_key(|one| std::cmp::Reverse(one.content.from));
    let mut cards = Vec::new();
    for Versioned { id, version, content, .. } in published {
        let whom = match content.person {
            None => None,
            Some(person) => {
                let kept: Option<Versioned<Person>> = app.store.document(person.0).await?;
                // It goes with them; this one is on its way.
                let Some(kept) = kept else { continue };
                Some(kept.content.name)
            }
        };
        cards.push(HomeClassCard {
            id,
            version,
            title: content.title,
            whom,
            days_a_week: content.days_a_week,
            from: content.from,
            until: content.until,
            over: content.until < today,
            by: content.by,
        });
    }
    Ok(Json(cards))
}

/// The home classes that are published for somebody of these groups, the newest first.
pub(super) async fn for_person(
    app: &App,
    person: PersonId,
    groups: &[GroupId],
) -> Reply<Vec<(Uuid, HomeClass)>> {
    let mut published: Vec<Versioned<HomeClass>> = app.store.documents().await?;
    published.retain(|Versioned { content, .. }| {
        groups.contains(&content.group) && content.person.is_none_or(|of| of == person)
    });
    published.sort_by_key(|one| std::cmp::Reverse((one.content.from, one.updated_at)));
    Ok(published.into_iter().map(|one| (one.id, one.content)).collect())
}
