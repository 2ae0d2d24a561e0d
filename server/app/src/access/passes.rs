//! Which stays a browser has: its cookies, and the links that set them.

use std::fmt;
use std::str::FromStr;

use axum::http::HeaderMap;
use axum_extra::extract::cookie::{Cookie, CookieJar, SameSite};
use samebreath_core::live::{DeskRole, SeatId};
use samebreath_core::time::EpochMs;
use samebreath_store::ledger::SessionId;
use samebreath_store::passes::{Pass, Role, Use};
use samebreath_store::{Store, StoreError};
use serde::Deserialize;
use uuid::Uuid;

use crate::access::token;
use crate::settings::Site;

/// How long a browser keeps its stay: 60 days. A class is over in an hour, but following up on it may take weeks.
const COOKIE_MS: i64 = 60 * 24 * 3_600_000;

/// How long a browser keeps a cookie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// As long as stays are kept.
    Usual,
    /// So many milliseconds.
    For(i64),
    /// Until it is closed: several people use it.
    UntilClosed,
}

impl Kept {
    fn for_ms(self) -> Option<i64> {
        match self {
            Self::Usual => Some(COOKIE_MS),
            Self::For(ms) => Some(ms),
            Self::UntilClosed => None,
        }
    }
}

/// A browser's place in one session: which session, and in which role. It is in the address of every page, socket
/// and request, and each stay has its own cookie, so that nothing from one class or person ever reaches another.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Deserialize)]
#[serde(try_from = "String")]
pub struct Stay {
    /// The session.
    pub session: SessionId,
    /// The role.
    pub role: Role,
}

impl Stay {
    /// The stay that a pass opens.
    pub fn of(pass: &Pass) -> Self {
        Self { session: pass.session, role: pass.role.clone() }
    }

    /// The name of the stay's cookie.
    fn cookie(&self, site: &Site) -> String {
        format!("{}{self}", site.cookie_prefix())
    }
}

impl fmt::Display for Stay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.", self.session.0.simple())?;
        match &self.role {
            Role::Desk(DeskRole::Facilitator) => f.write_str("facilitator"),
            Role::Desk(DeskRole::Helper) => f.write_str("helper"),
            Role::Wall => f.write_str("wall"),
            Role::Seat(seat) => write!(f, "{}", seat.0),
        }
    }
}

/// An address that names no place in a session.
#[derive(Debug, thiserror::Error)]
#[error("this is not the address of a place in a class; use your link or join with the code")]
pub struct NoStay;

impl FromStr for Stay {
    type Err = NoStay;

    fn from_str(text: &str) -> Result<Self, NoStay> {
        let (session, who) = text.split_once('.').ok_or(NoStay)?;
        let session = SessionId(Uuid::try_parse(session).map_err(|_| NoStay)?);
        let role = match who {
            "facilitator" => Role::Desk(DeskRole::Facilitator),
            "helper" => Role::Desk(DeskRole::Helper),
            "wall" => Role::Wall,
            seat => Role::Seat(SeatId(seat.parse().map_err(|_| NoStay)?)),
        };
        Ok(Self { session, role })
    }
}

impl TryFrom<String> for Stay {
    type Error = NoStay;

    fn try_from(text: String) -> Result<Self, NoStay> {
        text.parse()
    }
}

/// The pass that this request has for `stay`.
///
/// # Errors
/// When the store cannot answer.
pub async fn pass_for(
    headers: &HeaderMap,
    stay: &Stay,
    site: &Site,
    store: &dyn Store,
    now: EpochMs,
) -> Result<Option<Pass>, StoreError> {
    let jar = CookieJar::from_headers(headers);
    let Some(cookie) = jar.get(&stay.cookie(site)) else { return Ok(None) };
    let pass = store.pass(&token::hash(cookie.value()), now).await?;
    Ok(pass.filter(|pass| Stay::of(pass) == *stay))
}

/// The most stays that are looked up for one request. Browsers keep about this many cookies of one site.
const MOST_STAYS: usize = 50;

