//! Signing a browser in and out.

use axum::Json;
use axum::http::HeaderMap;
use axum_extra::extract::cookie::CookieJar;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use samebreath_store::sign_ins::Which;

use crate::access::staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::Reply;
use crate::http::audit::Acting;

/// An answer that signs a browser in.
pub(super) type LetIn<T> = Reply<(CookieJar, Json<T>)>;

/// Signs in in this browser. Whoever was signed in there before is signed out, with the desks that they opened.
/// `password` is the hash of the password that was checked or set.
pub(super) async fn let_in(
    app: &App,
    (id, password): (AccountId, Option<&str>),
    acting: &Acting,
    headers: &HeaderMap,
    jar: CookieJar,
) -> Reply<CookieJar> {
    let_in_by((id, password, app.clock.now()), app, acting, headers, jar).await
}

/// As [`let_in`], by a proof of another time.
pub(super) async fn let_in_by(
    who: (AccountId, Option<&str>, EpochMs),
    app: &App,
    acting: &Acting,
    headers: &HeaderMap,
    jar: CookieJar,
) -> Reply<CookieJar> {
    let (id, ..) = who;
    acting.is(id);
    end_here(app, headers).await?;
    let cookie = staff::sign_in(who, headers, &app.site, &*app.store, app.clock.now()).await?;
    let cookie = cookie.ok_or(Failure::WrongSignIn)?;
    tracing::info!(account.id = %id.0, "signed in");
    Ok(jar.add(cookie))
}

/// Signs out whoever is signed in in this browser, also if that was long ago.
pub(super) async fn end_here(app: &App, headers: &HeaderMap) -> Reply<Option<AccountId>> {
    let Some(here) = staff::whose(headers, &app.site, &*app.store).await? else { return Ok(None) };
    end(app, here.account, Which::One(here.id)).await?;
    Ok(Some(here.account))
}

/// Signs an account out of some browsers, and ends the sockets of the desks that they opened.
pub(super) async fn end(app: &App, id: AccountId, which: Which) -> Reply<()> {
    for ended in app.store.sign_out(id, which).await? {
        tracing::info!(account.id = %id.0, "signed out");
        app.ends.end(ended);
    }
    Ok(())
}
