//! Adds up doses over days and weeks, in whole numbers.
//!
//! What printed programmes leave open is decided here, once. A week has 7 days, and a month is given in days. A
//! course that is not a number of whole weeks counts its part of a week, rounded to the nearest number. A share of
//! a person's own maximum is rounded down, so that nobody is asked for more than was meant. Adherence is never cut
//! off at 100 %.

use serde::{Deserialize, Serialize};

use crate::drill::Family;
use crate::people::person::Ceiling;
use crate::plan::timeline::Figures;

/// How often something is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Course {
    /// How often on each day it is done.
    pub times_a_day: u32,
    /// On how many days a week it is done, 1 to 7.
    pub days_a_week: u32,
    /// Days from the first to the last, counting 7 for each week.
    pub days: u32,
}

impl Course {
    /// A course of whole weeks.
    #[must_use]
    pub fn of_weeks(times_a_day: u32, days_a_week: u32, weeks: u32) -> Self {
        Self { times_a_day, days_a_week, days: weeks * 7 }
    }

    /// How much one week holds of `amount`, the count or the milliseconds of one time.
    #[must_use]
    pub fn per_week(&self, amount: i64) -> i64 {
        amount * i64::from(self.times_a_day) * i64::from(self.days_a_week)
    }

    /// How much the whole course holds of `amount`.
    #[must_use]
    pub fn in_all(&self, amount: i64) -> i64 {
        nearest(self.per_week(amount) * i64::from(self.days), 7)
    }
}

/// `share` per cent of a person's own maximum, rounded down.
#[must_use]
pub fn share_of(maximum: u32, percent: u32) -> u32 {
    u32::try_from(u64::from(maximum) * u64::from(percent) / 100).unwrap_or(u32::MAX)
}

/// How much of what was asked was done, in thousandths, rounded to the nearest; above 1000 when more was done.
/// `None` when nothing was asked.
#[must_use]
pub fn adherence(done: u32, asked: u32) -> Option<i64> {
    (asked > 0).then(|| nearest(i64::from(done) * 1000, i64::from(asked)))
}

/// `thousandths` of `amount`, rounded to the nearest.
#[must_use]
pub fn part_of(amount: i64, thousandths: i64) -> i64 {
    nearest(amount * thousandths, 1000)
}

fn nearest(amount: i64, by: i64) -> i64 {
    (2 * amount + by).div_euclid(2 * by)
}

/// What a person does of one family in one week, in class and at home.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Load {
    /// The family.
    pub family: Family,
    /// Repetitions, holds and milliseconds held.
    pub figures: Figures,
}

/// Adds up the loads of a week by family, in the order in which the families first come.
#[must_use]
pub fn week(loads: impl IntoIterator<Item = Load>) -> Vec<Load> {
    let mut sums: Vec<Load> = Vec::new();
    for load in loads {
        match sums.iter_mut().find(|sum| sum.family == load.family) {
            Some(sum) => sum.figures = [sum.figures, load.figures].into_iter().sum(),
            None => sums.push(load),
        }
    }
    sums
}

/// By how many repetitions a week goes over a ceiling; `None` when it does not.
#[must_use]
pub fn over(ceiling: Ceiling, week: &[Load]) -> Option<u32> {
    let load = week.iter().find(|load| load.family == ceiling.family)?;
    load.figures.reps.checked_sub(ceiling.reps_a_week).filter(|over| *over > 0)
}
