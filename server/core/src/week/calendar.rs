//! A series as a calendar file (RFC 5545, with the properties of RFC 7986), for people and for staff.
//!
//! It says when the class is and what it is called, and nothing about anybody. A calendar that takes it does not hear of
//! later changes, so nothing urgent can be told by it.

use ics::components::{Component, Parameter, Property};
use ics::escape_text;
use jiff::civil;
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};

use crate::time::EpochMs;
use crate::time::day::{Date, clock_ms};
use crate::week::series::{FURTHEST_DAYS, Occurrence, OtherDay, Series};
use crate::week::yearly::{self, Change};

/// What a calendar file is made of.
#[derive(Debug, Clone)]
pub struct Calendar<'a> {
    /// When the class is.
    pub series: Series<'a>,
    /// What it is called.
    pub name: &'a str,
    /// The id by which calendars know the series; it never changes.
    pub uid: String,
    /// How often the series has changed.
    pub sequence: u64,
    /// The instant at which the file is made.
    pub now: EpochMs,
}

/// How far the classes of a zone without yearly rules are written one by one, in days.
const AHEAD_DAYS: i64 = 730;
/// What a day of the week is called in a rule, from Monday.
const DAYS: [&str; 7] = ["MO", "TU", "WE", "TH", "FR", "SA", "SU"];