/// Every stay for which this browser has a pass.
///
/// # Errors
/// When the store cannot answer.
pub async fn stays(
    headers: &HeaderMap,
    site: &Site,
    store: &dyn Store,
    now: EpochMs,
) -> Result<Vec<Stay>, StoreError> {
    let jar = CookieJar::from_headers(headers);
    let prefix = site.cookie_prefix();
    let mut stays = Vec::new();
    for cookie in jar.iter().take(MOST_STAYS) {
        let named = cookie.name().strip_prefix(&*prefix).and_then(|name| name.parse::<Stay>().ok());
        let Some(named) = named else { continue };
        let pass = store.pass(&token::hash(cookie.value()), now).await?;
        stays.extend(pass.map(|pass| Stay::of(&pass)).filter(|stay| *stay == named));
    }
    Ok(stays)
}

/// Gives a browser its own pass, as a cookie that scripts cannot read.
///
/// # Errors
/// When the store cannot keep it.
pub async fn give_cookie(
    pass: Pass,
    kept: Kept,
    site: &Site,
    store: &dyn Store,
    now: EpochMs,
) -> Result<Cookie<'static>, StoreError> {
    let token = token::new_token();
    let name = Stay::of(&pass).cookie(site);
    store.add_pass(&token::hash(&token), pass, Use::Always, now.plus(COOKIE_MS)).await?;
    Ok(cookie(name, token, site, kept))
}

/// A cookie that scripts cannot read.
pub fn cookie(name: String, token: String, site: &Site, kept: Kept) -> Cookie<'static> {
    let mut cookie = Cookie::build((name, token))
        .path("/")
        .http_only(true)
        .secure(site.is_secure())
        .same_site(SameSite::Lax)
        .build();
    if let Some(for_ms) = kept.for_ms() {
        cookie.set_max_age(time::Duration::milliseconds(for_ms));
    }
    cookie
}

/// The cookie of this name that a browser is to forget. Browsers listen to a secure one only.
pub fn removal(name: String, site: &Site) -> Cookie<'static> {
    Cookie::build((name, "")).path("/").secure(site.is_secure()).build()
}

/// The cookies of the passes that `via` gave this browser.
///
/// # Errors
/// When the store cannot answer.
pub async fn cookies_via(
    headers: &HeaderMap,
    via: Uuid,
    site: &Site,
    store: &dyn Store,
    now: EpochMs,
) -> Result<Vec<Cookie<'static>>, StoreError> {
    let jar = CookieJar::from_headers(headers);
    let prefix = site.cookie_prefix();
    let mut cookies = Vec::new();
    for cookie in jar.iter().filter(|cookie| cookie.name().starts_with(&*prefix)).take(MOST_STAYS) {
        let pass = store.pass(&token::hash(cookie.value()), now).await?;
        if pass.is_some_and(|pass| pass.via == Some(via)) {
            cookies.push(removal(cookie.name().to_owned(), site));
        }
    }
    Ok(cookies)
}

/// Makes a link's token for `pass`.
///
/// # Errors
/// When the store cannot keep it.
pub async fn give_link(
    pass: Pass,
    use_: Use,
    store: &dyn Store,
    expires_at: EpochMs,
) -> Result<String, StoreError> {
    let token = token::new_token();
    store.add_pass(&token::hash(&token), pass, use_, expires_at).await?;
    Ok(token)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_in_a_session_has_one_name() {
        let session = SessionId(Uuid::from_u128(7));
        for role in [
            Role::Desk(DeskRole::Facilitator),
            Role::Desk(DeskRole::Helper),
            Role::Wall,
            Role::Seat(SeatId(12)),
        ] {
            let stay = Stay { session, role };
            assert_eq!(stay.to_string().parse::<Stay>().ok(), Some(stay));
        }
        for wrong in ["", "7.wall", "00000000000000000000000000000007", "00000000000000000000000000000007.-1"]
        {
            assert!(wrong.parse::<Stay>().is_err(), "{wrong}");
        }
    }
}
