//! Sums for those who fund the organisation, in which nobody is found.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use axum::extract::{Query, State};
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::get;
use axum::{Json, Router};
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::record::class::Attended;
use samebreath_core::record::sums::{
    GroupPeriod, HIDDEN_BELOW, HIDDEN_BELOW_STRICT, Sums, SumsLine, Took, sums,
};
use samebreath_core::staff::may::Act;
use samebreath_core::time::day::Date;
use samebreath_store::sessions::SessionEntry;
use samebreath_wire::sums::PeriodSums;
use serde::Deserialize;

use crate::access::staff::Staff;
use crate::app::App;
use crate::export::table::{Cell, Table};
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::whose::Groups;
use crate::session::history::{day_in, day_of, record_of, zone_of};

/// The period that is asked for where none is named: the last quarter of a year.
const USUAL_DAYS: i64 = 91;
/// What classes without a group are called, and those of a group that was removed.
const NO_GROUP: &str = "Without a group";
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
    let rows = all.map(|(of, line)| row(of, (from, to), &sums, line));
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"sums.csv\""),
    ];
    Ok((headers, Table::new(HEAD, rows).csv()))
}

const HEAD: [&str; 13] = [
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
    "counts_hidden_below",
    "rounded",
];

fn row(of: &str, (from, to): (Date, Date), sums: &Sums, line: &SumsLine) -> [Cell; 13] {
    // What is hidden is no nought, and what is not told of a month is empty.
    let cell = |n: Option<u32>| n.map_or_else(|| Cell::text("hidden"), |n| Cell::Number(n.into()));
    let unless_month = |cell: Cell| if of == "month" { Cell::Empty } else { cell };
    [
        Cell::text(of),
        Cell::text(&line.name),
        Cell::text(from),
        Cell::text(to),
        Cell::Number(line.held.into()),
        unless_month(Cell::Number(line.cancelled.into())),
        unless_month(cell(line.people)),
        unless_month(cell(line.new)),
        unless_month(cell(line.returning)),
        cell(line.attendances),
        cell(line.minutes),
        Cell::Number(sums.hidden_below.into()),
        Cell::text(if sums.rounded { "yes" } else { "no" }),
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
    let names: BTreeMap<GroupId, &Group> = groups.all().collect();
    let (year_from, year_to) = (from.plus_years(-1), to.plus_years(-1));
    let (mut known, mut is_year_before) = (BTreeSet::new(), false);
    let mut found: BTreeMap<Option<GroupId>, GroupPeriod> = BTreeMap::new();
    for (id, group) in &names {
        if groups.may(Act::ReadSums, groups.day(Some(*id), None)) {
            let classes = group.series().map(|series| series.between(from, to)).unwrap_or_default();
            let cancelled = classes.iter().filter(|class| class.cancelled.is_some()).count();
            let cancelled = u32::try_from(cancelled).unwrap_or(u32::MAX);
            found.insert(Some(*id), GroupPeriod { cancelled, ..empty(group.name.to_string()) });
        }
    }
    let is_over = |entry: &SessionEntry| entry.ended_at.is_some() && !entry.rehearsal;
    for entry in app.store.sessions().await?.into_iter().filter(is_over) {
        let Some(record) = record_of(app, entry.id).await else { continue };
        let zone = zone_of(app, entry.group).await?;
        let Some(day) = record.started_at.and_then(|at| day_in(&zone, at)) else { continue };
        let came = record.people.iter().filter(|one| one.attended != Attended::No);
        let came: Vec<(PersonId, u32)> = came.filter_map(|one| Some((one.person?, one.minutes))).collect();
        // Who is known from a colleague's group is not new.
        if day < from {
            known.extend(came.iter().map(|(person, _)| *person));
        }
        if !groups.may(Act::ReadSums, groups.class(&entry)) {
            continue;
        }
        is_year_before |= (year_from..=year_to).contains(&day) && !came.is_empty();
        if (from..=to).contains(&day) {
            // Classes of a group that was removed, or of none, count in the total.
            let whose = entry.group.filter(|id| names.contains_key(id));
            let of = found.entry(whose).or_insert_with(|| empty(NO_GROUP.to_owned()));
            of.held.push(day);
            of.took.extend(came.into_iter().map(|(person, minutes)| Took { person, day, minutes }));
        }
    }
    let found: Vec<GroupPeriod> = found.into_values().collect();
    Ok(PeriodSums { from, to, sums: sums(&found, &known, is_year_before, hidden_below) })
}

fn empty(name: String) -> GroupPeriod {
    GroupPeriod { name, held: Vec::new(), cancelled: 0, took: Vec::new() }
}
