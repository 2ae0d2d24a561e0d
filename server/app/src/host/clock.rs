//! The server's clock. It starts from the system's time and is carried on by the machine's own clock, which
//! nobody sets and which runs even while the machine sleeps. After that it follows the system's clock only
//! slowly, so that setting the system's clock cannot move a running class. While no class is live, it follows a
//! step forward at once.

use std::sync::{Arc, PoisonError, RwLock};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use samebreath_core::time::EpochMs;
use uuid::Uuid;

/// How much faster or slower than the machine's clock it may run. That is half a millisecond in ten seconds, less
/// than can be seen between two screens.
const MOST_SLEW: f64 = 50e-6;
/// The time over which a difference is made up, unless that would exceed [`MOST_SLEW`].
const MADE_UP_IN_MS: f64 = 60_000.0;
/// A difference larger than this is not drift: somebody has set the system's clock.
const STEP_MS: f64 = 2_000.0;

/// The clock of one run of the server. It is cheap to clone.
#[derive(Debug, Clone)]
pub struct Clock(Arc<RwLock<Course>>);

/// How the clock runs: UTC at an instant of the machine's own clock, and how fast it goes on from there.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Course {
    since_ms: f64,
    utc_ms: f64,
    rate: f64,
    id: Uuid,
}

/// What came of a check of the system's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Followed {
    /// The two clocks agree, or are drawing closer.
    Closely,
    /// The system's clock was set forward, and so was this one.
    Stepped,
    /// The system's clock is this many milliseconds ahead (behind, if negative) and cannot be followed now: it is
    /// behind, or a class is live.
    Apart(f64),
}

impl Course {
    fn at(&self, machine_ms: f64) -> f64 {
        self.utc_ms + (machine_ms - self.since_ms) * self.rate
    }

    /// Follows the system's clock, without ever jumping back.
    fn follow(&mut self, machine_ms: f64, system_ms: f64, may_step: bool, id: Uuid) -> Followed {
        let utc_ms = self.at(machine_ms);
        let ahead_ms = system_ms - utc_ms;
        if ahead_ms > STEP_MS && may_step {
            *self = Self { since_ms: machine_ms, utc_ms: system_ms, rate: 1.0, id };
            return Followed::Stepped;
        }
        let slew = (ahead_ms / MADE_UP_IN_MS).clamp(-MOST_SLEW, MOST_SLEW);
        *self = Self { since_ms: machine_ms, utc_ms, rate: 1.0 + slew, id: self.id };
        if ahead_ms.abs() > STEP_MS { Followed::Apart(ahead_ms) } else { Followed::Closely }
    }
}

impl Clock {
    /// Starts a clock at the system's time.
    #[must_use]
    pub fn start() -> Self {
        let course = Course { since_ms: machine_ms(), utc_ms: system_ms(), rate: 1.0, id: Uuid::new_v4() };
        Self(Arc::new(RwLock::new(course)))
    }

    /// Sets the clock past `last` if it is not already: the system's clock may have been set back while the
    /// server was down, and later events must not have earlier times. Returns by how many milliseconds it had to
    /// be moved.
    pub fn not_before(&self, last: EpochMs) -> i64 {
        let mut course = self.0.write().unwrap_or_else(PoisonError::into_inner);
        let now_ms = machine_ms();
        #[expect(clippy::cast_precision_loss, reason = "2^53 ms is in the year 287396")]
        let behind_ms = (last.0 + 1) as f64 - course.at(now_ms);
        if behind_ms > 0.0 {
            *course = Course { since_ms: now_ms, utc_ms: course.at(now_ms) + behind_ms, ..*course };
        }
        #[expect(clippy::cast_possible_truncation, reason = "as above")]
        let behind_ms = behind_ms.max(0.0) as i64;
        behind_ms
    }

    /// Follows the system's clock. `may_step` says that no class is live, so that a step forward may be taken at
    /// once.
    pub fn follow(&self, may_step: bool) -> Followed {
        let mut course = self.0.write().unwrap_or_else(PoisonError::into_inner);
        course.follow(machine_ms(), system_ms(), may_step, Uuid::new_v4())
    }

