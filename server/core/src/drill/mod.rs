//! Drills: the exercises themselves. [`read`] reads each one from its own TOML file.

pub mod dose;
pub mod form;
mod phase;
mod read;
mod spec;

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::drill::dose::Dose;
use crate::drill::form::{DrillForm, FormPace};
use crate::item::ItemSetId;
use crate::text::Line;

pub(crate) use phase::PHASES;
pub use phase::Phase;
pub(crate) use read::read_reference;
pub use read::{read, read_dose_change};
pub use spec::{PhaseSpec, Tune};

/// The name of a drill's file without its ending, such as `steady-ah`.
pub type DrillId = Line<60>;

/// Groups of drills that share cautions and clearance: the rows of the house rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "these are the names that clinicians use")]
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
    /// Whether it is off for everybody, whatever their precautions, until a clinician has cleared the person.
    #[must_use]
    pub fn needs_clearing(self) -> bool {
        matches!(self, Self::Trainer | Self::HeadLift)
    }

    /// Whether its drills are swallow drills, which are off for a person until a clinician turns them on.
    #[must_use]
    pub fn is_swallow(self) -> bool {
        matches!(self, Self::EffortfulSwallow | Self::TongueHold | Self::HoldAtTop)
    }
}

/// The items that a drill's repetitions are done with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ItemUse {
    /// The usual set.
    pub set: ItemSetId,
    /// When the next item comes.
    pub each: Each,
}

/// When the next item of a set comes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Each {
    /// With each repetition.
    #[default]
    Rep,
    /// With each set.
    Set,
}

/// What is shown between two repetitions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Between {
    /// [`Phase::Rest`] or [`Phase::Sip`].
    pub phase: Phase,
    /// The cue on the screen.
    pub cue: Line<80>,
}

/// An exercise of the library.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Drill {
    /// Its id: the name of its file without the ending.
    pub id: DrillId,
    /// Its name on the screens.
    pub name: Line<60>,
    /// Its family.
    pub family: Family,
    /// What it is for, in one plain line.
    pub purpose: Line<200>,
    /// The pose that its picture shows.
    pub pose: Line<40>,
    /// Whether people look away from the screen, so that sound must carry the cues.
    pub eyes_away: bool,
    /// When the screen may ask for a tap.
    pub tap: Tap,
    /// Where it may be done.
    pub place: Setting,
    /// Its sides or positions, in order and each with a name. A drill without sides has a single one without a
    /// name.
    pub sides: Vec<Side>,
    /// The phases of one repetition, in order; at least one.
    pub phases: Vec<PhaseSpec>,
    /// What is shown between repetitions.
    pub between: Between,
    /// The usual dose.
    pub dose: Dose,
    /// The usual range of the dose.
    pub usual: Usual,
    /// Cautions, the one that matters most first.
    pub cautions: Vec<Line<200>>,
    /// The easier form.
    pub easier: Option<DrillForm>,
    /// The form for whoever must stay seated, where it is not the usual one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seated: Option<DrillForm>,
    /// The harder form.
    pub harder: Option<DrillForm>,
    /// Who needs to be cleared before doing it.
    pub clearance: Vec<Line<200>>,
    /// What a person needs to have for it, such as a straw of their own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "ts-rs", ts(as = "Option<Vec<Line<60>>>", optional))]
    pub needs: Vec<Line<60>>,
    /// What the facilitator should know about weak or missing evidence, so that nobody is promised too much.
    pub evidence: Option<Line<300>>,
    /// Where the dose and the cautions come from; at least one.
    pub sources: Vec<Reference>,
    /// The items that its repetitions are done with; absent for a drill without words of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub items: Option<ItemUse>,
}

/// When the screen may ask for a tap: never while people swallow or use their voice. *I need to stop* is always
/// there and always works.
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
    /// At home only, after a clinician has shown it: a class on camera cannot be watched closely enough.
    Home,
}

/// The usual range of a dose, both ends included; absent where the sources give no range.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Usual {
    /// Sets.
    pub sets: Option<(u32, u32)>,
    /// Repetitions in a set.
    pub reps: Option<(u32, u32)>,
    /// What a hold counts as held, in milliseconds; for an open hold, its target.
    pub hold_ms: Option<(i64, i64)>,
}

/// A source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Reference {
    /// What is taken from it, and the source's name.
    pub what: Line<300>,
    /// How far it was checked.
    pub trust: Trust,
    /// Where it was seen; present only for [`Trust::Seen`].
    pub at: Option<Line<160>>,
}

/// How far a source was checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Trust {
    /// Read at the place given; mostly an abstract or a table.
    Seen,
    /// From memory; not looked up in a source.
    Memory,
    /// Taught everywhere; no paper found.
    CommonPractice,
    /// Calculated from other values.
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
    /// The pose that its picture shows; `None` for the drill's own.
    pub pose: Option<Line<40>>,
}

impl Drill {
    /// How long one repetition or, at its own pace, one set of `form` takes and how long the drill's own is, in
    /// milliseconds, both in the usual dose; `None` where it fits.
    #[must_use]
    pub fn too_short_for(&self, form: &DrillForm) -> Option<(i64, i64)> {
        let rep_ms: i64 = self.phases.iter().map(|spec| spec.length_in(&self.dose).clock_ms()).sum();
        let form_ms: i64 = form.phases.iter().map(|spec| spec.length.clock_ms()).sum();
        let reps = i64::from(self.dose.reps);
        let (needs_ms, has_ms) = match form.pace {
            FormPace::Class => (form_ms, rep_ms),
            FormPace::Own => {
                (i64::from(form.reps.unwrap_or(1)) * form_ms, reps * rep_ms + (reps - 1) * self.dose.rest_ms)
            }
        };
        (needs_ms > has_ms).then_some((needs_ms, has_ms))
    }
}
