//! Passkeys: how staff make them, and sign in or prove themselves with them.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::{HeaderMap, header};
use axum::routing::{delete, get, post};
use axum::{Extension, Json, Router};
use axum_extra::extract::cookie::CookieJar;
use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use rand::RngExt as _;
use samebreath_core::staff::account::AccountId;
use samebreath_core::text::name;
use samebreath_store::passkeys::KeptPasskey;
use samebreath_wire::staff::{MakePasskey, PasskeyAsks, PasskeyCard, PasskeySignIn, UsePasskey};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use uuid::Uuid;
use webauthn_rs::Webauthn;
use webauthn_rs::prelude::Passkey;

use crate::access::caller::Caller;
use crate::access::ceremonies::Ceremony;
use crate::access::passkeys;
use crate::access::staff::{self, Staff};
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::audit::Acting;
use crate::http::body::JsonBody;
use crate::http::let_in::{LetIn, let_in};
use crate::http::staff::called;

/// The most passkeys of an account.
const MOST_PASSKEYS: usize = 20;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/staff/passkeys", get(of_account).post(begin))
        .route("/api/staff/passkeys/made", post(made))
        .route("/api/staff/passkeys/{key}", delete(remove))
        .route("/api/staff/passkey-sign-in", post(begin_sign_in))
        .route("/api/staff/passkey-sign-in/answer", post(sign_in))
}

fn site(headers: &HeaderMap) -> Reply<Webauthn> {
    let origin = headers.get(header::ORIGIN).and_then(|origin| origin.to_str().ok()).unwrap_or_default();
    passkeys::for_site(origin).map_err(Failure::Body)
}

fn read(kept: &[KeptPasskey]) -> Vec<Passkey> {
    kept.iter().filter_map(|one| serde_json::from_str(&one.content).ok()).collect()
}

fn asks(id: Uuid, options: &impl serde::Serialize) -> Reply<Json<PasskeyAsks>> {
    let options = serde_json::to_value(options).map_err(|error| Failure::Body(error.to_string()))?;
    Ok(Json(PasskeyAsks { id, options: options["publicKey"].clone() }))
}

async fn of_account(staff: Staff, State(app): Shared) -> Reply<Json<Vec<PasskeyCard>>> {
    let kept = app.store.passkeys_of(staff.id()).await?;
    let card = |KeptPasskey { id, name, created_at, used_at, .. }: KeptPasskey| PasskeyCard {
        id,
        name,
        created_at,
        used_at,
    };
    Ok(Json(kept.into_iter().map(card).collect()))
}

/// Asks a device for a new key.
async fn begin(staff: Staff, State(app): Shared, headers: HeaderMap) -> Reply<Json<PasskeyAsks>> {
    if staff.kept.password.is_none() {
        return Err(Failure::Forbidden);
    }
    let kept = app.store.passkeys_of(staff.id()).await?;
    if kept.len() >= MOST_PASSKEYS {
        return Err(Failure::Body(format!("there are {MOST_PASSKEYS} passkeys already; remove one first")));
    }
    let account = staff.account();
    let known = read(&kept).iter().map(|passkey| passkey.cred_id().clone()).collect();
    let (options, state) = site(&headers)?
        .start_passkey_registration(
            staff.id().0,
            account.sign_in.as_str(),
            account.name.as_str(),
            Some(known),
        )
        .map_err(refused)?;
    let id = app.ceremonies.begin(Ceremony::Make(staff.id(), Box::new(state)), app.clock.now());
    asks(id, &options)
}

/// A device has made a key.
async fn made(
    staff: Staff,
    State(app): Shared,
    headers: HeaderMap,
    JsonBody(MakePasskey { id, name, answer }): JsonBody<MakePasskey>,
) -> Reply<Json<()>> {
    let Some(Ceremony::Make(account, state)) = app.ceremonies.take(id, app.clock.now()) else {
        return Err(Failure::DeadLink);
    };
    if account != staff.id() {
        return Err(Failure::Forbidden);
    }
    let answer =
        serde_json::from_value(answer).map_err(|error| Failure::Body(format!("`answer`: {error}")))?;
    let passkey = site(&headers)?.finish_passkey_registration(&answer, &state).map_err(refused)?;
    let content = serde_json::to_string(&passkey).map_err(|error| Failure::Body(error.to_string()))?;
    let (id, created_at) = (id_of(&passkey), app.clock.now());
    let kept = KeptPasskey { id, name, content, created_at, used_at: None };
    if !app.store.add_passkey(account, &kept).await? {
        return Err(Failure::Body("this passkey is known already".to_owned()));
    }
    Ok(Json(()))
}

async fn remove(staff: Staff, State(app): Shared, Path(key): Path<String>) -> Reply<Json<()>> {
    let was_there = app.store.remove_passkey(staff.id(), &key).await?;
    was_there.then_some(Json(())).ok_or(Failure::NotFound)
}

