//! The daily look at old records: what is due is announced, and goes when its day has come.

use std::collections::{BTreeMap, BTreeSet};

use axum::http::StatusCode;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::group::Group;
use samebreath_core::record::erase::erased_guests;
use samebreath_core::record::retention::{Fate, Record, Retention, RetentionReport};
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_store::StoreError;
use samebreath_store::audit::AuditEntry;
use samebreath_store::ledger::SessionId;
use samebreath_store::own_links::LinkOwner;
use samebreath_store::sessions::SessionEntry;
use uuid::Uuid;

use crate::access::own;
use crate::app::App;
use crate::failure::Failure;
use crate::session::erase;

/// From this hour on, in UTC, the day's look is taken: few classes are on then.
const FROM_HOUR: i8 = 3;
/// With more days than this between two looks, what was announced counts no more.
const GAP_DAYS: i64 = 2;
/// Among so many of the newest reports the last one is looked for.
const REPORTS: u32 = 60;

/// Somebody whose record goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leaving {
    /// The person.
    pub person: PersonId,
    /// What they are called.
    pub name: String,
    /// The day of their last class, or that on which their page was last changed.
    pub last: Date,
    /// The day on which their record goes.
    pub on: Date,
    /// Whether it is held, so that it does not go.
    pub is_held: bool,
}

/// What is due on a day.
#[derive(Debug, Clone, Default)]
pub struct Due {
    /// The people whose record goes, the earliest first.
    pub leaving: Vec<Leaving>,
    announce: Vec<Uuid>,
    take_back: Vec<Uuid>,
    erase: Vec<PersonId>,
    guests: Vec<SessionId>,
    links_of: Vec<PersonId>,
    words_before: Option<Date>,
    acts_before: Option<EpochMs>,
    /// What would go today.
    pub report: RetentionReport,
}

/// The day in UTC. The zone of the machine is not used: it may be that of a data centre far away.
#[must_use]
pub fn today(now: EpochMs) -> Option<Date> {
    Some(Timestamp::from_millisecond(now.0).ok()?.to_zoned_datetime(TimeZone::UTC).date().into())
}

/// The rules that hold, with their version; 0 when nobody has set any.
///
/// # Errors
/// When the store cannot answer.
pub async fn rules(app: &App) -> Result<Versioned<Retention>, StoreError> {
    let kept = app.store.document(Retention::ID).await?;
    let none =
        Versioned { id: Retention::ID, version: 0, updated_at: EpochMs(0), content: Retention::default() };
    Ok(kept.unwrap_or(none))
}

/// Takes the day's look, if it was not taken today; one at a time.
pub(crate) async fn daily(app: &App) {
    let Ok(_one) = app.looking.try_lock() else { return };
    let now = app.clock.now();
    if let Err(error) = run_if_due(app, now).await {
        tracing::error!(error = &error as &dyn std::error::Error, "old records could not be looked after");
    }
}

async fn run_if_due(app: &App, now: EpochMs) -> Result<(), Failure> {
    let (Some(day), Ok(at)) = (today(now), Timestamp::from_millisecond(now.0)) else { return Ok(()) };
    let last = last_look(app, day).await?;
    let is_time = at.to_zoned_datetime(TimeZone::UTC).hour() >= FROM_HOUR;
    // What could not be erased, for example because a class was on, is tried again.
    let is_done = last.is_some_and(|(last, report)| last == day && report.failed == 0);
    if is_done || !is_time {
        return Ok(());
    }
    run(app, day).await.map(drop)
}

/// The last look that was taken by `day`. One that a wrong clock dated later does not count.
async fn last_look(app: &App, day: Date) -> Result<Option<(Date, RetentionReport)>, StoreError> {
    Ok(app.store.reports(REPORTS).await?.into_iter().find(|(on, _)| *on <= day))
}

