//! Signing in, and what staff do with their own account.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::{HeaderMap, HeaderName};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use axum_extra::extract::cookie::CookieJar;
use samebreath_core::staff::account::{Account, AccountId, SignInName, StaffRole};
use samebreath_core::text::name;
use samebreath_store::accounts::{KeptAccount, SecondFactor};
use samebreath_store::identities::KeptIdentity;
use samebreath_store::sign_ins::{AccountLink, Which};
use samebreath_wire::PassRequest;
use samebreath_wire::staff::{
    Again, Browser, ChangePassword, FirstAccount, IdentityCard, LinkIs, LinkToken, Me, NewSecond,
    PasswordByLink, Recover, RecoveryCodes, SignIn, SignInAnswer, TurnOnSecond,
};
use uuid::Uuid;

use crate::access::caller::Caller;
use crate::access::staff::{self, Staff};
use crate::access::{password, second, token};
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::audit::Acting;
use crate::http::body::JsonBody;
use crate::http::let_in::{LetIn, end, end_here, let_in};

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/staff/link", post(link))
        .route("/api/staff/first", post(first))
        .route("/api/staff/password-by-link", post(password_by_link))
        .route("/api/staff/open", post(open))
        .route("/api/staff/sign-in", post(sign_in))
        .route("/api/staff/recover", post(recover))
        .route("/api/staff/me", get(me))
        .route("/api/staff/again", post(again))
        .route("/api/staff/sign-out", post(sign_out))
        .route("/api/staff/sign-out-others", post(sign_out_others))
        .route("/api/staff/sign-out/{id}", post(sign_out_one))
        .route("/api/staff/password", post(change_password))
        .route("/api/staff/codes", post(new_codes))
        .route("/api/staff/second", post(new_second).put(turn_on_second).delete(turn_off_second))
}

/// Hashes a new password, if it is good enough.
async fn hashed(app: &App, account: &Account, has_second: bool, password: String) -> Reply<String> {
    let about = [account.name.as_str(), account.sign_in.as_str()];
    password::check(&password, has_second, &about).map_err(Failure::Body)?;
    Ok(app.hashing.hash(password).await?)
}

/// New recovery codes in the place of all earlier ones.
async fn codes_for(app: &App, id: AccountId) -> Reply<RecoveryCodes> {
    let codes = password::new_codes();
    let hashes = app.hashing.hash_codes(id, codes.clone()).await?;
    app.store.set_codes(id, &hashes).await?;
    Ok(RecoveryCodes { codes: codes.iter().map(|code| password::grouped(code)).collect() })
}

/// What a link is for, so that the page can ask for the right things.
async fn link(
    State(app): Shared,
    caller: Caller,
    JsonBody(LinkToken { token }): JsonBody<LinkToken>,
) -> Reply<Json<LinkIs>> {
    let found = app.store.account_link(&token::hash(&token), Uuid::nil(), app.clock.now()).await?;
    Ok(Json(match found {
        Some(AccountLink::First) => LinkIs::First,
        Some(AccountLink::Password(id)) => {
            let Account { name, sign_in, .. } = account(&app, id).await?.account;
            LinkIs::Password { name, sign_in }
        }
        Some(AccountLink::Opens(_)) if app.is_trial => LinkIs::Opens,
        Some(AccountLink::Opens(_)) | None => {
            app.limits.count_wrong(caller).await?;
            return Err(Failure::DeadLink);
        }
    }))
}

async fn account(app: &App, id: AccountId) -> Reply<KeptAccount> {
    let account = app.store.account(id).await?.filter(|account| account.ended_at.is_none());
    account.ok_or(Failure::DeadLink)
}

/// Makes the first account, which is a coordinator's.
async fn first(
    State(app): Shared,
    caller: Caller,
    Extension(acting): Extension<Acting>,
    headers: HeaderMap,
    jar: CookieJar,
    JsonBody(new): JsonBody<FirstAccount>,
) -> LetIn<RecoveryCodes> {
    let FirstAccount { token, name, sign_in, clinician, password, request } = new;
    let account = Account { name, sign_in, role: StaffRole::Coordinator, clinician };
    account.check().map_err(Failure::Body)?;
    let (now, id) = (app.clock.now(), AccountId(request));
    let hash = hashed(&app, &account, false, password).await?;
    let password = Some(hash.clone());
    let new =
        KeptAccount { id, version: 1, account, password, second: None, created_at: now, ended_at: None };
    if !app.store.add_first_account(&new, &token::hash(&token), request, now).await? {
        app.limits.count_wrong(caller).await?;
        return Err(Failure::DeadLink);
    }
    // The same request may come again with another password.
    app.store.set_password(id, &hash).await?;
    let codes = codes_for(&app, id).await?;
    Ok((let_in(&app, (id, Some(&hash)), &acting, &headers, jar).await?, Json(codes)))
}

