//! What a clinician sets for a person: precautions, and forms of their own.

use serde::{Deserialize, Serialize};

use crate::drill::{DrillId, Family};
use crate::text::Sentence;

/// Precautions of a person, by the columns of the house rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Condition {
    /// Heart disease, uneven rhythm, uncontrolled blood pressure.
    Heart,
    /// Lung disease, breathlessness.
    Lung,
    /// Neck disease or surgery.
    Neck,
    /// Risk that food or drink goes the wrong way.
    Aspiration,
    /// Jaw joint.
    Jaw,
    /// Recent eye or belly surgery, hernia.
    Surgery,
    /// Low blood pressure, dizziness.
    LowPressure,
    /// Slowed or changed thinking.
    Thinking,
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

/// How a person does it.
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
}

/// A personal form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PersonalForm {
    /// Of what.
    pub of: Of,
    /// How.
    pub way: Way,
    /// Why, for clinicians only.
    pub note: Option<Sentence>,
}
