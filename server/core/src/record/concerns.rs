//! Who may need a follow-up after a class. It is a list to look through, no judgement: what is done is for a clinician.

use serde::{Deserialize, Serialize};

use crate::live::{ReportId, SeatId, StopReason};
use crate::record::class::{Attended, ClassRecord, PersonRecord};

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
    /// Their screen was away in the middle, or went away and never came back.
    Away {
        /// For how many minutes.
        minutes: u32,
    },
    /// They were expected, sent no word, and did not come.
    Missed,
}

/// Who may need a follow-up: urgent reports, other reports, stops, screens that were away, and who did not come.
#[must_use]
pub fn concerns(record: &ClassRecord) -> Vec<Concern> {
    let (urgent, other): (Vec<_>, Vec<_>) = record
        .reports
        .iter()
        .filter(|report| !report.taken_back || report.said.urgent.is_some())
        .partition(|report| report.said.urgent.is_some());
    let reports = urgent.into_iter().chain(other);
    let reports =
        reports.map(|report| Concern { seat: report.seat, about: About::Report { report: report.id } });
    let of_people = |about: &dyn Fn(&PersonRecord) -> Option<About>| {
        let about = |person: &PersonRecord| about(person).map(|about| Concern { seat: person.seat, about });
        record.people.iter().filter_map(about).collect::<Vec<_>>()
    };
    let stops = of_people(&|person| {
        let times = person.stops.iter().filter(|stop| stop.reason != Some(StopReason::Hurts)).count();
        (times > 0).then(|| About::Stops { times: u32::try_from(times).unwrap_or(u32::MAX) })
    });
    let away = of_people(&|person| {
        let minutes = person.away_minutes + person.lost_minutes;
        (person.corrected.is_none() && minutes >= AWAY_MINUTES).then_some(About::Away { minutes })
    });
    let missed = of_people(&|person| {
        let took_place = record.started_at.is_some();
        let is_missed = took_place
            && person.attended == Attended::No
            && !person.cannot_come
            && person.corrected.is_none();
        is_missed.then_some(About::Missed)
    });
    reports.chain(stops).chain(away).chain(missed).collect()
}
