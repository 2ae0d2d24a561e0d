//! Makes a session, or finds the one to go on with, and the links that open it.

use samebreath_core::live::{Actor, DeskRole, Entry, Event, Recorded, Session};
use samebreath_core::people::rules::Rules;
use samebreath_core::plan::Plan;
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use samebreath_store::ledger::{Append, Ledger, NewEvent, SessionId};
use samebreath_store::sessions::{Pass, Role, SessionEntry, Use};
use samebreath_store::{Sqlite, StoreError};
use serde::Serialize;
use uuid::Uuid;

use crate::clock::Clock;
use crate::hub::Hub;
use crate::{passes, token};
use samebreath_core::live::ClassEvent;

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
    /// Who may come in by the code, until a desk says otherwise.
    pub entry: Entry,
    /// The request that makes it, where one does.
    pub request: Option<Uuid>,
}

impl NewSession {
    /// A class, or a rehearsal, for no group. A rehearsal has no strangers who would have to ask.
    #[must_use]
    pub fn of_plan(plan: Plan, rules: Rules, rehearsal: bool, entry: Entry) -> Self {
        let entry = if rehearsal { Entry::Code } else { entry };
        Self { plan, rules, rehearsal, group: None, people: Vec::new(), entry, request: None }
    }
}

/// Makes a session.
///
/// # Errors
/// When the store cannot keep it.
pub async fn new_session(store: &Sqlite, new: NewSession, now: EpochMs) -> anyhow::Result<SessionEntry> {
    let NewSession { plan, rules, rehearsal, group, people, entry: to, request } = new;
    let id = SessionId(Uuid::now_v7());
    let title = plan.title.to_string();
    let (code, ended_at) = (token::new_code(), None);
    let entry = SessionEntry { id, code, title, rehearsal, created_at: now, group, ended_at, request };
    store.add_session(&entry).await?;
    let entry_set = (to != Entry::default()).then_some(ClassEvent::EntrySet { to }.into());
    let events = std::iter::once(Session::begin(plan, rules)).chain(entry_set).chain(people);
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

/// The newest class that has not ended and can be read; a rehearsal is none. What cannot be read is told to `hub`.
///
/// # Errors
/// When the store cannot answer.
pub async fn unfinished(store: &Sqlite, hub: &Hub) -> Result<Option<SessionEntry>, StoreError> {
    for entry in store.unfinished_sessions().await?.into_iter().filter(|entry| !entry.rehearsal) {
        // The room says whether it can be read, and is needed soon.
        match hub.room(entry.id).await {
            Ok(Some(_)) => return Ok(Some(entry)),
            Ok(None) => {}
            Err(error) if error.is_of_one_session() => {}
            Err(error) => return Err(error),
        }
    }
    Ok(None)
}

/// Sets the clock past the newest line of every session that goes on: the system's clock may have been set back since.
///
/// # Errors
/// When the store cannot answer.
pub async fn set_clock(store: &Sqlite, clock: &Clock) -> Result<(), StoreError> {
    for entry in store.unfinished_sessions().await? {
        let Some(last) = store.last_at(entry.id).await? else { continue };
        let behind_ms = clock.not_before(last);
        if behind_ms > 0 {
            tracing::warn!(
                session.id = %entry.id,
                clock.behind_ms = behind_ms,
                "the system's clock is behind this session's ledger; time goes on from there"
            );
        }
    }
    Ok(())
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
