//! The links that open a session, and those that let staff in.

use std::net::SocketAddr;

use samebreath_core::live::DeskRole;
use samebreath_core::time::EpochMs;
use samebreath_store::passes::{Pass, Role, Use};
use samebreath_store::sessions::SessionEntry;
use samebreath_store::sign_ins::AccountLink;
use samebreath_store::{Store, StoreError};
use serde::Serialize;

use crate::access::staff::{self, FIRST_LINK_MS};
use crate::access::{passes, token};
use crate::app::App;

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

/// Makes new links for a session. `decides` says whether its desks may set what only a clinician sets.
///
/// # Errors
/// When the store cannot keep them.
pub async fn links(
    store: &dyn Store,
    entry: &SessionEntry,
    base: &str,
    now: EpochMs,
    decides: bool,
) -> Result<Links, StoreError> {
    let link = async |role: Role, use_: Use, for_ms: i64| {
        let pass = Pass { decides, ..Pass::of(entry.id, role) };
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

/// The links that the server prints when it starts: those of the class, if there is one, and where staff come in.
#[derive(Debug, Serialize)]
pub struct HostLinks {
    /// The links of the class.
    #[serde(flatten)]
    pub class: Option<Links>,
    /// Where staff come in.
    pub staff: StaffDoor,
    /// The address and port on which the server listens. Behind a proxy the links do not show them.
    pub listens_on: SocketAddr,
}

/// Where staff come in.
#[derive(Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StaffDoor {
    /// A link that makes the first account, once.
    First(String),
    /// The page on which they sign in.
    SignIn(String),
    /// A link that needs no sign-in, once: things are only tried out.
    Trial(String),
}

/// Makes the links that the server prints when it starts.
///
/// # Errors
/// When the store cannot keep them.
pub async fn host_links(
    app: &App,
    entry: Option<&SessionEntry>,
    listens_on: SocketAddr,
) -> Result<HostLinks, StoreError> {
    let (base, now, store) = (app.site.base(listens_on), app.clock.now(), &*app.store);
    let class = match entry {
        // Whoever runs the server answers for whom they give these links to.
        Some(entry) => Some(links(store, entry, &base, now, true).await?),
        None => None,
    };
    let staff = if app.is_trial {
        StaffDoor::Trial(trial_link(store, &base, now).await?)
    } else {
        match first_link(store, &base, now).await? {
            Some(link) => StaffDoor::First(link),
            None => StaffDoor::SignIn(format!("{base}/sign-in")),
        }
    };
    Ok(HostLinks { class, staff, listens_on })
}

/// Makes a link that opens the planner once, without a password.
///
/// # Errors
/// When the store cannot keep it.
pub async fn trial_link(store: &dyn Store, base: &str, now: EpochMs) -> Result<String, StoreError> {
    Ok(format!("{base}/sign-in#a.{}", staff::trial_link(store, now).await?))
}

/// Makes a link that makes the first account; `None` once there is one.
///
/// # Errors
/// When the store cannot keep it.
pub async fn first_link(store: &dyn Store, base: &str, now: EpochMs) -> Result<Option<String>, StoreError> {
    if staff::has_accounts(store).await? {
        return Ok(None);
    }
    let token = staff::give_link(AccountLink::First, store, now.plus(FIRST_LINK_MS)).await?;
    Ok(Some(format!("{base}/sign-in#a.{token}")))
}

impl HostLinks {
    /// The links as a text for people.
    #[must_use]
    pub fn text(&self) -> String {
        let class = self
            .class
            .as_ref()
            .map_or_else(|| "\nNo class is under way; begin one from a plan.\n".to_owned(), Links::text);
        let staff = match &self.staff {
            StaffDoor::First(link) => {
                format!("Begin    {link}\n           makes the first account; opens once, for an hour")
            }
            StaffDoor::SignIn(link) => format!("Staff    {link}\n           plans, groups and classes"),
            StaffDoor::Trial(link) => {
                format!(
                    "Staff    {link}\n           plans, groups and classes; a trial, so nobody signs in; opens once"
                )
            }
        };
        format!("{class}\n  {staff}\n\nListening on {}. Stop with Ctrl-C.\n", self.listens_on)
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