/// Announces and erases what is due on a day, and notes what went.
///
/// # Errors
/// When the store refuses. What was done until then is done, and the rest is due again.
pub async fn run(app: &App, day: Date) -> Result<RetentionReport, Failure> {
    // What was begun and cut short is finished first.
    if erase::may_write_anew(app).await.is_ok() {
        erase::erase_listed(&*app.store, app.clock.now()).await?;
    }
    let due = due(app, day).await?;
    let mut report = due.report;
    for id in &due.announce {
        app.store.announce(*id, day).await?;
    }
    for id in &due.take_back {
        app.store.take_back(*id).await?;
    }
    for person in &due.links_of {
        own::end_links(*person, &app.ends, &*app.store).await?;
    }
    if let Some(before) = due.words_before {
        report.words = app.store.forget_words(before).await?;
        app.store.forget_letters(before).await?;
    }
    if let Some(before) = due.acts_before {
        report.acts = app.store.empty_acts(before).await?;
    }
    for person in due.erase {
        // Each takes a while, and somebody may have been enrolled again meanwhile.
        if !self::due(app, day).await?.erase.contains(&person) {
            report.erased -= 1;
            continue;
        }
        note(app, person, StatusCode::OK).await?;
        match erase::in_house(app, person).await {
            Ok(_) => app.store.take_back(person.0).await?,
            Err(failure) => {
                note(app, person, StatusCode::UNPROCESSABLE_ENTITY).await?;
                tracing::warn!(failure = &failure as &dyn std::error::Error, "a record could not be erased");
                (report.erased, report.failed) = (report.erased - 1, report.failed + 1);
            }
        }
    }
    let mut without_guests = Vec::new();
    for session in &due.guests {
        match erase_guests(app, *session).await {
            Ok(()) => without_guests.push(*session),
            Err(failure) => {
                let failure = &failure as &dyn std::error::Error;
                tracing::warn!(failure, "the guests of a class could not be erased");
                (report.guests, report.failed) = (report.guests - 1, report.failed + 1);
            }
        }
    }
    // Once for all of them: the whole database is written anew.
    if report.words + report.acts + report.guests > 0 && erase::may_write_anew(app).await.is_ok() {
        app.store.leave_nothing_behind().await?;
        for session in without_guests {
            app.store.note_guests_erased(session).await?;
            app.store.take_back(session.0).await?;
        }
    }
    let earlier = last_look(app, day).await?.filter(|(on, _)| *on == day);
    let whole = earlier.map_or(report.clone(), |(_, earlier)| earlier.and(&report));
    app.store.add_report(day, &whole).await?;
    tracing::info!(?report, "old records were looked after");
    Ok(report)
}

/// Writes into the audit that a record is erased by rule, or was not. Nobody asked for it at that moment, so nobody is named.
async fn note(app: &App, person: PersonId, outcome: StatusCode) -> Result<(), StoreError> {
    let entry = AuditEntry {
        at: app.clock.now(),
        actor: None,
        act: "retention".to_owned(),
        subject: Some(person.0),
        outcome: outcome.as_u16(),
        address: "-".to_owned(),
    };
    app.store.add_audit(&entry).await
}

async fn erase_guests(app: &App, session: SessionId) -> Result<(), Failure> {
    erase::put_away(app, session).await?;
    erase::may_write_anew(app).await?;
    let lines = erased_guests(&app.store.read_after(session, 0).await?);
    app.store.rewrite(session, &lines).await?;
    app.hub.put_away(session).await?;
    app.forget_folded();
    Ok(())
}

