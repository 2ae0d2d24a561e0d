//! Makes a new session.

use jiff::Timestamp;
use jiff::ToSpan;
use jiff::civil::Time;
use jiff::tz::TimeZone;
use samebreath_core::live::{Actor, ClassEvent, Entry, Event, Recorded, Session};
use samebreath_core::people::rules::Rules;
use samebreath_core::plan::Plan;
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::{Date, clock_ms};
use samebreath_core::week::zone::Zone;
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
    /// The day for which it was planned.
    pub day: Option<Date>,
    /// The regular day of the class of its group's series.
    pub of: Option<Date>,
    /// The zone of the group's clocks.
    pub zone: Option<Zone>,
    /// When it starts, where that is not the time of its plan.
    pub starts: Option<EpochMs>,
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
        Self {
            plan,
            rules,
            rehearsal,
            group: None,
            day: None,
            of: None,
            starts: None,
            zone: None,
            people: Vec::new(),
            entry,
            request: None,
        }
    }
}

/// Makes a session and begins its ledger.
///
/// # Errors
/// When the store cannot keep it.
pub async fn new_session(store: &dyn Store, new: NewSession, now: EpochMs) -> anyhow::Result<SessionEntry> {
    let NewSession { plan, rules, rehearsal, group, day, of, zone, starts, people, entry: to, request } = new;
    let id = SessionId(Uuid::now_v7());
    let title = plan.title.to_string();
    let (code, ended_at) = (token::new_code(), None);
    let entry = SessionEntry { id, code, title, rehearsal, created_at: now, group, of, ended_at, request };
    store.add_session(&entry).await?;
    let entry_set = (to != Entry::default()).then_some(ClassEvent::EntrySet { to }.into());
    let planned = plan.start.as_ref().and_then(|start| match (zone, day) {
        (Some(zone), Some(day)) => zone.at(day, clock_ms(start.as_str()).ok()?),
        (Some(zone), None) => next_at(start.as_str(), now, zone.rules()),
        // A host that does not say where it is has no time of day.
        (None, _) => next_at(start.as_str(), now, &TimeZone::try_system().ok()?),
    });
    let starts = starts.or(planned);
    // Only the time of a group's own class is sure enough to let people in by it.
    let opens = of.is_some() && !rehearsal;
    let events = std::iter::once(Session::begin(plan, rules, starts, opens)).chain(entry_set).chain(people);
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

/// The next instant after `now` at which clocks in `zone` show `time`, such as 10:00; `None` for what is no time.
fn next_at(time: &str, now: EpochMs, zone: &TimeZone) -> Option<EpochMs> {
    let time: Time = time.parse().ok()?;
    let today = Timestamp::from_millisecond(now.0).ok()?.to_zoned_datetime(zone.clone()).date();
    let on = |date: jiff::civil::Date| {
        let at = date.to_datetime(time).to_zoned_datetime(zone.clone()).ok()?;
        Some(EpochMs(at.timestamp().as_millisecond()))
    };
    on(today).filter(|at| *at > now).or_else(|| on(today.checked_add(1.day()).ok()?))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test module")]
mod tests {
    use super::*;

    fn at(text: &str) -> EpochMs {
        EpochMs(text.parse::<Timestamp>().unwrap().as_millisecond())
    }

    #[test]
    fn a_time_of_day_is_the_next_such_instant_also_over_a_change_of_clocks() {
        // The rule of central Europe as POSIX writes it, since a bare machine may have no time zone files.
        let paris = || TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").unwrap();
        let next = |time, now| next_at(time, at(now), &paris());
        assert_eq!(next("10:00", "2026-12-01T07:30:00Z"), Some(at("2026-12-01T09:00:00Z")));
        assert_eq!(
            next("10:00", "2026-12-01T09:00:00Z"),
            Some(at("2026-12-02T09:00:00Z")),
            "it is over today"
        );
        // Clocks went back at 01:00 UTC on 25 October 2026 (the European Union's Directive 2000/84/EC).
        assert_eq!(next("10:00:00", "2026-10-24T10:00:00Z"), Some(at("2026-10-25T09:00:00Z")));
        assert_eq!(next("25:00", "2026-12-01T07:30:00Z"), None);
    }
}
