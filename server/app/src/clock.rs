//! The room's clock: UTC read once at start, carried on by the monotonic clock, so that a step of
//! the system's clock cannot move a running class.

use std::time::{Instant, SystemTime, UNIX_EPOCH};

use samebreath_core::time::EpochMs;
use uuid::Uuid;

/// One clock for one run of the server.
#[derive(Debug, Clone, Copy)]
pub struct Clock {
    started: Instant,
    started_at_ms: f64,
    id: Uuid,
}

impl Clock {
    /// Reads the system's clock.
    #[must_use]
    pub fn start() -> Self {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        Self { started: Instant::now(), started_at_ms: since.as_secs_f64() * 1000.0, id: Uuid::new_v4() }
    }

    /// Milliseconds since 1970 with their fraction, for clock answers.
    #[must_use]
    pub fn precise_ms(&self) -> f64 {
        self.started_at_ms + self.started.elapsed().as_secs_f64() * 1000.0
    }

    /// Now, in whole milliseconds.
    #[must_use]
    pub fn now(&self) -> EpochMs {
        #[expect(clippy::cast_possible_truncation, reason = "2^53 ms is in the year 287396")]
        EpochMs(self.precise_ms() as i64)
    }

    /// Names this clock; another run of the server has another one.
    #[must_use]
    pub fn id(&self) -> Uuid {
        self.id
    }
}