/// What is due on a day; nothing is changed.
///
/// # Errors
/// When the store cannot answer.
pub async fn due(app: &App, day: Date) -> Result<Due, StoreError> {
    let rules = rules(app).await?.content;
    let last = last_look(app, day).await?.map(|(last, _)| last);
    // After days without a look nobody can have relied on what was announced: the server was off, a backup was put back,
    // or a clock was wrong. Then everything is announced anew, and nothing goes.
    let is_followed = last.is_some_and(|last| day.days_since(last) <= GAP_DAYS);
    let before: BTreeMap<Uuid, Date> = app.store.announced().await?.into_iter().collect();
    let announced = if is_followed { before.clone() } else { BTreeMap::new() };
    let mut due = Due::default();
    let mut still: BTreeSet<Uuid> = BTreeSet::new();
    let sessions: BTreeMap<SessionId, SessionEntry> =
        app.store.sessions().await?.into_iter().map(|entry| (entry.id, entry)).collect();

    let mut last_class: BTreeMap<PersonId, Date> = BTreeMap::new();
    // A class that was never ended must be ended first: its ledger may still be written to.
    let is_open = |session: &SessionId| sessions.get(session).is_some_and(|entry| entry.ended_at.is_none());
    let mut in_open: BTreeSet<PersonId> = BTreeSet::new();
    let seats = app.store.people_in_classes().await?;
    let mut held_in: BTreeSet<SessionId> = BTreeSet::new();
    for (session, person) in seats.iter().copied() {
        let Some(on) = sessions.get(&session).and_then(day_of) else { continue };
        if is_open(&session) {
            in_open.insert(person);
        }
        let last = last_class.entry(person).or_insert(on);
        *last = on.max(*last);
    }
    let groups: Vec<Versioned<Group>> = app.store.documents().await?;
    let expected: BTreeSet<PersonId> = groups
        .iter()
        .filter(|group| !group.content.is_over(day))
        .flat_map(|group| group.content.people.iter().copied())
        .collect();
    for kept in app.store.documents::<Person>().await? {
        let person = PersonId(kept.id);
        let Some(changed) = today(kept.updated_at) else { continue };
        let is_held = app.store.hold_on(person).await?.is_some();
        if is_held {
            held_in.extend(seats.iter().filter(|(_, of)| *of == person).map(|(session, _)| *session));
        }
        let record = Record {
            last: last_class.get(&person).copied().unwrap_or(changed),
            is_expected: expected.contains(&person),
            is_held,
            announced: announced.get(&kept.id).copied(),
        };
        if is_followed && !record.is_held && record.links_are_over(&rules, day) {
            let links = app.store.own_links_of(LinkOwner::Person(person)).await?;
            due.report.links += u32::try_from(links.len()).unwrap_or(u32::MAX);
            due.links_of.push(person);
        }
        let (on, is_held) = match record.fate(&rules, day) {
            Fate::Stays => continue,
            Fate::Held => (day, true),
            Fate::GoesOn(on) => (on, false),
            Fate::Goes => (day, false),
        };
        if is_held {
            due.report.held += 1;
        } else if on > day {
            still.insert(kept.id);
            if record.announced.is_none() {
                due.announce.push(kept.id);
                due.report.announced += 1;
            }
        } else {
            still.insert(kept.id);
            if in_open.contains(&person) {
                due.report.failed += 1;
            } else {
                due.report.erased += 1;
                due.erase.push(person);
            }
        }
        let name = kept.content.name.to_string();
        due.leaving.push(Leaving { person, name, last: record.last, on, is_held });
    }
    due.leaving.sort_by(|a, b| (a.on, &a.name).cmp(&(b.on, &b.name)));

    for id in app.store.classes_with_guests().await? {
        let Some(last) = sessions.get(&id).and_then(day_of) else { continue };
        // The class of somebody whose record is held stays as it is.
        if held_in.contains(&id) {
            continue;
        }
        let announced = announced.get(&id.0).copied();
        match (Record { last, is_expected: false, is_held: false, announced }).fate(&rules, day) {
            Fate::Stays | Fate::Held => {}
            Fate::GoesOn(_) => {
                still.insert(id.0);
                if announced.is_none() {
                    due.announce.push(id.0);
                }
            }
            Fate::Goes => {
                still.insert(id.0);
                if is_open(&id) {
                    due.report.failed += 1;
                } else {
                    due.report.guests += 1;
                    due.guests.push(id);
                }
            }
        }
    }
    // Somebody came back, a record is held, or the time was made longer.
    due.take_back = before.into_keys().filter(|id| !still.contains(id)).collect();
    if !is_followed {
        return Ok(due);
    }

    let words = day.plus_days(-i64::from(rules.link_days));
    due.report.words = app.store.words_before(words).await?;
    due.words_before = Some(words);
    due.acts_before = midnight(day.plus_years(-i16::from(rules.audit_years)));
    if let Some(before) = due.acts_before {
        due.report.acts = app.store.acts_before(before).await?;
    }
    Ok(due)
}

/// The day on which a class was.
fn day_of(entry: &SessionEntry) -> Option<Date> {
    entry.of.or_else(|| today(entry.created_at))
}

fn midnight(day: Date) -> Option<EpochMs> {
    let at = TimeZone::UTC.to_timestamp(jiff::civil::Date::from(day).at(0, 0, 0, 0)).ok()?;
    Some(EpochMs(at.as_millisecond()))
}
