//! How people of a group come to their class.

use crate::common::class::Class;
use crate::common::roll::{cleared, decided, group, id, person};
use samebreath_core::drill::Family;
use samebreath_core::live::{
    Actor, CheckIn, Command, DeskCommand, Form, Place, Refusal, Row, SeatCommand, SeatId, Session,
};
use samebreath_core::people::care::Condition;
use samebreath_core::people::person::Decided;
use samebreath_core::plan::group::Enrolled;
use samebreath_core::record::incidents::{IncidentKind, incidents};

#[test]
fn a_class_of_a_group_expects_its_people_with_what_a_clinician_decided() {
    let mut ann = decided("Ann", &[cleared(Family::Trainer), Decided::Swallow]);
    ann.conditions = vec![Condition::Neck];
    let mut class = Class::new("[[step]]\ndrill = \"nod-down\"\n[[step]]\ndrill = \"effortful-swallow\"\n");
    class.record(Actor::Entry, Session::expected(&group(&[ann, person("Ben")]), &[]));
    let seats = class.session.seats();
    let names: Vec<_> = seats.values().map(|seat| seat.name.as_str()).collect();
    assert_eq!(names, ["Ann", "Ben"]);
    let ann = &seats[&SeatId(1)];
    assert!(ann.precautions.contains(&Condition::Neck));
    assert_eq!(ann.cleared.get(&Family::Trainer).map(|by| by.as_str()), Some("Ines"));
    assert_eq!(ann.swallow_cleared_by, None, "swallow drills are switched on in class, on the day");
    assert!(!ann.is_here(), "expected, and not here yet");
    let who: Vec<_> = incidents(&class.ledger).into_iter().map(|i| (i.what, i.staff)).collect();
    assert_eq!(who, [(IncidentKind::FamilyCleared, Some("Ines".try_into().unwrap()))], "with the clinician");
}

#[test]
fn everybodys_switch_leaves_out_whom_no_clinician_decided_on() {
    let mut class = Class::open("[[step]]\ndrill = \"effortful-swallow\"\n");
    class.record(
        Actor::Entry,
        Session::expected(&group(&[decided("Ann", &[Decided::Swallow]), person("Ben")]), &[]),
    );
    class.desk(DeskCommand::SayName { name: "Ines".try_into().unwrap() });
    for seat in [1, 2].map(SeatId) {
        class.try_do(Actor::Entry, Command::Arrive { seat }).unwrap();
        class.hear(seat);
    }
    class.seat(
        SeatId(1),
        SeatCommand::CheckIn { answers: CheckIn { mouth_empty: Some(true), ..CheckIn::default() } },
    );
    let clearing = class.session.clearing(class.now, &class.presence);
    let ready: Vec<_> = clearing.iter().filter(|of| of.doubts.is_empty()).map(|of| of.seat).collect();
    class.desk(DeskCommand::ClearSwallow { seats: ready });
    let on = |class: &Class, seat: u32| class.session.seats()[&SeatId(seat)].swallow_cleared_by.is_some();
    assert_eq!((on(&class, 1), on(&class, 2)), (true, false));
    class.desk(DeskCommand::ClearSwallow { seats: vec![SeatId(2)] });
    assert!(on(&class, 2), "by name it can be");
}

#[test]
fn a_name_that_is_expected_or_close_to_it_is_let_in_by_a_desk_before_any_precaution_is_shown_or_lost() {
    for typed in ["ann", "Ann V", "Anne"] {
        let mut ann = decided("Ann", &[cleared(Family::Neck)]);
        ann.conditions = vec![Condition::Neck];
        let mut class = Class::open("[[step]]\ndrill = \"nod-down\"\n");
        class.record(Actor::Entry, Session::expected(&group(&[ann]), &[]));
        let asks = class.join(typed);
        let expected = if typed == "Anne" { None } else { Some(SeatId(1)) };
        let seat = &class.session.seats()[&asks];
        assert_eq!(seat.perhaps, expected, "{typed}: three letters and a slip are another name");
        if expected.is_none() {
            continue;
        }
        assert!(seat.precautions.is_empty(), "nothing is copied to whoever types a name");
        assert_eq!(class.session.mine(asks, class.now), None, "and nothing is shown");
        let asking = class.session.desk(class.now, &class.presence).asking.remove(0);
        assert_eq!(asking.perhaps.unwrap().name.as_str(), "Ann");
        class.desk(DeskCommand::LetIn { seat: asks, known_as: expected });
        let (id, seat) = class.session.seat_of(asks).unwrap();
        assert_eq!(
            (id, class.session.roster(class.now, &class.presence).len()),
            (SeatId(1), 1),
            "one person"
        );
        assert!(seat.is_here() && seat.precautions.contains(&Condition::Neck));
        assert_eq!(class.session.mine(asks, class.now).unwrap().seat, SeatId(1));
        // A namesake who is somebody else.
        let other = class.join("Ann");
        assert!(class.session.seats()[&other].precautions.is_empty());
        let names: Vec<_> =
            class.session.roster(class.now, &class.presence).into_iter().map(|r| r.name).collect();
        assert_eq!(names.iter().map(|name| name.as_str()).collect::<Vec<_>>(), ["Ann (1)", "Ann (2)"]);
    }
}

