//! What staff see first: the class of the day, and what is left to do.

use std::sync::Arc;

use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::live::{OPENS_BEFORE_MS, Recorded, Session};
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan;
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::GroupId;
use samebreath_core::record::since;
use samebreath_core::staff::may::{Act, Whose};
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_store::sessions::SessionEntry;
use samebreath_wire::today::{DayClass, GlanceStep, LeftToDo, PlanGlance, Today};
use samebreath_wire::week::ComingClass;
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::http::ask::{Reply, Shared};
use crate::http::classes::absent;
use crate::http::people::roll_of;
use crate::http::retention;
use crate::http::week::coming_week;
use crate::http::whose::Groups;
use crate::http::{letters, notes};
use crate::session::history::folded;

/// A class within this is the class of the day.
const DAY_MS: i64 = 24 * 3_600_000;
/// What was noted in classes of so long is looked for; older notes are a matter for the records.
const BACK_MS: i64 = 60 * DAY_MS;
/// Follow-ups are looked for in older classes too: what hurt at home can come in long after the class.
const FOLLOW_UPS_BACK_MS: i64 = 2 * BACK_MS;
/// A class without a plan is named when it is at most so many days away.
const PLAN_BY_DAYS_MS: i64 = 3 * DAY_MS;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/planner/today", get(today))
}

async fn today(staff: Staff, State(app): Shared) -> Reply<Json<Today>> {
    let now = app.clock.now();
    let groups = Groups::of(&staff, &app).await?;
    let week = coming_week(&app, &groups, now).await?;
    let on = |one: &&ComingClass| {
        one.class.cancelled.is_none()
            && !one.ended
            && one.class.ends > now
            && one.class.starts < now.plus(DAY_MS)
    };
    // One that is for others to lead is not one's own next class.
    let mine = |one: &&ComingClass| groups.may(Act::Help, groups.day(Some(one.group), Some(one.class.of)));
    let class = match week.iter().filter(mine).find(on) {
        Some(coming) => Some(of_the_day(&app, &groups, coming.clone()).await?),
        None => None,
    };
    let mut left = follow_ups(&app, &groups, now).await?;
    left.extend(notes::left(&app, &groups, now.plus(-BACK_MS)).await?);
    left.extend(letters::left(&app, &groups, now).await?);
    if groups.may(Act::Erase, Whose::Shared) {
        left.extend(retention::left(&app, now).await?);
    }
    let unplanned = week.into_iter().filter(|one| {
        let is_open = one.class.cancelled.is_none() && one.plan.is_none() && one.session.is_none();
        let may = groups.may(Act::Plan, groups.day(Some(one.group), Some(one.class.of)));
        is_open && may && one.class.starts < now.plus(PLAN_BY_DAYS_MS)
    });
    left.extend(unplanned.map(|one| LeftToDo::NoPlan {
        group: one.group,
        name: one.name,
        day: one.class.day,
    }));
    Ok(Json(Today { now, class, left }))
}

async fn of_the_day(app: &App, groups: &Groups<'_>, coming: ComingClass) -> Reply<DayClass> {
    let (group, of) = (coming.group, coming.class.of);
    let whose = groups.day(Some(group), Some(of));
    let planned: Option<Versioned<Planned>> = match coming.plan.filter(|_| groups.may(Act::Plan, whose)) {
        Some(id) => app.store.document(id).await?,
        None => None,
    };
    let planned = planned.and_then(|planned| {
        let draft = planned.content.draft;
        Some((draft.plan(&app.shelf.library()).ok()?, draft))
    });
    let glance = planned.as_ref().map(|(plan, draft)| PlanGlance {
        minutes: draft.minutes,
        steps: plan::schedule(&plan.steps)
            .into_iter()
            .zip(&draft.steps)
            .map(|(slot, step)| GlanceStep {
                part: step.part.as_ref().map(ToString::to_string),
                clock_ms: slot.clock_ms,
            })
            .collect(),
    });
    let last = last_class(app, group, &coming).await?;
    let sees_people = groups.may(Act::ReadHealth, whose);
    let mut changes = Vec::new();
    if let Some((_, last)) = &last {
        if sees_people && let Some(roll) = roll_of(app, Some(group)).await? {
            changes.extend(since::of_people(last, &roll));
        }
        if let Some((plan, _)) = &planned {
            changes.extend(since::of_drills(last, plan));
        }
    }
    let absent = absent(app, Some(group), Some(of)).await?;
    let people: Vec<Versioned<Person>> =
        if absent.is_empty() { Vec::new() } else { app.store.documents().await? };
    let of_absent = |one: &Versioned<Person>| absent.contains(&PersonId(one.id));
    let absent = people.into_iter().filter(of_absent).map(|person| person.content.name).collect();
    let opens = coming.class.starts.plus(-OPENS_BEFORE_MS);
    Ok(DayClass { coming, opens, sees_people, plan: glance, absent, last: last.map(|(day, _)| day), changes })
}

/// The group's last class that ended, and its regular day.
async fn last_class(app: &App, group: GroupId, but: &ComingClass) -> Reply<Option<(Date, Session)>> {
    for entry in app.store.sessions_of(group).await? {
        let (Some(of), Some(_)) = (entry.of, entry.ended_at) else { continue };
        if Some(entry.id.0) == but.session {
            continue;
        }
        // A ledger that cannot be read is named elsewhere.
        let Ok(ledger) = app.store.read_after(entry.id, 0).await else { continue };
        if let Some(session) = Session::replay(&ledger) {
            return Ok(Some((of, session)));
        }
    }
    Ok(None)
}

/// What desks noted for after their classes and is open, the earliest day first.
async fn follow_ups(app: &App, groups: &Groups<'_>, now: EpochMs) -> Reply<Vec<LeftToDo>> {
    let is_recent =
        |entry: &SessionEntry| !entry.rehearsal && entry.created_at > now.plus(-FOLLOW_UPS_BACK_MS);
    let mut found: Vec<(Date, LeftToDo)> = Vec::new();
    for entry in app.store.sessions().await?.into_iter().filter(is_recent) {
        if !groups.may(Act::ReadHealth, groups.class(&entry)) {
            continue;
        }
        let fold = |ledger: &[Recorded]| {
            Session::replay(ledger).map(|session| open_of(entry.id.0, &session)).unwrap_or_default()
        };
        // A ledger that cannot be read is named elsewhere.
        found.extend(folded(app, &app.noted, entry.id, fold).await.unwrap_or_default());
    }
    found.sort_by_key(|(due, _)| *due);
    Ok(found.into_iter().map(|(_, left)| left).collect())
}

fn open_of(id: Uuid, session: &Session) -> Vec<(Date, LeftToDo)> {
    let open = session.follow_ups().iter().filter(|one| one.closed_at.is_none());
    let left = open.filter_map(|one| {
        let left = LeftToDo::FollowUp {
            session: id,
            title: session.title().to_string(),
            seat: one.seat,
            name: session.seats().get(&one.seat)?.name.clone(),
            to_do: one.what.clone(),
            owner: one.owner.clone(),
            due: one.due,
        };
        Some((one.due, left))
    });
    left.collect()
}