/// Asks for a passkey of whoever signs in with this name. A name that nobody has, or an account without a passkey, gets a
/// question of the same form, which no device can answer: nobody learns who has an account.
async fn begin_sign_in(
    State(app): Shared,
    caller: Caller,
    headers: HeaderMap,
    JsonBody(PasskeySignIn { name }): JsonBody<PasskeySignIn>,
) -> Reply<Json<PasskeyAsks>> {
    let site = site(&headers)?;
    let found = called(&app, caller, &name).await?;
    let kept = match &found {
        Some(account) => app.store.passkeys_of(account.id).await?,
        None => Vec::new(),
    };
    let known = read(&kept);
    match (found, known.is_empty()) {
        (Some(account), false) => {
            let (options, state) = site.start_passkey_authentication(&known).map_err(refused)?;
            let id = app.ceremonies.begin(Ceremony::Use(account.id, Box::new(state)), app.clock.now());
            asks(id, &options)
        }
        _ => Ok(Json(unanswerable(&app, &site, &name::folded(name.as_str())))),
    }
}

/// A question about a key that nobody has. The same name gets the same key, as a real one would.
fn unanswerable(app: &App, site: &Webauthn, folded: &str) -> PasskeyAsks {
    let host = site.get_allowed_origins().first().and_then(|url| url.host_str()).unwrap_or_default();
    let mut hash = Sha256::new();
    hash.update(app.nobodys_key);
    hash.update(folded.as_bytes());
    let challenge: [u8; 32] = rand::rng().random();
    let options = json!({
        "challenge": base64(&challenge), "timeout": 300_000, "rpId": host, "userVerification": "required",
        "allowCredentials": [{ "type": "public-key", "id": base64(&hash.finalize()) }],
    });
    PasskeyAsks { id: Uuid::new_v4(), options }
}

/// Signs in by a passkey. Whoever is signed in here already has proved again who they are.
async fn sign_in(
    State(app): Shared,
    caller: Caller,
    Extension(acting): Extension<Acting>,
    headers: HeaderMap,
    jar: CookieJar,
    JsonBody(UsePasskey { id, answer }): JsonBody<UsePasskey>,
) -> LetIn<()> {
    let now = app.clock.now();
    let used = use_passkey(&app, &headers, id, answer).await;
    let (account, content, key) = match used {
        Ok(used) => used,
        Err(failure) => {
            tracing::info!(caller = %caller.0, "a passkey was refused");
            app.limits.count_wrong(caller).await?;
            return Err(failure);
        }
    };
    let kept = app.store.account(account).await?.filter(|kept| kept.ended_at.is_none());
    let kept = kept.ok_or(Failure::WrongSignIn)?;
    app.store.note_passkey(&key, &content, now).await?;
    let here = staff::find(&headers, (&app.site, app.is_trial), &*app.store, now).await?;
    if let Some(here) = here.filter(|here| here.id() == account) {
        acting.is(account);
        app.store.note_signed_in(here.here.id, now, now).await?;
        return Ok((jar, Json(())));
    }
    Ok((let_in(&app, (account, kept.password.as_deref()), &acting, &headers, jar).await?, Json(())))
}

/// The account whose passkey it is, and what is known of the passkey now.
async fn use_passkey(
    app: &App,
    headers: &HeaderMap,
    id: Uuid,
    answer: Value,
) -> Reply<(AccountId, String, String)> {
    let Some(Ceremony::Use(account, state)) = app.ceremonies.take(id, app.clock.now()) else {
        return Err(Failure::WrongSignIn);
    };
    let answer = serde_json::from_value(answer).map_err(|_| Failure::WrongSignIn)?;
    let result = site(headers)?.finish_passkey_authentication(&answer, &state).map_err(|error| {
        tracing::info!(%error, "a passkey's answer was wrong");
        Failure::WrongSignIn
    })?;
    // It may have been removed since the question was asked.
    let kept = read(&app.store.passkeys_of(account).await?);
    let mut known =
        kept.into_iter().find(|one| one.cred_id() == result.cred_id()).ok_or(Failure::WrongSignIn)?;
    known.update_credential(&result);
    let content = serde_json::to_string(&known).map_err(|error| Failure::Body(error.to_string()))?;
    Ok((account, content, id_of(&known)))
}

fn id_of(passkey: &Passkey) -> String {
    base64(passkey.cred_id())
}

fn base64(bytes: &[u8]) -> String {
    URL_SAFE_NO_PAD.encode(bytes)
}

fn refused(error: webauthn_rs::prelude::WebauthnError) -> Failure {
    Failure::Body(format!("the device's answer was refused: {error}"))
}
