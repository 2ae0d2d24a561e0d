//! Makes a new session.

use samebreath_core::live::{Actor, ClassEvent, Entry, Event, Recorded, Session};
use samebreath_core::people::rules::Rules;
use samebreath_core::plan::Plan;
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use samebreath_store::Store;
use samebreath_store::ledger::{Append, NewEvent, SessionId};
use samebreath_store::sessions::SessionEntry;
use uuid::Uuid;

use crate::access::token;

/// What a session starts from.
#[derive(Debug)]
pub struct NewSession {
    /// The plan.
    pub plan: Plan,
    /// The house rules.
    pub rules: Rules,
    /// Whether the participants are rehearsed.
    pub rehearsal: bool,
    /// The group it is held for.
    pub group: Option<GroupId>,
    /// The events that say who is expected.
    pub people: Vec<Event>,
    /// Who may join with the code, until a desk changes that.
    pub entry: Entry,
    /// The id of the request that asked for it, if a request did.
    pub request: Option<Uuid>,
}

impl NewSession {
    /// A class or a rehearsal that is for no group. In a rehearsal nobody has to ask to come in.
    #[must_use]
    pub fn of_plan(plan: Plan, rules: Rules, rehearsal: bool, entry: Entry) -> Self {
        let entry = if rehearsal { Entry::Code } else { entry };
        Self { plan, rules, rehearsal, group: None, people: Vec::new(), entry, request: None }
    }
}

/// Makes a session and begins its ledger.
///
/// # Errors
/// When the store cannot keep it.
pub async fn new_session(store: &dyn Store, new: NewSession, now: EpochMs) -> anyhow::Result<SessionEntry> {
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
        Append::Conflict => anyhow::bail!("the new session already exists"),
        Append::Unknown(error) => Err(error.into()),
    }
}
