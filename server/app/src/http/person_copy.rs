//! Hands a person's own copy to whoever asks for it on their behalf.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::get;
use jiff::tz::TimeZone;
use samebreath_core::people::care::{Of, PersonalForm, Way};
use samebreath_core::people::person::{Decided, Person, PersonId};
use samebreath_core::practice::HomeClass;
use samebreath_core::staff::account::AccountId;
use samebreath_core::staff::may::Act;
use samebreath_core::versioned::Versioned;
use samebreath_store::own_links::{LinkOwner, OwnLink};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::export::person_copy::{
    ClassCopy, DecisionCopy, FORMAT, HomeClassCopy, LinkCopy, Look, NoteCopy, PersonCopy, Whom, zipped,
};
use crate::export::words::{instant, word};
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::own::groups_of;
use crate::http::whose::Groups;
use crate::session::history::zone_of;
use crate::session::notes::{HeldClass, read};

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/planner/people/{id}/copy.zip", get(copy))
}

async fn copy(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<impl IntoResponse> {
    let kept: Versioned<Person> = app.store.document(id).await?.ok_or(Failure::NotFound)?;
    let (person, groups) = (PersonId(id), Groups::of(&staff, &app).await?);
    // It has all of their classes, whoever led them: the copy is the person's, and is owed to them.
    groups.check(Act::Sign, groups.person(person))?;
    let copy = PersonCopy {
        format: FORMAT,
        made_at: instant(app.clock.now()),
        groups: groups_of(&app, person).await?.into_iter().map(|(_, group)| group.name.to_string()).collect(),
        classes: classes(&app, person).await?,
        home_classes: home_classes(&app, person).await?,
        notes: notes(&app, person).await?,
        links: links(&app, person).await?,
        looked_at: looked_at(&app, id).await?,
        person: whom(id, kept.content),
    };
    let file = zipped(&copy).map_err(|error| {
        tracing::error!(%error, "a person's copy could not be written");
        Failure::Restarting
    })?;
    Ok(([(header::CONTENT_TYPE, "application/zip")], file))
}

fn whom(id: Uuid, person: Person) -> Whom {
    let decided = |what: &Decided| match what {
        Decided::Swallow => "swallow drills may be switched on in class".to_owned(),
        Decided::Cleared { family } => format!("cleared for {}", word(family)),
        Decided::AtMost { ceiling } => {
            format!("at most {} repetitions of {} a week", ceiling.reps_a_week, word(&ceiling.family))
        }
    };
    let decisions = person.decisions.iter().map(|one| DecisionCopy {
        what: decided(&one.what),
        by: one.by.to_string(),
        on: one.on,
    });
    let contacts = person.contacts;
    Whom {
        id,
        name: person.name.to_string(),
        language: person.language.map(|tag| tag.to_string()),
        phone: contacts.phone.map(|phone| phone.to_string()),
        mail: contacts.mail.map(|mail| mail.to_string()),
        place: contacts.place.map(|place| place.to_string()),
        partner: contacts.partner.map(|name| name.to_string()),
        partner_phone: contacts.partner_phone.map(|phone| phone.to_string()),
        precautions: person.conditions.iter().map(word).collect(),
        decisions: decisions.collect(),
        forms: person.forms.iter().map(form).collect(),
    }
}

/// How they do something, as a clinician set it.
fn form(form: &PersonalForm) -> String {
    let of = match &form.of {
        Of::Family(family) => word(family),
        Of::Drill(drill) => drill.to_string(),
    };
    let way = match form.way {
        Way::OwnHold(ms) => format!("holds of at most {} s", (ms + 500) / 1000),
        way => word(&way),
    };
    let note = form.note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
    format!("{of}: {way}{note}")
}

/// All of their classes that were held, whoever led them, the earliest first; each with the time zone of its group.
pub(crate) async fn held_of(app: &App, person: PersonId) -> Reply<Vec<(HeldClass, TimeZone)>> {
    let mut found = Vec::new();
    for session in app.store.classes_of(person).await? {
        let Some(entry) = app.store.session(session).await? else { continue };
        if entry.rehearsal || entry.ended_at.is_none() {
            continue;
        }
        let (ledger, zone) = (app.store.read_after(session, 0).await?, zone_of(app, entry.group).await?);
        found.extend(HeldClass::of(session, &ledger, &zone).map(|held| (held, zone)));
    }
    found.sort_by_key(|(held, _)| held.about.ended_at);
    Ok(found)
}

async fn classes(app: &App, person: PersonId) -> Reply<Vec<ClassCopy>> {
    let held = held_of(app, person).await?;
    let copies = held.iter().filter_map(|(held, _)| {
        let of = held.person(person)?;
        Some(ClassCopy {
            id: held.id.0,
            day: held.about.day,
            title: held.about(of, of.name.clone()).title,
            minutes: held.record.minutes,
            attended: of.attended,
            there_minutes: of.minutes,
            facts: held.facts(Some(of)),
            at_home: of.practised.clone(),
        })
    });
    Ok(copies.collect())
}

async fn home_classes(app: &App, person: PersonId) -> Reply<Vec<HomeClassCopy>> {
    let published: Vec<Versioned<HomeClass>> = app.store.documents().await?;
    let theirs = published.into_iter().filter(|one| one.content.person == Some(person));
    let copy = |Versioned { content: HomeClass { title, intro, by, from, until, .. }, .. }| HomeClassCopy {
        title,
        intro,
        by,
        from,
        until,
    };
    Ok(theirs.map(copy).collect())
}

async fn notes(app: &App, person: PersonId) -> Reply<Vec<NoteCopy>> {
    let kept = app.store.notes_of_person(person).await?;
    let copies = kept
        .iter()
        .filter_map(|note| Some(NoteCopy { id: note.id, sha256: note.sha256.clone(), signed: read(note)? }));
    Ok(copies.collect())
}

async fn links(app: &App, person: PersonId) -> Reply<Vec<LinkCopy>> {
    let links = app.store.own_links_of(LinkOwner::Person(person)).await?;
    let copy = |link: &OwnLink| LinkCopy {
        kept_on: word(&link.medium),
        made_at: instant(link.created_at),
        used_at: link.used_at.map(instant),
    };
    Ok(links.iter().map(copy).collect())
}

/// Who read or changed what is kept of them, with the names of staff: of them alone, and of their classes and groups.
async fn looked_at(app: &App, person: Uuid) -> Reply<Vec<Look>> {
    let accounts = app.store.accounts().await?;
    let name =
        |id: AccountId| accounts.iter().find(|kept| kept.id == id).map(|kept| kept.account.name.to_string());
    let mut about = BTreeSet::from([person]);
    about.extend(app.store.classes_of(PersonId(person)).await?.into_iter().map(|class| class.0));
    about.extend(groups_of(app, PersonId(person)).await?.into_iter().map(|(id, _)| id.0));
    let acts = app.store.audit_after(0).await?;
    let theirs = acts
        .into_iter()
        .filter(|(_, act)| act.outcome < 400 && act.subject.is_some_and(|subject| about.contains(&subject)));
    Ok(theirs
        .map(|(_, act)| Look { at: instant(act.at), by: act.actor.and_then(name), act: plain(&act.act) })
        .collect())
}

/// An act in plain words: what was done, and with which part.
fn plain(act: &str) -> String {
    let (method, path) = act.split_once(' ').unwrap_or((act, ""));
    let did = match method {
        "GET" => "read",
        "DELETE" => "removed",
        _ => "wrote",
    };
    let parts = path.split('/').filter(|part| !part.is_empty() && !part.starts_with('{'));
    let parts: Vec<&str> = parts.filter(|part| !["api", "planner"].contains(part)).collect();
    format!("{did}: {}", parts.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn acts_are_in_plain_words() {
        assert_eq!(plain("GET /api/planner/people/{id}/progress"), "read: people, progress");
        assert_eq!(plain("POST /api/planner/people/{id}/notes/{class}"), "wrote: people, notes");
    }
}
