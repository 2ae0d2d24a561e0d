//! What a class was for one person.

use jiff::tz::TimeZone;
use samebreath_core::live::{Answer, CheckIn, Form, HowFar, UrgentSign, Where, Whose};
use samebreath_core::people::person::PersonId;
use samebreath_core::people::rules::Felt;
use samebreath_core::record::class::{
    Asked, Attended, ClassRecord, EffortSaid, PersonRecord, ReportRecord, StepRecord,
};
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use super::codes::{canonical, drill, own, unknown};
use super::resources::{
    AnswerValue, Answered, Appointment, Component, Encounter, Observation, Participant,
    QuestionnaireResponse, Resource, Value,
};
use super::types::{Coding, Concept, LOINC, Period, Quantity, Reference, Words};
use crate::export::words::{local, word};

/// A class that was held.
pub(crate) struct FhirClass<'a> {
    /// The session.
    pub id: Uuid,
    /// The day on which it was held.
    pub day: Date,
    /// The time zone of its group.
    pub zone: &'a TimeZone,
    /// What it was.
    pub record: &'a ClassRecord,
}

impl FhirClass<'_> {
    /// The id of one of its resources, which is the same in every file.
    fn id(&self, person: PersonId, what: &str, n: usize) -> Uuid {
        Uuid::new_v5(&self.id, format!("{} {what} {n}", person.0).as_bytes())
    }

    /// The id under which somebody's time in the class is found.
    fn encounter(&self, person: PersonId) -> Uuid {
        self.id(person, "encounter", 0)
    }

    /// The same, if they were there.
    pub(super) fn encounter_of(&self, person: PersonId) -> Option<Uuid> {
        let of = self.record.people.iter().find(|one| one.person == Some(person))?;
        let was_held = self.record.started_at.is_some() && self.record.ended_at.is_some();
        (was_held && of.attended != Attended::No).then(|| self.encounter(person))
    }

    fn at(&self, at: EpochMs) -> String {
        local(at, self.zone).unwrap_or_else(|| self.day.to_string())
    }
}

/// One person in a class, as resources: the appointment, and if they were there, all else.
pub(super) fn of_person(class: &FhirClass<'_>, of: &PersonRecord, person: PersonId) -> Vec<Resource> {
    let (Some(from), Some(to)) = (class.record.started_at, class.record.ended_at) else { return Vec::new() };
    let one = One { class, person, of };
    let appointment = one.appointment(from, to);
    if of.attended == Attended::No {
        return vec![appointment];
    }
    let mut found = vec![appointment, one.encounter(from, to), one.minutes()];
    found.extend(of.check_in.as_ref().map(|said| one.check_in(said)));
    found.extend(of.efforts.iter().enumerate().map(|(n, said)| one.effort(n, said)));
    found.extend(of.steps.iter().filter(|asked| asked.form != Form::Rest).flat_map(|asked| one.step(asked)));
    found.extend(one.stops());
    let reports = class.record.reports.iter().filter(|report| report.seat == of.seat);
    // What the second person at the screen said is of somebody else, of whom no id is known.
    let reports = reports.filter(|report| report.said.whose == Whose::Own);
    found.extend(reports.enumerate().map(|(n, report)| one.report(n, report)));
    found
}

/// A person in a class.
struct One<'a> {
    class: &'a FhirClass<'a>,
    person: PersonId,
    of: &'a PersonRecord,
}

