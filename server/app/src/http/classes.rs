//! How a class begins from a plan, and how it is found again.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::{get, post};
use axum::{Json, Router};
use axum_extra::extract::cookie::CookieJar;
use samebreath_core::live::{DeskRole, Entry, Session};
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::{GroupId, Roll};
use samebreath_core::staff::may::Act;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_store::ledger::SessionId;
use samebreath_store::passes::{Pass, Role};
use samebreath_store::sessions::SessionEntry;
use samebreath_wire::planner::{BeginClass, ClassCard, ClassLinks, OpenedDesk};
use uuid::Uuid;

use crate::access::passes::{self, Kept, Stay};
use crate::access::staff::Staff;
use crate::access::token;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::documents;
use crate::http::people::{PERSON_GONE, roll_of};
use crate::http::planner::GROUP_GONE;
use crate::http::whose::Groups;
use crate::rehearsal;
use crate::session::links;
use crate::session::new::{self, NewSession};
use crate::settings::Cast;

/// The planner's routes about classes.
pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/classes", get(classes))
        .route("/api/planner/classes/{id}/links", post(new_links))
        .route("/api/planner/classes/{id}/desk", post(open_desk))
        .route("/api/planner/plans/{id}/class", post(begin_class))
}

/// Begins a class, or a rehearsal, from the saved plan.
async fn begin_class(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(BeginClass { version, rehearsal, request }): JsonBody<BeginClass>,
) -> Reply<Json<ClassLinks>> {
    let now = app.clock.now();
    // A request that is sent again because its answer was lost finds the class that it made.
    let groups = Groups::of(&staff, &app).await?;
    if let Some(made) = app.store.session_by_request(request).await? {
        groups.check(Act::Lead, groups.class(&made))?;
        return Ok(Json(class_links(&app, &groups, &made, now).await?));
    }
    let kept = documents::stored::<Planned>(&app, &staff, id).await?;
    groups.check(Act::Lead, groups.plan(&kept.content))?;
    if kept.version != version {
        return Err(Failure::Behind);
    }
    let Planned { draft, group, day } = kept.content;
    let plan = draft.plan(&app.shelf.library()).map_err(|e| Failure::Body(e.text))?;
    let roll = roll_of(&app, group).await?;
    if group.is_some() && roll.is_none() {
        return Err(Failure::Body(GROUP_GONE.to_owned()));
    }
    if roll.as_ref().is_some_and(Roll::misses_somebody) {
        return Err(Failure::Body(PERSON_GONE.to_owned()));
    }
    let class = day.and_then(|day| roll.as_ref()?.group.series()?.of_day(day));
    // The class may have been moved since it was planned.
    let starts = class.as_ref().filter(|class| Some(class.day) != day).map(|class| class.starts);
    let of = class.map(|class| class.of);
    let absent = absent(&app, group, of).await?;
    let people =
        roll.iter().filter(|_| !rehearsal).flat_map(|roll| Session::expected(roll, &absent)).collect();
    let zone = roll.and_then(|roll| roll.group.zone);
    let entry = if rehearsal { Entry::Code } else { app.entry };
    let rules = app.house.rules.clone();
    let new = NewSession {
        plan,
        rules,
        rehearsal,
        group,
        day,
        of,
        zone,
        starts,
        people,
        entry,
        request: Some(request),
    };
    let entry = new::new_session(&*app.store, new, now).await.map_err(|error| {
        tracing::error!(error = &*error, "could not begin a class");
        Failure::Restarting
    })?;
    let links = class_links(&app, &groups, &entry, now).await?;
    if rehearsal {
        let cast = Cast { seed: 1, people: 12 };
        tokio::spawn(rehearsal::rehearse(Arc::clone(&app), entry.id, cast));
    }
    Ok(Json(links))
}

/// Who sent word that they cannot come to the class of a group's regular day.
pub(super) async fn absent(app: &App, group: Option<GroupId>, of: Option<Date>) -> Reply<Vec<PersonId>> {
    let Some((group, of)) = group.zip(of) else { return Ok(Vec::new()) };
    let words = app.store.absences(of).await?;
    Ok(words
        .into_iter()
        .filter(|word| (word.group, word.of) == (group, of))
        .map(|word| word.person)
        .collect())
}

/// The classes that have not ended, so that one can be found again after its links were lost.
async fn classes(staff: Staff, State(app): Shared) -> Reply<Json<Vec<ClassCard>>> {
    let groups = Groups::of(&staff, &app).await?;
    let mut entries = app.store.unfinished_sessions().await?;
    entries.retain(|entry| {
        let whose = groups.class(entry);
        groups.may(Act::Help, whose) || groups.may(Act::ShareLinks, whose)
    });
    let card = |entry: SessionEntry| ClassCard {
        id: entry.id.0,
        title: entry.title,
        code: token::grouped(&entry.code),
        rehearsal: entry.rehearsal,
        created_at: entry.created_at,
        group: entry.group,
    };
    Ok(Json(entries.into_iter().map(card).collect()))
}

/// New links for a class that has not ended.
async fn new_links(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<ClassLinks>> {
    let (entry, groups) = (unfinished(&app, id).await?, Groups::of(&staff, &app).await?);
    groups.check(Act::ShareLinks, groups.class(&entry))?;
    Ok(Json(class_links(&app, &groups, &entry, app.clock.now()).await?))
}

/// Opens the desk of a class in this browser: the facilitator's for whoever may lead it, otherwise the helper's. When
/// the account is signed out here, the desk ends too.
async fn open_desk(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    jar: CookieJar,
) -> Reply<(CookieJar, Json<OpenedDesk>)> {
    // After its class a desk is where notes for later are looked after.
    let entry = app.store.session(SessionId(id)).await?.ok_or(Failure::NotFound)?;
    let groups = Groups::of(&staff, &app).await?;
    let whose = groups.class(&entry);
    groups.check(Act::Help, whose)?;
    let role = if groups.may(Act::Lead, whose) { DeskRole::Facilitator } else { DeskRole::Helper };
    let pass = Pass {
        session: entry.id,
        role: Role::Desk(role),
        via: Some(staff.here.id),
        decides: groups.may(Act::Decide, whose),
    };
    let stay = Stay::of(&pass).to_string();
    let cookie = passes::give_cookie(pass, Kept::Usual, &app.site, &*app.store, app.clock.now()).await?;
    Ok((jar.add(cookie), Json(OpenedDesk { stay })))
}

/// A class that has not ended.
async fn unfinished(app: &App, id: Uuid) -> Reply<SessionEntry> {
    let entry = app.store.session(SessionId(id)).await?.filter(|entry| entry.ended_at.is_none());
    entry.ok_or(Failure::NotFound)
}

/// The links of a class, without scheme and host: the page knows at which address it was opened. Nobody knows who will
/// open a desk by one, so such a desk decides nothing clinical.
async fn class_links(
    app: &App,
    groups: &Groups<'_>,
    entry: &SessionEntry,
    now: EpochMs,
) -> Reply<ClassLinks> {
    let links::Links { desk, helper, wall, class, code, .. } =
        links::links(&*app.store, entry, "", now, app.is_trial).await?;
    // Whoever may not lead or help gets no link by which they could.
    let whose = groups.class(entry);
    Ok(ClassLinks {
        desk: Some(desk).filter(|_| groups.may(Act::Lead, whose)),
        helper: Some(helper).filter(|_| groups.may(Act::Help, whose)),
        wall,
        class,
        code,
    })
}
