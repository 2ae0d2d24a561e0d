//! Instants on the server's clock.

pub mod day;

use serde::{Deserialize, Serialize};

/// Milliseconds since 1970-01-01T00:00:00Z on the server's clock.
///
/// Everything on which screens must agree is an `EpochMs`. Lengths are plain `i64` milliseconds, in names that end
/// in `_ms`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct EpochMs(pub i64);

impl EpochMs {
    /// The instant `ms` milliseconds later (earlier when negative).
    #[must_use]
    pub fn plus(self, ms: i64) -> Self {
        Self(self.0.saturating_add(ms))
    }

    /// Milliseconds from `earlier` to this instant; negative when `earlier` is later.
    #[must_use]
    pub fn since(self, earlier: Self) -> i64 {
        self.0.saturating_sub(earlier.0)
    }
}

/// Milliseconds of `seconds`.
#[must_use]
pub const fn seconds(seconds: i64) -> i64 {
    seconds * 1000
}

/// Milliseconds as people write them, in seconds: `12`, `0.5`, `2.25`.
#[must_use]
pub fn in_seconds(ms: i64) -> String {
    let (sign, ms) = (if ms < 0 { "-" } else { "" }, ms.unsigned_abs());
    let written = format!("{sign}{}.{:03}", ms / 1000, ms % 1000);
    written.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    #[test]
    fn seconds_are_written_as_people_write_them() {
        let written = [12_000, 500, 2_250, 0, -1, 20_010].map(super::in_seconds);
        assert_eq!(written, ["12", "0.5", "2.25", "0", "-0.001", "20.01"]);
    }
}
