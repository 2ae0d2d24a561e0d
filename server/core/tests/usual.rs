//! How long steps usually take in a group's classes.

use samebreath_core::live::{ContentKind, DeskCommand};
use samebreath_core::record::class::ClassRecord;
use samebreath_core::record::usual::{UsualTime, usual_times};

use crate::common::class::Class;
use crate::record::{MINUTE_MS, record};

const PLAN: &str = "[[step]]\ntalk = \"Welcome\"\nminutes = 4\n[[step]]\ndrill = \"long-hiss\"\n\
    [[step]]\nclues = \"allotment\"\nminutes = 10\n";

/// A class whose talk and round took so many minutes, and its drill so many seconds more than its clock.
fn class(talk: i64, drill_more_s: i64, round: i64) -> ClassRecord {
    let mut class = Class::open(PLAN).staffed();
    let planned_ms = class.session.steps()[1].step.planned_ms();
    class.desk(DeskCommand::Start);
    class.wait_ms(talk * MINUTE_MS);
    class.desk(DeskCommand::Next);
    class.wait_ms(planned_ms + drill_more_s * 1_000);
    class.desk(DeskCommand::Next);
    class.wait_ms(round * MINUTE_MS);
    class.desk(DeskCommand::End);
    record(&class)
}

/// Whole seconds: a step comes up a moment after the key for it is pressed.
fn seconds(ms: i64) -> i64 {
    (ms + 999) / 1_000
}

fn of(classes: &[ClassRecord]) -> Option<(i64, Vec<UsualTime>)> {
    let usual = usual_times(&classes.iter().collect::<Vec<_>>())?;
    assert_eq!(usual.classes, classes.len());
    Some((usual.drill_more_ms, usual.kinds))
}

#[test]
fn what_is_usual_is_the_middle_of_the_classes_of_late() {
    let two = [class(6, 20, 10), class(5, 40, 10)];
    assert_eq!(of(&two), None, "two classes are no habit");
    // One long talk does not count for more than the others.
    let [a, b] = two;
    let (more, kinds) = of(&[a, b, class(20, 30, 9)]).unwrap();
    assert_eq!(seconds(more), 30);
    let said: Vec<_> =
        kinds.iter().map(|one| (one.kind, one.percent, (one.had_ms + MINUTE_MS / 2) / MINUTE_MS)).collect();
    assert_eq!(said, [(ContentKind::Talk, 150, 31), (ContentKind::Clues, 100, 29)]);
}

#[test]
fn what_was_passed_over_or_cut_short_is_no_habit_and_nothing_is_taken_to_be_twice_as_long() {
    let (more, kinds) = of(&[class(30, -30, 0), class(30, -40, 0), class(0, 10, 0)]).unwrap();
    assert_eq!(seconds(more), 10, "of two drills that were cut short nothing is learned");
    assert_eq!(kinds.len(), 1, "nobody played the rounds");
    assert_eq!((kinds[0].kind, kinds[0].percent), (ContentKind::Talk, 200));
}
