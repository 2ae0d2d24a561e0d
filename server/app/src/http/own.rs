//! A person's own page: when their classes are, whether they come, and the way into the class.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::routing::{get, post};
use axum::{Json, Router};
use axum_extra::extract::cookie::CookieJar;
use samebreath_core::live::{Actor, Command, OPENS_BEFORE_MS, Refusal};
use samebreath_core::people::link::LinkId;
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::{Enrolled, Group, GroupId};
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::Versioned;
use samebreath_core::week::series::Occurrence;
use samebreath_store::own_links::{LinkOwner, OwnDevice, OwnLink, Word};
use samebreath_store::passes::{Pass, Role};
use samebreath_store::sessions::SessionEntry;
use samebreath_wire::own::{AreYou, OpenOwn, OpenedOwn, OwnClass, OwnPage, OwnPlace, OwnToken, SendWord};
use samebreath_wire::{Joined, SeatPlace};

use crate::access::caller::Caller;
use crate::access::passes::{self, Kept, Stay};
use crate::access::{own, token};
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared, ask};
use crate::http::body::JsonBody;
use crate::room::Input;

/// How far ahead a person sees their classes, in days; and how many of them.
const AHEAD_DAYS: i64 = 35;
const MOST_CLASSES: usize = 6;
/// A device is new to its link for a day.
const NEW_MS: i64 = 24 * 3_600_000;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/own/look", post(look))
        .route("/api/own/open", post(open))
        .route("/api/own/{link}", get(page))
        .route("/api/own/{link}/class", post(come))
        .route("/api/own/{link}/word", post(send_word))
        .route("/api/own/{link}/done", post(done))
}

/// Says whose a link is, and nothing else: the page asks whether it is them.
async fn look(
    State(app): Shared,
    caller: Caller,
    JsonBody(OwnToken { token }): JsonBody<OwnToken>,
) -> Reply<Json<AreYou>> {
    let (_, person) = by_token(&app, caller, &token).await?;
    Ok(Json(AreYou { name: person.person.name }))
}

/// The link with this token that opens a person's page, and the person. A wrong one counts against the caller's address.
async fn by_token(app: &App, caller: Caller, typed: &str) -> Reply<(OwnLink, Enrolled)> {
    if let Some(link) = app.store.own_link(&token::hash(typed)).await?.filter(|link| link.medium.opens())
        && let Some(person) = owner(app, &link).await?
    {
        return Ok((link, person));
    }
    app.limits.count_wrong(caller).await?;
    Err(Failure::DeadLink)
}

/// The person whose link it is.
async fn owner(app: &App, link: &OwnLink) -> Reply<Option<Enrolled>> {
    let LinkOwner::Person(id) = link.owner else { return Ok(None) };
    let person = app.store.document::<Person>(id.0).await?;
    Ok(person.map(|person| Enrolled { id, person: person.content }))
}

/// They said that it is them: the link is open on this device. One on which it is open already stays as it is.
async fn open(
    State(app): Shared,
    caller: Caller,
    headers: HeaderMap,
    jar: CookieJar,
    JsonBody(OpenOwn { token, shared, request }): JsonBody<OpenOwn>,
) -> Reply<(CookieJar, Json<OpenedOwn>)> {
    let (link, who) = by_token(&app, caller, &token).await?;
    let opened = OpenedOwn { place: OwnPlace { link: link.id, shared }, language: who.person.language };
    let now = app.clock.now();
    let here = own::find(&headers, link.id, &app.site, &*app.store, now).await?;
    if let Some((device, _)) = here {
        if device.shared == shared {
            return Ok((jar, Json(opened)));
        }
        // They said something else about this device before.
        app.store.end_own_device(device.id).await?;
        app.ends.end(device.id);
    }
    let cookie = own::open((link.id, request), shared, &app.site, &*app.store, now).await?;
    let cookie = cookie.ok_or(Failure::DeadLink)?;
    Ok((jar.add(cookie), Json(opened)))
}

/// A person at their own page.
pub(super) struct AtHome {
    device: OwnDevice,
    /// Who it is.
    pub who: Enrolled,
    /// Their groups.
    pub groups: Vec<(GroupId, Group)>,
}

impl AtHome {
    pub(super) async fn of(app: &App, headers: &HeaderMap, link: LinkId) -> Reply<Self> {
        let found = own::find(headers, link, &app.site, &*app.store, app.clock.now()).await?;
        let Some((device, link)) = found else {
            // Only a link that is gone is gone for good: a pass may also have ended by itself, or with a backup put back.
            let is_over = own::had(headers, link, &app.site) && !app.store.has_own_link(link).await?;
            return Err(if is_over { Failure::LinkEnded } else { Failure::NoPass });
        };
        app.limits.count_own(link.id)?;
        let who = owner(app, &link).await?.ok_or(Failure::NoPass)?;
        Ok(Self { groups: groups_of(app, who.id).await?, device, who })
    }

    pub(super) const fn is_shared(&self) -> bool {
        self.device.shared
    }

    /// The classes of theirs that let people in now, the newest first.
    async fn open_classes(&self, app: &App) -> Reply<Vec<SessionEntry>> {
        let mut open = Vec::new();
        for entry in app.store.unfinished_sessions().await? {
            let theirs = self.groups.iter().any(|(id, _)| Some(*id) == entry.group);
            if !theirs || entry.rehearsal {
                continue;
            }
            let room = match app.hub.room(entry.id).await {
                Ok(Some(room)) => room,
                Err(error) if !error.is_of_one_session() => return Err(error.into()),
                Ok(None) | Err(_) => continue,
            };
            if room.ask(|reply| Input::LetsIn { reply }).await? {
                open.push(entry);
            }
        }
        open.sort_by_key(|entry| std::cmp::Reverse(entry.created_at));
        Ok(open)
    }
}

