//! How long a step without a clock may take.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::time::seconds;

/// A time that is thought of in minutes and exact to the second, from 10 seconds to an hour. It is written as a number
/// of minutes, such as 5 or 1.5.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Minutes {
    seconds: u32,
}

/// The least and the most seconds (an agreed choice).
const BOUNDS_S: (u32, u32) = (10, 3_600);

impl Minutes {
    /// So many whole minutes.
    ///
    /// # Errors
    /// When they are none, or more than an hour.
    pub fn whole(minutes: u32) -> Result<Self, String> {
        let seconds = minutes.checked_mul(60).filter(|seconds| (60..=BOUNDS_S.1).contains(seconds));
        let seconds = seconds.ok_or_else(|| format!("`minutes` is {minutes}; it must be from 1 to 60"))?;
        Ok(Self { seconds })
    }

    /// So many seconds.
    ///
    /// # Errors
    /// When they are fewer than 10, or more than an hour.
    pub fn of_seconds(seconds: u32) -> Result<Self, String> {
        let (least, most) = BOUNDS_S;
        if (least..=most).contains(&seconds) {
            Ok(Self { seconds })
        } else {
            Err(format!("`seconds` is {seconds}; it must be from {least} to {most}"))
        }
    }

    /// The time in milliseconds.
    #[must_use]
    pub fn ms(self) -> i64 {
        seconds(i64::from(self.seconds))
    }

    /// The key and the number with which a plan's file says it.
    #[must_use]
    pub(super) fn written(self) -> (&'static str, u32) {
        if self.seconds.is_multiple_of(60) {
            ("minutes", self.seconds / 60)
        } else {
            ("seconds", self.seconds)
        }
    }
}

impl TryFrom<f64> for Minutes {
    type Error = String;

    fn try_from(minutes: f64) -> Result<Self, String> {
        let (least, most) = BOUNDS_S;
        let seconds = (minutes * 60.0).round();
        if seconds < f64::from(least) || seconds > f64::from(most) || seconds.is_nan() {
            return Err(format!("{minutes} minutes; a step takes from 10 seconds to 60 minutes"));
        }
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "whole, and from 10 to 3600"
        )]
        Ok(Self { seconds: seconds as u32 })
    }
}

impl From<Minutes> for f64 {
    fn from(minutes: Minutes) -> Self {
        Self::from(minutes.seconds) / 60.0
    }
}

impl fmt::Display for Minutes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", f64::from(*self))
    }
}

#[cfg(feature = "ts-rs")]
impl ts_rs::TS for Minutes {
    type WithoutGenerics = Self;
    type OptionInnerType = Self;
    fn name(_: &ts_rs::Config) -> String {
        "number".to_owned()
    }
    fn inline(_: &ts_rs::Config) -> String {
        "number".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_second_from_ten_to_an_hour_comes_back_from_its_number_of_minutes() {
        for seconds in 10..=3_600 {
            let minutes = Minutes::of_seconds(seconds).expect("within bounds");
            let written = serde_json::to_string(&minutes).expect("a number");
            assert_eq!(serde_json::from_str::<Minutes>(&written).ok(), Some(minutes), "{written}");
        }
        assert_eq!(
            serde_json::from_str::<Minutes>("5").ok(),
            Minutes::whole(5).ok(),
            "as earlier versions wrote it"
        );
        for wrong in ["0", "0.1", "60.1", "-3", "1e300"] {
            assert!(serde_json::from_str::<Minutes>(wrong).is_err(), "{wrong}");
        }
    }
}
