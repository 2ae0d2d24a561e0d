//! What a group's classes were, as tables: one file for each kind of line.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use samebreath_core::live::{StepId, Whose};
use samebreath_core::people::rules::Felt;
use samebreath_core::record::class::{Attended, ClassRecord, PersonRecord};
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::export::table::{Cell, csv};
use crate::export::words::word;

/// A class of a group.
pub(crate) struct OfClass<'a> {
    /// Its id.
    pub id: Uuid,
    /// The day on which it was held.
    pub day: Date,
    /// What it was.
    pub record: &'a ClassRecord,
}

/// The files, by name.
pub(crate) const FILES: [&str; 5] =
    ["classes.csv", "attendance.csv", "answers.csv", "efforts.csv", "reports.csv"];

/// One of the files; `None` for another name.
pub(crate) fn file(name: &str, classes: &[OfClass<'_>], zone: &TimeZone) -> Option<String> {
    Some(match name {
        "classes.csv" => of_classes(classes, zone),
        "attendance.csv" => attendance(classes),
        "answers.csv" => answers(classes),
        "efforts.csv" => efforts(classes),
        "reports.csv" => reports(classes, zone),
        _ => return None,
    })
}

/// An instant in a time zone, as ISO 8601 with its offset.
fn local(at: EpochMs, zone: &TimeZone) -> Option<String> {
    let at = Timestamp::from_millisecond(at.0).ok()?.to_zoned_datetime(zone.clone());
    Some(at.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string())
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

fn of_classes(classes: &[OfClass<'_>], zone: &TimeZone) -> String {
    let head = ["class", "day", "title", "started_at", "ended_at", "minutes", "led_by", "expected", "came"];
    csv(
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

fn attendance(classes: &[OfClass<'_>]) -> String {
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
    csv(
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

fn answers(classes: &[OfClass<'_>]) -> String {
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
    csv(head, each)
}

fn efforts(classes: &[OfClass<'_>]) -> String {
    let head = ["class", "day", "person", "name", "after", "effort"];
    let each = each_person(classes).flat_map(|(class, person)| {
        person.efforts.iter().map(move |said| {
            let [id, day, whom, name] = whose(class, person);
            [id, day, whom, name, title(class, said.step), Cell::Number(said.score.into())]
        })
    });
    csv(head, each)
}

fn reports(classes: &[OfClass<'_>], zone: &TimeZone) -> String {
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
    csv(head, each)
}

fn each_person<'a>(classes: &'a [OfClass<'a>]) -> impl Iterator<Item = (&'a OfClass<'a>, &'a PersonRecord)> {
    classes.iter().flat_map(|class| class.record.people.iter().map(move |person| (class, person)))
}

fn yes_no(is: bool) -> Cell {
    Cell::text(if is { "yes" } else { "no" })
}
