//! What a group's classes were, as tables: one for each kind of line, each a file of its own, and all of them as one file for
//! another program.

use jiff::tz::TimeZone;
use samebreath_core::live::{StepId, Whose};
use samebreath_core::people::rules::Felt;
use samebreath_core::record::class::{Attended, ClassRecord, PersonRecord};
use samebreath_core::time::day::Date;
use serde_json::Value;
use uuid::Uuid;

use crate::export::table::{Cell, Table};
use crate::export::words::{local, word};

/// A class of a group.
pub(crate) struct OfClass<'a> {
    /// Its id.
    pub id: Uuid,
    /// The day on which it was held.
    pub day: Date,
    /// What it was.
    pub record: &'a ClassRecord,
}

/// The form of the file for another program; `schemas/records-1.json` says what is in it.
const FORMAT: &str = "samebreath.records/1";
/// The schema.
const SCHEMA: &str = include_str!("../../schemas/records-1.json");
/// The tables, by name.
const TABLES: [&str; 5] = ["classes", "attendance", "answers", "efforts", "reports"];

/// The files, by name.
pub(crate) const FILES: [&str; 7] = [
    "classes.csv",
    "attendance.csv",
    "answers.csv",
    "efforts.csv",
    "reports.csv",
    "records.json",
    "records.schema.json",
];