impl Calendar<'_> {
    /// The text of the file.
    #[must_use]
    pub fn text(&self) -> String {
        let mut file = Component::new("VCALENDAR");
        for (name, value) in [("VERSION", "2.0"), ("PRODID", "-//Samebreath//EN"), ("METHOD", "PUBLISH")] {
            file.add_property(Property::new(name, value));
        }
        file.add_property(Property::new("NAME", escape_text(self.name)));
        let mut refresh = Property::new("REFRESH-INTERVAL", "PT6H");
        refresh.add(Parameter::new("VALUE", "DURATION"));
        file.add_property(refresh);
        self.events().into_iter().for_each(|part| file.add_component(part));
        file.to_string()
    }

    fn events(&self) -> Vec<Component<'_>> {
        let Some(today) = self.series.zone.day(self.now) else { return Vec::new() };
        // A class that was moved may be ahead although its regular day is past.
        let since = self.series.bounds.0.unwrap_or_else(|| today.plus_days(-FURTHEST_DAYS));
        let Some(first) = (0..7).find_map(|days| self.series.on(since.plus_days(days))) else {
            return Vec::new();
        };
        let begin = Timestamp::from_millisecond(first.starts.0).ok();
        let Some(changes) = begin.and_then(|at| yearly::changes(self.series.zone.rules(), at)) else {
            let classes = self.series.between(since.max(today), today.plus_days(AHEAD_DAYS));
            let held = classes.iter().filter(|class| class.cancelled.is_none());
            return held.map(|class| self.one_in_utc(class)).collect();
        };
        let others = self.series.others.iter().filter(|other| self.has_day(other.of, first.of));
        let (cancelled, others): (Vec<_>, Vec<_>) = others.partition(|other| other.cancelled.is_some());
        let moved = others.into_iter().filter(|other| other.is_at_another_time());
        let mut parts = vec![self.zone(&changes), self.weekly(first.of, &cancelled)];
        parts.extend(moved.filter_map(|other| self.moved(other)));
        parts
    }

    /// Whether the series has a class that is regularly on this day, from `first` on.
    fn has_day(&self, of: Date, first: Date) -> bool {
        of >= first && self.series.on(of).is_some()
    }

    /// The classes of every week.
    fn weekly(&self, first: Date, cancelled: &[&OtherDay]) -> Component<'_> {
        let mut event = self.event(self.uid.clone(), self.series.minutes);
        event.add_property(self.local("DTSTART", first, self.series.start_ms));
        let day = DAYS[usize::from(self.series.weekday) - 1];
        let last = self.series.bounds.1.and_then(|last| self.series.zone.at(last, self.series.start_ms));
        let until = last.map_or_else(String::new, |last| format!(";UNTIL={}", utc(last)));
        event.add_property(Property::new("RRULE", format!("FREQ=WEEKLY;BYDAY={day}{until}")));
        for other in cancelled {
            event.add_property(self.local("EXDATE", other.of, self.series.start_ms));
        }
        event
    }

    /// A class that is not at its regular time, or not of its regular length.
    fn moved(&self, other: &OtherDay) -> Option<Component<'_>> {
        let start = other.start.as_ref().and_then(|start| clock_ms(start.as_str()).ok());
        let mut event = self.event(self.uid.clone(), other.minutes.unwrap_or(self.series.minutes));
        event.add_property(self.local("RECURRENCE-ID", other.of, self.series.start_ms));
        let day = self.series.on(other.of)?.day;
        event.add_property(self.local("DTSTART", day, start.unwrap_or(self.series.start_ms)));
        Some(event)
    }

    /// A class by its instant.
    fn one_in_utc(&self, class: &Occurrence) -> Component<'_> {
        let minutes = class.ends.since(class.starts) / 60_000;
        let minutes = u32::try_from(minutes).unwrap_or(self.series.minutes);
        let mut event = self.event(format!("{}-{}", self.uid, class.of), minutes);
        event.add_property(Property::new("DTSTART", utc(class.starts)));
        event
    }

    fn event(&self, uid: String, minutes: u32) -> Component<'_> {
        let mut event = Component::new("VEVENT");
        event.add_property(Property::new("UID", uid));
        event.add_property(Property::new("DTSTAMP", utc(self.now)));
        event.add_property(Property::new("SEQUENCE", self.sequence.to_string()));
        event.add_property(Property::new("SUMMARY", escape_text(self.name)));
        event.add_property(Property::new("DURATION", format!("PT{minutes}M")));
        event
    }

    /// A time as the clocks of the zone show it.
    fn local(&self, property: &'static str, day: Date, time_ms: i64) -> Property<'_> {
        let time = civil::Time::midnight().checked_add(SignedDuration::from_millis(time_ms));
        let at = civil::Date::from(day).to_datetime(time.unwrap_or(civil::Time::midnight()));
        let mut property = Property::new(property, at.strftime("%Y%m%dT%H%M%S").to_string());
        property.add(Parameter::new("TZID", self.series.zone.to_string()));
        property
    }

    fn zone(&self, changes: &[Change]) -> Component<'_> {
        let mut zone = Component::new("VTIMEZONE");
        zone.add_property(Property::new("TZID", self.series.zone.to_string()));
        for Change { at, offsets: (from, to), name, daylight, day } in changes {
            let mut part = Component::new(if *daylight { "DAYLIGHT" } else { "STANDARD" });
            part.add_property(Property::new("DTSTART", at.strftime("%Y%m%dT%H%M%S").to_string()));
            part.add_property(Property::new("TZOFFSETFROM", offset(*from)));
            part.add_property(Property::new("TZOFFSETTO", offset(*to)));
            part.add_property(Property::new("TZNAME", name.clone()));
            if let Some(day) = day {
                let weekday = DAYS[usize::from(day.weekday.to_monday_zero_offset().unsigned_abs())];
                let rule = format!("FREQ=YEARLY;BYMONTH={};BYDAY={}{weekday}", day.month, day.nth);
                part.add_property(Property::new("RRULE", rule));
            }
            zone.add_component(part);
        }
        zone
    }
}

fn utc(at: EpochMs) -> String {
    let at = Timestamp::from_millisecond(at.0).unwrap_or_default();
    at.strftime("%Y%m%dT%H%M%SZ").to_string()
}

/// An offset as +0200; with seconds, which some zones had long ago, as +001730.
fn offset(offset: Offset) -> String {
    let all = offset.seconds().unsigned_abs();
    let (hours, minutes, seconds) = (all / 3_600, all / 60 % 60, all % 60);
    let sign = if offset.is_negative() { '-' } else { '+' };
    let seconds = if seconds == 0 { String::new() } else { format!("{seconds:02}") };
    format!("{sign}{hours:02}{minutes:02}{seconds}")
}
