//! Drills: what an exercise is. Read from one TOML file each by [`read`].

pub mod dose;
mod read;

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::drill::dose::{Dose, Hold};
use crate::text::Line;

pub(crate) use read::read_reference;
pub use read::{read, read_dose_change};

/// The name of a drill's file without its ending, such as `steady-ah`.
pub type DrillId = Line<60>;

/// Families share cautions and clearance (the rows of the precaution grid).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "the names are the trade's own")]
pub enum Family {
    Posture,
    Breath,
    Cough,
    Trainer,
    Voice,
    EffortfulSwallow,
    TongueHold,
    HoldAtTop,
    HeadLift,
    ChinTuck,
    JawOpening,
    Neck,
    LipsFace,
    Words,
}

pub(crate) const FAMILIES: [(&str, Family); 14] = [
    ("posture", Family::Posture),
    ("breath", Family::Breath),
    ("cough", Family::Cough),
    ("trainer", Family::Trainer),
    ("voice", Family::Voice),
    ("effortful-swallow", Family::EffortfulSwallow),
    ("tongue-hold", Family::TongueHold),
    ("hold-at-top", Family::HoldAtTop),
    ("head-lift", Family::HeadLift),
    ("chin-tuck", Family::ChinTuck),
    ("jaw-opening", Family::JawOpening),
    ("neck", Family::Neck),
    ("lips-face", Family::LipsFace),
    ("words", Family::Words),
];

impl Family {
    /// Off for everybody, whatever their precautions, until a clinician cleared the person for it.
    #[must_use]
    pub fn needs_clearing(self) -> bool {
        matches!(self, Self::Trainer | Self::HeadLift)
    }

    /// Swallow drills are off for a person until a clinician turns them on.
    #[must_use]
    pub fn is_swallow(self) -> bool {
        matches!(self, Self::EffortfulSwallow | Self::TongueHold | Self::HoldAtTop)
    }
}

/// What a timed part of a repetition asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "the names are the trade's own")]
pub enum Phase {
    GetReady,
    BreatheIn,
    BreatheOut,
    Move,
    Voice,
    Hold,
    /// The firmer last seconds of a hold.
    FirmUp,
    Swallow,
    Release,
    Rest,
    /// A rest in which a sip is fine for those whose plan allows it.
    Sip,
    ChangeSides,
}

pub(crate) const PHASES: [(&str, Phase); 12] = [
    ("get-ready", Phase::GetReady),
    ("breathe-in", Phase::BreatheIn),
    ("breathe-out", Phase::BreatheOut),
    ("move", Phase::Move),
    ("voice", Phase::Voice),
    ("hold", Phase::Hold),
    ("firm-up", Phase::FirmUp),
    ("swallow", Phase::Swallow),
    ("release", Phase::Release),
    ("rest", Phase::Rest),
    ("sip", Phase::Sip),
    ("change-sides", Phase::ChangeSides),
];

impl Phase {
    /// Held seconds are those of a hold and of its firmer end.
    #[must_use]
    pub fn is_held(self) -> bool {
        matches!(self, Self::Hold | Self::FirmUp)
    }

    /// Phases before which a person needs notice: a jump never lands in one without warning.
    #[must_use]
    pub fn needs_notice(self) -> bool {
        matches!(self, Self::Hold | Self::FirmUp | Self::Swallow | Self::Voice | Self::Move)
    }
}

/// One phase of a repetition as the drill's file gives it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PhaseSpec {
    /// What it asks for.
    pub phase: Phase,
    /// The words on the screen.
    pub cue: Line<80>,
    /// How long, and the marks of an open hold.
    pub length: Hold,
    /// The firmer end of a hold: its length and words. Shorter than the hold.
    pub firm: Option<(i64, Line<80>)>,
    /// The pose of the picture in this phase; `None` for the side's or the drill's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pose: Option<Line<40>>,
}

/// What is shown between two repetitions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Between {
    /// [`Phase::Rest`] or [`Phase::Sip`].
    pub phase: Phase,
    /// The words on the screen.
    pub cue: Line<80>,
}

/// An exercise of the library.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Drill {
    /// Its id: the file's name.
    pub id: DrillId,
    /// Its name on screens.
    pub name: Line<60>,
    /// Its family.
    pub family: Family,
    /// What it is for, in one plain line.
    pub purpose: Line<200>,
    /// The pose of its picture.
    pub pose: Line<40>,
    /// Whether eyes leave the screen, so that sound must carry the cues.
    pub eyes_away: bool,
    /// When a tap may be asked for.
    pub tap: Tap,
    /// Where it may be done.
    pub place: Setting,
    /// Sides or positions in order, each with its name; at least one, a single unnamed one for
    /// drills without sides.
    pub sides: Vec<Side>,
    /// The phases of one repetition, in order; at least one.
    pub phases: Vec<PhaseSpec>,
    /// What is shown between repetitions.
    pub between: Between,
    /// The usual dose.
    pub dose: Dose,
    /// How far the usual dose reaches.
    pub usual: Usual,
    /// Cautions, the one that matters most first.
    pub cautions: Vec<Line<200>>,
    /// The easier form, in one plain sentence.
    pub easier: Option<Line<120>>,
    /// The harder form, in one plain sentence.
    pub harder: Option<Line<120>>,
    /// Who should not do it without being cleared.
    pub clearance: Vec<Line<200>>,
    /// What the facilitator should know about weak or null evidence, to promise no more than it holds.
    pub evidence: Option<Line<300>>,
    /// Where the dose and the cautions come from; at least one.
    pub sources: Vec<Reference>,
}

/// When a tap may be asked for: never while somebody swallows or voices. *I need to stop* is not asked
/// for and always works.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Tap {
    /// In every rest of the drill.
    #[default]
    Rests,
    /// Once the drill is over.
    After,
}

/// Where a drill may be done.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Setting {
    /// In class and at home.
    #[default]
    Class,
    /// At home only, where a clinician has shown it: a class on camera cannot watch over it.
    Home,
}

/// How far the usual dose reaches, both ends included; nothing where the sources name no range.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Usual {
    /// Sets.
    pub sets: Option<(u32, u32)>,
    /// Repetitions in a set.
    pub reps: Option<(u32, u32)>,
    /// What a hold counts (the target of an open one), in milliseconds.
    pub hold_ms: Option<(i64, i64)>,
}

/// Where something comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Reference {
    /// What is taken from it, and its name.
    pub what: Line<300>,
    /// How far it was checked.
    pub trust: Trust,
    /// Where it was seen; only of [`Trust::Seen`].
    pub at: Option<Line<160>>,
}

/// How far a source was checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Trust {
    /// Read there; mostly an abstract or a table.
    Seen,
    /// Not found in a source.
    Memory,
    /// Taught everywhere; no paper found.
    CommonPractice,
    /// Worked out from other values.
    Arithmetic,
    /// Our own choice.
    Judgement,
}

impl fmt::Display for Reference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.what)?;
        match (&self.at, self.trust) {
            (Some(at), _) => write!(f, " (seen at {at})"),
            (None, Trust::Seen) => Ok(()),
            (None, Trust::Memory) => f.write_str(" (from memory)"),
            (None, Trust::CommonPractice) => f.write_str(" (common practice, no source)"),
            (None, Trust::Arithmetic) => f.write_str(" (worked out)"),
            (None, Trust::Judgement) => f.write_str(" (our choice)"),
        }
    }
}

/// A side or position.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Side {
    /// Its name on the screen; `None` where there is only one.
    pub name: Option<Line<60>>,
    /// The pose of its picture; `None` for the drill's own.
    pub pose: Option<Line<40>>,
}
