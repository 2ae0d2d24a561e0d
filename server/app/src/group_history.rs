//! What a group had and means to have, from its ledgers and its plans.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use samebreath_core::advice::class_loads;
use samebreath_core::course::Load;
use samebreath_core::day::Date;
use samebreath_core::draft::Planned;
use samebreath_core::group::GroupId;
use samebreath_core::history::{Had, History};
use samebreath_core::live::Session;
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::Versioned;
use samebreath_store::StoreError;
use samebreath_store::ledger::Ledger;
use uuid::Uuid;

use crate::app::App;

/// The day on the calendar of the server's place.
pub(crate) fn day_of(at: EpochMs) -> Option<Date> {
    let day = Timestamp::from_millisecond(at.0).ok()?.to_zoned_datetime(TimeZone::system()).date();
    Date::try_from(day.to_string()).ok()
}

/// What `group` had before `day`: in its classes, and in its plans for days before.
pub(crate) async fn before(
    app: &App,
    group: GroupId,
    day: Date,
    plans: &[Versioned<Planned>],
) -> Result<History, StoreError> {
    let mut had = Vec::new();
    for entry in app.store.sessions_of(group).await? {
        let Some(on) = day_of(entry.created_at) else { continue };
        if let Some(known) = app.had.get(&entry.id) {
            had.push((on, known.clone()));
            continue;
        }
        let ledger = app.store.read_after(entry.id, 0).await?;
        let shown = Had::in_session(&ledger);
        // A ledger that has ended does not change any more.
        if Session::replay(&ledger).is_some_and(|session| session.has_ended()) {
            app.had.insert(entry.id, shown.clone());
        }
        had.push((on, shown));
    }
    let planned = plans.iter().filter(|plan| plan.content.group == Some(group)).filter_map(|plan| {
        let on = plan.content.day?;
        Some((on, Had::in_plan(&plan.content.draft.plan(&app.house.library).ok()?)))
    });
    had.extend(planned);
    Ok(History::before(day, had))
}

/// What the other plans of `group` hold in the week of `day`.
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
    let plans = others.filter_map(|plan| plan.content.draft.plan(&app.house.library).ok());
    plans.flat_map(|plan| class_loads(&plan).collect::<Vec<_>>()).collect()
}
