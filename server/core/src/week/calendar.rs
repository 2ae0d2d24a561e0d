//! Classes as a calendar file (RFC 5545, with the properties of RFC 7986), for people and for staff.
//!
//! It says when the class is and what it is called, and nothing about anybody. A calendar that takes it does not hear of
//! later changes, so nothing urgent can be told by it.

use std::collections::BTreeMap;

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
    /// What it is called.
    pub name: &'a str,
    /// The classes in it.
    pub classes: Vec<InCalendar<'a>>,
    /// When what it says was last changed.
    pub made_at: EpochMs,
    /// The instant at which it is read.
    pub now: EpochMs,
}

/// The classes of a series in a calendar.
#[derive(Debug, Clone)]
pub struct InCalendar<'a> {
    /// When they are.
    pub series: Series<'a>,
    /// What they are called.
    pub name: &'a str,
    /// The id by which calendars know the series; it never changes.
    pub uid: String,
    /// How often the series has changed.
    pub sequence: u64,
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
        let each = self.classes.iter().filter_map(|class| class.begun(self.now)).collect::<Vec<_>>();
        for zone in zones(&each) {
            file.add_component(zone);
        }
        for begun in &each {
            begun.events(self).into_iter().for_each(|part| file.add_component(part));
        }
        file.to_string()
    }
}

/// A series with its first class that can be in the file, and how its zone changes from then on.
struct Begun<'a> {
    class: &'a InCalendar<'a>,
    first: Occurrence,
    /// None for a zone without yearly rules.
    changes: Option<Vec<Change>>,
}

/// Each zone once, from the first class in it on.
fn zones<'a>(each: &'a [Begun<'a>]) -> Vec<Component<'a>> {
    let mut zones: BTreeMap<String, &Begun<'_>> = BTreeMap::new();
    for begun in each.iter().filter(|begun| begun.changes.is_some()) {
        let zone = zones.entry(begun.class.series.zone.to_string()).or_insert(begun);
        if begun.first.starts < zone.first.starts {
            *zone = begun;
        }
    }
    zones.into_values().filter_map(|begun| Some(begun.class.zone(begun.changes.as_ref()?))).collect()
}

impl<'a> InCalendar<'a> {
    fn begun(&'a self, now: EpochMs) -> Option<Begun<'a>> {
        let today = self.series.zone.day(now)?;
        // A class that was moved may be ahead although its regular day is past.
        let since = self.series.bounds.0.unwrap_or_else(|| today.plus_days(-FURTHEST_DAYS));
        let first = (0..7).find_map(|days| self.series.on(since.plus_days(days)))?;
        let begin = Timestamp::from_millisecond(first.starts.0).ok();
        let changes = begin.and_then(|at| yearly::changes(self.series.zone.rules(), at));
        Some(Begun { class: self, first, changes })
    }
}

impl Begun<'_> {
    fn events(&self, file: &Calendar<'_>) -> Vec<Component<'_>> {
        let Self { class, first, changes } = self;
        let series = &class.series;
        if changes.is_none() {
            let Some(today) = series.zone.day(file.now) else { return Vec::new() };
            let since = series.bounds.0.unwrap_or(today).max(today);
            let classes = series.between(since, today.plus_days(AHEAD_DAYS));
            let held = classes.iter().filter(|class| class.cancelled.is_none());
            return held.map(|one| class.one_in_utc(one, file.made_at)).collect();
        }
        let others = series.others.iter().filter(|other| class.has_day(other.of, first.of));
        let (cancelled, others): (Vec<_>, Vec<_>) = others.partition(|other| other.cancelled.is_some());
        let moved = others.into_iter().filter(|other| other.is_at_another_time());
        let mut parts = vec![class.weekly(first.of, &cancelled, file.made_at)];
        parts.extend(moved.filter_map(|other| class.moved(other, file.made_at)));
        parts
    }
}

impl InCalendar<'_> {
    /// Whether the series has a class that is regularly on this day, from `first` on.
    fn has_day(&self, of: Date, first: Date) -> bool {
        of >= first && self.series.on(of).is_some()
    }

    /// The classes of every week.
    fn weekly(&self, first: Date, cancelled: &[&OtherDay], made_at: EpochMs) -> Component<'_> {
        let mut event = self.event(self.uid.clone(), self.series.minutes, made_at);
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
    fn moved(&self, other: &OtherDay, made_at: EpochMs) -> Option<Component<'_>> {
        let start = other.start.as_ref().and_then(|start| clock_ms(start.as_str()).ok());
        let mut event = self.event(self.uid.clone(), other.minutes.unwrap_or(self.series.minutes), made_at);
        event.add_property(self.local("RECURRENCE-ID", other.of, self.series.start_ms));
        let day = self.series.on(other.of)?.day;
        event.add_property(self.local("DTSTART", day, start.unwrap_or(self.series.start_ms)));
        Some(event)
    }

    /// A class by its instant.
    fn one_in_utc(&self, class: &Occurrence, made_at: EpochMs) -> Component<'_> {
        let minutes = class.ends.since(class.starts) / 60_000;
        let minutes = u32::try_from(minutes).unwrap_or(self.series.minutes);
        let mut event = self.event(format!("{}-{}", self.uid, class.of), minutes, made_at);
        event.add_property(Property::new("DTSTART", utc(class.starts)));
        event
    }

    fn event(&self, uid: String, minutes: u32, made_at: EpochMs) -> Component<'_> {
        let mut event = Component::new("VEVENT");
        event.add_property(Property::new("UID", uid));
        event.add_property(Property::new("DTSTAMP", utc(made_at)));
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
