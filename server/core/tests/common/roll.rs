//! People with what a clinician decided, and groups of them.

use samebreath_core::drill::Family;
use samebreath_core::people::person::{Ceiling, Contacts, Decided, Decision, Person, PersonId};
use samebreath_core::plan::group::{Enrolled, Group, Roll};
use samebreath_core::time::day::Date;
use uuid::Uuid;

pub fn day(text: &str) -> Date {
    text.to_owned().try_into().unwrap()
}

pub fn person(name: &str) -> Person {
    Person {
        name: name.try_into().unwrap(),
        conditions: vec![],
        decisions: vec![],
        forms: vec![],
        contacts: Contacts::default(),
        language: None,
    }
}

/// A person with what Ines decided.
pub fn decided(name: &str, what: &[Decided]) -> Person {
    let decision =
        |what: &Decided| Decision { what: *what, by: "Ines".try_into().unwrap(), on: day("2027-01-12") };
    Person { decisions: what.iter().map(decision).collect(), ..person(name) }
}

pub const fn cleared(family: Family) -> Decided {
    Decided::Cleared { family }
}

pub const fn at_most(family: Family, reps_a_week: u32) -> Decided {
    Decided::AtMost { ceiling: Ceiling { family, reps_a_week } }
}

/// A group with people whose ids are 1, 2, 3 and so on.
pub fn group(people: &[Person]) -> Roll {
    let enrolled = |(n, person): (u128, &Person)| Enrolled { id: id(n), person: person.clone() };
    let people: Vec<_> = (1..).zip(people).map(enrolled).collect();
    let group = Group {
        name: "Lantern Quay".try_into().unwrap(),
        weekday: Some(2),
        start: Some("10:00".try_into().unwrap()),
        minutes: 60,
        zone: None,
        first: None,
        last: None,
        others: vec![],
        weeks_apart: 4,
        notes: false,
        people: people.iter().map(|one| one.id).collect(),
        entrusted: Vec::new(),
    };
    Roll { group, people }
}

/// The id of the n-th person.
pub fn id(n: u128) -> PersonId {
    PersonId(Uuid::from_u128(n))
}
