//! A class that is played from its beginning to its end in one go is what a class of an hour leaves behind.

use samebreath_core::live::{Place, Recorded, ReportState, SeatId, Session};
use samebreath_core::plan;
use samebreath_core::rehearse::past::Past;
use samebreath_core::rehearse::{self};
use samebreath_core::time::EpochMs;

use crate::common::roll::{day, group, person};

const TUESDAY: &str = include_str!("../../plans/tuesday-at-ten.toml");
const STARTS: EpochMs = EpochMs(1_800_000_000_000);

pub fn played(seed: u64) -> Vec<Recorded> {
    let plan = crate::common::plan(TUESDAY);
    let cast = rehearse::people(9);
    let people: Vec<_> = cast[..8].iter().map(|one| person(one.name.as_str())).collect();
    let mut begins = vec![Session::begin(plan, crate::common::rules(), Some(STARTS), false)];
    begins.extend(Session::expected(&group(&people), &[]));
    let seats = (1..=8).map(|seat| Some(SeatId(seat))).chain([None]);
    let past = Past {
        begins,
        people: cast.into_iter().zip(seats).collect(),
        library: crate::common::library(),
        seed,
        made: STARTS.plus(-86_400_000),
        starts: STARTS,
        led_by: "Ines".try_into().unwrap(),
        follow_up: Some(("Call about the neck".try_into().unwrap(), day("2027-01-20"))),
    };
    past.ledger()
}

#[test]
fn the_hour_goes_by_as_planned_and_ends() {
    let ledger = played(3);
    let session = Session::replay(&ledger).unwrap();
    assert!(session.has_ended());
    let planned: i64 =
        plan::schedule(&crate::common::plan(TUESDAY).steps).iter().map(|slot| slot.clock_ms).sum();
    let took = ledger.last().unwrap().at.since(STARTS);
    // The plan, and a few seconds at the end of each drill, and before each swallow.
    assert!((planned..planned + 150_000).contains(&took), "{took} ms for {planned} ms");
    assert!(ledger.windows(2).all(|pair| pair[0].seq + 1 == pair[1].seq && pair[0].at <= pair[1].at));
    let came = session.seats().values().filter(|seat| !seat.answers.is_empty()).count();
    assert!(came >= 7, "{came} of 9 did something");
    assert!(session.seats().values().all(|seat| matches!(seat.place, Place::In)), "everybody came in");
    assert!(session.reports().iter().all(|report| report.state == ReportState::Back));
    assert_eq!((session.reports().len(), session.follow_ups().len()), (1, 1));
}

#[test]
fn the_same_seed_gives_the_same_class_and_another_one_another() {
    assert_eq!(played(3), played(3));
    assert_ne!(played(3), played(4));
}
