//! What a group has had and is going to have, from its ledgers and its plans.

use std::sync::Arc;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use samebreath_core::live::Recorded;
use samebreath_core::plan::advice::class_loads;
use samebreath_core::plan::course::Load;
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::plan::history::{Had, History};
use samebreath_core::record::class::{ClassRecord, class_record};
use samebreath_core::record::had;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_store::StoreError;
use samebreath_store::ledger::SessionId;
use uuid::Uuid;

use crate::app::{App, Folded};

/// The calendar day in the server's time zone.
pub(crate) fn day_of(at: EpochMs) -> Option<Date> {
    day_in(&TimeZone::system(), at)
}

/// The calendar day in a time zone.
pub(crate) fn day_in(zone: &TimeZone, at: EpochMs) -> Option<Date> {
    let day = Timestamp::from_millisecond(at.0).ok()?.to_zoned_datetime(zone.clone()).date();
    Date::try_from(day.to_string()).ok()
}

/// The time zone in which a group meets; the server's, if it has none.
pub(crate) async fn zone_of(app: &App, group: Option<GroupId>) -> Result<TimeZone, StoreError> {
    let group: Option<Versioned<Group>> = match group {
        Some(GroupId(id)) => app.store.document(id).await?,
        None => None,
    };
    let zone = group.and_then(|group| group.content.zone);
    Ok(zone.map_or_else(TimeZone::system, |zone| zone.rules().clone()))
}

/// What `group` will have had by `day`: in its classes so far, and in its plans for days to come. The plan `but` is
/// left out, because it is the one being written.
pub(crate) async fn before(
    app: &App,
    group: GroupId,
    day: Date,
    but: Option<Uuid>,
    plans: &[Versioned<Planned>],
) -> Result<History, StoreError> {
    let mut had = Vec::new();
    for entry in app.store.sessions_of(group).await? {
        if let Some(on) = day_of(entry.created_at) {
            had.push((on, folded(app, &app.had, entry.id, had::had).await?));
        }
    }
    let today = day_of(app.clock.now());
    let held: Vec<Date> = had.iter().map(|(on, _)| *on).collect();
    let to_come = plans.iter().filter(|plan| Some(plan.id) != but && plan.content.group == Some(group));
    let to_come = to_come.filter_map(|plan| {
        let on = plan.content.day.filter(|on| Some(*on) >= today && !held.contains(on))?;
        Some((on, Had::in_plan(&plan.content.draft.plan(&app.shelf.library()).ok()?)))
    });
    had.extend(to_come);
    Ok(History::before(day, had))
}

/// What a session's ledger amounts to; from memory, if nothing was added to it since.
pub(crate) async fn folded<T: Clone>(
    app: &App,
    known: &Folded<T>,
    session: SessionId,
    fold: impl FnOnce(&[Recorded]) -> T,
) -> Result<T, StoreError> {
    let found = known.get(&session).map(|found| found.clone());
    if let Some((seq, what)) = found
        && app.store.read_after(session, seq).await?.is_empty()
    {
        return Ok(what);
    }
    let ledger = app.store.read_after(session, 0).await?;
    let what = fold(&ledger);
    known.insert(session, (ledger.last().map_or(0, |line| line.seq), what.clone()));
    Ok(what)
}

/// The record of a class; `None` for a ledger that cannot be read, which is named elsewhere.
pub(crate) async fn record_of(app: &App, session: SessionId) -> Option<Arc<ClassRecord>> {
    let fold = |ledger: &[Recorded]| class_record(ledger).map(Arc::new);
    folded(app, &app.records, session, fold).await.ok().flatten()
}

/// So many classes back somebody of a group is looked for: more than a week has, and than somebody ill for months misses.
pub(crate) const CLASSES_BACK: usize = 40;

/// A class that was held: its id, its day in the group's time zone, and what it was.
pub(crate) type Held = (Uuid, Date, Arc<ClassRecord>);

/// The last `most` classes of a group that were held, and before a day if one is given, the earliest first.
pub(crate) async fn held(
    app: &App,
    group: GroupId,
    most: usize,
    before: Option<Date>,
) -> Result<Vec<Held>, StoreError> {
    let zone = zone_of(app, Some(group)).await?;
    let mut classes = Vec::new();
    // The newest come first.
    let ended = app.store.sessions_of(group).await?;
    for entry in ended.into_iter().filter(|entry| entry.ended_at.is_some()) {
        if classes.len() == most {
            break;
        }
        let Some(record) = record_of(app, entry.id).await else { continue };
        let Some(day) = record.started_at.and_then(|at| day_in(&zone, at)) else { continue };
        if before.is_none_or(|before| day < before) {
            classes.push((entry.id.0, day, record));
        }
    }
    classes.reverse();
    Ok(classes)
}

/// The loads of the group's other plans in the week of `day`.
pub(crate) fn week_of(
    app: &App,
    group: GroupId,
    day: Date,
    but: Option<Uuid>,
    plans: &[Versioned<Planned>],
) -> Vec<Load> {
    let others = plans.iter().filter(|plan| {
        let Planned { day: on, group: of, .. } = &plan.content;
        Some(plan.id) != but && *of == Some(group) && on.is_some_and(|on| on.is_in_week_of(day))
    });
    let plans = others.filter_map(|plan| plan.content.draft.plan(&app.shelf.library()).ok());
    plans.flat_map(|plan| class_loads(&plan).collect::<Vec<_>>()).collect()
}
