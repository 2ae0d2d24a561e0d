//! Doses: how often, how long, and with how much rest.

use serde::{Deserialize, Serialize};

use crate::drill::phase::Phase;
use crate::time::in_seconds;

/// How long a hold lasts on the shared clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Hold {
    /// Everyone holds for the same time.
    Fixed {
        /// Length in milliseconds.
        ms: i64,
    },
    /// Each person holds for as long as is good for them today; the clock runs to the limit.
    Open {
        /// The first mark: the least that is worth doing.
        floor_ms: i64,
        /// The aim for most people; what the plan counts as held.
        target_ms: i64,
        /// Where the clock ends the hold.
        limit_ms: i64,
    },
}

impl Hold {
    /// How long the hold takes on the shared clock, in milliseconds.
    #[must_use]
    pub fn clock_ms(self) -> i64 {
        match self {
            Self::Fixed { ms } => ms,
            Self::Open { limit_ms, .. } => limit_ms,
        }
    }

    /// The milliseconds that a plan counts as held: the fixed length, or the target of an open hold.
    #[must_use]
    pub fn planned_ms(self) -> i64 {
        match self {
            Self::Fixed { ms } => ms,
            Self::Open { target_ms, .. } => target_ms,
        }
    }
}

/// The complete dose of one drill. It is built from a drill and a plan step's changes, and every bound is checked
/// on the way, so a `Dose` always compiles.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Dose {
    /// Sets, 1 to 20.
    pub sets: u32,
    /// Repetitions in a set, 1 to 100.
    pub reps: u32,
    /// The length of every hold phase; `None` for the length in the drill.
    pub hold: Option<Hold>,
    /// Rest between two repetitions, in milliseconds; there is none after the last.
    pub rest_ms: i64,
    /// Rest between two sets, in milliseconds; there is none after the last.
    pub set_rest_ms: i64,
    /// Time to change from one side or position to the next, in milliseconds.
    pub switch_ms: i64,
    /// Time to explain the drill before the first repetition, in milliseconds.
    #[serde(default)]
    pub explain_ms: i64,
    /// How many repetitions are shown first, 0 to 3, while people watch.
    #[serde(default)]
    pub shown: u32,
    /// Other lengths of the phases that are no holds.
    #[serde(default)]
    pub lengths: Lengths,
}

/// Other lengths of a repetition's phases than those in the drill, in milliseconds.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[cfg_attr(feature = "ts-rs", ts(optional_fields))]
pub struct Lengths {
    /// Each breath in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub breathe_in_ms: Option<i64>,
    /// Each breath out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub breathe_out_ms: Option<i64>,
    /// Each phase in which people use their voice: a glide, a hum, a phrase, a hunt for words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub voice_ms: Option<i64>,
    /// Each movement.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub move_ms: Option<i64>,
}

impl Lengths {
    /// The phases that can be changed, by their names in files, and their lengths here.
    #[must_use]
    pub fn named(&self) -> [(&'static str, Phase, Option<i64>); 4] {
        [
            ("breathe_in", Phase::BreatheIn, self.breathe_in_ms),
            ("breathe_out", Phase::BreatheOut, self.breathe_out_ms),
            ("voice", Phase::Voice, self.voice_ms),
            ("move", Phase::Move, self.move_ms),
        ]
    }

    /// The length of a phase here, in milliseconds.
    #[must_use]
    pub fn of(&self, phase: Phase) -> Option<i64> {
        self.named().into_iter().find(|(_, of, _)| *of == phase)?.2
    }

    fn or(self, other: Self) -> Self {
        Self {
            breathe_in_ms: self.breathe_in_ms.or(other.breathe_in_ms),
            breathe_out_ms: self.breathe_out_ms.or(other.breathe_out_ms),
            voice_ms: self.voice_ms.or(other.voice_ms),
            move_ms: self.move_ms.or(other.move_ms),
        }
    }
}

/// Changes to a drill's usual dose, as a plan step or a desk gives them. What is absent stays as it is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[cfg_attr(feature = "ts-rs", ts(optional_fields))]
pub struct DoseChange {
    /// New number of sets.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sets: Option<u32>,
    /// New number of repetitions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reps: Option<u32>,
    /// New hold.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hold: Option<Hold>,
    /// New rest between repetitions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rest_ms: Option<i64>,
    /// New rest between sets.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_rest_ms: Option<i64>,
    /// New time to change sides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub switch_ms: Option<i64>,
    /// New time to explain.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub explain_ms: Option<i64>,
    /// New number of repetitions that are shown first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shown: Option<u32>,
    /// New lengths of the phases that are no holds; those that are not named stay as they are.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lengths: Option<Lengths>,
}

/// Why a dose was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DoseError {
    /// A count outside its bounds.
    #[error("{what} is {found}; it must be from {least} to {most}")]
    Count {
        /// What was counted.
        what: &'static str,
        /// The number given.
        found: u32,
        /// Smallest allowed.
        least: u32,
        /// Largest allowed.
        most: u32,
    },
    /// A length outside its bounds.
    #[error(
        "{what} is {} s; it must be from {} to {} s",
        in_seconds(*found_ms), in_seconds(*least_ms), in_seconds(*most_ms)
    )]
    Length {
        /// What was measured.
        what: &'static str,
        /// The length given.
        found_ms: i64,
        /// Smallest allowed.
        least_ms: i64,
        /// Largest allowed.
        most_ms: i64,
    },
    /// An open hold whose marks are out of order.
    #[error(
        "an open hold needs floor <= target <= limit; found floor {} s, target {} s, limit {} s",
        in_seconds(*floor_ms), in_seconds(*target_ms), in_seconds(*limit_ms)
    )]
    Marks {
        /// First mark.
        floor_ms: i64,
        /// Target.
        target_ms: i64,
        /// Limit.
        limit_ms: i64,
    },
}