impl One<'_> {
    fn subject(&self) -> Reference {
        Reference::to(self.person.0)
    }

    fn encounter_of(&self) -> Reference {
        Reference::to(self.class.encounter(self.person))
    }

    fn appointment(&self, from: EpochMs, to: EpochMs) -> Resource {
        let excused = self.of.cannot_come && self.of.attended == Attended::No;
        let status = match (self.of.attended, excused) {
            (_, true) => "cancelled",
            (Attended::No, false) => "noshow",
            (Attended::Screen | Attended::Phone | Attended::ByHand, false) => "fulfilled",
        };
        // "pat": by the patient (HL7, appointment cancellation reason).
        let reason =
            Concept::of("http://terminology.hl7.org/CodeSystem/appointment-cancellation-reason", "pat");
        Resource::Appointment(Appointment {
            id: self.class.id(self.person, "appointment", 0),
            status,
            cancelation_reason: excused.then_some(reason),
            description: self.class.record.title.to_string(),
            start: self.class.at(from),
            end: self.class.at(to),
            minutes_duration: self.class.record.minutes.max(1),
            participant: [Participant {
                actor: self.subject(),
                status: if excused { "declined" } else { "accepted" },
            }],
        })
    }

    fn encounter(&self, from: EpochMs, to: EpochMs) -> Resource {
        let day = self.class.day.to_string();
        let period = match (self.of.attended, &self.of.corrected) {
            (Attended::Screen, None) => Period {
                start: self.class.at(self.of.came_at.unwrap_or(from)),
                end: self.class.at(self.of.left_at.unwrap_or(to)),
            },
            // From when to when nobody wrote down.
            _ => Period { start: day.clone(), end: day },
        };
        Resource::Encounter(Encounter {
            id: self.class.encounter(self.person),
            status: "finished",
            class: Coding::of("http://terminology.hl7.org/CodeSystem/v3-ActCode", "VR"),
            subject: self.subject(),
            appointment: [Reference::to(self.class.id(self.person, "appointment", 0))],
            period,
            length: Quantity::minutes(self.of.minutes),
        })
    }

    fn minutes(&self) -> Resource {
        let code = Concept::named(Coding::of(LOINC, "55411-3"), "Exercise duration");
        let value = Value::Quantity(Quantity::minutes(self.of.minutes));
        let note = "How long the person was in the class, by its clock or put right by hand.";
        Resource::Observation(Box::new(Observation {
            performer: Vec::new(),
            note: vec![Words { text: note.to_owned() }],
            ..self.observation("minutes", 0, code, value)
        }))
    }

    /// What the person said.
    fn observation(&self, what: &str, n: usize, code: Concept, value: Value) -> Observation {
        let activity = "http://terminology.hl7.org/CodeSystem/observation-category";
        Observation {
            id: self.class.id(self.person, what, n),
            status: "final",
            category: [Concept::of(activity, "activity")],
            code,
            subject: self.subject(),
            encounter: self.encounter_of(),
            effective_date_time: self.class.day.to_string(),
            performer: vec![self.subject()],
            value,
            note: Vec::new(),
            method: None,
            component: Vec::new(),
        }
    }

    /// What a drill asked of them, and what they said of it.
    fn step(&self, asked: &Asked) -> Vec<Resource> {
        let Some(step) = self.class.record.steps.iter().find(|one| one.step == asked.step) else {
            return Vec::new();
        };
        let n = usize::try_from(asked.step.0).unwrap_or(usize::MAX);
        let method = || Some(of_drill(step));
        let form = Component { code: own("form"), value_string: word(&asked.form) };
        let said = asked
            .answer
            .map_or(Value::Absent(unknown()), |answer| Value::Concept(Concept::words(word(&answer))));
        let mut found = vec![Observation {
            method: method(),
            component: vec![form],
            ..self.observation("answer", n, own("answer"), said)
        }];
        if asked.answer == Some(Answer::Done) && step.done.reps > 0 {
            let value = Value::Quantity(Quantity::count(step.done.reps));
            found.push(Observation {
                method: method(),
                ..self.observation("repetitions", n, own("repetitions"), value)
            });
        }
        if let Some((far, target_ms)) = asked.far.zip(asked.target_ms) {
            let value = Value::Quantity(hold(far, target_ms));
            found.push(Observation {
                method: method(),
                ..self.observation("hold", n, own("longest-hold"), value)
            });
        }
        found.into_iter().map(|one| Resource::Observation(Box::new(one))).collect()
    }

    fn stops(&self) -> impl Iterator<Item = Resource> {
        let own_stops = self.of.stops.iter().filter(|stop| stop.whose == Whose::Own);
        own_stops.enumerate().map(|(n, stop)| {
            let why = stop.reason.map(|reason| Value::Concept(Concept::words(word(&reason))));
            let step = self.class.record.steps.iter().find(|one| Some(one.step) == stop.step);
            Resource::Observation(Box::new(Observation {
                effective_date_time: self.class.at(stop.at),
                method: step.map(of_drill),
                ..self.observation("stop", n, own("stop"), why.unwrap_or_else(|| Value::Absent(unknown())))
            }))
        })
    }

    fn report(&self, n: usize, report: &ReportRecord) -> Resource {
        let said = &report.said;
        // Being short of breath, dizzy or about to faint is no pain.
        let is_pain = !matches!(said.place, Some(Where::Breathing | Where::Dizzy))
            && matches!(said.urgent, None | Some(UrgentSign::ChestPain));
        let (code, value) = match said.strength {
            // LOINC 72514-3 with an integer: the answer list of that code has one code for "2 or more".
            Some(Felt::Number(number)) => {
                let mut code = own("discomfort");
                if is_pain {
                    code.coding.insert(0, Coding::of(LOINC, "72514-3"));
                }
                (code, Value::Integer(number))
            }
            Some(Felt::Word(strength)) => {
                (own("discomfort"), Value::Concept(Concept::words(word(&strength))))
            }
            None => (own("discomfort"), Value::Absent(unknown())),
        };
        // What was taken back was no finding.
        let status = if report.taken_back { "entered-in-error" } else { "final" };
        let component = [
            said.place.map(|place| ("place", word(&place))),
            said.urgent.map(|sign| ("urgent-sign", word(&sign))),
            Some(("came-to", word(&report.state))),
        ];
        let component = component.into_iter().flatten();
        let step = self.class.record.steps.iter().find(|one| Some(one.step) == report.step);
        let words = said.words.iter().map(|words| Words { text: words.to_string() });
        Resource::Observation(Box::new(Observation {
            status,
            effective_date_time: self.class.at(report.at),
            note: words.collect(),
            method: step.map(of_drill),
            component: component
                .map(|(code, value_string)| Component { code: own(code), value_string })
                .collect(),
            ..self.observation("report", n, code, value)
        }))
    }

    fn check_in(&self, said: &CheckIn) -> Resource {
        let yes_no = |is: Option<bool>| is.map(AnswerValue::Boolean);
        let answers = [
            ("feeling", said.feeling.map(|feeling| AnswerValue::Text(word(&feeling)))),
            ("seated", yes_no(said.seated)),
            ("mouth-empty", yes_no(said.mouth_empty)),
            ("water", yes_no(said.water)),
            ("must-not-drink", said.must_not_drink.then_some(AnswerValue::Boolean(true))),
            ("company", said.company.map(|company| AnswerValue::Text(word(&company)))),
            ("news", yes_no(said.news)),
            ("easier", Some(AnswerValue::Boolean(said.easier))),
        ];
        self.response("check-in", 0, answers.into_iter().filter_map(|(id, value)| Some((id, value?))))
    }

    fn effort(&self, n: usize, said: &EffortSaid) -> Resource {
        let step = self.class.record.steps.iter().find(|one| Some(one.step) == said.step);
        let after = step.map(|step| ("after", AnswerValue::Text(step.title.to_string())));
        self.response("effort", n, after.into_iter().chain([("effort", AnswerValue::Integer(said.score))]))
    }

    fn response(
        &self,
        of: &str,
        n: usize,
        answers: impl Iterator<Item = (&'static str, AnswerValue)>,
    ) -> Resource {
        Resource::QuestionnaireResponse(QuestionnaireResponse {
            id: self.class.id(self.person, of, n),
            questionnaire: canonical(of),
            status: "completed",
            authored: self.class.day.to_string(),
            subject: self.subject(),
            encounter: self.encounter_of(),
            source: self.subject(),
            item: answers.map(|(link_id, value)| Answered { link_id, answer: [value] }).collect(),
        })
    }
}

fn of_drill(step: &StepRecord) -> Concept {
    let title = step.title.as_str();
    step.drill.as_ref().map_or_else(|| Concept::words(title), |id| drill(id.as_str(), title))
}

/// How long a hold was, as far as its marks tell: nothing between two marks is made up.
fn hold(far: HowFar, target_ms: i64) -> Quantity {
    let comparator = match far {
        HowFar::Under | HowFar::FirstMark => "<",
        HowFar::Target => ">=",
        HowFar::Beyond => ">",
    };
    Quantity::seconds(target_ms, comparator)
}
