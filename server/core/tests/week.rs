//! When a group meets, over changes of clocks and with days that are different.

use std::process::Command;

use jiff::Timestamp;
use samebreath_core::plan::draft::Draft;
use samebreath_core::plan::group::Group;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Document;
use samebreath_core::week::series::{Occurrence, OtherDay};
use samebreath_core::week::zone::Zone;

fn day(text: &str) -> Date {
    text.to_owned().try_into().unwrap()
}

fn group(weekday: u8, start: &str, zone: &str) -> Group {
    Group {
        name: "Lantern Quay".try_into().unwrap(),
        weekday: Some(weekday),
        start: Some(start.try_into().unwrap()),
        minutes: 60,
        zone: Some(zone.to_owned().try_into().unwrap()),
        first: None,
        last: None,
        others: vec![],
        weeks_apart: 8,
        notes: false,
        people: vec![],
        entrusted: Vec::new(),
    }
}

fn other(of: &str) -> OtherDay {
    OtherDay {
        of: day(of),
        cancelled: None,
        day: None,
        start: None,
        minutes: None,
        led_by: None,
        stand_in: None,
    }
}

/// The instants at which a group's classes start, in UTC without seconds.
fn starts(group: &Group, from: &str, to: &str) -> Vec<String> {
    let found = group.series().unwrap().between(day(from), day(to));
    found.iter().map(|one| written(one.starts)).collect()
}

fn written(at: EpochMs) -> String {
    Timestamp::from_millisecond(at.0).unwrap().strftime("%m-%d %H:%MZ").to_string()
}

/// Tuesdays at ten in New York, over the changes of clocks there and in Europe. The instants were computed with
/// Python's zoneinfo 3.11, which reads the same IANA database.
#[test]
fn a_class_keeps_its_time_of_day_over_a_change_of_clocks() {
    let york = group(2, "10:00", "America/New_York");
    let autumn = ["10-20 14:00Z", "10-27 14:00Z", "11-03 15:00Z"];
    assert_eq!(starts(&york, "2026-10-20", "2026-11-03"), autumn);
    let spring = ["03-09 15:00Z", "03-16 14:00Z", "03-23 14:00Z", "03-30 14:00Z"];
    assert_eq!(starts(&york, "2027-03-09", "2027-03-30"), spring);
    // Clocks change on other days elsewhere, or not at all.
    let berlin = group(2, "16:00", "Europe/Berlin");
    assert_eq!(starts(&berlin, "2026-10-20", "2026-11-03"), ["10-20 14:00Z", "10-27 15:00Z", "11-03 15:00Z"]);
    let phoenix = group(2, "07:00", "America/Phoenix");
    assert_eq!(
        starts(&phoenix, "2026-10-20", "2026-11-03"),
        ["10-20 14:00Z", "10-27 14:00Z", "11-03 14:00Z"]
    );
    let sydney = group(3, "01:00", "Australia/Sydney");
    assert_eq!(
        starts(&sydney, "2027-03-31", "2027-04-07"),
        ["03-30 14:00Z", "04-06 15:00Z"],
        "from 4 April on"
    );
}

/// RFC 5545, section 3.8.5.3: weekly for ten occurrences from 1997-09-02 09:00 in New York.
#[test]
fn the_worked_example_of_the_calendar_standard_comes_out() {
    let york = Group { last: Some(day("1997-11-04")), ..group(2, "09:00", "America/New_York") };
    let september = ["09-02", "09-09", "09-16", "09-23", "09-30", "10-07", "10-14", "10-21"];
    let expected = september.map(|day| format!("{day} 13:00Z")).into_iter();
    let expected: Vec<_> = expected.chain(["10-28 14:00Z".to_owned(), "11-04 14:00Z".to_owned()]).collect();
    assert_eq!(starts(&york, "1997-09-02", "1997-12-31"), expected);
}

/// RFC 5545, section 3.3.5: a time that does not exist is read with the offset from before the gap, and of a time that
/// comes twice the first is meant. The days are those of the changes in the United States.
#[test]
fn a_time_that_clocks_pass_over_or_show_twice_has_one_instant() {
    let gap = group(7, "02:30", "America/New_York");
    assert_eq!(starts(&gap, "2027-03-14", "2027-03-14"), ["03-14 07:30Z"], "half past three there");
    let twice = group(7, "01:30", "America/New_York");
    assert_eq!(starts(&twice, "2026-11-01", "2026-11-01"), ["11-01 05:30Z"], "while it is still summer time");
}