/// Bounds of a working phase: half a second to ten minutes (an agreed choice).
pub const PHASE_MS: (i64, i64) = (500, 600_000);
/// Bounds of a beat: three tenths of a second to three seconds (an agreed choice).
pub const BEAT_MS: (i64, i64) = (300, 3_000);
/// Bounds of a rest: none to ten minutes (an agreed choice).
pub const REST_MS: (i64, i64) = (0, 600_000);

impl Dose {
    /// One repetition without rests.
    pub const ONCE: Self = Self {
        sets: 1,
        reps: 1,
        hold: None,
        rest_ms: 0,
        set_rest_ms: 0,
        switch_ms: 0,
        explain_ms: 0,
        shown: 0,
        lengths: Lengths { breathe_in_ms: None, breathe_out_ms: None, voice_ms: None, move_ms: None },
    };

    /// This dose with `change` applied.
    ///
    /// # Errors
    /// When a number in the result is out of bounds.
    pub fn changed(mut self, change: &DoseChange) -> Result<Self, DoseError> {
        self.sets = change.sets.unwrap_or(self.sets);
        self.reps = change.reps.unwrap_or(self.reps);
        self.hold = change.hold.or(self.hold);
        self.rest_ms = change.rest_ms.unwrap_or(self.rest_ms);
        self.set_rest_ms = change.set_rest_ms.unwrap_or(self.set_rest_ms);
        self.switch_ms = change.switch_ms.unwrap_or(self.switch_ms);
        self.explain_ms = change.explain_ms.unwrap_or(self.explain_ms);
        self.shown = change.shown.unwrap_or(self.shown);
        self.lengths = change.lengths.unwrap_or_default().or(self.lengths);
        self.check()?;
        Ok(self)
    }

    /// Checks every bound.
    ///
    /// # Errors
    /// The first number that is out of bounds.
    pub fn check(&self) -> Result<(), DoseError> {
        count("sets", self.sets, (1, 20))?;
        count("reps", self.reps, (1, 100))?;
        count("shown", self.shown, (0, 3))?;
        if let Some(hold) = self.hold {
            check_hold(hold)?;
        }
        length("rest", self.rest_ms, REST_MS)?;
        length("set_rest", self.set_rest_ms, REST_MS)?;
        length("switch", self.switch_ms, REST_MS)?;
        length("explain", self.explain_ms, REST_MS)?;
        for (name, _, ms) in self.lengths.named() {
            ms.map_or(Ok(()), |ms| length(name, ms, PHASE_MS))?;
        }
        Ok(())
    }
}

/// Checks the length, or the marks, of a hold.
///
/// # Errors
/// When a length is out of bounds or the marks are out of order.
pub fn check_hold(hold: Hold) -> Result<(), DoseError> {
    match hold {
        Hold::Fixed { ms } => length("hold", ms, PHASE_MS),
        Hold::Open { floor_ms, target_ms, limit_ms } => {
            length("floor", floor_ms, PHASE_MS)?;
            length("limit", limit_ms, PHASE_MS)?;
            if floor_ms <= target_ms && target_ms <= limit_ms {
                Ok(())
            } else {
                Err(DoseError::Marks { floor_ms, target_ms, limit_ms })
            }
        }
    }
}

/// Checks a length against `(least, most)`.
///
/// # Errors
/// When the length is outside these bounds.
pub fn length(what: &'static str, found_ms: i64, (least_ms, most_ms): (i64, i64)) -> Result<(), DoseError> {
    if (least_ms..=most_ms).contains(&found_ms) {
        Ok(())
    } else {
        Err(DoseError::Length { what, found_ms, least_ms, most_ms })
    }
}

fn count(what: &'static str, found: u32, (least, most): (u32, u32)) -> Result<(), DoseError> {
    if (least..=most).contains(&found) { Ok(()) } else { Err(DoseError::Count { what, found, least, most }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DOSE: Dose = Dose { reps: 5, ..Dose::ONCE };

    #[test]
    fn a_change_is_checked_as_a_whole() {
        let check = |change: DoseChange, expected: &str| {
            let found = DOSE.changed(&change).map_or_else(|e| e.to_string(), |_| "fine".to_owned());
            assert_eq!(found, expected);
        };
        let hold = |floor_ms, target_ms, limit_ms| DoseChange {
            hold: Some(Hold::Open { floor_ms, target_ms, limit_ms }),
            ..DoseChange::default()
        };
        check(DoseChange { reps: Some(10), ..DoseChange::default() }, "fine");
        check(hold(10_000, 20_000, 25_000), "fine");
        check(
            hold(10_000, 30_000, 25_000),
            "an open hold needs floor <= target <= limit; found floor 10 s, target 30 s, limit 25 s",
        );
        check(DoseChange { sets: Some(0), ..DoseChange::default() }, "sets is 0; it must be from 1 to 20");
        check(
            DoseChange { rest_ms: Some(-1), ..DoseChange::default() },
            "rest is -0.001 s; it must be from 0 to 600 s",
        );
    }
}
