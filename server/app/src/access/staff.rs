//! Who of the staff a browser belongs to: its cookie, and the links that let staff in.

use axum::http::{HeaderMap, header};
use axum_extra::extract::cookie::{Cookie, CookieJar};
use samebreath_core::staff::account::{Account, AccountId, Clinician, StaffRole};
use samebreath_core::time::EpochMs;
use samebreath_store::accounts::KeptAccount;
use samebreath_store::sign_ins::{AccountLink, SignedIn};
use samebreath_store::{Store, StoreError};
use uuid::Uuid;

use crate::access::passes::{self, Kept};
use crate::access::token;
use crate::settings::Site;

/// How long a browser stays signed in at the most, and how long it may be unused (OWASP ASVS 5.0.0, 7.3.1 and 7.3.2,
/// ask for both; the lengths are an agreed choice). A desk that it opened has a pass of its own, so no class is cut.
const SIGNED_IN_MS: i64 = 30 * 24 * 3_600_000;
const IDLE_MS: i64 = 12 * 3_600_000;
/// After this long, whoever does something grave proves again who they are.
const PROVED_MS: i64 = 15 * 60_000;
/// The last use of a browser is noted once in this long.
const NOTED_MS: i64 = 60_000;
/// How long the link that makes the first account works, and how long one to an account does.
pub const FIRST_LINK_MS: i64 = 3_600_000;
pub const ACCOUNT_LINK_MS: i64 = 24 * 3_600_000;
/// The longest name of a device that is kept.
const DEVICE_CHARS: usize = 200;

/// A member of staff who is signed in.
#[derive(Debug, Clone)]
pub struct Staff {
    /// The account.
    pub kept: KeptAccount,
    /// The browser.
    pub here: SignedIn,
    /// Whether they proved a moment ago who they are.
    pub is_proved: bool,
}

impl Staff {
    /// The account's id.
    pub fn id(&self) -> AccountId {
        self.kept.id
    }

    /// What colleagues see of the account.
    pub fn account(&self) -> &Account {
        &self.kept.account
    }
}

/// The name of the cookie.
pub(crate) fn cookie_name(site: &Site) -> String {
    format!("{}staff", site.cookie_prefix())
}

/// Whose browser this is, also when they have not used it for long. Only to sign them out.
///
/// # Errors
/// When the store cannot answer.
pub async fn whose(
    headers: &HeaderMap,
    site: &Site,
    store: &dyn Store,
) -> Result<Option<SignedIn>, StoreError> {
    Ok(named(headers, site, store).await?.map(|(here, _)| here))
}

/// The sign-in that the cookie names, and its account.
async fn named(
    headers: &HeaderMap,
    site: &Site,
    store: &dyn Store,
) -> Result<Option<(SignedIn, KeptAccount)>, StoreError> {
    let jar = CookieJar::from_headers(headers);
    let Some(cookie) = jar.get(&cookie_name(site)) else { return Ok(None) };
    store.signed_in(&token::hash(cookie.value())).await
}

/// Who is signed in in this browser. An account without a password is signed in only where things are tried out.
///
/// # Errors
/// When the store cannot answer.
pub async fn find(
    headers: &HeaderMap,
    (site, is_trial): (&Site, bool),
    store: &dyn Store,
    now: EpochMs,
) -> Result<Option<Staff>, StoreError> {
    let Some((here, kept)) = named(headers, site, store).await? else { return Ok(None) };
    let is_over = now >= here.expires_at || now >= here.seen_at.plus(IDLE_MS);
    if is_over || (kept.password.is_none() && !is_trial) {
        return Ok(None);
    }
    if now >= here.seen_at.plus(NOTED_MS) {
        store.note_signed_in(here.id, now, here.proved_at).await?;
    }
    // The trial account has nothing to prove itself with.
    let is_proved = kept.password.is_none() || now < here.proved_at.plus(PROVED_MS);
    Ok(Some(Staff { kept, here, is_proved }))
}

/// Signs an account in: the browser gets a cookie that scripts cannot read. `None` when the account has another
/// password by now than the one that was checked, given by its hash. `proved_at` is when its owner proved who they are.
///
/// # Errors
/// When the store cannot keep it.
pub async fn sign_in(
    (account, password, proved_at): (AccountId, Option<&str>, EpochMs),
    headers: &HeaderMap,
    site: &Site,
    store: &dyn Store,
    now: EpochMs,
) -> Result<Option<Cookie<'static>>, StoreError> {
    let (token, id) = (token::new_token(), Uuid::now_v7());
    let agent = headers.get(header::USER_AGENT).and_then(|agent| agent.to_str().ok()).unwrap_or_default();
    let new = SignedIn {
        id,
        account,
        device: agent.chars().take(DEVICE_CHARS).collect(),
        created_at: now,
        seen_at: now,
        proved_at,
        expires_at: now.plus(SIGNED_IN_MS),
    };
    let added = store.add_signed_in(&token::hash(&token), &new, password).await?;
    Ok(added.then(|| passes::cookie(cookie_name(site), token, site, Kept::For(SIGNED_IN_MS))))
}

/// The cookie that a browser forgets.
pub fn removal(site: &Site) -> Cookie<'static> {
    passes::removal(cookie_name(site), site)
}

/// Makes the token of a link about an account.
///
/// # Errors
/// When the store cannot keep it.
pub async fn give_link(
    link: AccountLink,
    store: &dyn Store,
    expires_at: EpochMs,
) -> Result<String, StoreError> {
    let token = token::new_token();
    store.add_account_link(&token::hash(&token), link, expires_at).await?;
    Ok(token)
}

/// Whether anybody of the staff has an account with a password.
///
/// # Errors
/// When the store cannot answer.
pub async fn has_accounts(store: &dyn Store) -> Result<bool, StoreError> {
    Ok(store.accounts().await?.iter().any(|account| account.password.is_some()))
}

/// The account with which the demo is tried out: a coordinator who is a clinician, without a password.
fn trial() -> Option<Account> {
    Some(Account {
        name: "You".try_into().ok()?,
        sign_in: "trial".try_into().ok()?,
        role: StaffRole::Coordinator,
        clinician: Some(Clinician {
            title: "Speech-language pathologist".try_into().ok()?,
            licence: "none: this is a trial".try_into().ok()?,
        }),
    })
}

/// The id of the account with which the demo is tried out.
const TRIAL: AccountId = AccountId(Uuid::from_u128(0x7a17));

/// The token of a link that opens the trial account, which is made if need be.
///
/// # Errors
/// When the store cannot keep it.
pub async fn trial_link(store: &dyn Store, now: EpochMs) -> Result<String, StoreError> {
    if let (None, Some(account)) = (store.account(TRIAL).await?, trial()) {
        let (password, second) = (None, None);
        let new =
            KeptAccount { id: TRIAL, version: 1, account, password, second, created_at: now, ended_at: None };
        store.add_account(&new).await?;
    }
    give_link(AccountLink::Opens(TRIAL), store, now.plus(ACCOUNT_LINK_MS)).await
}
