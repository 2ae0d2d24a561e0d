//! What a drill asks of one person, given what was set for them.

use serde::{Deserialize, Serialize};

use crate::drill::form::Form;
use crate::drill::{Drill, DrillId, Family};
use crate::live::ids::{SeatId, StepId};
use crate::live::state::seat::Seat;
use crate::live::state::{LiveStep, Session};
use crate::people::care::{Of, PersonalForm, Way};
use crate::people::person::Person;
use crate::people::rules::{Rule, Rules};
use crate::plan::forms::compile_form;
use crate::plan::timeline::Timeline;
use crate::plan::{Body, ForHome};

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
        match self.form_in(seat, &drill.id, drill.family) {
            Form::Rest => Form::Rest,
            _ if drill.family.is_swallow() && !mouth_empty => Form::MouthFirst,
            form => form,
        }
    }

    /// What a drill asks of the person on a seat, with an empty mouth.
    fn form_in(&self, seat: &Seat, drill: &DrillId, family: Family) -> Form {
        let is_cleared = seat.cleared.contains_key(&family);
        let is_off = family.is_swallow() && seat.swallow_cleared_by.is_none()
            || family.needs_clearing() && !is_cleared;
        let rules = seat.precautions.iter().map(|c| self.rules.rule(family, *c));
        let rule = match (is_off, is_cleared) {
            (true, _) => Rule::Off,
            (false, true) => Rule::Fine,
            (false, false) => rules.max().unwrap_or_default(),
        };
        form(way(&seat.forms, drill, family), rule, seat.off_today)
    }

    /// What the person on a seat takes home: only what is for them. In an older ledger it stands without its drill; then nothing
    /// is known to be.
    pub(in crate::live) fn home_of(&self, seat: &Seat) -> Vec<ForHome> {
        let is_theirs = |of: &ForHome| {
            of.drill.as_ref().is_some_and(|drill| self.form_in(seat, &drill.id, drill.family) != Form::Rest)
        };
        self.home.iter().filter(|of| is_theirs(of)).cloned().collect()
    }

    /// The same with the hold that was set for this person; it holds in every form.
    pub(in crate::live) fn step_form(&self, seat: &Seat, step: &LiveStep) -> StepForm {
        let way = step.step.drill().and_then(|drill| way(&seat.forms, &drill.id, drill.family));
        let hold_ms = own_hold_ms(way);
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
}

/// The personal form for a drill; one for the drill itself comes before one for its family.
fn way(forms: &[PersonalForm], drill: &DrillId, family: Family) -> Option<Way> {
    let of = |wanted: &Of| forms.iter().find(|form| form.of == *wanted).map(|form| form.way);
    of(&Of::Drill(drill.clone())).or_else(|| of(&Of::Family(family)))
}

fn own_hold_ms(way: Option<Way>) -> Option<i64> {
    match way {
        Some(Way::OwnHold(ms)) => Some(ms),
        Some(Way::LeaveOut | Way::Easier | Way::Seated | Way::Harder) | None => None,
    }
}

/// The most careful of what a clinician set, what the house rules say, and what the person wants today.
fn form(way: Option<Way>, rule: Rule, easier: bool) -> Form {
    match (way, rule) {
        (Some(Way::LeaveOut), _) | (_, Rule::Off) => Form::Rest,
        (Some(Way::Easier), _) | (_, Rule::Easier) => Form::Easier,
        _ if easier => Form::Easier,
        (Some(Way::Seated), Rule::Fine) => Form::Seated,
        (Some(Way::Harder), Rule::Fine) => Form::Harder,
        (None | Some(Way::OwnHold(_)), Rule::Fine) => Form::Full,
    }
}

/// What a drill asks of a person at home, where no class clears anything, and how long they hold at most, in milliseconds.
#[must_use]
pub fn form_at_home(person: &Person, drill: &Drill, rules: &Rules) -> (Form, Option<i64>) {
    let way = way(&person.forms, &drill.id, drill.family);
    (form(way, person.rule(drill, rules), false), own_hold_ms(way))
}
