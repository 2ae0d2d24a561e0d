//! The calendars that people's and staff's programs fetch again and again. The token is in the address, since no
//! calendar keeps a fragment; so it opens nothing else, and is in no log of ours (`deploy/nginx.conf` keeps it out of the
//! proxy's too).

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use samebreath_core::people::link::Medium;
use samebreath_core::plan::group::Group;
use samebreath_core::staff::may::Act;
use samebreath_core::versioned::Versioned;
use samebreath_core::week::calendar::{Calendar, InCalendar};
use samebreath_store::own_links::LinkOwner;
use uuid::Uuid;

use crate::access::caller::Caller;
use crate::access::token;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};

/// What every class is called in a person's calendar, which others may see: not what it is for.
const CLASS: &str = "Class";

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/calendar/{token}", get(feed))
}

async fn feed(
    State(app): Shared,
    caller: Caller,
    Path(token): Path<String>,
    headers: HeaderMap,
) -> Reply<Response> {
    let token = token.strip_suffix(".ics").unwrap_or(&token);
    let link = app.store.own_link(&token::hash(token)).await?;
    let Some(link) = link.filter(|link| link.medium == Medium::Calendar) else {
        app.limits.count_wrong(caller).await?;
        return Err(Failure::NotFound);
    };
    app.limits.count_own(link.id)?;
    let now = app.clock.now();
    let groups: Vec<Versioned<Group>> = app.store.documents().await?;
    let (groups, is_named) = match link.owner {
        LinkOwner::Person(id) => (of(groups, |group| group.people.contains(&id)), false),
        LinkOwner::Account(id) => {
            let account = app.store.account(id).await?.filter(|account| account.ended_at.is_none());
            let account = account.ok_or(Failure::NotFound)?.account;
            (of(groups, |group| account.may(Act::Help, group.whose(id))), true)
        }
    };
    let classes = groups.iter().filter_map(|group| {
        let name = if is_named { group.content.name.as_str() } else { CLASS };
        let (uid, sequence) = (uid(group.id, link.id.0, is_named), group.version - 1);
        Some(InCalendar { series: group.content.series()?, name, uid, sequence })
    });
    // Without the instant at which it was made, the same calendar is the same text.
    let changed = groups.iter().map(|group| group.updated_at).max().unwrap_or(link.created_at);
    let text = Calendar { name: CLASS, classes: classes.collect(), made_at: changed, now }.text();
    let tag = format!("\"{}\"", token::hash(&text));
    app.store.note_own_link(link.id, now).await?;
    let headers_of_both =
        [(header::ETAG, tag.clone()), (header::CACHE_CONTROL, "private, no-cache".to_owned())];
    if headers
        .get_all(header::IF_NONE_MATCH)
        .iter()
        .any(|known| known.to_str().is_ok_and(|known| known.contains(&tag)))
    {
        return Ok((StatusCode::NOT_MODIFIED, headers_of_both).into_response());
    }
    let kind = [(header::CONTENT_TYPE, "text/calendar; charset=utf-8")];
    Ok((headers_of_both, kind, text).into_response())
}

fn of(groups: Vec<Versioned<Group>>, is: impl Fn(&Group) -> bool) -> Vec<Versioned<Group>> {
    groups.into_iter().filter(|group| is(&group.content)).collect()
}

/// The id of a group's classes in a calendar. In a person's it differs from what others have, so that two calendars do
/// not show that two people are in one group.
fn uid(group: Uuid, link: Uuid, is_named: bool) -> String {
    if is_named { group.to_string() } else { Uuid::new_v5(&link, group.as_bytes()).to_string() }
}
