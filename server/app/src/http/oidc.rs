//! Signing in by the organisation's own sign-in, and linking it with one's account.

use std::sync::Arc;
use std::time::Duration;

use axum::extract::State;
use axum::http::HeaderMap;
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use axum_extra::extract::cookie::CookieJar;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use samebreath_store::identities::Identity;
use samebreath_wire::staff::{AskProvider, FromProvider, ProviderAnswered, SignInWays};

use crate::access::caller::Caller;
use crate::access::ceremonies::Ceremony;
use crate::access::oidc::{NotVouched, Provider, Question, Vouched};
use crate::access::passes::{self, Kept};
use crate::access::staff::{self, Staff};
use crate::access::token;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::audit::Acting;
use crate::http::body::JsonBody;
use crate::http::let_in::{LetIn, let_in_by};
use crate::settings::Site;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/staff/ways", get(ways))
        .route("/api/staff/provider", post(begin_sign_in))
        .route("/api/staff/provider/answer", post(answer))
        .route("/api/staff/identity", post(begin_link).delete(unlink))
}

/// By what one can sign in here.
async fn ways(State(app): Shared) -> Json<SignInWays> {
    Json(SignInWays { provider: app.provider.as_ref().map(|provider| provider.name().to_owned()) })
}

fn provider(app: &App) -> Reply<&Provider> {
    app.provider.as_ref().ok_or(Failure::NotFound)
}

/// The name of the cookie of a browser whose owner is with the provider.
fn cookie_name(site: &Site) -> String {
    format!("{}asked", site.cookie_prefix())
}

async fn begin_sign_in(State(app): Shared, caller: Caller, jar: CookieJar) -> LetIn<AskProvider> {
    app.limits.count_provider(caller)?;
    begin(&app, None, jar).await
}

async fn begin_link(staff: Staff, State(app): Shared, jar: CookieJar) -> LetIn<AskProvider> {
    if staff.kept.password.is_none() {
        return Err(Failure::Forbidden);
    }
    begin(&app, Some(staff.id()), jar).await
}

/// Says where the browser must go. The answer is worth something only in this browser.
async fn begin(app: &App, links: Option<AccountId>, jar: CookieJar) -> LetIn<AskProvider> {
    let (provider, now) = (provider(app)?, app.clock.now());
    // One token for all tabs of a browser, so that each of them can bring its own answer.
    let cookie = jar.get(&cookie_name(&app.site));
    let browser = cookie.map_or_else(token::new_token, |cookie| cookie.value().to_owned());
    let question = Question::new(token::hash(&browser), links);
    let id = app.ceremonies.begin(Ceremony::Who(Box::new(question.clone())), now);
    let address = within(provider.address(id, &question))
        .await
        .map_err(|error| failure(provider, &error, links.is_some()))?;
    let cookie = passes::cookie(cookie_name(&app.site), browser, &app.site, Kept::UntilClosed);
    Ok((jar.add(cookie), Json(AskProvider { address: address.into() })))
}

/// How long the provider may take in all, which is shorter than a browser waits for us.
const ANSWERS_WITHIN: Duration = Duration::from_secs(6);

async fn within<T>(asked: impl Future<Output = Result<T, NotVouched>>) -> Result<T, NotVouched> {
    let answer = tokio::time::timeout(ANSWERS_WITHIN, asked).await;
    answer.unwrap_or_else(|_| Err(NotVouched::Silent("it takes too long".to_owned())))
}

/// What the browser is told. The log has the details.
fn failure(provider: &Provider, error: &NotVouched, links: bool) -> Failure {
    tracing::warn!(error = error as &dyn std::error::Error, "the provider vouches for nobody");
    let what = match error {
        NotVouched::Silent(_) => "does not answer at the moment",
        NotVouched::Wrong(_) => "did not give a valid answer",
    };
    let then = if links {
        "your account is as it was; begin again under Your account, now or later"
    } else {
        "begin again, or use your name and password here"
    };
    Failure::Provider(format!("{} {what}; {then}", provider.name()))
}

