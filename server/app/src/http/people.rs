//! Groups and the people enrolled in them.

use std::sync::Arc;

use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::{Group, GroupId, Roll};
use samebreath_core::practice::HomeClass;
use samebreath_core::staff::may::{Act, Whose};
use samebreath_core::versioned::Versioned;
use samebreath_wire::week::{GroupCard, PersonEntry};
use uuid::Uuid;

use crate::access::own;
use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::documents::{self, Kept};
use crate::http::whose::Groups;
use crate::session::erase::remove_all;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/groups", get(groups).post(documents::new::<Group>))
        .route("/api/planner/groups/{id}", documents::routes::<Group>())
        .route("/api/planner/people", get(people).post(documents::new::<Person>))
        .route("/api/planner/people/{id}", documents::routes::<Person>())
}

async fn groups(staff: Staff, State(app): Shared) -> Reply<Json<Vec<GroupCard>>> {
    let card = |_: &Groups<'_>, group: Versioned<Group>| GroupCard {
        id: GroupId(group.id),
        name: group.content.name.to_string(),
        people: group.content.people,
        weekday: group.content.weekday,
        start: group.content.start.map(|start| start.to_string()),
    };
    documents::cards(&app, &staff, card, |card| &card.name).await
}

async fn people(staff: Staff, State(app): Shared) -> Reply<Json<Vec<PersonEntry>>> {
    let card = |groups: &Groups<'_>, person: Versioned<Person>| PersonEntry {
        id: PersonId(person.id),
        name: person.content.name.to_string(),
        health_hidden: !groups.may(Act::ReadHealth, groups.person(PersonId(person.id))),
        conditions: person.content.conditions,
        decisions: person.content.decisions.len(),
    };
    documents::cards(&app, &staff, card, |card| &card.name).await
}

/// The group of a plan; `None` when the plan has none, or its group was removed.
pub(crate) async fn group_of(app: &App, id: Option<GroupId>) -> Reply<Option<Group>> {
    let Some(GroupId(id)) = id else { return Ok(None) };
    Ok(app.store.document(id).await?.map(|document| document.content))
}

/// The group of a plan with its people; `None` when the plan has none, or its group was removed.
pub(crate) async fn roll_of(app: &App, id: Option<GroupId>) -> Reply<Option<Roll>> {
    let Some(group) = group_of(app, id).await? else { return Ok(None) };
    Ok(Some(Roll::of(group, &app.store.documents().await?)))
}

/// Why a group is not saved, and no class of it begins: somebody would be missing from it without a word.
pub(crate) const PERSON_GONE: &str = "somebody in this group was removed; take them out of the group first";

/// Why a person is not just removed: their name would stay in their classes.
const IN_CLASSES: &str =
    "this person has been in a class, or their record is held; a coordinator can erase them on this page";

impl Kept for Group {
    const ACT: Act = Act::Schedule;

    fn whose(groups: &Groups<'_>, _: Uuid, group: &Self) -> Whose {
        group.whose(groups.staff().id())
    }

    /// Only coordinators say to whom a group is entrusted, and nobody enrols people whom they may not see.
    fn changed(groups: &Groups<'_>, kept: Option<&Versioned<Self>>, group: Self) -> Reply<Self> {
        let kept = kept.map(|kept| &kept.content);
        let before = kept.map(|kept| &kept.entrusted[..]).unwrap_or_default();
        if group.entrusted != before {
            groups.check(Act::Entrust, Whose::Own)?;
        }
        let here = kept.map(|kept| &kept.people[..]).unwrap_or_default();
        for new in group.people.iter().filter(|id| !here.contains(id)) {
            groups.check(Act::Enrol, groups.person(*new))?;
        }
        Ok(group)
    }

    /// Whoever the group is not entrusted to any more, or stands in no more, finds their desks of its classes shut.
    async fn followed(app: &App, id: Uuid, before: &Self, now: &Self) -> Reply<()> {
        let same_stand_ins = before.stand_ins().all(|one| now.stand_ins().any(|other| other == one));
        if before.entrusted == now.entrusted && same_stand_ins {
            return Ok(());
        }
        for desk in app.store.desks_of(GroupId(id)).await? {
            let kept = app.store.account(desk.account).await?;
            let stands_in = now.stand_ins().any(|one| one == desk.account);
            let whose = if stands_in { Whose::Own } else { now.whose(desk.account) };
            let stays = kept.is_some_and(|kept| kept.account.may(Act::Help, whose));
            if !stays {
                app.store.shut_desks(GroupId(id), desk.via).await?;
                app.ends.interrupt(desk.via);
            }
        }
        Ok(())
    }