/// Chooses a password by a link. Whoever was signed in with the account is signed out everywhere.
async fn password_by_link(
    State(app): Shared,
    caller: Caller,
    Extension(acting): Extension<Acting>,
    headers: HeaderMap,
    jar: CookieJar,
    JsonBody(PasswordByLink { token, password, request }): JsonBody<PasswordByLink>,
) -> LetIn<RecoveryCodes> {
    let (hash, now) = (token::hash(&token), app.clock.now());
    // The password is checked first, so that one that is refused does not use the link up.
    let Some(AccountLink::Password(id)) = app.store.account_link(&hash, request, now).await? else {
        app.limits.count_wrong(caller).await?;
        return Err(Failure::DeadLink);
    };
    let known = account(&app, id).await?.account;
    let hashed = hashed(&app, &known, false, password).await?;
    app.store.use_account_link(&hash, request, now).await?.ok_or(Failure::DeadLink)?;
    reset(&app, id, &hashed).await?;
    let codes = codes_for(&app, id).await?;
    Ok((let_in(&app, (id, Some(&hashed)), &acting, &headers, jar).await?, Json(codes)))
}

/// Gives an account a new password and no other way in, and signs it out everywhere.
async fn reset(app: &App, id: AccountId, hash: &str) -> Reply<()> {
    app.store.set_password(id, hash).await?;
    app.store.set_second(id, None).await?;
    app.store.remove_passkeys(id).await?;
    app.store.unlink_identity(id).await?;
    end(app, id, Which::All).await
}

/// Opens the trial account.
async fn open(
    State(app): Shared,
    caller: Caller,
    Extension(acting): Extension<Acting>,
    headers: HeaderMap,
    jar: CookieJar,
    JsonBody(PassRequest { token, request }): JsonBody<PassRequest>,
) -> LetIn<()> {
    let used = app.store.use_account_link(&token::hash(&token), request, app.clock.now()).await?;
    match used {
        Some(AccountLink::Opens(id)) if app.is_trial => {
            Ok((let_in(&app, (id, None), &acting, &headers, jar).await?, Json(())))
        }
        _ => {
            app.limits.count_wrong(caller).await?;
            Err(Failure::DeadLink)
        }
    }
}

/// The account that signs in by a name, if there is one. Each try counts.
pub(super) async fn called(app: &App, caller: Caller, name: &SignInName) -> Reply<Option<KeptAccount>> {
    let folded = name::folded(name.as_str());
    app.limits.count_sign_in(caller, &folded)?;
    Ok(app.store.account_called(&folded).await?.filter(|account| account.ended_at.is_none()))
}

async fn sign_in(
    State(app): Shared,
    caller: Caller,
    Extension(acting): Extension<Acting>,
    headers: HeaderMap,
    jar: CookieJar,
    JsonBody(SignIn { name, password, code }): JsonBody<SignIn>,
) -> LetIn<SignInAnswer> {
    let found = called(&app, caller, &name).await?;
    let hash = found.as_ref().and_then(|account| account.password.clone());
    let is_right = app.hashing.is(password.clone(), hash).await?;
    let Some(KeptAccount { id, password: hash, second, .. }) = found.filter(|_| is_right) else {
        tracing::info!(caller = %caller.0, "a sign-in was refused");
        return Err(Failure::WrongSignIn);
    };
    if let Some(SecondFactor { secret, .. }) = second {
        let Some(code) = code else { return Ok((jar, Json(SignInAnswer::NeedsCode))) };
        let step = second::step(&secret, &code, app.clock.now()).ok_or(Failure::WrongSignIn)?;
        if !app.store.use_step(id, step).await? {
            return Err(Failure::WrongSignIn);
        }
    }
    let jar = let_in(&app, (id, hash.as_deref()), &acting, &headers, jar).await?;
    if hash.is_some_and(|hash| password::is_old(&hash)) {
        app.store.set_password(id, &app.hashing.hash(password).await?).await?;
    }
    Ok((jar, Json(SignInAnswer::In)))
}

/// Chooses a new password by a recovery code.
async fn recover(
    State(app): Shared,
    caller: Caller,
    Extension(acting): Extension<Acting>,
    headers: HeaderMap,
    jar: CookieJar,
    JsonBody(Recover { name, code, password }): JsonBody<Recover>,
) -> LetIn<()> {
    let found = called(&app, caller, &name).await?;
    // It is compared with the name that was typed, so nobody learns from a refusal whether the account exists.
    password::check(&password, false, &[name.as_str()]).map_err(Failure::Body)?;
    let id = found.map_or(AccountId(Uuid::nil()), |found| found.id);
    let typed = token::read_long(&code);
    let hashes = app.hashing.hash_codes(id, vec![typed]).await?;
    let hash = app.hashing.hash(password).await?;
    if !app.store.use_code(id, &hashes.concat()).await? {
        tracing::info!(caller = %caller.0, "a recovery code was refused");
        return Err(Failure::WrongSignIn);
    }
    reset(&app, id, &hash).await?;
    Ok((let_in(&app, (id, Some(&hash)), &acting, &headers, jar).await?, Json(())))
}

