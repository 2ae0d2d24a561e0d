//! `account`: lets staff in who cannot sign in, beside a running server or without one.

use std::net::SocketAddr;
use std::path::Path;
use std::time::{SystemTime, UNIX_EPOCH};

use anyhow::{Context, anyhow};
use samebreath_core::text::name;
use samebreath_core::time::EpochMs;
use samebreath_store::accounts::Accounts;
use samebreath_store::sign_ins::AccountLink;
use samebreath_store::{Sqlite, Store};

use crate::access::staff::{self, ACCOUNT_LINK_MS};
use crate::commands::print::print;
use crate::session::links;
use crate::settings::{AccountCommand, Site};

/// Prints the link that the command asks for.
pub(super) fn link(
    data: &Path,
    public_url: Option<&str>,
    listen: SocketAddr,
    command: AccountCommand,
) -> anyhow::Result<()> {
    let site = public_url.map(Site::read).transpose().map_err(anyhow::Error::msg)?.unwrap_or_default();
    let base = site.base(listen);
    let now = SystemTime::now().duration_since(UNIX_EPOCH).context("the system's clock is wrong")?;
    let now = EpochMs(i64::try_from(now.as_millis())?);
    let make = async {
        let store = Sqlite::beside(data).await?;
        let made = match command {
            AccountCommand::First => links::first_link(&store, &base, now).await?.ok_or_else(|| {
                anyhow!(
                    "there is an account already; `samebreath account reset NAME` lets its owner in again"
                )
            }),
            AccountCommand::Reset { name } => reset(&store, &base, &name, now).await,
        };
        samebreath_store::Upkeep::close(&store).await;
        made
    };
    print(&tokio::runtime::Runtime::new()?.block_on(make)?)
}

async fn reset(store: &Sqlite, base: &str, typed: &str, now: EpochMs) -> anyhow::Result<String> {
    let found = store.account_called(&name::folded(typed)).await?;
    let Some(account) = found.filter(|account| account.ended_at.is_none()) else {
        let mut here = store.accounts().await?;
        here.retain(|account| account.ended_at.is_none());
        let names: Vec<_> = here.iter().map(|account| account.account.sign_in.as_str()).collect();
        anyhow::bail!("nobody signs in as `{typed}`; the sign-in names are: {}", names.join(", "));
    };
    let link = AccountLink::Password(account.id);
    let token = staff::give_link(link, store as &dyn Store, now.plus(ACCOUNT_LINK_MS)).await?;
    Ok(format!("{base}/sign-in#a.{token}"))
}
