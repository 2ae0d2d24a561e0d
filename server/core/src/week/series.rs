//! A group's weekly time, and the days that are different.
//!
//! What is kept is what people say: a weekday, a time of day as the clocks of the group's zone show it, and never an
//! offset. An occurrence is known by the day on which it regularly falls, also when it is moved or cancelled.

use serde::{Deserialize, Serialize};

use crate::staff::account::AccountId;
use crate::text::{Line, Name, Sentence};
use crate::time::EpochMs;
use crate::time::day::{Date, clock_ms};
use crate::week::check_minutes;
use crate::week::zone::Zone;

/// One day of a series on which something is different.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct OtherDay {
    /// The day on which it would regularly be.
    pub of: Date,
    /// The class is cancelled: what people are told.
    pub cancelled: Option<Sentence>,
    /// The day to which it is moved.
    pub day: Option<Date>,
    /// Another time of day, such as 11:30.
    pub start: Option<Line<8>>,
    /// Another length in minutes.
    pub minutes: Option<u32>,
    /// Who leads it in place of the usual facilitator.
    pub led_by: Option<Name>,
    /// Their account, if they have one: that class, its plan and its people's precautions are theirs too.
    #[serde(default)]
    pub stand_in: Option<AccountId>,
}

/// When a group meets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Series<'a> {
    /// The zone whose clocks people look at.
    pub zone: &'a Zone,
    /// The day of the week, 1 (Monday) to 7 (Sunday).
    pub weekday: u8,
    /// Milliseconds from midnight to its start, as the clocks show it.
    pub start_ms: i64,
    /// Its length in minutes.
    pub minutes: u32,
    /// The first and the last day on which it may be, where that is known.
    pub bounds: (Option<Date>, Option<Date>),
    /// The days that are different.
    pub others: &'a [OtherDay],
}

/// One class of a series.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Occurrence {
    /// The day on which it would regularly be: what it is known by, whatever becomes of it.
    pub of: Date,
    /// The day on which it is.
    pub day: Date,
    /// When it starts.
    pub starts: EpochMs,
    /// When it ends.
    pub ends: EpochMs,
    /// The class is cancelled: what people are told.
    pub cancelled: Option<Sentence>,
    /// Who leads it in place of the usual facilitator.
    pub led_by: Option<Name>,
}

/// The most days by which a class can be moved: two months.
pub const FURTHEST_DAYS: i64 = 62;
/// Most days of a series that are different.
pub const MOST_OTHER: usize = 200;

impl OtherDay {
    /// Whether the class is moved, or of another length.
    #[must_use]
    pub fn is_at_another_time(&self) -> bool {
        self.day.is_some() || self.start.is_some() || self.minutes.is_some()
    }

    /// Checks one day by itself.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    pub fn check(&self) -> Result<(), String> {
        let Self { of, day, start, minutes, .. } = self;
        let named = |why| format!("the class of {of}: {why}");
        if day.is_some_and(|day| day.days_since(*of).abs() > FURTHEST_DAYS) {
            let why = format!("it can be moved by up to {FURTHEST_DAYS} days");
            return Err(named(why));
        }
        start.as_ref().map_or(Ok(0), |start| clock_ms(start.as_str())).map_err(named)?;
        minutes.map_or(Ok(()), check_minutes).map_err(named)
    }
}

impl Series<'_> {
    /// The classes whose day is from `from` to `to`, in the order in which they start. A cancelled one is among them.
    #[must_use]
    pub fn between(&self, from: Date, to: Date) -> Vec<Occurrence> {
        // A day that was moved into this time may regularly be outside of it.
        let moved = self.others.iter().filter(|other| other.day.is_some()).map(|other| other.of);
        let mut regular: Vec<Date> = self.regular(from, to).chain(moved).collect();
        regular.sort_unstable();
        regular.dedup();
        let mut found: Vec<_> = regular.into_iter().filter_map(|of| self.on(of)).collect();
        found.retain(|one| (from..=to).contains(&one.day));
        found.sort_by_key(|one| one.starts);
        found
    }

    /// The class that somebody means by a day: the one that is then, rather the regular one than one that was moved
    /// there; where there is none, the one that would regularly be then.
    #[must_use]
    pub fn of_day(&self, day: Date) -> Option<Occurrence> {
        let regular = self.on(day);
        if regular.as_ref().is_some_and(|class| class.day == day) {
            return regular;
        }
        self.between(day, day).into_iter().next().or(regular)
    }

    /// The class that is regularly on this day; `None` on a day on which the group does not meet.
    #[must_use]
    pub fn on(&self, of: Date) -> Option<Occurrence> {
        let (first, last) = self.bounds;
        let is_within = first.is_none_or(|first| first <= of) && last.is_none_or(|last| of <= last);
        if of.weekday() != self.weekday || !is_within {
            return None;
        }
        let other = self.others.iter().find(|other| other.of == of);
        let day = other.and_then(|other| other.day).unwrap_or(of);
        let start = other.and_then(|other| clock_ms(other.start.as_ref()?.as_str()).ok());
        let minutes = other.and_then(|other| other.minutes).unwrap_or(self.minutes);
        let starts = self.zone.at(day, start.unwrap_or(self.start_ms))?;
        Some(Occurrence {
            of,
            day,
            starts,
            ends: starts.plus(i64::from(minutes) * 60_000),
            cancelled: other.and_then(|other| other.cancelled.clone()),
            led_by: other.and_then(|other| other.led_by.clone()),
        })
    }

    /// The regular days from `from` to `to`.
    fn regular(&self, from: Date, to: Date) -> impl Iterator<Item = Date> + use<> {
        let ahead = (i64::from(self.weekday) - i64::from(from.weekday())).rem_euclid(7);
        let next = |day: &Date| Some(day.plus_days(7)).filter(|next| next > day);
        let days = std::iter::successors(Some(from.plus_days(ahead)), next);
        days.take_while(move |day| *day <= to)
    }
}
