//! Who came to the classes of a group, as a table over its weeks.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::people::person::PersonId;
use crate::record::class::{Attended, ClassRecord, PersonRecord};
use crate::text::Name;
use crate::time::day::Date;

/// Whoever missed so many minutes, such as by a late click, was there for the whole class (an agreed choice).
const WHOLE_BUT_MINUTES: u32 = 2;

/// A class of the table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ClassColumn {
    /// The session's id.
    pub session: Uuid,
    /// The day on which it was held.
    pub day: Date,
    /// How many whole minutes it took.
    pub minutes: u32,
    /// How many people came, guests too.
    pub came: u32,
    /// How many of them are nobody of the group's people.
    pub guests: u32,
}

/// A person's classes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PersonLine {
    /// Who it is.
    pub person: PersonId,
    /// Their name.
    pub name: Name,
    /// Whether they are enrolled in the group now.
    pub enrolled: bool,
    /// Each class of the table; absent where they were not expected and did not come.
    pub cells: Vec<Option<AttendanceCell>>,
    /// To how many classes they came.
    pub came: u32,
    /// Of how many: those in which they had a place.
    pub of: u32,
    /// How many minutes they were there in all.
    pub minutes: u32,
}

/// One person in one class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct AttendanceCell {
    /// How much of it they were there for.
    pub there: Came,
    /// How many whole minutes.
    pub minutes: u32,
    /// Whether somebody put that right by hand.
    pub corrected: bool,
}

/// How much of a class somebody was there for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Came {
    /// For the whole class.
    Whole,
    /// For a part of it.
    Part,
    /// Not at all.
    No,
    /// Not at all, and they had said so.
    SaidNo,
}

/// Who came to which class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct AttendanceTable {
    /// The classes, the oldest first.
    pub classes: Vec<ClassColumn>,
    /// The people: those who are enrolled in their order, then those who were.
    pub people: Vec<PersonLine>,
}

/// The table of these classes, which come in the order of time. Classes that never began are left out. `known` are the names
/// of people as they are now; of others the last class has one.
#[must_use]
pub fn attendance_table(
    classes: &[(Uuid, Date, &ClassRecord)],
    enrolled: &[PersonId],
    known: &BTreeMap<PersonId, Name>,
) -> AttendanceTable {
    let held: Vec<_> = classes.iter().filter(|(_, _, record)| record.started_at.is_some()).collect();
    let columns = held.iter().map(|(session, day, record)| {
        let came = |is: &dyn Fn(&&PersonRecord) -> bool| {
            let came = record.people.iter().filter(|one| one.attended != Attended::No);
            u32::try_from(came.filter(is).count()).unwrap_or(u32::MAX)
        };
        ClassColumn {
            session: *session,
            day: *day,
            minutes: record.minutes,
            came: came(&|_| true),
            guests: came(&|one| one.person.is_none()),
        }
    });
    let all = held.iter().flat_map(|(_, _, record)| &record.people);
    let mut names: BTreeMap<PersonId, Name> =
        all.filter_map(|one| Some((one.person?, one.name.clone()))).collect();
    names.extend(known.iter().map(|(id, name)| (*id, name.clone())));
    let in_a_class = |id: &PersonId| {
        held.iter().any(|(_, _, record)| record.people.iter().any(|one| one.person == Some(*id)))
    };
    let were = names.keys().filter(|id| !enrolled.contains(id) && in_a_class(id));
    let people = enrolled.iter().map(|id| (*id, true)).chain(were.map(|id| (*id, false)));
    let people = people.filter_map(|(id, enrolled)| Some(((id, names.get(&id)?.clone()), enrolled)));
    let line = |((person, name), enrolled): ((PersonId, Name), bool)| {
        let cells: Vec<_> = held.iter().map(|(_, _, record)| cell(record, person)).collect();
        let there = || cells.iter().flatten();
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let came = there().filter(|cell| matches!(cell.there, Came::Whole | Came::Part)).count();
        let (of, minutes) = (count(there().count()), there().map(|cell| cell.minutes).sum());
        PersonLine { person, name, enrolled, came: count(came), of, minutes, cells }
    };
    AttendanceTable { classes: columns.collect(), people: people.map(line).collect() }
}

fn cell(record: &ClassRecord, person: PersonId) -> Option<AttendanceCell> {
    let of = record.people.iter().filter(|one| one.person == Some(person)).max_by_key(|one| one.minutes)?;
    let there = match of.attended {
        Attended::No if of.cannot_come => Came::SaidNo,
        Attended::No => Came::No,
        _ if of.minutes + WHOLE_BUT_MINUTES >= record.minutes => Came::Whole,
        Attended::Screen | Attended::Phone | Attended::ByHand => Came::Part,
    };
    Some(AttendanceCell { there, minutes: of.minutes, corrected: of.corrected.is_some() })
}