async fn me(staff: Staff, State(app): Shared) -> Reply<Json<Me>> {
    let id = staff.id();
    let signed_in = app.store.signed_in_of(id).await?;
    let identity = app.store.identity_of(id).await?;
    let browser = |one: samebreath_store::sign_ins::SignedIn| Browser {
        id: one.id,
        this: one.id == staff.here.id,
        device: one.device,
        created_at: one.created_at,
        seen_at: one.seen_at,
    };
    Ok(Json(Me {
        id,
        account: staff.account().clone(),
        mails: app.mail.is_some(),
        provider: app.provider.as_ref().map(|provider| provider.name().to_owned()),
        identity: identity.map(|KeptIdentity { linked_at, used_at, .. }| IdentityCard { linked_at, used_at }),
        has_password: staff.kept.password.is_some(),
        has_second: staff.kept.second.is_some(),
        codes_left: app.store.codes_left(id).await?,
        signed_in: signed_in.into_iter().map(browser).collect(),
    }))
}

/// Checks the password of whoever is signed in. Tries count as tries to sign in do.
async fn prove(app: &App, staff: &Staff, caller: Caller, password: String) -> Reply<()> {
    app.limits.count_sign_in(caller, &staff.account().folded())?;
    if !app.hashing.is(password, staff.kept.password.clone()).await? {
        return Err(Failure::WrongSignIn);
    }
    let now = app.clock.now();
    Ok(app.store.note_signed_in(staff.here.id, now, now).await?)
}

async fn again(
    staff: Staff,
    State(app): Shared,
    caller: Caller,
    JsonBody(Again { password }): JsonBody<Again>,
) -> Reply<()> {
    prove(&app, &staff, caller, password).await
}

/// Tells the browser to forget what pages of this site stored in it.
const CLEAR: [(HeaderName, &str); 1] = [(HeaderName::from_static("clear-site-data"), "\"storage\"")];

async fn sign_out(
    State(app): Shared,
    Extension(acting): Extension<Acting>,
    headers: HeaderMap,
    jar: CookieJar,
) -> Reply<(CookieJar, [(HeaderName, &'static str); 1])> {
    if let Some(id) = end_here(&app, &headers).await? {
        acting.is(id);
    }
    Ok((jar.remove(staff::removal(&app.site)), CLEAR))
}

async fn sign_out_others(staff: Staff, State(app): Shared) -> Reply<()> {
    end(&app, staff.id(), Which::Others(staff.here.id)).await
}

/// Signs one browser of one's own out.
async fn sign_out_one(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<()> {
    end(&app, staff.id(), Which::One(id)).await
}

/// Changes the password. All other browsers are signed out.
async fn change_password(
    staff: Staff,
    State(app): Shared,
    caller: Caller,
    JsonBody(ChangePassword { from, to }): JsonBody<ChangePassword>,
) -> Reply<()> {
    prove(&app, &staff, caller, from).await?;
    let hash = hashed(&app, staff.account(), staff.kept.second.is_some(), to).await?;
    app.store.set_password(staff.id(), &hash).await?;
    end(&app, staff.id(), Which::Others(staff.here.id)).await
}

async fn new_codes(staff: Staff, State(app): Shared) -> Reply<Json<RecoveryCodes>> {
    needs_password(&staff)?;
    Ok(Json(codes_for(&app, staff.id()).await?))
}

/// The trial account has no password, and is let in by nothing else either.
fn needs_password(staff: &Staff) -> Reply<()> {
    staff.kept.password.as_ref().map(drop).ok_or(Failure::Forbidden)
}

/// A secret that counts only once a code of it was typed; nothing is kept of it until then.
async fn new_second(staff: Staff) -> Reply<Json<NewSecond>> {
    let secret = second::new_secret();
    let address = second::address(&secret, staff.account().sign_in.as_str());
    Ok(Json(NewSecond { address: address.unwrap_or_default(), secret }))
}

async fn turn_on_second(
    staff: Staff,
    State(app): Shared,
    JsonBody(TurnOnSecond { secret, code }): JsonBody<TurnOnSecond>,
) -> Reply<()> {
    needs_password(&staff)?;
    let wrong =
        || Failure::Body("this is not the code that the app shows now; wait for the next one".to_owned());
    let used = second::step(&secret, &code, app.clock.now()).ok_or_else(wrong)?;
    app.store.set_second(staff.id(), Some(&SecondFactor { secret, used })).await?;
    end(&app, staff.id(), Which::Others(staff.here.id)).await
}

/// Turns the second factor off. A password that is too short without it must be changed first.
async fn turn_off_second(
    staff: Staff,
    State(app): Shared,
    caller: Caller,
    JsonBody(Again { password }): JsonBody<Again>,
) -> Reply<()> {
    prove(&app, &staff, caller, password.clone()).await?;
    let account = staff.account();
    let about = [account.name.as_str(), account.sign_in.as_str()];
    let too_weak = |why| Failure::Body(format!("choose a longer password first: {why}"));
    password::check(&password, false, &about).map_err(too_weak)?;
    app.store.set_second(staff.id(), None).await?;
    end(&app, staff.id(), Which::Others(staff.here.id)).await
}