/// The groups in which a person is enrolled.
pub(super) async fn groups_of(app: &App, person: PersonId) -> Reply<Vec<(GroupId, Group)>> {
    let groups: Vec<Versioned<Group>> = app.store.documents().await?;
    let theirs = groups.into_iter().filter(|group| group.content.people.contains(&person));
    Ok(theirs.map(|group| (GroupId(group.id), group.content)).collect())
}

/// The coming classes of a group, with one that is on.
fn not_over(group: &Group, now: EpochMs) -> impl Iterator<Item = Occurrence> {
    group.ahead(now, AHEAD_DAYS).into_iter().filter(move |class| class.ends > now)
}

async fn page(State(app): Shared, Path(link): Path<LinkId>, headers: HeaderMap) -> Reply<Json<OwnPage>> {
    let home = AtHome::of(&app, &headers, link).await?;
    let now = app.clock.now();
    let open = !home.open_classes(&app).await?.is_empty();
    let coming = |group: &Group| not_over(group, now).map(|class| class.of).min();
    let absences = match home.groups.iter().filter_map(|(_, group)| coming(group)).min() {
        Some(first) => app.store.absences(first).await?,
        None => Vec::new(),
    };
    let mut classes = Vec::new();
    for (id, group) in &home.groups {
        classes.extend(not_over(group, now).map(|class| {
            let word = Word { person: home.who.id, group: *id, of: class.of };
            OwnClass {
                group: *id,
                of: class.of,
                name: group.name.to_string(),
                opens: class.starts.plus(-OPENS_BEFORE_MS),
                starts: class.starts,
                ends: class.ends,
                moved: group.others.iter().any(|other| other.of == class.of && other.is_at_another_time()),
                cancelled: class.cancelled,
                comes: !absences.contains(&word),
            }
        }));
    }
    classes.sort_by_key(|class| class.starts);
    classes.truncate(MOST_CLASSES);
    let (name, shared) = (home.who.person.name, home.device.shared);
    Ok(Json(OwnPage { name, shared, now, open, classes }))
}

/// Takes the person into their class.
async fn come(
    State(app): Shared,
    Path(link): Path<LinkId>,
    headers: HeaderMap,
    jar: CookieJar,
) -> Reply<(CookieJar, Json<Joined>)> {
    let home = AtHome::of(&app, &headers, link).await?;
    let entry = home.open_classes(&app).await?.into_iter().next();
    let entry = entry.ok_or(Failure::Refused(Refusal::NotOpen))?;
    let room = app.hub.room(entry.id).await?.ok_or(Failure::NotFound)?;
    let now = app.clock.now();
    let (who, device) = (home.who, home.device);
    let person = who.id;
    let new_device = device.later && now < device.created_at.plus(NEW_MS);
    ask(&app, &room, Actor::Entry, Command::Come { who: Box::new(who), new_device }).await?;
    let seat = room.ask(|reply| Input::SeatOfPerson { person, reply }).await?.ok_or(Failure::NotFound)?;
    let pass = Pass { via: Some(device.id), ..Pass::of(entry.id, Role::Seat(seat)) };
    let stay = Stay::of(&pass).to_string();
    let kept = if device.shared { Kept::UntilClosed } else { Kept::Usual };
    let cookie = passes::give_cookie(pass, kept, &app.site, &*app.store, now).await?;
    Ok((jar.add(cookie), Json(Joined { stay, place: SeatPlace::In })))
}

/// Notes whether the person comes to a class, and tells the class if it has been made.
async fn send_word(
    State(app): Shared,
    Path(link): Path<LinkId>,
    headers: HeaderMap,
    JsonBody(SendWord { group, of, comes }): JsonBody<SendWord>,
) -> Reply<Json<()>> {
    let home = AtHome::of(&app, &headers, link).await?;
    let now = app.clock.now();
    let theirs = home.groups.iter().find(|(id, _)| *id == group);
    if !theirs.is_some_and(|(_, group)| not_over(group, now).any(|class| class.of == of)) {
        return Err(Failure::Body(format!("`of` is {of}; none of your classes is regularly on that day")));
    }
    let person = home.who.id;
    app.store.send_word(&Word { person, group, of }, comes, now).await?;
    for entry in app.store.sessions_of(group).await? {
        if entry.of != Some(of) || entry.ended_at.is_some() {
            continue;
        }
        let room = app.hub.room(entry.id).await?.ok_or(Failure::NotFound)?;
        ask(&app, &room, Actor::Entry, Command::SendWord { person, comes }).await?;
    }
    Ok(Json(()))
}

/// The person is done with a device that several people use: its passes and cookies end. What the pages kept lies in their
/// tab only, and they remove it; `Clear-Site-Data` would also take what other tabs have not sent yet.
async fn done(
    State(app): Shared,
    Path(link): Path<LinkId>,
    headers: HeaderMap,
    mut jar: CookieJar,
) -> Reply<(CookieJar, Json<()>)> {
    let found = own::find(&headers, link, &app.site, &*app.store, app.clock.now()).await?;
    if let Some((device, _)) = found {
        for cookie in
            passes::cookies_via(&headers, device.id, &app.site, &*app.store, app.clock.now()).await?
        {
            jar = jar.remove(cookie);
        }
        app.store.end_own_device(device.id).await?;
        app.ends.end(device.id);
    }
    Ok((jar.remove(own::removal(link, &app.site)), Json(())))
}
