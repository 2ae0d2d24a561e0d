//! Sums for those who fund the organisation, in which nobody is found.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::extract::{Query, State};
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::people::person::PersonId;
use samebreath_core::record::class::Attended;
use samebreath_core::record::sums::{GroupPeriod, HIDDEN_BELOW, HIDDEN_BELOW_STRICT, SumsLine, Took, sums};
use samebreath_core::staff::may::Act;
use samebreath_core::time::day::Date;
use samebreath_wire::sums::PeriodSums;
use serde::Deserialize;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::whose::Groups;
use crate::session::history::{day_in, day_of, record_of, zone_of};
use crate::session::table::{self, Cell};

/// The period that is asked for where none is named: the last quarter of a year.
const USUAL_DAYS: i64 = 91;
/// The longest period.
const MOST_DAYS: i64 = 5 * 366;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/sums", get(page)).route("/api/sums.csv", get(file))
}

/// A period, from its first day to its last, and below what number counts of people are hidden.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Asked {
    from: Option<String>,
    to: Option<String>,
    below: Option<u32>,
}

async fn page(staff: Staff, State(app): Shared, Query(asked): Query<Asked>) -> Reply<Json<PeriodSums>> {
    Ok(Json(of_period(&app, &staff, asked).await?))
}

/// The same as a table.
async fn file(staff: Staff, State(app): Shared, Query(asked): Query<Asked>) -> Reply<impl IntoResponse> {
    let PeriodSums { from, to, sums } = of_period(&app, &staff, asked).await?;
    let all = [("total", &sums.total)].into_iter();
    let all = all.chain(sums.groups.iter().map(|line| ("group", line)));
    let all = all.chain(sums.months.iter().map(|line| ("month", line)));
    let rows = all.map(|(of, line)| row(of, (from, to), line));
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"sums.csv\""),
    ];
    Ok((headers, table::csv(HEAD, rows)))
}

const HEAD: [&str; 11] = [
    "of",
    "name",
    "from",
    "to",
    "classes_held",
    "classes_cancelled",
    "people",
    "new",
    "returning",
    "attendances",
    "minutes",
];

fn row(of: &str, (from, to): (Date, Date), line: &SumsLine) -> [Cell; 11] {
    // What is hidden is no nought.
    let cell = |n: Option<u32>| n.map_or_else(|| Cell::text("hidden"), |n| Cell::Number(n.into()));
    // Months and lines that do not tell who is new have nothing there.
    [
        Cell::text(of),
        Cell::text(&line.name),
        Cell::text(from),
        Cell::text(to),
        Cell::Number(line.held.into()),
        if of == "month" { Cell::Empty } else { Cell::Number(line.cancelled.into()) },
        cell(line.people),
        if of == "month" { Cell::Empty } else { cell(line.new) },
        if of == "month" { Cell::Empty } else { cell(line.returning) },
        cell(line.attendances),
        cell(line.minutes),
    ]
}

/// Adds up the groups that whoever asks may see.
async fn of_period(app: &App, staff: &Staff, asked: Asked) -> Reply<PeriodSums> {
    let today = day_of(app.clock.now()).ok_or(Failure::Restarting)?;
    let day = |name: &str, text: Option<String>, usual: Date| match text {
        None => Ok(usual),
        Some(text) => {
            Date::try_from(text).map_err(|error| Failure::Body(format!("`{name}` is no day: {error}")))
        }
    };
    let to = day("to", asked.to, today)?;
    let from = day("from", asked.from, to.plus_days(1 - USUAL_DAYS))?;
    if !(0..MOST_DAYS).contains(&to.days_since(from)) {
        return Err(Failure::Body(format!(
            "`from` is {from} and `to` is {to}; give the earlier day first, and at most five years"
        )));
    }
    let hidden_below = asked.below.unwrap_or(HIDDEN_BELOW);
    if ![HIDDEN_BELOW, HIDDEN_BELOW_STRICT].contains(&hidden_below) {
        return Err(Failure::Body(format!(
            "`below` is {hidden_below}; it is {HIDDEN_BELOW} or {HIDDEN_BELOW_STRICT}"
        )));
    }
    let groups = Groups::of(staff, app).await?;
    let (year_from, year_to) = (from.plus_years(-1), to.plus_years(-1));
    let (mut known, mut year_before, mut found) = (BTreeSet::new(), BTreeSet::new(), Vec::new());
    for (id, group) in groups.all() {
        if !groups.may(Act::ReadSums, groups.day(Some(id), None)) {
            continue;
        }
        let zone = zone_of(app, Some(id)).await?;
        let mut of_group =
            GroupPeriod { name: group.name.to_string(), held: Vec::new(), cancelled: 0, took: Vec::new() };
        for entry in app.store.sessions_of(id).await?.into_iter().filter(|entry| entry.ended_at.is_some()) {
            let Some(record) = record_of(app, entry.id).await else { continue };
            let Some(day) = record.started_at.and_then(|at| day_in(&zone, at)) else { continue };
            let came = record.people.iter().filter(|one| one.attended != Attended::No);
            let came: Vec<(PersonId, u32)> =
                came.filter_map(|one| Some((one.person?, one.minutes))).collect();
            if day < from {
                known.extend(came.iter().map(|(person, _)| *person));
            }
            if (year_from..=year_to).contains(&day) {
                year_before.extend(came.iter().map(|(person, _)| *person));
            }
            if (from..=to).contains(&day) {
                of_group.held.push(day);
                of_group.took.extend(came.into_iter().map(|(person, minutes)| Took { person, day, minutes }));
            }
        }
        let classes = group.series().map(|series| series.between(from, to)).unwrap_or_default();
        let cancelled = classes.iter().filter(|class| class.cancelled.is_some()).count();
        of_group.cancelled = u32::try_from(cancelled).unwrap_or(u32::MAX);
        found.push(of_group);
    }
    let year_before = u32::try_from(year_before.len()).unwrap_or(u32::MAX);
    Ok(PeriodSums { from, to, sums: sums(&found, &known, year_before, hidden_below) })
}
