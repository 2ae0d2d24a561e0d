//! Calendar days and times of day, without a time zone.

use std::fmt;

use jiff::civil;
use serde::{Deserialize, Serialize};

/// A calendar day, written as 2027-03-09 (ISO 8601).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Date(civil::Date);

/// A text that is not a calendar day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a day; write it as 2027-03-09")]
pub struct NotADay(String);

impl TryFrom<String> for Date {
    type Error = NotADay;

    fn try_from(text: String) -> Result<Self, NotADay> {
        let plain = text.len() == 10;
        text.parse().ok().filter(|_| plain).map(Self).ok_or(NotADay(text))
    }
}

impl Date {
    /// The day `days` later, or the last day of the calendar when that is out of range.
    #[must_use]
    pub fn plus_days(self, days: i64) -> Self {
        let later = jiff::Span::new().try_days(days).ok().and_then(|span| self.0.checked_add(span).ok());
        Self(later.unwrap_or(civil::Date::MAX))
    }

    /// The same day so many years later (earlier, if negative). Of a leap day it is 28 February in a year without one.
    #[must_use]
    pub fn plus_years(self, years: i16) -> Self {
        let limit = if years < 0 { civil::Date::MIN } else { civil::Date::MAX };
        let span = jiff::Span::new().try_years(years).ok();
        Self(span.and_then(|span| self.0.checked_add(span).ok()).unwrap_or(limit))
    }

    /// How many days this one is after `earlier`; negative when it is before.
    #[must_use]
    pub fn days_since(self, earlier: Self) -> i64 {
        (self.0 - earlier.0).get_days().into()
    }

    /// The day of the month, from 1, and the month, from 1.
    #[must_use]
    pub fn date_and_month(self) -> (u8, u8) {
        (self.0.day().unsigned_abs(), self.0.month().unsigned_abs())
    }

    /// The day of the week, 1 (Monday) to 7 (Sunday) as in ISO 8601.
    #[must_use]
    pub fn weekday(self) -> u8 {
        self.0.weekday().to_monday_one_offset().unsigned_abs()
    }

    /// Whether both days are in the same week, Monday to Sunday.
    #[must_use]
    pub fn is_in_week_of(self, other: Self) -> bool {
        self.0.iso_week_date().week() == other.0.iso_week_date().week()
            && self.0.iso_week_date().year() == other.0.iso_week_date().year()
    }
}

impl From<civil::Date> for Date {
    fn from(date: civil::Date) -> Self {
        Self(date)
    }
}

impl From<Date> for civil::Date {
    fn from(date: Date) -> Self {
        date.0
    }
}

impl From<Date> for String {
    fn from(date: Date) -> Self {
        date.0.to_string()
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Milliseconds from midnight to a time of day such as 10:00 or 09:30:15.
///
/// # Errors
/// A sentence saying what form is right.
pub fn clock_ms(time: &str) -> Result<i64, String> {
    let format = match time.len() {
        5 => "%H:%M",
        8 => "%H:%M:%S",
        _ => "",
    };
    let time_of_day = civil::Time::strptime(format, time);
    let time_of_day = time_of_day.ok().filter(|_| !format.is_empty() && !time.contains(' '));
    let time_of_day =
        time_of_day.ok_or_else(|| format!("`start` is {time}; it must be a time of day such as 10:00"))?;
    Ok((time_of_day - civil::Time::midnight()).total(jiff::Unit::Second).map_or(0, |s| s as i64) * 1000)
}

#[cfg(feature = "ts-rs")]
impl ts_rs::TS for Date {
    type WithoutGenerics = Self;
    type OptionInnerType = Self;
    fn name(_: &ts_rs::Config) -> String {
        "string".to_owned()
    }
    fn inline(_: &ts_rs::Config) -> String {
        "string".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_days_of_the_calendar_are_taken() {
        let day = |text: &str| Date::try_from(text.to_owned()).map(|d| d.to_string());
        assert_eq!(day("2027-03-09"), Ok("2027-03-09".into()));
        assert_eq!(day("2028-02-29"), Ok("2028-02-29".into()), "a leap day");
        for wrong in ["2027-02-29", "9.3.2027", "2027-03-09T10:00", "", "tomorrow"] {
            assert_eq!(day(wrong), Err(NotADay(wrong.into())));
        }
    }
}
