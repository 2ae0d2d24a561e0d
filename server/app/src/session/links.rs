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

/// How long a desk's link works: a day. It opens once.
const DESK_LINK_MS: i64 = 24 * 3_600_000;
/// How long a wall's link works: 30 days. It opens as often as needed, since a TV is switched off and on.
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
    /// The code with which they join.
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

/// The links that the server prints when it starts: those of the class, if there is one, and the planner's.
#[derive(Debug, Serialize)]
pub struct HostLinks {
    /// The links of the class.
    #[serde(flatten)]
    pub class: Option<Links>,
    /// Opens the planner, once.
    pub planner: String,
    /// The address and port on which the server listens. Behind a proxy the links do not show them.
    pub listens_on: SocketAddr,
}

/// Makes the links that the server prints when it starts.
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

/// Makes a link that opens the planner once.
///
/// # Errors
/// When the store cannot keep it.
pub async fn planner_link(store: &dyn Store, base: &str, now: EpochMs) -> Result<String, StoreError> {
    let token = passes::give_planner_link(store, now.plus(DESK_LINK_MS)).await?;
    Ok(format!("{base}/planner#p.{token}"))
}

impl HostLinks {
    /// The links as a text for people.
    #[must_use]
    pub fn text(&self) -> String {
        let class = self
            .class
            .as_ref()
            .map_or_else(|| "\nNo class is under way; begin one in the planner.\n".to_owned(), Links::text);
        format!(
            "{class}\n  Planner  {}\n           plans, drills and the word game; opens once\n\nListening on {}. Stop with Ctrl-C.\n",
            self.planner, self.listens_on
        )
    }
}

impl Links {
    /// The links as a text for people.
    #[must_use]
    pub fn text(&self) -> String {
        format!(
            "\n{}\n\n  Desk     {}\n           for the facilitator; opens once\n  Helper   {}\n           for a second member of staff; opens once\n  Wall     {}\n           the large view for a TV or a shared screen\n  Class    {}\n           for participants; they can also type the code {}\n",
            self.title, self.desk, self.helper, self.wall, self.class, self.code
        )
    }
}
