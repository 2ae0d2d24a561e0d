//! The accounts of all staff, which coordinators make, change and end.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::routing::{get, post, put};
use axum::{Json, Router};
use samebreath_core::staff::account::{Account, AccountId};
use samebreath_store::accounts::{Kept, KeptAccount};
use samebreath_store::sign_ins::{AccountLink, Which};
use samebreath_wire::staff::{AccountCard, AccountInvitation, ChangeAccount, Colleague, NewAccount};
use uuid::Uuid;

use crate::access::staff::{self, ACCOUNT_LINK_MS};
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::let_in::end;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/colleagues", get(colleagues))
        .route("/api/accounts", get(accounts).post(new_account))
        .route("/api/accounts/{id}", put(change).delete(end_account))
        .route("/api/accounts/{id}/link", post(new_link))
}

fn card(kept: KeptAccount) -> AccountCard {
    AccountCard {
        id: kept.id,
        version: kept.version,
        account: kept.account,
        has_password: kept.password.is_some(),
        has_second: kept.second.is_some(),
        ended: kept.ended_at.is_some(),
    }
}

async fn accounts(State(app): Shared) -> Reply<Json<Vec<AccountCard>>> {
    Ok(Json(app.store.accounts().await?.into_iter().map(card).collect()))
}

/// The members of staff who are here, by name.
async fn colleagues(State(app): Shared) -> Reply<Json<Vec<Colleague>>> {
    let mut here = app.store.accounts().await?;
    here.retain(|kept| kept.ended_at.is_none());
    here.sort_by(|a, b| a.account.name.cmp(&b.account.name));
    Ok(Json(here.into_iter().map(|kept| Colleague { id: kept.id, name: kept.account.name }).collect()))
}

async fn stored(app: &App, id: Uuid) -> Reply<KeptAccount> {
    app.store.account(AccountId(id)).await?.ok_or(Failure::NotFound)
}

/// What became of a change, as an answer.
fn kept(what: Kept, account: &Account) -> Reply<()> {
    match what {
        Kept::Yes => Ok(()),
        Kept::Behind => Err(Failure::Behind),
        Kept::NameTaken => Err(Failure::Body(format!(
            "somebody else signs in as `{}`; choose another sign-in name",
            account.sign_in
        ))),
        Kept::LastCoordinator => Err(Failure::Body(
            "this is the only coordinator who can sign in; make somebody else a coordinator first".to_owned(),
        )),
    }
}

async fn new_account(
    State(app): Shared,
    JsonBody(NewAccount { account, request }): JsonBody<NewAccount>,
) -> Reply<Json<AccountCard>> {
    account.check().map_err(Failure::Body)?;
    // The same request, whose answer was lost.
    if let Some(made) = app.store.account(AccountId(request)).await? {
        return Ok(Json(card(made)));
    }
    let (id, created_at) = (AccountId(request), app.clock.now());
    let new =
        KeptAccount { id, version: 1, account, password: None, second: None, created_at, ended_at: None };
    kept(app.store.add_account(&new).await?, &new.account)?;
    Ok(Json(card(new)))
}

/// Changes an account. What it may do from now on holds for its next request.
async fn change(
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(ChangeAccount { after, account }): JsonBody<ChangeAccount>,
) -> Reply<Json<AccountCard>> {
    account.check().map_err(Failure::Body)?;
    let before = stored(&app, id).await?.account;
    kept(app.store.change_account(AccountId(id), after, &account).await?, &account)?;
    // A desk that was opened with other rights does not stay open.
    if (before.role, before.clinician.is_some()) != (account.role, account.clinician.is_some()) {
        end(&app, AccountId(id), Which::All).await?;
    }
    Ok(Json(card(stored(&app, id).await?)))
}

/// Ends an account and everything that it opened. Its name stays beside what it did.
async fn end_account(State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<AccountCard>> {
    let account = stored(&app, id).await?.account;
    kept(app.store.end_account(AccountId(id), app.clock.now()).await?, &account)?;
    end(&app, AccountId(id), Which::All).await?;
    Ok(Json(card(stored(&app, id).await?)))
}

/// A link with which the owner chooses a password: the first one, or a new one in the place of a forgotten one.
async fn new_link(State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<AccountInvitation>> {
    stored(&app, id).await?.ended_at.map_or(Ok(()), |_| Err(Failure::NotFound))?;
    if app.is_trial {
        return Err(Failure::Body(
            "this is a trial, in which nobody signs in; start the server with `serve`".to_owned(),
        ));
    }
    let expires_at = app.clock.now().plus(ACCOUNT_LINK_MS);
    let token = staff::give_link(AccountLink::Password(AccountId(id)), &*app.store, expires_at).await?;
    Ok(Json(AccountInvitation { link: format!("/sign-in#a.{token}") }))
}
