//! The phases of a repetition as a drill's file gives them.

use serde::{Deserialize, Serialize};

use crate::drill::dose::{Dose, Hold};
use crate::drill::phase::Phase;
use crate::item::Part;
use crate::text::Line;

/// One phase of a repetition as the drill's file gives it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PhaseSpec {
    /// What people do in it.
    pub phase: Phase,
    /// The cue on the screen.
    pub cue: Line<80>,
    /// How long it lasts, with the marks of an open hold.
    pub length: Hold,
    /// The firmer end of a hold: its length in milliseconds, shorter than the hold, and its cue.
    pub firm: Option<(i64, Line<80>)>,
    /// The pose that the picture shows; `None` for the side's or the drill's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pose: Option<Line<40>>,
    /// The part of the repetition's item that is shown large; absent where the cue alone is shown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<Part>,
    /// Where the tune of the voice goes at the end, drawn beside the words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tune: Option<Tune>,
    /// The time from one beat to the next, in milliseconds; absent where there is no beat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub beat_ms: Option<i64>,
}

impl PhaseSpec {
    /// How long it lasts in a dose.
    #[must_use]
    pub fn length_in(&self, dose: &Dose) -> Hold {
        let other = match self.phase {
            Phase::Hold => dose.hold,
            phase => dose.lengths.of(phase).map(|ms| Hold::Fixed { ms }),
        };
        other.unwrap_or(self.length)
    }
}

/// Where the tune of a sentence goes at its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Tune {
    /// Up, as in a question.
    Rise,
    /// Down, as in a statement.
    Fall,
}
