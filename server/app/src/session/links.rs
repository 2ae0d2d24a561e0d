//! The links that open a session and the planner.

use std::net::SocketAddr;

use samebreath_core::live::DeskRole;
use samebreath_core::time::EpochMs;
use samebreath_store::passes::{Pass, Role, Use};
use samebreath_store::sessions::SessionEntry;
use samebreath_store::{Store, StoreError};
use serde::Serialize;

use crate::access::{passes, token};
use crate::settings::Site;

/// Desk links open once, within a day.
const DESK_LINK_MS: i64 = 24 * 3_600_000;
/// A wall's link can be opened again: a TV is switched off and on.
const WALL_LINK_MS: i64 = 30 * 24 * 3_600_000;

/// The links of a session.
#[derive(Debug, Serialize)]
pub struct Links {
    /// What the session is called.
    pub title: String,
    /// Opens the facilitator's desk, once.
    pub desk: String,
    /// Opens the helper's desk, once.
    pub helper: String,
    /// Opens the wall.
    pub wall: String,
    /// Where participants join.
    pub class: String,
    /// The code they join by.
    pub code: String,
}

/// Makes new links for a session.
///
/// # Errors
/// When the store cannot keep them.
pub async fn links(
    store: &dyn Store,
    entry: &SessionEntry,
    base: &str,
    now: EpochMs,
) -> Result<Links, StoreError> {
    let link = async |role: Role, use_: Use, for_ms: i64| {
        let pass = Pass { session: entry.id, role };
        let token = passes::give_link(pass, use_, store, now.plus(for_ms)).await?;
        Ok::<_, StoreError>(format!("{base}/#p.{token}"))
    };
    let code = token::grouped(&entry.code);
    Ok(Links {
        title: entry.title.clone(),
        desk: link(Role::Desk(DeskRole::Facilitator), Use::Once, DESK_LINK_MS).await?,
        helper: link(Role::Desk(DeskRole::Helper), Use::Once, DESK_LINK_MS).await?,
        wall: link(Role::Wall, Use::Always, WALL_LINK_MS).await?,
        class: format!("{base}/#c.{code}"),
        code,
    })
}

/// What a host prints: the links of the class, if there is one, and of the planner.
#[derive(Debug, Serialize)]
pub struct HostLinks {
    /// The class.
    #[serde(flatten)]
    pub class: Option<Links>,
    /// Opens the planner, once.
    pub planner: String,
    /// Address and port where the server listens, which a proxy hides.
    pub listens_on: SocketAddr,
}

/// Makes the links that a host prints.
///
/// # Errors
/// When the store cannot keep them.
pub async fn host_links(
    store: &dyn Store,
    entry: Option<&SessionEntry>,
    site: &Site,
    listens_on: SocketAddr,
    now: EpochMs,
) -> Result<HostLinks, StoreError> {
    let base = site.base(listens_on);
    let class = match entry {
        Some(entry) => Some(links(store, entry, &base, now).await?),
        None => None,
    };
    Ok(HostLinks { class, planner: planner_link(store, &base, now).await?, listens_on })
}

/// Makes a link to the planner, which opens once.
///
/// # Errors
/// When the store cannot keep it.
pub async fn planner_link(store: &dyn Store, base: &str, now: EpochMs) -> Result<String, StoreError> {
    let token = passes::give_planner_link(store, now.plus(DESK_LINK_MS)).await?;
    Ok(format!("{base}/planner#p.{token}"))
}

impl HostLinks {
    /// For people.
    #[must_use]
    pub fn text(&self) -> String {
        let class = self
            .class
            .as_ref()
            .map_or_else(|| "\nNo class goes on; begin one in the planner.\n".to_owned(), Links::text);
        format!(
            "{class}\n  Planner  {}\n           plans, drills and the word game; opens once\n\nListening on {}. Stop with Ctrl-C.\n",
            self.planner, self.listens_on
        )
    }
}

impl Links {
    /// For people.
    #[must_use]
    pub fn text(&self) -> String {
        format!(
            "\n{}\n\n  Desk     {}\n           for the facilitator; opens once\n  Helper   {}\n           for a second member of staff; opens once\n  Wall     {}\n           the big view for a TV or a shared screen\n  Class    {}\n           for participants; or the code {}\n",
            self.title, self.desk, self.helper, self.wall, self.class, self.code
        )
    }
}
