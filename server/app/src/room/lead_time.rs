//! The lead time: how far ahead a change takes effect, so that nearly every screen has it by then.

use std::collections::HashMap;

use crate::room::handle::ConnectionId;

/// The shortest lead time.
const LEAST_MS: f64 = 250.0;
/// The longest lead time. Screens farther away get the change when it is already under way.
const MOST_MS: f64 = 1500.0;
/// An allowance for drawing, and for round trips that vary.
const MARGIN_MS: f64 = 100.0;

/// The lead time for these round trips: the one that 95 in 100 stay below, plus a margin.
pub fn lead_time_ms(round_trips: &HashMap<ConnectionId, f64>) -> i64 {
    let mut all: Vec<f64> = round_trips.values().copied().collect();
    let slow = all.len().saturating_sub(1) * 95 / 100;
    let round_trip = if all.is_empty() { 0.0 } else { *all.select_nth_unstable_by(slow, f64::total_cmp).1 };
    #[expect(clippy::cast_possible_truncation, reason = "bounded above")]
    let lead = (round_trip + MARGIN_MS).clamp(LEAST_MS, MOST_MS) as i64;
    lead
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lead_follows_the_slow_screens_within_bounds() {
        let check = |round_trips: &[f64], expected: i64| {
            let map = (1..).map(ConnectionId).zip(round_trips.iter().copied()).collect();
            assert_eq!(lead_time_ms(&map), expected, "{round_trips:?}");
        };
        check(&[], 250);
        check(&[20.0, 30.0], 250);
        check(&[300.0], 400);
        check(&[9_000.0], 1_500);
        let mut class = [40.0; 40];
        class[7] = 5_000.0;
        check(&class, 250);
    }
}