#[test]
fn a_day_can_be_cancelled_moved_lengthened_and_led_by_somebody_else() {
    let usual = group(2, "10:00", "America/New_York");
    let cancelled =
        OtherDay { cancelled: Some("The hall is closed.".try_into().unwrap()), ..other("2027-01-12") };
    let moved = OtherDay {
        day: Some(day("2027-01-21")),
        start: Some("11:30".try_into().unwrap()),
        ..other("2027-01-19")
    };
    let longer =
        OtherDay { minutes: Some(90), led_by: Some("Mara".try_into().unwrap()), ..other("2027-01-26") };
    // On a day on which the group does not meet, nothing is different.
    let never = OtherDay { minutes: Some(10), ..other("2027-01-13") };
    let series = Group { others: vec![moved, cancelled, longer, never], ..usual.clone() };
    assert_eq!(series.check(), Ok(()));
    let found = series.series().unwrap().between(day("2027-01-05"), day("2027-01-26"));
    let words = |one: &Occurrence| {
        let cancelled = one.cancelled.as_ref().map(ToString::to_string).unwrap_or_default();
        let by = one.led_by.as_ref().map(ToString::to_string).unwrap_or_default();
        format!("{} {} {} {cancelled}{by}", one.of, written(one.starts), one.ends.since(one.starts) / 60_000)
    };
    assert_eq!(
        found.iter().map(words).collect::<Vec<_>>(),
        [
            "2027-01-05 01-05 15:00Z 60 ",
            "2027-01-12 01-12 15:00Z 60 The hall is closed.",
            "2027-01-19 01-21 16:30Z 60 ",
            "2027-01-26 01-26 15:00Z 90 Mara",
        ]
    );
    // A class that was moved into another week is found there, and only there.
    let weeks = |from, to| starts(&series, from, to).len();
    assert_eq!((weeks("2027-01-18", "2027-01-20"), weeks("2027-01-21", "2027-01-21")), (0, 1));
    // With another time, zone or weekday of the series, what is known of a day is still known of that day.
    let later = Group {
        start: Some("15:00".try_into().unwrap()),
        zone: "Europe/Paris".to_owned().try_into().ok(),
        ..series
    };
    let found = later.series().unwrap().between(day("2027-01-12"), day("2027-01-12"));
    assert_eq!((found[0].of, found[0].cancelled.is_some()), (day("2027-01-12"), true));
    assert_eq!(written(found[0].starts), "01-12 14:00Z");
}

#[test]
fn a_day_means_the_class_that_is_then_and_rather_the_regular_one() {
    let to = |of: &str, on: &str| OtherDay { day: Some(day(on)), minutes: Some(90), ..other(of) };
    let others = vec![to("2027-01-12", "2027-01-19"), to("2027-01-26", "2027-01-28")];
    let group = Group { others, ..group(2, "10:00", "Europe/Paris") };
    let of = |on: &str| group.series().unwrap().of_day(day(on)).map(|class| class.of.to_string());
    assert_eq!(of("2027-01-19").as_deref(), Some("2027-01-19"), "two classes that day, and one is regular");
    assert_eq!(of("2027-01-28").as_deref(), Some("2027-01-26"), "it was moved there");
    assert_eq!(of("2027-01-26").as_deref(), Some("2027-01-26"), "planned for before it was moved");
    assert_eq!(of("2027-01-27"), None);
    // What was said of one day is not taken for another one, and is forgotten while the weekday is another.
    let minutes = |group: &Group, on: &str| group.other_on(day(on)).and_then(|other| other.minutes);
    assert_eq!((minutes(&group, "2027-01-19"), minutes(&group, "2027-01-28")), (None, Some(90)));
    let thursdays = Group { weekday: Some(4), ..group };
    assert_eq!(minutes(&thursdays, "2027-01-28"), None);
    let far = thursdays.others[0].clone();
    let far = OtherDay { day: Some(day("2027-06-01")), ..far };
    assert_eq!(far.check(), Err("the class of 2027-01-12: it can be moved by up to 62 days".to_owned()));
}