    /// What was published for its people to do at home goes with it.
    async fn gone(app: &App, id: Uuid) -> Reply<()> {
        Ok(remove_all(&*app.store, |class: &HomeClass| class.group == GroupId(id)).await?)
    }

    /// Everybody in a group is a person who is here, and no two are called the same.
    async fn fits(app: &App, _: Uuid, group: &Self) -> Reply<()> {
        let people: Vec<Versioned<Person>> = app.store.documents().await?;
        let roll = Roll::of(group.clone(), &people);
        if roll.misses_somebody() {
            return Err(Failure::Body(PERSON_GONE.to_owned()));
        }
        roll.check().map_err(Failure::Body)
    }
}

impl Kept for Person {
    const ACT: Act = Act::Enrol;

    fn whose(groups: &Groups<'_>, id: Uuid, _: &Self) -> Whose {
        groups.person(PersonId(id))
    }

    /// What concerns health is seen only by whoever may.
    fn seen(groups: &Groups<'_>, mut person: Versioned<Self>) -> Versioned<Self> {
        if !groups.may(Act::ReadHealth, groups.person(PersonId(person.id))) {
            person.content.conditions.clear();
            person.content.decisions.clear();
            person.content.forms.clear();
        }
        person
    }

    /// Only clinicians change what concerns health. Whoever does not see it leaves it as it is.
    fn changed(groups: &Groups<'_>, kept: Option<&Versioned<Self>>, person: Self) -> Reply<Self> {
        let whose = kept.map_or(Whose::Shared, |kept| groups.person(PersonId(kept.id)));
        let health = |of: &Self| (of.conditions.clone(), of.decisions.clone(), of.forms.clone());
        let before = kept.map(|kept| health(&kept.content)).unwrap_or_default();
        if !groups.may(Act::ReadHealth, whose) {
            let (conditions, decisions, forms) = before;
            return Ok(Self { conditions, decisions, forms, ..person });
        }
        let is_same = health(&person) == before;
        if is_same || groups.may(Act::Decide, whose) { Ok(person) } else { Err(Failure::NotClinician) }
    }

    /// Nobody else in any of the person's groups is called the same.
    async fn fits(app: &App, id: Uuid, person: &Self) -> Reply<()> {
        let mut people: Vec<Versioned<Person>> = app.store.documents().await?;
        let Some(kept) = people.iter_mut().find(|one| one.id == id) else { return Ok(()) };
        kept.content = person.clone();
        for group in groups_with(app, PersonId(id)).await? {
            Roll::of(group, &people).check_name(PersonId(id)).map_err(Failure::Body)?;
        }
        Ok(())
    }

    async fn gone(app: &App, id: Uuid) -> Reply<()> {
        let person = PersonId(id);
        remove_all(&*app.store, |class: &HomeClass| class.person == Some(person)).await?;
        Ok(own::end_links(person, &app.ends, &*app.store).await?)
    }

    async fn may_go(app: &App, id: Uuid) -> Reply<()> {
        let person = PersonId(id);
        if let Some(group) = groups_with(app, person).await?.first() {
            let text = format!("this person is enrolled in {}; take them out of the group first", group.name);
            return Err(Failure::Body(text));
        }
        let is_known = !app.store.classes_of(person).await?.is_empty();
        if is_known || app.store.hold_on(person).await?.is_some() {
            return Err(Failure::Body(IN_CLASSES.to_owned()));
        }
        Ok(())
    }
}

async fn groups_with(app: &App, person: PersonId) -> Reply<Vec<Group>> {
    let groups: Vec<Versioned<Group>> = app.store.documents().await?;
    let has = |group: &Group| group.people.contains(&person);
    Ok(groups.into_iter().map(|group| group.content).filter(has).collect())
}
