//! Forms of a drill: the same exercise made easier, seated or harder, with cues and a clock of its own inside the
//! length that the class takes.

use serde::{Deserialize, Serialize};

use crate::drill::spec::PhaseSpec;
use crate::text::Line;

/// In which form somebody does a drill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Form {
    /// The drill as it is.
    Full,
    /// The drill, seated.
    Seated,
    /// The drill's easier form.
    Easier,
    /// The drill's harder form.
    Harder,
    /// First the person says whether their mouth is empty.
    MouthFirst,
    /// A rest: the drill is not for them today.
    Rest,
}

/// A form of a drill other than the usual one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "Written")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DrillForm {
    /// How to do it, in one plain sentence.
    pub what: Line<120>,
    /// The phases of one repetition. Without any, the drill's own are shown, with the sentence beside them.
    pub phases: Vec<PhaseSpec>,
    /// How many repetitions a set has at most; `None` for as many as the class does, or as fit.
    pub reps: Option<u32>,
    /// When a repetition begins.
    pub pace: FormPace,
}

/// When the repetitions of a form begin.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum FormPace {
    /// With those of the class; what is left of each is a rest.
    #[default]
    Class,
    /// One right after the other, from the beginning of the set; what is left of the set is a rest.
    Own,
}

/// Ledgers of earlier versions hold only the sentence.
#[derive(Deserialize)]
#[serde(untagged)]
enum Written {
    Sentence(Line<120>),
    Form { what: Line<120>, phases: Vec<PhaseSpec>, reps: Option<u32>, pace: FormPace },
}

impl From<Written> for DrillForm {
    fn from(written: Written) -> Self {
        match written {
            Written::Sentence(what) => Self { what, phases: Vec::new(), reps: None, pace: FormPace::Class },
            Written::Form { what, phases, reps, pace } => Self { what, phases, reps, pace },
        }
    }
}
