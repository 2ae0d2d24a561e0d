//! The yearly rules by which a zone's clocks change, as a calendar file has to say them (RFC 5545, section 3.6.5).
//! Some calendars read only one rule for each of the two times of the year, so a zone whose changes do not follow such
//! rules for ten years has none here.

use jiff::civil::{Date, DateTime, Weekday};
use jiff::tz::{Offset, TimeZone};
use jiff::{Timestamp, ToSpan};

/// A change of the clocks that comes every year.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Change {
    /// What the clocks show when they are about to change for the first time.
    pub at: DateTime,
    /// The offsets before and after it.
    pub offsets: (Offset, Offset),
    /// What the time after it is called, such as CEST.
    pub name: String,
    /// Whether that is daylight saving time.
    pub daylight: bool,
    /// The day on which it comes every year; absent for clocks that never change.
    pub day: Option<YearDay>,
}

/// A weekday of a month.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct YearDay {
    /// The month, 1 to 12.
    pub month: i8,
    /// The first, second and so on; -1 for the last.
    pub nth: i8,
    /// The day of the week.
    pub weekday: Weekday,
}

/// For how many years the rules have to give exactly the changes of the zone.
const YEARS: i16 = 10;
/// Two yearly changes lie within so many days.
const TWO_CHANGES_DAYS: i64 = 400;

/// The rules of a zone, in force at `since` and before; `None` for a zone that has no such rules.
pub(super) fn changes(zone: &TimeZone, since: Timestamp) -> Option<Vec<Change>> {
    let day = 24.hours();
    let from = since.checked_sub(day.checked_mul(TWO_CHANGES_DAYS).ok()?).ok()?;
    let to = since.checked_add(day.checked_mul(i64::from(YEARS) * 366).ok()?).ok()?;
    let all: Vec<_> = zone.following(from).take_while(|change| change.timestamp() < to).collect();
    if all.is_empty() {
        let info = zone.to_offset_info(since);
        let at = Date::constant(1970, 1, 1).at(0, 0, 0, 0);
        let (offset, name) = (info.offset(), info.abbreviation().to_owned());
        return Some(vec![Change { at, offsets: (offset, offset), name, daylight: false, day: None }]);
    }
    let first = |index: usize| {
        let change = all.get(index)?;
        let before = zone.to_offset(change.timestamp().checked_sub(1.second()).ok()?);
        Some(Change {
            at: before.to_datetime(change.timestamp()),
            offsets: (before, change.offset()),
            name: change.abbreviation().to_owned(),
            daylight: change.dst().is_dst(),
            day: None,
        })
    };
    let [one, two] = [first(0)?, first(1)?];
    if one.daylight == two.daylight || two.at.year() - one.at.year() > 1 {
        return None;
    }
    let is_right = |changes: &[Change; 2]| {
        let last = one.at.year() + YEARS + 2;
        let mut given: Vec<_> = (one.at.year()..=last)
            .flat_map(|year| changes.iter().filter_map(move |change| change.in_year(year)))
            .filter(|(at, _)| (from..to).contains(at))
            .collect();
        given.sort_unstable_by_key(|(at, _)| *at);
        let real = all.iter().map(|change| (change.timestamp(), change.offset()));
        given.into_iter().eq(real)
    };
    let with = |change: &Change, day: YearDay| Change { day: Some(day), ..change.clone() };
    let pairs = days(one.at.date()).into_iter().flat_map(|day| {
        let one = with(&one, day);
        days(two.at.date()).map(|day| [one.clone(), with(&two, day)])
    });
    pairs.into_iter().find(is_right).map(Vec::from)
}

impl Change {
    /// When it comes in a year, and the offset after it.
    fn in_year(&self, year: i16) -> Option<(Timestamp, Offset)> {
        let YearDay { month, nth, weekday } = self.day?;
        let day = Date::new(year, month, 1).ok()?.nth_weekday_of_month(nth, weekday).ok()?;
        let (before, after) = self.offsets;
        Some((before.to_timestamp(day.to_datetime(self.at.time())).ok()?, after))
    }
}

/// The two ways to say on which day of a month a date falls: counted from its beginning, and as the last.
fn days(date: Date) -> [YearDay; 2] {
    let (month, weekday) = (date.month(), date.weekday());
    [(date.day() - 1) / 7 + 1, -1].map(|nth| YearDay { month, nth, weekday })
}
