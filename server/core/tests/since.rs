//! What has changed for a group since its last class.

use crate::common::class::Class;
use samebreath_core::file::Source;
use samebreath_core::live::{Actor, Session};
use samebreath_core::people::care::Condition;
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::plan::draft;
use samebreath_core::plan::group::{Enrolled, Group, Roll};
use samebreath_core::record::since::{Change, of_drills, of_people};
use uuid::Uuid;

fn roll(people: &[(u128, &str, &[Condition])]) -> Roll {
    let enrolled = |(id, name, conditions): &(u128, &str, &[Condition])| Enrolled {
        id: PersonId(Uuid::from_u128(*id)),
        person: Person {
            name: (*name).try_into().unwrap(),
            conditions: conditions.to_vec(),
            decisions: Vec::new(),
            forms: Vec::new(),
            contacts: Default::default(),
            language: None,
        },
    };
    let people: Vec<_> = people.iter().map(enrolled).collect();
    let group = Group {
        name: "Lantern Quay".try_into().unwrap(),
        weekday: None,
        start: None,
        minutes: 60,
        zone: None,
        first: None,
        last: None,
        others: Vec::new(),
        weeks_apart: 8,
        notes: false,
        people: people.iter().map(|one| one.id).collect(),
        entrusted: Vec::new(),
    };
    Roll { group, people }
}

const STEPS: &str = "[[step]]\ndrill = \"long-hiss\"\n[[step]]\ntalk = \"Hello\"\nminutes = 2\n\
    [[step]]\ndrill = \"sit-tall\"\n[[step]]\ndrill = \"strong-ah\"\nreps = 8\n";

fn last(people: &Roll) -> Session {
    let mut class = Class::new(STEPS);
    class.record(Actor::Entry, Session::expected(people, &[]));
    class.session
}

#[test]
fn whoever_is_new_or_has_a_new_precaution_is_named() {
    let session = last(&roll(&[(1, "Ann", &[Condition::Neck]), (2, "Ann B", &[]), (3, "Casimir", &[])]));
    let unchanged = roll(&[(1, "Ann", &[Condition::Neck]), (2, "Ann B", &[])]);
    assert_eq!(of_people(&session, &unchanged), [], "whoever is gone does not have to be looked after");
    // It is the person that counts, whatever they are called.
    let now = roll(&[
        (1, "Ann A", &[Condition::Neck, Condition::Heart]),
        (2, "Ann B", &[]),
        (4, "Ann", &[Condition::Neck]),
    ]);
    let name = |name: &str| name.try_into().unwrap();
    assert_eq!(
        of_people(&session, &now),
        [
            Change::NewPrecautions { name: name("Ann A"), conditions: vec![Condition::Heart] },
            Change::NewPerson { name: name("Ann") },
        ]
    );
}

#[test]
fn a_drill_that_is_new_or_has_another_dose_is_named_with_both_doses() {
    let session = last(&roll(&[]));
    let plan = |steps: &str| {
        let text = format!("title = \"x\"\nminutes = 60\n{steps}");
        let draft = draft::read(Source::new("p.toml", &text), crate::common::library()).unwrap();
        draft.plan(crate::common::library()).unwrap()
    };
    let changes = |steps: &str| of_drills(&session, &plan(steps));
    let title = |steps: &str, at: usize| plan(steps).steps[at].title.clone();
    assert_eq!(changes(STEPS), []);
    let more = STEPS.replace("reps = 8", "reps = 10");
    assert_eq!(changes(&more), [Change::Reps { title: title(STEPS, 3), before: 8, now: 10 }]);
    // The same eight repetitions in two steps are no change, and what was taken out is none that could hurt.
    let split = "[[step]]\ndrill = \"strong-ah\"\nreps = 4\n[[step]]\ndrill = \"strong-ah\"\nreps = 4\n";
    assert_eq!(changes(split), []);
    let new = format!("{STEPS}[[step]]\ndrill = \"belly-breath\"\n");
    assert_eq!(changes(&new), [Change::NewDrill { title: title(&new, 4) }]);
}
