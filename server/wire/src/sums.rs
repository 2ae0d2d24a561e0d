//! Sums for those who fund the organisation.

use samebreath_core::record::sums::Sums;
use samebreath_core::time::day::Date;
use serde::Serialize;

/// The sums of a period.
#[derive(Debug, Clone, Serialize, ts_rs::TS)]
pub struct PeriodSums {
    /// The first day of the period.
    pub from: Date,
    /// The last.
    pub to: Date,
    /// The sums.
    pub sums: Sums,
}