/// Somebody comes back from the provider.
async fn answer(
    State(app): Shared,
    caller: Caller,
    Extension(acting): Extension<Acting>,
    headers: HeaderMap,
    jar: CookieJar,
    JsonBody(from): JsonBody<FromProvider>,
) -> LetIn<ProviderAnswered> {
    let provider = provider(&app)?;
    let now = app.clock.now();
    let here = jar.get(&cookie_name(&app.site)).map(|cookie| token::hash(cookie.value()));
    let asked = app.ceremonies.take(from.state, now);
    let question = match asked {
        Some(Ceremony::Who(question)) if here.as_ref() == Some(&question.browser) => question,
        _ => {
            app.limits.count_wrong(caller).await?;
            return Err(failure(provider, &NotVouched::Wrong("nobody here asked for it".to_owned()), false));
        }
    };
    let Some(code) = from.code else {
        let why = from.error.unwrap_or_default();
        tracing::info!(why, "the provider let nobody in");
        return Err(Failure::Provider(format!(
            "{} did not let you in; begin again, or use your name and password here",
            provider.name()
        )));
    };
    let vouched = within(provider.vouch(&question, code, from.iss.as_deref(), now)).await;
    let vouched = match vouched {
        Ok(vouched) => vouched,
        Err(error) => {
            app.limits.count_wrong(caller).await?;
            return Err(failure(provider, &error, question.links.is_some()));
        }
    };
    match question.links {
        Some(account) => {
            link(&app, account, &vouched.identity, &headers, &acting).await?;
            Ok((jar, Json(ProviderAnswered::Linked)))
        }
        None => {
            let jar = sign_in(&app, provider, vouched, &acting, &headers, jar).await?;
            Ok((jar, Json(ProviderAnswered::In)))
        }
    }
}

async fn sign_in(
    app: &App,
    provider: &Provider,
    Vouched { identity, proved_at }: Vouched,
    acting: &Acting,
    headers: &HeaderMap,
    jar: CookieJar,
) -> Reply<CookieJar> {
    let linked = app.store.identity(&identity).await?;
    let kept = match linked {
        Some(linked) => app.store.account(linked.account).await?.filter(|kept| kept.ended_at.is_none()),
        None => None,
    };
    let kept = kept.ok_or_else(|| {
        Failure::Provider(format!(
            "no account here is linked with {}; sign in with your name and password, and link it under Your account",
            provider.name()
        ))
    })?;
    app.store.note_identity(kept.id, app.clock.now()).await?;
    // The provider may have let them through without asking, so what is grave asks for the password, unless it says that
    // they proved themselves there a moment ago.
    let proved_at = proved_at.unwrap_or(EpochMs(0));
    let_in_by((kept.id, kept.password.as_deref(), proved_at), app, acting, headers, jar).await
}

/// Links the account that asked for it, if its owner is still signed in here.
async fn link(
    app: &App,
    account: AccountId,
    identity: &Identity,
    headers: &HeaderMap,
    acting: &Acting,
) -> Reply<()> {
    let now = app.clock.now();
    let here = staff::find(headers, (&app.site, app.is_trial), &*app.store, now).await?;
    let here = here.ok_or(Failure::NotSignedIn)?;
    acting.is(here.id());
    if here.id() != account {
        return Err(Failure::Forbidden);
    }
    if app.store.link_identity(identity, account, now).await? {
        return Ok(());
    }
    let known = app.store.identity(identity).await?;
    if known.is_some_and(|known| known.account == account) {
        return Ok(());
    }
    Err(Failure::Body(
        "another account is linked with this already, or yours with another; end that link first".to_owned(),
    ))
}

async fn unlink(staff: Staff, State(app): Shared) -> Reply<Json<()>> {
    app.store.unlink_identity(staff.id()).await?.then_some(Json(())).ok_or(Failure::NotFound)
}
