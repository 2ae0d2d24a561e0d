//! What a drill asks of one person, given what was set for them.

use serde::{Deserialize, Serialize};

use crate::drill::Drill;
use crate::live::ids::{SeatId, StepId};
use crate::live::state::seat::Seat;
use crate::live::state::{LiveStep, Session};
use crate::people::care::{Of, Way};
use crate::people::rules::Rule;
use crate::plan::Body;
use crate::plan::forms::compile_form;
use crate::plan::timeline::Timeline;

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
    /// The drill's harder form.
    Harder,
    /// First the person says whether their mouth is empty.
    MouthFirst,
    /// A rest: the drill is not for them today.
    Rest,
}

/// What a step asks of one person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StepForm {
    /// The step's id.
    pub step: StepId,
    /// What it asks.
    pub form: Form,
    /// What it asks once they have said that their mouth is empty; only where that is asked first.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub then: Option<Form>,
    /// How long this person holds at most, in milliseconds, where that was set for them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub hold_ms: Option<i64>,
}

/// A step in a form with a clock of its own, exactly as long as the step itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct FormContent {
    /// Which form it is.
    pub form: Form,
    /// Repetitions in a set.
    pub reps: u32,
    /// The timeline.
    pub timeline: Timeline,
}

impl Session {
    /// What `step` asks of the person on `seat`: the most careful of what a clinician set, what the house rules
    /// say about their precautions, and what they asked for themselves.
    pub(in crate::live) fn form(&self, seat: &Seat, step: &LiveStep) -> Form {
        self.form_of(seat, step, seat.mouth_empty == Some(true))
    }

    /// What a step asks of the person on a seat at the moment.
    #[must_use]
    pub fn asks(&self, seat: SeatId, step: StepId) -> Option<StepForm> {
        Some(self.step_form(self.seats.get(&seat)?, self.step(step)?))
    }

    fn form_of(&self, seat: &Seat, step: &LiveStep, mouth_empty: bool) -> Form {
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
            _ if swallow && !mouth_empty => Form::MouthFirst,
            (Some(Way::Easier), _) | (_, Rule::Easier) => Form::Easier,
            _ if seat.off_today => Form::Easier,
            (Some(Way::Seated), Rule::Fine) => Form::Seated,
            (Some(Way::Harder), Rule::Fine) => Form::Harder,
            (None | Some(Way::OwnHold(_)), Rule::Fine) => Form::Full,
        }
    }

    /// The same with the hold that was set for this person; it holds in every form.
    pub(in crate::live) fn step_form(&self, seat: &Seat, step: &LiveStep) -> StepForm {
        let hold_ms = match step.step.drill().and_then(|drill| seat.way(drill)) {
            Some(Way::OwnHold(ms)) => Some(ms),
            Some(Way::LeaveOut | Way::Easier | Way::Seated | Way::Harder) | None => None,
        };
        let form = self.form(seat, step);
        let then = (form == Form::MouthFirst).then(|| self.form_of(seat, step, true));
        StepForm { step: step.id, form, then, hold_ms }
    }
}

impl LiveStep {
    /// The forms of the drill that have a clock of their own.
    pub(in crate::live) fn forms(&self) -> Vec<FormContent> {
        let Body::Drill { drill, dose, items } = &self.step.body else { return Vec::new() };
        let forms =
            [(Form::Easier, &drill.easier), (Form::Seated, &drill.seated), (Form::Harder, &drill.harder)];
        let compiled = forms.into_iter().filter_map(|(form, own)| {
            let timeline = compile_form(drill, dose, items, own.as_ref()?)?;
            let reps = timeline.spans.iter().map(|span| span.rep).max().unwrap_or(1);
            Some(FormContent { form, reps, timeline })
        });
        compiled.collect()
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
