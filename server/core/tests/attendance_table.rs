//! Who came to the classes of a group, side by side.

use samebreath_core::live::DeskCommand;
use samebreath_core::people::person::PersonId;
use samebreath_core::record::attendance_table::{Came, attendance_table};
use samebreath_core::record::class::{Attended, ClassRecord, PersonRecord};
use uuid::Uuid;

use crate::common::class::Class;
use crate::record::{HOUR, MINUTE_MS, of, record};

/// A class's record as a table sees it: its people by id, with minutes of an hour.
fn held(minutes: u32, people: &[(u128, &str, u32, bool)]) -> ClassRecord {
    let mut class = Class::open(HOUR).staffed();
    let seat = class.join("Model");
    class.desk(DeskCommand::Start);
    class.wait_ms(i64::from(minutes).max(1) * MINUTE_MS);
    class.desk(DeskCommand::End);
    let mut record = record(&class);
    let model = of(&record, seat).clone();
    record.people = people
        .iter()
        .map(|(id, name, minutes, said_no)| PersonRecord {
            person: (*id > 0).then(|| PersonId(Uuid::from_u128(*id))),
            name: (*name).try_into().unwrap(),
            attended: if *minutes == 0 { Attended::No } else { Attended::Screen },
            minutes: *minutes,
            cannot_come: *said_no,
            ..model.clone()
        })
        .collect();
    record
}

#[test]
fn the_table_of_a_group_counts_who_had_a_place_and_who_came() {
    let classes = [
        held(60, &[(1, "Ann", 60, false), (2, "Ben", 58, false), (3, "Cy", 0, true), (0, "Gus", 60, false)]),
        held(50, &[(1, "Ann", 20, false), (2, "Ben", 0, false), (4, "Dot", 50, false)]),
    ];
    let mut never = held(0, &[]);
    never.started_at = None;
    let day = crate::common::roll::day;
    let rows = [
        (Uuid::from_u128(71), day("2026-11-03"), &classes[0]),
        (Uuid::from_u128(72), day("2026-11-10"), &never),
        (Uuid::from_u128(73), day("2026-11-17"), &classes[1]),
    ];
    let id = |n: u128| PersonId(Uuid::from_u128(n));
    let known = [(1, "Ann"), (3, "Cy"), (4, "Dot"), (5, "Eve"), (2, "Benno"), (8, "Of another group")];
    let known = known.map(|(n, name)| (id(n), name.try_into().unwrap())).into_iter().collect();
    let table = attendance_table(&rows, &[id(1), id(3), id(4), id(5)], &known);
    let columns: Vec<_> =
        table.classes.iter().map(|one| (one.day.to_string(), one.minutes, one.came, one.guests)).collect();
    // A class that never began is in no table, so nobody missed it.
    assert_eq!(columns, [("2026-11-03".to_owned(), 60, 3, 1), ("2026-11-17".to_owned(), 50, 2, 0)]);
    let lines: Vec<_> = table
        .people
        .iter()
        .map(|one| {
            let cells = one.cells.iter().map(|cell| cell.map(|cell| cell.there)).collect::<Vec<_>>();
            (one.name.as_str(), one.enrolled, cells, one.came, one.of, one.minutes)
        })
        .collect();
    assert_eq!(
        lines,
        [
            ("Ann", true, vec![Some(Came::Whole), Some(Came::Part)], 2, 2, 80),
            ("Cy", true, vec![Some(Came::SaidNo), None], 0, 1, 0),
            ("Dot", true, vec![None, Some(Came::Whole)], 1, 1, 50),
            ("Eve", true, vec![None, None], 0, 0, 0),
            // Ben is in the group no more, and is called otherwise now; two minutes late is the whole class.
            ("Benno", false, vec![Some(Came::Whole), Some(Came::No)], 1, 2, 58),
        ]
    );
}
