//! Who a request comes from: cookies, and the links that set them.

use axum::http::HeaderMap;
use axum_extra::extract::cookie::{Cookie, CookieJar, SameSite};
use samebreath_core::time::EpochMs;
use samebreath_store::sessions::{Pass, Role, Use};
use samebreath_store::{Sqlite, StoreError};

use crate::token;

/// How long a browser keeps its seat or desk: 180 days.
const COOKIE_MS: i64 = 180 * 24 * 3_600_000;

/// Which of a browser's cookies counts: the same browser may hold a desk and a seat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Door {
    /// The desks'.
    Desk,
    /// The participants'.
    Seat,
    /// The wall's.
    Wall,
}

impl Door {
    /// The door that a role goes through.
    pub fn of(role: &Role) -> Self {
        match role {
            Role::Desk(_) => Self::Desk,
            Role::Seat(_) => Self::Seat,
            Role::Wall => Self::Wall,
        }
    }

    /// The cookie's name. With https the browser itself enforces its path and security.
    fn cookie(self, secure: bool) -> &'static str {
        match (self, secure) {
            (Self::Desk, true) => "__Host-samebreath-desk",
            (Self::Seat, true) => "__Host-samebreath-seat",
            (Self::Wall, true) => "__Host-samebreath-wall",
            (Self::Desk, false) => "samebreath-desk",
            (Self::Seat, false) => "samebreath-seat",
            (Self::Wall, false) => "samebreath-wall",
        }
    }
}

/// The pass of this request at this door.
///
/// # Errors
/// When the store cannot answer.
pub async fn pass(
    headers: &HeaderMap,
    door: Door,
    secure: bool,
    store: &Sqlite,
    now: EpochMs,
) -> Result<Option<Pass>, StoreError> {
    let jar = CookieJar::from_headers(headers);
    let Some(cookie) = jar.get(door.cookie(secure)) else { return Ok(None) };
    let pass = store.pass(&token::hash(cookie.value()), now).await?;
    Ok(pass.filter(|pass| Door::of(&pass.role) == door))
}

/// Gives a browser its own pass, as a cookie that scripts cannot read.
///
/// # Errors
/// When the store cannot keep it.
pub async fn give_cookie(
    pass: Pass,
    secure: bool,
    store: &Sqlite,
    now: EpochMs,
) -> Result<Cookie<'static>, StoreError> {
    let token = token::new_token();
    let name = Door::of(&pass.role).cookie(secure);
    store.add_pass(&token::hash(&token), pass, Use::Always, now.plus(COOKIE_MS)).await?;
    Ok(cookie(name, token, secure))
}

/// A cookie that scripts cannot read.
fn cookie(name: &'static str, token: String, secure: bool) -> Cookie<'static> {
    Cookie::build((name, token))
        .path("/")
        .http_only(true)
        .secure(secure)
        .same_site(SameSite::Lax)
        .max_age(time::Duration::milliseconds(COOKIE_MS))
        .build()
}

/// Makes a link's token for `pass`.
///
/// # Errors
/// When the store cannot keep it.
pub async fn give_link(
    pass: Pass,
    use_: Use,
    store: &Sqlite,
    expires_at: EpochMs,
) -> Result<String, StoreError> {
    let token = token::new_token();
    store.add_pass(&token::hash(&token), pass, use_, expires_at).await?;
    Ok(token)
}

/// The planner's cookie. It opens no session.
fn planner_cookie(secure: bool) -> &'static str {
    if secure { "__Host-samebreath-planner" } else { "samebreath-planner" }
}

/// Whether this request comes from a browser that may plan.
///
/// # Errors
/// When the store cannot answer.
pub async fn may_plan(
    headers: &HeaderMap,
    secure: bool,
    store: &Sqlite,
    now: EpochMs,
) -> Result<bool, StoreError> {
    let jar = CookieJar::from_headers(headers);
    let Some(cookie) = jar.get(planner_cookie(secure)) else { return Ok(false) };
    store.has_planner_pass(&token::hash(cookie.value()), now).await
}

/// Gives a browser the planner's pass.
///
/// # Errors
/// When the store cannot keep it.
pub async fn give_planner_cookie(
    secure: bool,
    store: &Sqlite,
    now: EpochMs,
) -> Result<Cookie<'static>, StoreError> {
    let token = token::new_token();
    store.add_planner_pass(&token::hash(&token), Use::Always, now.plus(COOKIE_MS)).await?;
    Ok(cookie(planner_cookie(secure), token, secure))
}

/// Makes the token of a planner's link, which works once.
///
/// # Errors
/// When the store cannot keep it.
pub async fn give_planner_link(store: &Sqlite, expires_at: EpochMs) -> Result<String, StoreError> {
    let token = token::new_token();
    store.add_planner_pass(&token::hash(&token), Use::Once, expires_at).await?;
    Ok(token)
}
