//! Makes a session, or finds the one to go on with, and the links that open it.

use samebreath_core::group::GroupId;
use samebreath_core::live::{Actor, DeskRole, Event, Recorded, Session};
use samebreath_core::plan::Plan;
use samebreath_core::rules::Rules;
use samebreath_core::time::EpochMs;
use samebreath_store::ledger::{Append, Ledger, NewEvent, SessionId};
use samebreath_store::sessions::{Pass, Role, SessionEntry, Use};
use samebreath_store::{Sqlite, StoreError};
use serde::Serialize;
use uuid::Uuid;

use crate::passes;
use crate::token;

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

/// What a session starts from.
#[derive(Debug)]
pub struct NewSession {
    /// Its plan.
    pub plan: Plan,
    /// The house rules.
    pub rules: Rules,
    /// Whether its participants are rehearsed.
    pub rehearsal: bool,
    /// The group it is held for.
    pub group: Option<GroupId>,
    /// Who is expected, as lines of the ledger.
    pub people: Vec<Event>,
}

impl NewSession {
    /// A class, or a rehearsal, for no group.
    #[must_use]
    pub fn of_plan(plan: Plan, rules: Rules, rehearsal: bool) -> Self {
        Self { plan, rules, rehearsal, group: None, people: Vec::new() }
    }
}

/// Makes a session.
///
/// # Errors
/// When the store cannot keep it.
pub async fn new_session(store: &Sqlite, new: NewSession, now: EpochMs) -> anyhow::Result<SessionEntry> {
    let NewSession { plan, rules, rehearsal, group, people } = new;
    let id = SessionId(Uuid::now_v7());
    let title = plan.title.to_string();
    let entry = SessionEntry { id, code: token::new_code(), title, rehearsal, created_at: now, group };
    store.add_session(&entry).await?;
    let events = std::iter::once(Session::begin(plan, rules)).chain(people);
    let line = |(seq, event)| {
        let recorded = Recorded { seq, at: now, by: Actor::Entry, cause: None, event };
        NewEvent { id: Uuid::now_v7(), recorded }
    };
    match store.append(id, 0, (1..).zip(events).map(line).collect()).await {
        Append::Committed => Ok(entry),
        Append::Conflict => anyhow::bail!("the new session exists already"),
        Append::Unknown(error) => Err(error.into()),
    }
}

/// The newest class that has not ended; a rehearsal is none.
///
/// # Errors
/// When the store cannot answer.
pub async fn unfinished(store: &Sqlite) -> Result<Option<SessionEntry>, StoreError> {
    for entry in store.sessions().await?.into_iter().filter(|entry| !entry.rehearsal) {
        let ledger = store.read_after(entry.id, 0).await?;
        if Session::replay(&ledger).is_some_and(|session| !session.has_ended()) {
            return Ok(Some(entry));
        }
    }
    Ok(None)
}

/// Makes new links for a session.
///
/// # Errors
/// When the store cannot keep them.
pub async fn links(
    store: &Sqlite,
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
}

/// Makes a link to the planner, which opens once.
///
/// # Errors
/// When the store cannot keep it.
pub async fn planner_link(store: &Sqlite, base: &str, now: EpochMs) -> Result<String, StoreError> {
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
            "{class}\n  Planner  {}\n           plans, drills and the word game; opens once\n\nStop with Ctrl-C.\n",
            self.planner
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