#[test]
fn a_new_plan_is_for_the_next_class_that_is_not_cancelled() {
    let cancelled = OtherDay { cancelled: "Away".try_into().ok(), ..other("2027-01-12") };
    let moved = OtherDay { day: Some(day("2027-01-21")), ..other("2027-01-19") };
    let group = Group {
        others: vec![cancelled, moved],
        last: Some(day("2027-01-19")),
        ..group(2, "10:00", "Europe/Paris")
    };
    let next = |today: &str| group.next_day(day(today)).map(|day| day.to_string());
    assert_eq!(next("2027-01-05").as_deref(), Some("2027-01-05"));
    assert_eq!(next("2027-01-06").as_deref(), Some("2027-01-21"), "one is cancelled, and one is moved");
    assert_eq!(next("2027-01-22"), None);
    // What follows a class is another class, also where its plan stands on the day from which it was moved.
    let after = |of: &str| group.class_after(day(of)).map(|class| class.day.to_string());
    assert_eq!(after("2027-01-05").as_deref(), Some("2027-01-21"));
    assert_eq!((after("2027-01-19"), after("2027-01-21")), (None, None));
    let unscheduled = Group { weekday: None, ..group.clone() };
    assert_eq!(unscheduled.class_after(day("2027-01-05")), None);
}

#[test]
fn a_plan_for_a_day_has_the_time_and_length_of_that_day() {
    let other = OtherDay {
        day: Some(day("2027-01-21")),
        start: "11:30".try_into().ok(),
        minutes: Some(90),
        ..other("2027-01-19")
    };
    let group = Group { others: vec![other], ..group(2, "10:00", "Europe/Paris") };
    let draft =
        Draft { title: "x".try_into().unwrap(), minutes: 30, start: None, steps: vec![], home: vec![] };
    let timed = |on: Option<&str>| {
        let draft = draft.clone().timed_for(&group, on.map(day));
        (draft.start.unwrap().to_string(), draft.minutes)
    };
    assert_eq!(timed(Some("2027-01-21")), ("11:30".to_owned(), 90));
    for usual in [None, Some("2027-01-19"), Some("2027-01-26")] {
        assert_eq!(timed(usual), ("10:00".to_owned(), 60));
    }
}

#[test]
fn what_is_wrong_with_a_series_is_said() {
    let fine = group(2, "10:00", "Europe/Paris");
    let wrong = |change: &dyn Fn(&mut Group), expected: &str| {
        let mut group = fine.clone();
        change(&mut group);
        assert_eq!(group.check(), Err(expected.to_owned()));
    };
    wrong(
        &|g| (g.first, g.last) = (Some(day("2027-02-02")), Some(day("2027-02-01"))),
        "the last day, 2027-02-01, is before the first, 2027-02-02",
    );
    wrong(
        &|g| g.others = vec![other("2027-02-02"), other("2027-02-02")],
        "the class of 2027-02-02 is changed twice",
    );
    wrong(
        &|g| g.others = vec![OtherDay { start: Some("noon".try_into().unwrap()), ..other("2027-02-02") }],
        "the class of 2027-02-02: `start` is noon; it must be a time of day such as 10:00",
    );
    wrong(
        &|g| g.others = vec![OtherDay { minutes: Some(0), ..other("2027-02-02") }],
        "the class of 2027-02-02: `minutes` is 0; it must be from 1 to 240",
    );
    let zone = |name: &str| Zone::try_from(name.to_owned()).map(|zone| zone.to_string());
    assert_eq!(zone("america/new_york").as_deref(), Ok("America/New_York"));
    let no_zone = zone("Mars/Crater").unwrap_err().to_string();
    assert_eq!(
        no_zone,
        "there is no time zone called Mars/Crater; write one by its name, such as Europe/Berlin or America/New_York"
    );
    // A group of an earlier version has neither zone nor other days, and keeps its weekday and start.
    let before = r#"{"name":"a","weekday":2,"start":"10:00","minutes":60,"weeks_apart":8,"people":[]}"#;
    let before: Group = serde_json::from_str(before).unwrap();
    assert_eq!((before.weekday, before.series()), (Some(2), None));
}

/// The zone of the process makes no difference.
#[test]
fn the_same_comes_out_wherever_the_server_is() {
    for zone in ["UTC", "Europe/Berlin", "America/New_York", "Pacific/Kiritimati"] {
        let mut again = Command::new(std::env::current_exe().unwrap());
        again.env("TZ", zone).args(["week::", "--skip", "wherever"]);
        let done = again.output().unwrap();
        let said = String::from_utf8_lossy(&done.stdout);
        assert!(done.status.success() && said.contains("8 passed"), "{zone}: {said}");
    }
}
