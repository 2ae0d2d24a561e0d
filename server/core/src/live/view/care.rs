//! What a clinician sets for a person, and what a drill asks of that person because of it.

use serde::{Deserialize, Serialize};

use crate::drill::{Drill, DrillId, Family};
use crate::live::state::seat::Seat;
use crate::live::state::{LiveStep, Session};
use crate::people::rules::Rule;
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

/// What a step asks of one person.
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
    /// First to say that the mouth is empty.
    MouthFirst,
    /// A rest: this drill is not for them today.
    Rest,
}

impl Session {
    /// What `step` asks of the person on `seat`: the most careful of what a clinician set, what the
    /// house rules say of their precautions, and what they asked for themselves.
    pub(in crate::live) fn form(&self, seat: &Seat, step: &LiveStep) -> Form {
        let Some(drill) = step.step.drill() else { return Form::Full };
        let way = seat.way(drill);
        let ruled = if seat.cleared.contains_key(&drill.family) {
            Rule::Fine
        } else {
            let rules = seat.precautions.iter().map(|c| self.rules.rule(drill.family, *c));
            rules.max().unwrap_or_default()
        };
        let swallow = drill.family.is_swallow();
        let is_off = swallow && seat.swallow_cleared_by.is_none()
            || drill.family.needs_clearing() && !seat.cleared.contains_key(&drill.family);
        match (way, ruled) {
            _ if is_off => Form::Rest,
            (Some(Way::LeaveOut), _) | (_, Rule::Off) => Form::Rest,
            _ if swallow && seat.mouth_empty != Some(true) => Form::MouthFirst,
            (Some(Way::Easier), _) | (_, Rule::Easier) => Form::Easier,
            _ if seat.off_today => Form::Easier,
            (Some(Way::Seated), Rule::Fine) => Form::Seated,
            (None, Rule::Fine) => Form::Full,
        }
    }
}

impl Seat {
    /// The personal form for a drill; one for the drill itself goes before one for its family.
    fn way(&self, drill: &Drill) -> Option<Way> {
        let of = |wanted: &Of| self.forms.iter().find(|form| form.of == *wanted).map(|form| form.way);
        of(&Of::Drill(drill.id.clone())).or_else(|| of(&Of::Family(drill.family)))
    }
}
