//! What people read before the class begins and when it is over, and what the check-in changes for one person.

use crate::common::class::Class;
use samebreath_core::drill::Family;
use samebreath_core::live::{Before, CheckIn, DeskCommand, Exception, Form, SeatCommand};
use samebreath_core::plan::ForHome;

const PLAN: &str = "start = \"10:00\"\n\
    [[home]]\ndrill = \"steady-ah\"\nreps = 5\ntimes_a_day = 1\ndays_a_week = 5\n\
    [[step]]\ndrill = \"long-hiss\"\n[[step]]\nsip = \"Sip\"\nseconds = 30\n\
    [[step]]\nclues = \"allotment\"\nminutes = 5\n[[step]]\ndrill = \"sit-tall\"\n";

#[test]
fn before_the_class_people_read_how_many_are_here_and_many_at_once_make_few_frames() {
    let mut class = Class::open(PLAN);
    let here = |class: &Class| class.session.stage(class.now).before.map(|before| before.here);
    assert_eq!(class.session.stage(class.now).before, Some(Before { starts: None, here: 0 }));
    let mut seen = Vec::new();
    let mut frames = std::collections::BTreeSet::new();
    for n in 1..=45 {
        class.join(&format!("P{n}"));
        seen.push(here(&class).unwrap());
        frames.insert(class.session.stage(class.now).seq);
    }
    assert_eq!(frames.len(), 22, "20 and two more, each with a number of its own");
    assert_eq!(seen[..19], (1..=19).collect::<Vec<u32>>(), "each is counted");
    assert_eq!((seen[19], seen[28], seen[29], seen[44]), (20, 20, 30, 40), "then the full tens");
    class.desk(DeskCommand::Start);
    assert_eq!(here(&class), None);
    assert_eq!(class.session.stage(class.now).after, None);
}

#[test]
fn after_the_class_people_read_what_was_done_and_what_to_do_at_home() {
    let mut class = Class::open(PLAN);
    class.join("Ann");
    class.join("Ben");
    class.desk(DeskCommand::Start);
    class.wait_ms(10_000);
    for _ in 0..2 {
        class.desk(DeskCommand::Next);
        class.wait_ms(10_000);
    }
    class.desk(DeskCommand::ShowClue);
    class.wait_ms(10_000);
    class.desk(DeskCommand::ShowClue);
    class.wait_ms(10_000);
    class.desk(DeskCommand::End);
    let after = class.session.stage(class.now).after.unwrap();
    assert_eq!((after.here, after.clues), (2, 2));
    assert_eq!(after.families, [Family::Breath], "the class did not come to the last drill");
    let [ForHome { title, reps, times_a_day, days_a_week, .. }] = &after.home[..] else {
        panic!("one drill")
    };
    let reps = *reps;
    assert_eq!((title.as_str(), reps, *times_a_day, *days_a_week), ("Steady strong ah", 5, 1, 5));
    assert_eq!(class.session.stage(class.now).before, None);
}

/// Sips are only for those whose plan allows them; who must not drink rests, and nobody else can tell.
#[test]
fn who_must_not_drink_rests_while_the_others_take_a_sip() {
    let mut class = Class::open(PLAN);
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    class.seat(ann, SeatCommand::CheckIn { answers: CheckIn { must_not_drink: true, ..CheckIn::default() } });
    class.seat(ben, SeatCommand::CheckIn { answers: CheckIn { water: Some(true), ..CheckIn::default() } });
    assert!(class.row(ann).exceptions.contains(&Exception::MustNotDrink));
    assert!(!class.row(ben).exceptions.contains(&Exception::MustNotDrink));
    class.desk(DeskCommand::Start);
    class.wait_ms(10_000);
    class.desk(DeskCommand::Next);
    class.wait_ms(10_000);
    assert_eq!((class.form(ann, 2), class.form(ben, 2)), (Form::Rest, Form::Full));
}
