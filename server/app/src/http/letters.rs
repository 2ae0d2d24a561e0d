//! Mail to people: a link, or that a class is cancelled; and what became of it.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::{get, post};
use axum::{Json, Router};
use samebreath_core::letter::Purpose;
use samebreath_core::people::link::{LinkId, Medium};
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::staff::may::Act;
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::Versioned;
use samebreath_store::outbox::{Letter, Sending};
use samebreath_store::own_links::LinkOwner;
use samebreath_wire::own::{LetterCard, LetterState, MailCancelled, Mailed};
use samebreath_wire::today::LeftToDo;
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::documents;
use crate::http::whose::Groups;
use crate::session::outbox;

/// A letter that failed within this is left to do.
const BACK_MS: i64 = 14 * 24 * 3_600_000;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/people/{id}/letters", get(letters))
        .route("/api/planner/people/{id}/links/{link}/letter", post(send_link))
        .route("/api/planner/groups/{id}/letters", post(send_cancelled))
}

/// Without a mail server nothing would ever be sent.
fn needs_mail(app: &App) -> Reply<()> {
    let none = "no mail server is set, so nothing can be sent; copy the message instead";
    app.mail.as_ref().map(drop).ok_or_else(|| Failure::Body(none.to_owned()))
}

async fn letters(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<Vec<LetterCard>>> {
    documents::stored::<Person>(&app, &staff, id).await?;
    let letters = app.store.letters_to(PersonId(id)).await?;
    Ok(Json(letters.into_iter().map(card).collect()))
}

fn card(Letter { purpose, created_at, state, error, .. }: Letter) -> LetterCard {
    let state = match state {
        Sending::Waits => LetterState::Waits,
        Sending::Sent(_) => LetterState::Sent,
        Sending::Failed => LetterState::Failed,
    };
    LetterCard { purpose, asked_at: created_at, state, error }
}

/// Sends a link that was made for a message and was not used yet.
async fn send_link(
    staff: Staff,
    State(app): Shared,
    Path((id, link)): Path<(Uuid, LinkId)>,
) -> Reply<Json<Mailed>> {
    let kept = documents::stored::<Person>(&app, &staff, id).await?;
    needs_mail(&app)?;
    let links = app.store.own_links_of(LinkOwner::Person(PersonId(id))).await?;
    let link = links.into_iter().find(|kept| kept.id == link).ok_or(Failure::NotFound)?;
    if link.medium != Medium::Mail || link.used_at.is_some() {
        return Err(Failure::Body(
            "this link was used already, or is not for a message; make a new one for a message".to_owned(),
        ));
    }
    mail_to(&app, vec![Versioned { id, ..kept }], Purpose::Link { link: link.id }).await
}

/// Tells everybody of a group who has a mail address that a class is cancelled.
async fn send_cancelled(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(MailCancelled { of }): JsonBody<MailCancelled>,
) -> Reply<Json<Mailed>> {
    let group = documents::stored::<Group>(&app, &staff, id).await?.content;
    needs_mail(&app)?;
    let is_cancelled =
        group.series().and_then(|series| series.on(of)).is_some_and(|class| class.cancelled.is_some());
    if !is_cancelled {
        return Err(Failure::Body(format!("the class of {of} is not cancelled; save that first")));
    }
    let mut people: Vec<Versioned<Person>> = app.store.documents().await?;
    people.retain(|person| group.people.contains(&PersonId(person.id)));
    mail_to(&app, people, Purpose::Cancelled { group: GroupId(id), of }).await
}

async fn mail_to(app: &App, people: Vec<Versioned<Person>>, purpose: Purpose) -> Reply<Json<Mailed>> {
    let mut mailed = Mailed { posted: 0, again: 0, without: Vec::new() };
    for Versioned { id, content: person, .. } in people {
        if person.contacts.mail.is_none() {
            mailed.without.push(person.name);
        } else if outbox::post(app, PersonId(id), purpose).await? {
            mailed.posted += 1;
        } else {
            mailed.again += 1;
        }
    }
    Ok(Json(mailed))
}

/// The letters that failed, for whoever looks after their people.
pub(super) async fn left(app: &App, groups: &Groups<'_>, now: EpochMs) -> Reply<Vec<LeftToDo>> {
    let mut left = Vec::new();
    for letter in app.store.failed_letters(now.plus(-BACK_MS)).await? {
        if !groups.may(Act::Enrol, groups.person(letter.person)) {
            continue;
        }
        let Some(person) = app.store.document::<Person>(letter.person.0).await? else { continue };
        // A later one for the same purpose took its place.
        let newer = app.store.letters_to(letter.person).await?;
        let is_last =
            newer.iter().find(|one| one.purpose == letter.purpose).is_some_and(|one| one.id == letter.id);
        if is_last {
            let (person, name) = (letter.person, person.content.name);
            left.push(LeftToDo::LetterFailed { person, name, why: letter.error.unwrap_or_default() });
        }
    }
    Ok(left)
}