/// One of the files; `None` for another name.
pub(crate) fn file(name: &str, classes: &[OfClass<'_>], zone: &TimeZone) -> Option<String> {
    match name {
        "records.json" => Some(json(classes, zone).to_string()),
        "records.schema.json" => Some(SCHEMA.to_owned()),
        _ => Some(table(name.strip_suffix(".csv")?, classes, zone)?.csv()),
    }
}

fn table(name: &str, classes: &[OfClass<'_>], zone: &TimeZone) -> Option<Table> {
    Some(match name {
        "classes" => of_classes(classes, zone),
        "attendance" => attendance(classes),
        "answers" => answers(classes),
        "efforts" => efforts(classes),
        "reports" => reports(classes, zone),
        _ => return None,
    })
}

/// All tables at once.
fn json(classes: &[OfClass<'_>], zone: &TimeZone) -> Value {
    let tables = TABLES.iter().filter_map(|name| {
        let rows = table(name, classes, zone)?.json();
        Some(((*name).to_owned(), rows))
    });
    Value::Object([("format".to_owned(), FORMAT.into())].into_iter().chain(tables).collect())
}

fn seconds(ms: i64) -> Cell {
    Cell::Number((ms + 500) / 1000)
}

/// What every line about somebody begins with.
fn whose(class: &OfClass<'_>, person: &PersonRecord) -> [Cell; 4] {
    let id = person.person.map(|person| person.0);
    [Cell::text(class.id), Cell::text(class.day), Cell::maybe(id), Cell::text(&person.name)]
}

fn title(class: &OfClass<'_>, step: Option<StepId>) -> Cell {
    let found = class.record.steps.iter().find(|one| Some(one.step) == step);
    Cell::maybe(found.map(|step| step.title.clone()))
}

fn of_classes(classes: &[OfClass<'_>], zone: &TimeZone) -> Table {
    let head = ["class", "day", "title", "started_at", "ended_at", "minutes", "led_by", "expected", "came"];
    Table::new(
        head,
        classes.iter().map(|class| {
            let record = class.record;
            let came = record.people.iter().filter(|one| one.attended != Attended::No).count();
            let names: Vec<String> = record.led_by.iter().map(ToString::to_string).collect();
            let number = |n: usize| Cell::Number(i64::try_from(n).unwrap_or(i64::MAX));
            [
                Cell::text(class.id),
                Cell::text(class.day),
                Cell::text(&record.title),
                Cell::maybe(record.started_at.and_then(|at| local(at, zone))),
                Cell::maybe(record.ended_at.and_then(|at| local(at, zone))),
                Cell::Number(record.minutes.into()),
                Cell::text(names.join(", ")),
                number(record.people.iter().filter(|one| one.person.is_some()).count()),
                number(came),
            ]
        }),
    )
}

fn attendance(classes: &[OfClass<'_>]) -> Table {
    let head = [
        "class",
        "day",
        "person",
        "name",
        "attended",
        "minutes",
        "recorded_minutes",
        "put_right_because",
        "said_cannot_come",
    ];
    Table::new(
        head,
        each_person(classes).map(|(class, person)| {
            let [class, day, id, name] = whose(class, person);
            [
                class,
                day,
                id,
                name,
                Cell::text(word(&person.attended)),
                Cell::Number(person.minutes.into()),
                Cell::Number(person.recorded_minutes.into()),
                Cell::maybe(person.corrected.as_ref().map(|set| set.reason.clone())),
                yes_no(person.cannot_come),
            ]
        }),
    )
}

fn answers(classes: &[OfClass<'_>]) -> Table {
    let head = [
        "class",
        "day",
        "person",
        "name",
        "drill",
        "title",
        "form",
        "target_s",
        "answer",
        "own_mark",
        "planned_reps",
        "class_reps",
        "planned_held_s",
        "class_held_s",
    ];
    let each = each_person(classes).flat_map(|(class, person)| {
        person.steps.iter().filter_map(move |asked| {
            let step = class.record.steps.iter().find(|one| one.step == asked.step)?;
            let [id, day, whom, name] = whose(class, person);
            Some([
                id,
                day,
                whom,
                name,
                Cell::maybe(step.drill.as_ref().map(|drill| drill.as_str().to_owned())),
                Cell::text(&step.title),
                Cell::text(word(&asked.form)),
                asked.target_ms.map_or(Cell::Empty, seconds),
                Cell::maybe(asked.answer.map(|answer| word(&answer))),
                Cell::maybe(asked.far.map(|far| word(&far))),
                Cell::Number(step.planned.reps.into()),
                Cell::Number(step.done.reps.into()),
                seconds(step.planned.held_ms),
                seconds(step.done.held_ms),
            ])
        })
    });
    Table::new(head, each)
}

fn efforts(classes: &[OfClass<'_>]) -> Table {
    let head = ["class", "day", "person", "name", "after", "effort"];
    let each = each_person(classes).flat_map(|(class, person)| {
        person.efforts.iter().map(move |said| {
            let [id, day, whom, name] = whose(class, person);
            [id, day, whom, name, title(class, said.step), Cell::Number(said.score.into())]
        })
    });
    Table::new(head, each)
}

fn reports(classes: &[OfClass<'_>], zone: &TimeZone) -> Table {
    let head = [
        "class",
        "day",
        "person",
        "name",
        "whose",
        "at",
        "in",
        "where",
        "strength",
        "strength_0_to_10",
        "urgent",
        "words",
        "taken_back",
        "came_to",
        "first_handled_by",
    ];
    let each = classes.iter().flat_map(|class| {
        class.record.reports.iter().filter_map(move |report| {
            let person = class.record.people.iter().find(|one| one.seat == report.seat)?;
            let [id, day, whom, _] = whose(class, person);
            // The second person at a screen is somebody else, of whom no id is known.
            let whom = if report.said.whose == Whose::Own { whom } else { Cell::Empty };
            let number = match report.said.strength {
                Some(Felt::Number(n)) => Cell::Number(n.into()),
                Some(Felt::Word(_)) | None => Cell::Empty,
            };
            Some([
                id,
                day,
                whom,
                Cell::text(&report.name),
                Cell::text(word(&report.said.whose)),
                Cell::maybe(local(report.at, zone)),
                title(class, report.step),
                Cell::maybe(report.said.place.map(|place| word(&place))),
                Cell::maybe(report.strength.map(|strength| word(&strength))),
                number,
                Cell::maybe(report.said.urgent.map(|sign| word(&sign))),
                Cell::maybe(report.said.words.clone()),
                yes_no(report.taken_back),
                Cell::text(word(&report.state)),
                Cell::maybe(report.handled.first().and_then(|first| first.name.clone())),
            ])
        })
    });
    Table::new(head, each)
}

fn each_person<'a>(classes: &'a [OfClass<'a>]) -> impl Iterator<Item = (&'a OfClass<'a>, &'a PersonRecord)> {
    classes.iter().flat_map(|class| class.record.people.iter().map(move |person| (class, person)))
}

fn yes_no(is: bool) -> Cell {
    Cell::text(if is { "yes" } else { "no" })
}
