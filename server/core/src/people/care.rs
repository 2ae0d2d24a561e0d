//! What a clinician sets for a person: precautions and personal forms.

use serde::{Deserialize, Serialize};

use crate::drill::dose::{PHASE_MS, length};
use crate::drill::{DrillId, Family};
use crate::text::Sentence;

/// A person's precautions; each is a column of the house rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Condition {
    /// Heart disease, irregular rhythm or uncontrolled blood pressure.
    Heart,
    /// Lung disease or breathlessness.
    Lung,
    /// Neck disease or surgery.
    Neck,
    /// Risk that food or drink goes the wrong way.
    Aspiration,
    /// Jaw joint trouble.
    Jaw,
    /// Recent eye or belly surgery, or a hernia.
    Surgery,
    /// Low blood pressure or dizziness.
    LowPressure,
    /// Slowed or changed thinking.
    Thinking,
    /// Hoarseness that is new, or trouble or surgery of the voice box.
    Voice,
    /// A fracture, surgery or thin bones of the spine.
    Spine,
    /// Shoulder pain or surgery.
    Shoulder,
    /// Sores or surgery in the mouth.
    Mouth,
    /// A breathing tube in the neck.
    Tracheostomy,
    /// A deep-brain stimulator, whose wires run through the neck.
    Stimulator,
}

/// What a personal form is about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Of {
    /// One drill.
    Drill(DrillId),
    /// All drills of a family.
    Family(Family),
}

/// How a person does a drill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Way {
    /// Not at all.
    LeaveOut,
    /// In the easier form.
    Easier,
    /// Seated.
    Seated,
    /// In the harder form.
    Harder,
    /// As the class does it, with a hold of their own: so many milliseconds at most.
    OwnHold(i64),
}

/// How one person does a drill or a family of drills.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PersonalForm {
    /// The drill or family it is for.
    pub of: Of,
    /// How the person does it.
    pub way: Way,
    /// The reason, for clinicians only.
    pub note: Option<Sentence>,
}

/// Most personal forms for one person, far more than anybody needs (an agreed choice).
pub const MOST_FORMS: usize = 40;

impl PersonalForm {
    /// Checks what the types alone cannot.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    pub fn check(&self) -> Result<(), String> {
        match self.way {
            Way::OwnHold(ms) => length("hold", ms, PHASE_MS).map_err(|error| error.to_string()),
            Way::LeaveOut | Way::Easier | Way::Seated | Way::Harder => Ok(()),
        }
    }
}
