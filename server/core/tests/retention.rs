//! How long records are kept. The values are arithmetic of the calendar (ISO 8601); no duty is tested here, because the
//! law of the place decides, and a coordinator sets it.

use samebreath_core::live::{Actor, CareEvent, DeskCommand, Event, SeatId, Session};
use samebreath_core::record::erase::erased_guests;
use samebreath_core::record::retention::{Fate, NOTICE_DAYS, Record, Retention};
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Document;

use crate::common::class::Class;
use crate::common::roll::{group, person};

fn day(text: &str) -> Date {
    Date::try_from(text.to_owned()).unwrap()
}

fn six() -> Retention {
    Retention { record_years: Some(6), ..Retention::default() }
}

fn record(last: &str) -> Record {
    Record { last: day(last), is_expected: false, is_held: false, announced: None }
}

#[test]
fn nothing_goes_until_somebody_has_chosen_how_long_records_are_kept() {
    assert_eq!(record("1999-01-01").fate(&Retention::default(), day("2027-01-01")), Fate::Stays);
}

#[test]
fn a_record_is_kept_for_whole_years_after_the_last_class_and_then_announced() {
    let on = |last: &str, today: &str| record(last).fate(&six(), day(today));
    assert_eq!(on("2021-03-09", "2027-03-09"), Fate::Stays, "the last day counts");
    assert_eq!(on("2021-03-09", "2027-03-10"), Fate::GoesOn(day("2027-04-09")));
    assert_eq!(on("2020-02-29", "2026-02-28"), Fate::Stays, "a leap day's year ends on 28 February");
    assert_eq!(on("2020-02-29", "2026-03-01"), Fate::GoesOn(day("2026-03-31")));
}

#[test]
fn a_record_goes_thirty_days_after_that_was_announced_and_not_when_something_changed() {
    let announced = Record { announced: Some(day("2027-03-10")), ..record("2021-03-09") };
    let goes = day("2027-03-10").plus_days(NOTICE_DAYS);
    assert_eq!(announced.fate(&six(), goes.plus_days(-1)), Fate::GoesOn(goes));
    assert_eq!(announced.fate(&six(), goes), Fate::Goes);
    let back = Record { is_expected: true, ..announced };
    assert_eq!(back.fate(&six(), goes), Fate::Stays, "somebody is enrolled again");
    let held = Record { is_held: true, ..announced };
    assert_eq!(held.fate(&six(), goes), Fate::Held);
    let longer = Retention { record_years: Some(10), ..six() };
    assert_eq!(announced.fate(&longer, goes), Fate::Stays, "the time was made longer");
}

#[test]
fn links_are_over_some_weeks_after_somebody_came_for_the_last_time() {
    let rules = Retention::default();
    let last = day("2027-01-01");
    assert!(!record("2027-01-01").links_are_over(&rules, last.plus_days(60)));
    assert!(record("2027-01-01").links_are_over(&rules, last.plus_days(61)));
    let enrolled = Record { is_expected: true, ..record("2027-01-01") };
    assert!(!enrolled.links_are_over(&rules, last.plus_days(300)), "a long break ends no link");
}

#[test]
fn a_wrong_rule_is_refused_with_what_would_be_right() {
    for (wrong, says) in [
        (Retention { record_years: Some(0), ..six() }, "`record_years` is 0; it must be from 1 to 40 years"),
        (Retention { audit_years: 41, ..six() }, "`audit_years` is 41; it must be from 1 to 40 years"),
        (Retention { link_days: 0, ..six() }, "`link_days` is 0; it must be from 1 to 400 days"),
    ] {
        assert_eq!(wrong.check(), Err(says.to_owned()));
    }
    assert_eq!(six().check(), Ok(()));
}

#[test]
fn whoever_came_with_the_code_only_is_erased_and_people_stay() {
    let mut class = Class::open("[[step]]\ndrill = \"sit-tall\"\n");
    class.record(Actor::Entry, Session::expected(&group(&[person("Ann")]), &[]));
    let [merged, guest] = ["Annie", "Gus"].map(|name| class.join(name));
    class.desk(DeskCommand::Merge { from: merged, into: SeatId(1) });
    class.hear(guest);
    let lines = erased_guests(&class.ledger);
    let names: Vec<_> = lines
        .iter()
        .filter_map(|line| match &line.event {
            Event::Care { seat, what: CareEvent::SeatTaken { name, .. } } => Some((*seat, name.to_string())),
            _ => None,
        })
        .collect();
    assert_eq!(names, [(guest, format!("Person {}", guest.0))], "Annie is Ann");
}
