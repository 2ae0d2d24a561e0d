//! A class of a group lets people in by itself.

use crate::common::class::Class;
use samebreath_core::live::{Actor, ClassEvent, Command, DeskCommand, Event, Noticed, Refusal, Session};
use samebreath_core::time::EpochMs;

const PLAN: &str = "[[step]]\ndrill = \"sit-tall\"\n";
const MINUTE: i64 = 60_000;

/// A class that starts in an hour.
fn class(opens: bool) -> Class {
    let mut class = Class::new(PLAN);
    let starts = Some(class.now.plus(60 * MINUTE));
    class.ledger[0].event = Session::begin(
        crate::common::plan(&format!("title = \"x\"\nminutes = 60\n{PLAN}")),
        crate::common::rules(),
        starts,
        opens,
    );
    class.session = Session::replay(&class.ledger).unwrap();
    class
}

#[test]
fn a_class_opens_a_quarter_of_an_hour_before_it_starts() {
    let mut class = class(true);
    assert_eq!(class.watch(), []);
    class.wait_ms(45 * MINUTE - 1);
    assert_eq!(class.watch(), []);
    let early = class.try_do(Actor::Watch, Command::Notice(Noticed::OpeningTime));
    assert_eq!(early, Err(Refusal::NoChange));
    class.wait_ms(1);
    assert_eq!(class.watch(), [Noticed::OpeningTime]);
    assert!(matches!(class.ledger.last().unwrap().event, Event::Class(ClassEvent::Opened)));
    assert_eq!(class.watch(), [], "once");
    class.join("Ann");
    let at: EpochMs = class.ledger.last().unwrap().at;
    assert_eq!(at, class.now);
}

#[test]
fn one_that_a_desk_opened_or_ended_or_that_nobody_came_to_stays_as_it_is() {
    let mut opened = class(true);
    opened.desk(DeskCommand::Open);
    opened.wait_ms(50 * MINUTE);
    assert_eq!(opened.watch(), []);
    let mut ended = class(true);
    ended.desk(DeskCommand::End);
    ended.wait_ms(50 * MINUTE);
    assert_eq!(ended.watch(), []);
    let mut missed = class(true);
    missed.wait_ms(24 * 60 * MINUTE);
    assert_eq!(missed.watch(), []);
    let mut of_no_group = class(false);
    of_no_group.wait_ms(50 * MINUTE);
    assert_eq!(of_no_group.watch(), []);
}
