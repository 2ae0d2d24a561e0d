//! On which devices people's lasting links are open: their cookies.

use axum::http::HeaderMap;
use axum_extra::extract::cookie::{Cookie, CookieJar};
use samebreath_core::people::link::LinkId;
use samebreath_core::people::person::PersonId;
use samebreath_core::time::EpochMs;
use samebreath_store::own_links::{LinkOwner, OwnDevice, OwnLink};
use samebreath_store::{Store, StoreError};
use uuid::Uuid;

use crate::access::ends::Ends;
use crate::access::passes::{self, Kept};
use crate::access::token;
use crate::settings::Site;

/// How long a device keeps its cookie: 400 days, the most that browsers allow. The link itself works on.
const COOKIE_MS: i64 = 400 * 24 * 3_600_000;
/// The last use of a device is noted once in this long.
const NOTED_MS: i64 = 60_000;

/// The name of the cookie of a link's device. Two people at one browser have one each.
fn cookie_name(link: LinkId, site: &Site) -> String {
    format!("{}own.{}", site.cookie_prefix(), link.0.simple())
}

/// The device that this request comes from, if the link is open on it, and the link.
///
/// # Errors
/// When the store cannot answer.
pub async fn find(
    headers: &HeaderMap,
    link: LinkId,
    site: &Site,
    store: &dyn Store,
    now: EpochMs,
) -> Result<Option<(OwnDevice, OwnLink)>, StoreError> {
    let jar = CookieJar::from_headers(headers);
    let Some(cookie) = jar.get(&cookie_name(link, site)) else { return Ok(None) };
    let found = store.own_device(&token::hash(cookie.value())).await?;
    let Some((device, kept)) = found.filter(|(device, _)| device.link == link) else { return Ok(None) };
    if now >= device.seen_at.plus(NOTED_MS) {
        store.note_own_device(&device, now).await?;
    }
    Ok(Some((device, kept)))
}

/// Whether this request has a cookie of the link, good or not.
#[must_use]
pub fn had(headers: &HeaderMap, link: LinkId, site: &Site) -> bool {
    CookieJar::from_headers(headers).get(&cookie_name(link, site)).is_some()
}

/// Opens a link on a device: the browser gets a cookie that scripts cannot read; one that several people use forgets it
/// when it is closed. `None` when the link has ended by now.
///
/// # Errors
/// When the store cannot keep it.
pub async fn open(
    (link, request): (LinkId, Uuid),
    shared: bool,
    site: &Site,
    store: &dyn Store,
    now: EpochMs,
) -> Result<Option<Cookie<'static>>, StoreError> {
    let token = token::new_token();
    let device = OwnDevice { id: request, link, shared, later: false, created_at: now, seen_at: now };
    if !store.add_own_device(&token::hash(&token), &device).await? {
        return Ok(None);
    }
    let kept = if shared { Kept::UntilClosed } else { Kept::For(COOKIE_MS) };
    Ok(Some(passes::cookie(cookie_name(link, site), token, site, kept)))
}

/// The cookie that a browser forgets.
pub fn removal(link: LinkId, site: &Site) -> Cookie<'static> {
    passes::removal(cookie_name(link, site), site)
}

/// Ends a link, and whatever is open by it. False when its owner has no such link.
///
/// # Errors
/// When the store cannot answer.
pub async fn end_link(
    owner: LinkOwner,
    link: LinkId,
    ends: &Ends,
    store: &dyn Store,
) -> Result<bool, StoreError> {
    let devices = store.end_own_link(link, owner).await?;
    devices.iter().flatten().for_each(|device| ends.end(*device));
    Ok(devices.is_some())
}

/// Ends all links of a person.
///
/// # Errors
/// As [`end_link`].
pub async fn end_links(person: PersonId, ends: &Ends, store: &dyn Store) -> Result<(), StoreError> {
    let owner = LinkOwner::Person(person);
    for link in store.own_links_of(owner).await? {
        end_link(owner, link.id, ends, store).await?;
    }
    Ok(())
}