    /// Now, in milliseconds since 1970 with their fraction, for answers to clock questions.
    #[must_use]
    pub fn precise_ms(&self) -> f64 {
        self.course().at(machine_ms())
    }

    /// Now, in whole milliseconds.
    #[must_use]
    pub fn now(&self) -> EpochMs {
        #[expect(clippy::cast_possible_truncation, reason = "2^53 ms is in the year 287396")]
        EpochMs(self.precise_ms() as i64)
    }

    /// The id of this clock. It changes when the server starts again and when the clock steps, so that browsers
    /// know to measure anew.
    #[must_use]
    pub fn id(&self) -> Uuid {
        self.course().id
    }

    fn course(&self) -> Course {
        *self.0.read().unwrap_or_else(PoisonError::into_inner)
    }
}

fn system_ms() -> f64 {
    SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default().as_secs_f64() * 1000.0
}

/// The machine's own clock, which nobody sets. On Linux it runs even while the machine sleeps.
#[cfg(target_os = "linux")]
fn machine_ms() -> f64 {
    let at = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
    Duration::new(at.tv_sec.cast_unsigned(), u32::try_from(at.tv_nsec).unwrap_or(0)).as_secs_f64() * 1000.0
}

#[cfg(not(target_os = "linux"))]
fn machine_ms() -> f64 {
    use std::sync::LazyLock;
    use std::time::Instant;
    static BEGAN: LazyLock<Instant> = LazyLock::new(Instant::now);
    BEGAN.elapsed().as_secs_f64() * 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const OLD: Uuid = Uuid::from_u128(1);
    const NEW: Uuid = Uuid::from_u128(2);

    fn course() -> Course {
        Course { since_ms: 0.0, utc_ms: 1_000_000.0, rate: 1.0, id: OLD }
    }

    /// A drift of half a second a day is made up a little at a time, and the clock always runs forward.
    #[test]
    fn drift_is_made_up_and_the_clock_never_runs_back() {
        let mut course = course();
        let (mut before, mut system_ms) = (0.0, 0.0);
        for look in 1..=8_640 * 3 {
            let machine_ms = f64::from(look) * 10_000.0;
            // The system's clock runs 6 in a million slower than the machine's.
            system_ms = 1_000_000.0 + machine_ms * (1.0 - 6e-6);
            assert_eq!(course.follow(machine_ms, system_ms, false, NEW), Followed::Closely);
            let now = course.at(machine_ms);
            assert!(now > before, "the clock runs forward");
            before = now;
        }
        let apart = (course.at(8_640.0 * 3.0 * 10_000.0) - system_ms).abs();
        assert!(apart < 1.0, "the clocks are {apart} ms apart after three days");
        assert_eq!(course.id, OLD, "the clock keeps its id, so screens need not measure again");
    }

    #[test]
    fn a_clock_that_is_set_moves_no_live_class() {
        let mut course = course();
        let hour = 3_600_000.0;
        assert_eq!(course.follow(10_000.0, 1_010_000.0 + hour, false, NEW), Followed::Apart(hour));
        let drift = course.at(20_000.0) - 1_020_000.0;
        assert!((0.0..=0.6).contains(&drift), "{drift} ms in ten seconds");
        let Followed::Apart(behind) = course.follow(20_000.0, 1_020_000.0 - hour, true, NEW) else {
            panic!("a clock that was set back is never followed by a jump")
        };
        assert!((behind + hour).abs() < 1.0);
        assert!(course.at(30_000.0) > course.at(20_000.0));
        assert_eq!(course.follow(30_000.0, 1_030_000.0 + hour, true, NEW), Followed::Stepped);
        assert_eq!(
            (course.at(30_000.0), course.id),
            (1_030_000.0 + hour, NEW),
            "a step forward is taken while no class is live"
        );
    }

    /// The server restarts and finds the system's clock an hour behind the ledger.
    #[test]
    fn a_server_goes_on_after_the_last_line_that_it_wrote() {
        let clock = Clock::start();
        let last = clock.now().plus(3_600_000);
        let behind = clock.not_before(last);
        assert!((3_599_000..=3_600_001).contains(&behind), "{behind}");
        assert!(clock.now() > last);
        assert_eq!(clock.not_before(EpochMs(0)), 0);
    }
}
