//! Who may need a follow-up after a class. It is a list to look through, no judgement: what is done is for a clinician.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::live::{ReportId, SeatId, StopReason};
use crate::record::class::{Attended, ClassRecord, PersonRecord, Stopped};

/// A screen that was away for so many minutes is worth a call (an agreed choice).
const AWAY_MINUTES: u32 = 5;

/// Somebody who may need a follow-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Concern {
    /// Their seat.
    pub seat: SeatId,
    /// Why.
    #[serde(flatten)]
    pub about: About,
}

/// Why somebody may need a follow-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "about", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum About {
    /// They reported something. One that was taken back counts if it was urgent.
    Report {
        /// The report.
        report: ReportId,
    },
    /// They stopped, and not for a report.
    Stops {
        /// How often.
        times: u32,
    },
    /// They were lost in the middle of a swallow or a hold.
    Lost {
        /// How often.
        times: u32,
    },
    /// Their screen was away in the middle, or went away and never came back.
    Away {
        /// For how many minutes.
        minutes: u32,
    },
    /// They were expected, sent no word, and did not come.
    Missed,
}

/// Who may need a follow-up: urgent reports, other reports, stops, people lost in a drill, screens that were away, and who did not come.
#[must_use]
pub fn concerns(record: &ClassRecord) -> Vec<Concern> {
    let (urgent, other): (Vec<_>, Vec<_>) = record
        .reports
        .iter()
        .filter(|report| !report.taken_back || report.said.urgent.is_some())
        .partition(|report| report.said.urgent.is_some());
    let listed: BTreeSet<SeatId> = urgent.iter().chain(&other).map(|report| report.seat).collect();
    let reports = urgent.into_iter().chain(other);
    let reports =
        reports.map(|report| Concern { seat: report.seat, about: About::Report { report: report.id } });
    let of_people = |about: &dyn Fn(&PersonRecord) -> Option<About>| {
        let about = |person: &PersonRecord| about(person).map(|about| Concern { seat: person.seat, about });
        record.people.iter().filter_map(about).collect::<Vec<_>>()
    };
    let stops = of_people(&|person| {
        // Of a report that is in the list, the stop is a part.
        let reported = listed.contains(&person.seat);
        let counts = |stop: &&Stopped| !reported || stop.reason != Some(StopReason::Hurts);
        let times = person.stops.iter().filter(counts).count();
        (times > 0).then(|| About::Stops { times: u32::try_from(times).unwrap_or(u32::MAX) })
    });
    let away = of_people(&|person| {
        let minutes = without_screen(person);
        (person.corrected.is_none() && minutes >= AWAY_MINUTES).then_some(About::Away { minutes })
    });
    let lost = of_people(&|person| {
        let is_away = without_screen(person) >= AWAY_MINUTES;
        (person.lost > 0 && !is_away).then_some(About::Lost { times: person.lost })
    });
    let missed = of_people(&|person| {
        let took_place = record.started_at.is_some();
        let is_missed = took_place
            && person.attended == Attended::No
            && !person.cannot_come
            && person.corrected.is_none();
        is_missed.then_some(About::Missed)
    });
    reports.chain(stops).chain(lost).chain(away).chain(missed).collect()
}

/// How many minutes their screen was away, in the middle and at the end.
fn without_screen(person: &PersonRecord) -> u32 {
    person.away_minutes + person.gone_minutes
}
