//! What a drill asks of one person, given what was set for them.

use serde::{Deserialize, Serialize};

use crate::drill::Drill;
use crate::live::state::seat::Seat;
use crate::live::state::{LiveStep, Session};
use crate::people::care::{Of, Way};
use crate::people::rules::Rule;
use crate::plan::Body;

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
    /// First the person says whether their mouth is empty.
    MouthFirst,
    /// A rest: the drill is not for them today.
    Rest,
}

impl Session {
    /// What `step` asks of the person on `seat`: the most careful of what a clinician set, what the house rules
    /// say about their precautions, and what they asked for themselves.
    pub(in crate::live) fn form(&self, seat: &Seat, step: &LiveStep) -> Form {
        if matches!(step.step.body, Body::Sip { .. }) && seat.must_not_drink() {
            return Form::Rest;
        }
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
    /// Whether the person said at check-in that they must not drink.
    fn must_not_drink(&self) -> bool {
        self.check_in.as_ref().is_some_and(|given| given.must_not_drink)
    }

    /// The personal form for a drill; one for the drill itself comes before one for its family.
    fn way(&self, drill: &Drill) -> Option<Way> {
        let of = |wanted: &Of| self.forms.iter().find(|form| form.of == *wanted).map(|form| form.way);
        of(&Of::Drill(drill.id.clone())).or_else(|| of(&Of::Family(drill.family)))
    }
}
