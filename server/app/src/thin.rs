//! Which backups of a folder stay: of the last days one each, of the last weeks and months one each too.

use std::str::FromStr;

use jiff::civil::{DateTime, ISOWeekDate};

/// How many days, weeks and months keep their newest backup.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Thinned {
    days: usize,
    weeks: usize,
    months: usize,
}

impl FromStr for Thinned {
    type Err = String;

    fn from_str(given: &str) -> Result<Self, String> {
        let wrong = || format!("`{given}` must be three numbers such as 7,4,3: of days, weeks and months");
        let numbers = given.split(',').map(|number| number.trim().parse::<u16>().map(usize::from));
        let numbers: Vec<usize> = numbers.collect::<Result<_, _>>().map_err(|_| wrong())?;
        match numbers[..] {
            [days, weeks, months] if days > 0 => Ok(Self { days, weeks, months }),
            _ => Err(wrong()),
        }
    }
}

impl Thinned {
    /// Whether each of these backups stays, which are given by their times, the newest first. Only days, weeks and months that
    /// have a backup count.
    pub(crate) fn stay(self, times: &[DateTime]) -> Vec<bool> {
        let day = |at: &DateTime| (at.year(), i16::from(at.month()), at.day());
        let week = |at: &DateTime| {
            let week: ISOWeekDate = at.date().iso_week_date();
            (week.year(), i16::from(week.week()), 0)
        };
        let month = |at: &DateTime| (at.year(), i16::from(at.month()), 0);
        let days = newest(times, self.days, day);
        let weeks = newest(times, self.weeks, week);
        let months = newest(times, self.months, month);
        (0..times.len()).map(|at| days[at] || weeks[at] || months[at]).collect()
    }
}

/// Marks the newest of each of the last `most` stretches of time.
fn newest<K: PartialEq>(times: &[DateTime], most: usize, stretch: impl Fn(&DateTime) -> K) -> Vec<bool> {
    let mut seen: Vec<K> = Vec::new();
    let mark = |at: &DateTime| {
        let of = stretch(at);
        let is_first = seen.len() < most && !seen.contains(&of);
        if is_first {
            seen.push(of);
        }
        is_first
    };
    times.iter().map(mark).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests")]
mod tests {
    use jiff::ToSpan;
    use jiff::civil::date;

    use super::*;

    /// W-45: after a year of nights there are 7 of days, 4 of weeks and 3 of months, which share their newest.
    #[test]
    fn after_a_year_of_nights_days_weeks_and_months_have_one_each() {
        // 2026-11-29 is a Sunday.
        let newest = date(2026, 11, 29).at(3, 15, 0, 0);
        let nights: Vec<DateTime> = (0..365).map(|days| newest - days.days()).collect();
        let stay = Thinned { days: 7, weeks: 4, months: 3 }.stay(&nights);
        let kept = nights.iter().zip(stay).filter(|(_, stays)| *stays);
        let kept: Vec<String> = kept.map(|(at, _)| at.date().to_string()).collect();
        let days = [
            "2026-11-29",
            "2026-11-28",
            "2026-11-27",
            "2026-11-26",
            "2026-11-25",
            "2026-11-24",
            "2026-11-23",
        ];
        // The other weeks end on their Sundays, the other months on their last days.
        let others = ["2026-11-22", "2026-11-15", "2026-11-08", "2026-10-31", "2026-09-30"];
        assert_eq!(kept, [&days[..], &others[..]].concat());
    }

    #[test]
    fn the_newest_stays_and_what_is_no_three_numbers_is_refused() {
        let day = date(2026, 1, 1);
        let times = [day.at(18, 0, 0, 0), day.at(9, 0, 0, 0)];
        assert_eq!(Thinned { days: 1, weeks: 0, months: 0 }.stay(&times), [true, false]);
        assert_eq!("7, 4,3".parse(), Ok(Thinned { days: 7, weeks: 4, months: 3 }));
        for wrong in ["7", "7,4", "0,4,3", "a,b,c", ""] {
            let error = wrong.parse::<Thinned>().unwrap_err();
            assert!(error.contains("three numbers such as 7,4,3"), "{error}");
        }
    }
}
