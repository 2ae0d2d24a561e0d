//! The few statistics that a person's page has: a median of few days with its interval, and a slope that one odd day does
//! not pull. Where there are too few days for one, there is none.

use serde::{Deserialize, Serialize};

/// From so many days on a median has an interval: of five, even the smallest and the largest hold it in less than 95 of 100
/// cases (the binomial distribution with p = 1/2).
const INTERVAL_FROM: usize = 6;
/// From so many days on, and over so many days, there is a slope (an agreed choice).
const SLOPE_FROM: usize = 8;
const SLOPE_OVER_DAYS: i64 = 56;
/// The slope is told per four weeks.
const FOUR_WEEKS_DAYS: f64 = 28.0;
/// The point of the normal distribution beyond which 2.5 of 100 lie.
const Z: f64 = 1.959_963_984_540_054;

/// A median, and the two values between which the middle of all such days lies with at least 95 % confidence.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Middle {
    /// The median.
    pub median: f64,
    /// The interval; absent for fewer than six values.
    pub interval: Option<(f64, f64)>,
}

/// How a measure changes, per four weeks.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Slope {
    /// The middle of the slopes between all pairs of days (Theil 1950, Sen 1968).
    pub per_four_weeks: f64,
    /// Its 95 % limits.
    pub limits: (f64, f64),
}

/// The median of values with its interval; `None` without any.
#[must_use]
pub fn middle(values: &[f64]) -> Option<Middle> {
    let sorted = sorted(values);
    let interval = (sorted.len() >= INTERVAL_FROM).then(|| {
        let k = order(sorted.len());
        Some((*sorted.get(k - 1)?, *sorted.get(sorted.len() - k)?))
    });
    Some(Middle { median: median_of(&sorted)?, interval: interval.flatten() })
}

/// The largest k for which the k-th smallest and the k-th largest of `n` values hold the median with at least 95 %
/// confidence; at least 1.
fn order(n: usize) -> usize {
    // The chance that fewer than k of n values lie on one side is a sum of binomial coefficients.
    let half_n = 0.5_f64.powi(i32::try_from(n).unwrap_or(i32::MAX));
    let (mut coefficient, mut below, mut k) = (1.0, 0.0, 0);
    while k < n {
        below += coefficient * half_n;
        if 2.0 * below > 0.05 {
            break;
        }
        k += 1;
        coefficient = coefficient * (n - k + 1) as f64 / k as f64;
    }
    k.max(1)
}

/// How a measure changes over days, given as pairs of a day and a value; `None` for fewer than eight days, or less than
/// eight weeks.
#[must_use]
pub fn slope(points: &[(i64, f64)]) -> Option<Slope> {
    let first = points.iter().map(|(day, _)| *day).min()?;
    let last = points.iter().map(|(day, _)| *day).max()?;
    if points.len() < SLOPE_FROM || last - first < SLOPE_OVER_DAYS {
        return None;
    }
    let (slope, limits) = theil_sen(points)?;
    let four = |per_day: f64| per_day * FOUR_WEEKS_DAYS;
    Some(Slope { per_four_weeks: four(slope), limits: (four(limits.0), four(limits.1)) })
}

/// The slope per day and its 95 % limits; `None` for fewer than two days. Pairs of one day are left out. The limits are
/// those of Sen 1968, with ties counted in the variance of Kendall's statistic.
#[must_use]
pub fn theil_sen(points: &[(i64, f64)]) -> Option<(f64, (f64, f64))> {
    let mut slopes = Vec::new();
    for (index, (day, value)) in points.iter().enumerate() {
        for (other, value_then) in points.iter().skip(index + 1).filter(|(other, _)| other != day) {
            slopes.push((value_then - value) / (other - day) as f64);
        }
    }
    slopes.sort_by(f64::total_cmp);
    let middle = median_of(&slopes)?;
    let n = points.len() as f64;
    let term = |k: f64| k * (k - 1.0) * (2.0 * k + 5.0);
    let days: Vec<f64> = points.iter().map(|(day, _)| *day as f64).collect();
    let values: Vec<f64> = points.iter().map(|(_, value)| *value).collect();
    let tied = |of: &[f64]| ties(of).into_iter().map(|k| term(k as f64)).sum::<f64>();
    let variance = (term(n) - tied(&days) - tied(&values)) / 18.0;
    let (count, reach) = (slopes.len() as f64, Z * variance.max(0.0).sqrt());
    let last = slopes.len() - 1;
    let place = |at: f64| at.round_ties_even().max(0.0) as usize;
    let lower = place((count - reach) / 2.0).saturating_sub(1).min(last);
    let upper = place((count + reach) / 2.0).min(last);
    Some((middle, (slopes[lower], slopes[upper])))
}

/// How often each value that comes more than once does.
fn ties(values: &[f64]) -> Vec<usize> {
    sorted(values).chunk_by(|a, b| a == b).map(<[f64]>::len).filter(|count| *count > 1).collect()
}

fn sorted(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted
}

fn median_of(sorted: &[f64]) -> Option<f64> {
    let half = sorted.len() / 2;
    let upper = *sorted.get(half)?;
    Some(if sorted.len().is_multiple_of(2) { f64::midpoint(*sorted.get(half - 1)?, upper) } else { upper })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests")]
mod tests {
    use super::*;

    /// Helsel and Hirsch, chapter 10 (data from memory; the figures were computed with scipy 1.17.1): one odd day pulls a
    /// least-squares line, and not this one. The second set has limits on both sides of nothing.
    #[test]
    fn worked_examples() {
        let of = |days: &[i64], values: &[f64]| {
            theil_sen(&days.iter().copied().zip(values.iter().copied()).collect::<Vec<_>>()).unwrap()
        };
        let odd = of(&[1, 2, 3, 4, 5, 6, 7], &[1.0, 2.0, 3.0, 4.0, 5.0, 16.0, 7.0]);
        assert_eq!(odd, (1.0, (1.0, 3.5)));
        let flat = of(&[0, 1, 2, 4, 5, 8], &[11.0, 12.0, 10.0, 13.0, 14.0, 13.0]);
        assert_eq!((flat.0, flat.1.0), (0.5, -0.5));
        assert!((flat.1.1 - 4.0 / 3.0).abs() < 1e-12);
    }

    /// The binomial distribution: 1 - 2 sum C(n,i)/2^n for i below k.
    #[test]
    fn the_interval_of_a_median_begins_at_six_days_and_narrows() {
        let found: Vec<usize> = (6..=12).map(order).collect();
        assert_eq!(found, [1, 1, 1, 2, 2, 2, 3]);
        let five = middle(&[1.0, 2.0, 3.0, 4.0, 5.0]).unwrap();
        assert_eq!((five.median, five.interval), (3.0, None));
        let nine: Vec<f64> = (1..=9).map(f64::from).collect();
        assert_eq!(middle(&nine).unwrap().interval, Some((2.0, 8.0)));
        assert_eq!(middle(&[]), None);
    }

    #[test]
    fn a_slope_takes_eight_days_over_eight_weeks() {
        let weekly = |n: i64, apart: i64| (0..n).map(|week| (week * apart, week as f64)).collect::<Vec<_>>();
        assert_eq!(slope(&weekly(7, 14)), None);
        assert_eq!(slope(&weekly(8, 7)), None, "49 days");
        let found = slope(&weekly(9, 7)).unwrap();
        assert_eq!((found.per_four_weeks, found.limits), (4.0, (4.0, 4.0)));
    }
}