/// Somebody whose group has this person as its third.
fn third(name: &str) -> Enrolled {
    let mut person = decided(name, &[cleared(Family::Trainer)]);
    person.conditions = vec![Condition::Neck];
    Enrolled { id: id(3), person }
}

fn come(class: &mut Class, who: &Enrolled, new_device: bool) -> Result<(), Refusal> {
    let who = Box::new(who.clone());
    class.try_do(Actor::Entry, Command::Come { who, new_device }).map(drop)
}

fn row(class: &Class, seat: u32) -> Row {
    let rows = class.session.roster(class.now, &class.presence);
    rows.into_iter().find(|row| row.seat == SeatId(seat)).unwrap()
}

const NECK: &str = "[[step]]\ndrill = \"nod-down\"\n";

#[test]
fn by_ones_own_link_one_comes_to_ones_own_seat_once_people_are_let_in() {
    let roll = group(&[person("Ann"), person("Ben")]);
    let mut class = Class::new(NECK);
    class.record(Actor::Entry, Session::expected(&roll, &[]));
    assert_eq!(come(&mut class, &roll.people[0], false), Err(Refusal::NotOpen), "the page waits");
    class.desk(DeskCommand::Open);
    for again in [false, true] {
        come(&mut class, &roll.people[0], false).unwrap();
        assert_eq!(class.session.seat_of_person(id(1)), Some(SeatId(1)), "again: {again}");
        assert_eq!(class.session.seats().len(), 2, "again: {again}");
    }
    assert!(class.session.seats()[&SeatId(1)].is_here() && !class.session.seats()[&SeatId(2)].is_here());
    assert!(!row(&class, 1).new_device);
    // A link that somebody else may have: the class goes on, and the desk sees it.
    come(&mut class, &roll.people[0], true).unwrap();
    assert!(row(&class, 1).new_device && !row(&class, 2).new_device);
    class.wait_ms(24 * 3_600_000 + 1);
    assert_eq!(come(&mut class, &roll.people[1], false), Err(Refusal::CodeOver), "a class that nobody ended");
}

#[test]
fn whoever_was_enrolled_after_the_class_was_made_gets_a_seat_with_their_precautions() {
    let mut class = Class::open(NECK);
    class.record(Actor::Entry, Session::expected(&group(&[person("Ann"), person("Ben")]), &[]));
    class.join("Eve");
    come(&mut class, &third("Cleo"), false).unwrap();
    let seat = class.session.seat_of_person(id(3)).unwrap();
    let kept = &class.session.seats()[&seat];
    assert_eq!((seat, kept.name.as_str(), kept.place.clone()), (SeatId(4), "Cleo", Place::In));
    assert!(kept.precautions.contains(&Condition::Neck) && kept.cleared.contains_key(&Family::Trainer));
    assert!(kept.swallow_kept_off, "no clinician decided on swallow drills");
    class.desk(DeskCommand::Start);
    assert_eq!(row(&class, 4).form, Form::Rest, "the neck drill is not for Cleo");
}

#[test]
fn who_was_let_in_as_themselves_by_the_code_has_the_same_seat_by_their_link() {
    let roll = group(&[person("Ann")]);
    let mut class = Class::open(NECK);
    class.record(Actor::Entry, Session::expected(&roll, &[]));
    let asks = class.join("Ann");
    class.desk(DeskCommand::LetIn { seat: asks, known_as: Some(SeatId(1)) });
    come(&mut class, &roll.people[0], false).unwrap();
    assert_eq!(class.session.roster(class.now, &class.presence).len(), 1);
    let gone = DeskCommand::Remove { seat: SeatId(1), reason: "asked for".try_into().unwrap() };
    class.desk(gone);
    assert_eq!(come(&mut class, &roll.people[0], false), Err(Refusal::NotIn), "a desk took them out");
}

#[test]
fn who_sent_word_is_not_waited_for_until_they_come() {
    let roll = group(&[person("Ann"), person("Ben")]);
    let mut class = Class::open(NECK);
    class.record(Actor::Entry, Session::expected(&roll, &[id(2)]));
    let word = |class: &mut Class, who, comes| {
        let command = Command::SendWord { person: id(who), comes };
        class.try_do(Actor::Entry, command)
    };
    assert_eq!((row(&class, 1).cannot_come, row(&class, 2).cannot_come), (false, true));
    word(&mut class, 1, false).unwrap();
    assert!(row(&class, 1).cannot_come);
    word(&mut class, 1, true).unwrap();
    assert!(!row(&class, 1).cannot_come, "they changed their mind");
    word(&mut class, 9, false).unwrap();
    assert_eq!(class.session.seats().len(), 2, "nobody of this class");
    come(&mut class, &roll.people[1], false).unwrap();
    assert!(!row(&class, 2).cannot_come, "they came after all");
}
