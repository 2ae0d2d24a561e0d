//! What a class was, folded from its ledger: who was there, what was done, who stopped, what was reported.

use samebreath_core::live::{
    Answer, DeskCommand, Form, HowFar, Place, Recorded, ReportId, SeatCommand, SeatId, Session, StepId,
    StopReason, UrgentSign, Whose,
};
use samebreath_core::people::care::Condition;
use samebreath_core::people::person::PersonId;
use samebreath_core::people::rules::Felt;
use samebreath_core::record::attendance::{There, within};
use samebreath_core::record::attendance_table::{Came, attendance_table};
use samebreath_core::record::class::{Attended, ClassRecord, PersonRecord, class_record};
use samebreath_core::record::concerns::{About, concerns};
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::common::class::Class;

const HOUR: &str = "[[step]]\ntalk = \"Welcome\"\nminutes = 2\n[[step]]\ndrill = \"long-hiss\"\n[[step]]\neffort = \"How hard was it?\"\n[[step]]\ndrill = \"neck-five\"\n";
const MINUTE_MS: i64 = 60_000;

fn record(class: &Class) -> ClassRecord {
    class_record(&class.ledger).unwrap()
}

fn of(record: &ClassRecord, seat: SeatId) -> &PersonRecord {
    record.people.iter().find(|person| person.seat == seat).unwrap()
}

/// The desks and all screens are heard from meanwhile.
fn minutes(class: &mut Class, minutes: i64) {
    class.wait_ms(minutes * MINUTE_MS);
    class.watch();
}

#[test]
fn minutes_are_those_between_the_start_and_the_end_in_which_somebody_was_there() {
    let mut class = Class::open(HOUR).staffed();
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    // Whoever comes early is in class from its start.
    minutes(&mut class, 10);
    class.desk(DeskCommand::Start);
    minutes(&mut class, 5);
    let cy = class.join("Cy");
    class.desk(DeskCommand::AddByPhone { name: "Dot".try_into().unwrap() });
    class.desk(DeskCommand::Expect { name: "Eve".try_into().unwrap() });
    let (dot, eve) = (SeatId(cy.0 + 1), SeatId(cy.0 + 2));
    minutes(&mut class, 10);
    class.seat(ben, SeatCommand::Leave);
    // Ann's screen goes away, and comes back ten minutes later.
    let gone_at = class.now;
    class.presence.seats.get_mut(&ann).unwrap().gone_at = Some(gone_at);
    class.silence_ms(10 * MINUTE_MS);
    class.hear(cy);
    class.watch();
    class.hear(ann);
    class.hear(cy);
    class.watch();
    minutes(&mut class, 5);
    class.desk(DeskCommand::End);
    minutes(&mut class, 60);

    let record = record(&class);
    assert_eq!(record.minutes, 30);
    let check = |seat, attended, minutes, came, left, away| {
        let PersonRecord { attended: how, minutes: m, came_at, left_at, away_minutes, .. } =
            of(&record, seat);
        let found = (*how, *m, came_at.is_some(), left_at.is_some(), *away_minutes);
        assert_eq!(found, (attended, minutes, came, left, away), "{seat:?}");
    };
    check(ann, Attended::Screen, 20, false, false, 10);
    check(ben, Attended::Screen, 15, false, true, 0);
    check(cy, Attended::Screen, 25, true, false, 0);
    check(dot, Attended::Phone, 25, true, false, 0);
    check(eve, Attended::No, 0, false, false, 0);
    assert_eq!(of(&record, ben).left_at, Some(gone_at));
}

#[test]
fn a_screen_that_never_comes_back_ends_the_time_where_it_was_last_heard_from() {
    let mut class = Class::open(HOUR).staffed();
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    minutes(&mut class, 7);
    let heard_at = class.now;
    class.silence_ms(20 * MINUTE_MS);
    class.watch();
    class.desk(DeskCommand::End);
    let record = record(&class);
    let ann = of(&record, ann);
    assert_eq!((ann.minutes, ann.left_at), (7, Some(heard_at)));
    assert_eq!(record.minutes, 27);
}

#[test]
fn a_correction_says_why_and_what_was_recorded_stays() {
    let mut class = Class::open(HOUR).staffed();
    let ann = class.join("Ann");
    class.desk(DeskCommand::Expect { name: "Eve".try_into().unwrap() });
    let eve = SeatId(ann.0 + 1);
    let set = |seat, minutes| DeskCommand::SetAttendance {
        seat,
        minutes,
        reason: "her tablet slept".try_into().unwrap(),
    };
    class.refused(set(ann, 20));
    class.desk(DeskCommand::Start);
    minutes(&mut class, 30);
    class.desk(DeskCommand::End);
    assert!(class.refused(set(ann, 601)).to_string().contains("it must be from 0 to 600"));
    class.desk(set(ann, 25));
    class.desk(set(eve, 30));
    let record = record(&class);
    let (ann, eve) = (of(&record, ann), of(&record, eve));
    assert_eq!((ann.minutes, ann.recorded_minutes, ann.attended), (25, 30, Attended::Screen));
    assert_eq!(ann.corrected.as_ref().unwrap().reason.as_str(), "her tablet slept");
    assert_eq!((eve.minutes, eve.recorded_minutes, eve.attended), (30, 0, Attended::ByHand));
    class.desk(set(SeatId(1), 0));
    assert_eq!(of(&self::record(&class), SeatId(1)).attended, Attended::No);
}

#[test]
fn two_seats_of_one_person_are_one_and_no_minute_counts_twice() {
    let at = |minute: i64| EpochMs(minute * MINUTE_MS);
    let there = |from, to| There { from: at(from), to: at(to) };
    let joined = within([there(20, 40), there(0, 25), there(50, 70)], at(10), at(60));
    assert_eq!(joined, [there(10, 40), there(50, 60)]);
    assert_eq!(within([there(0, 10)], at(10), at(60)), []);

    let mut class = Class::open(HOUR).staffed();
    let tablet = class.join("Ann");
    class.desk(DeskCommand::Start);
    minutes(&mut class, 10);
    class.seat(tablet, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    class.seat(tablet, SeatCommand::Leave);
    let phone = class.join("Anne");
    minutes(&mut class, 10);
    class.desk(DeskCommand::Merge { from: tablet, into: phone });
    class.desk(DeskCommand::End);
    let record = record(&class);
    assert_eq!(record.people.len(), 1);
    assert_eq!((record.people[0].minutes, record.people[0].stops.len()), (20, 1));
}

#[test]
fn a_step_has_what_was_asked_of_whom_and_what_they_said() {
    let mut class = Class::open(HOUR).staffed();
    let [ann, ben, cy, dot] = ["Ann", "Ben", "Cy", "Dot"].map(|name| class.join(name));
    class.desk(DeskCommand::SayName { name: "Ines".try_into().unwrap() });
    class.desk(DeskCommand::SetPrecautions { seat: cy, conditions: vec![Condition::Neck] });
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::Next);
    let hiss = StepId(2);
    class.wait_ms(20_000);
    class.seat(ann, SeatCommand::Done { step: hiss });
    class.seat(ann, SeatCommand::HowFar { step: hiss, far: HowFar::Target });
    class.seat(ben, SeatCommand::Stop { reason: None, whose: Whose::Own });
    class.seat(ben, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    class.seat(dot, SeatCommand::Stop { reason: None, whose: Whose::Own });
    class.seat(dot, SeatCommand::UndoStop);
    class.desk(DeskCommand::Next);
    class.seat(ann, SeatCommand::SayEffort { number: 1, score: 4 });
    class.seat(cy, SeatCommand::SayEffort { number: 1, score: 7 });
    class.desk(DeskCommand::Next);
    class.wait_ms(5_000);
    class.report(ann, 9, Some(Felt::Number(6)), None);
    class.wait_ms(5_000);
    class.desk(DeskCommand::End);

    let record = record(&class);
    let titles: Vec<_> = record
        .steps
        .iter()
        .map(|step| (step.drill.is_some(), step.asked, step.did, step.stopped, step.rested))
        .collect();
    assert_eq!(
        titles,
        [
            (false, 0, 0, 0, 0),
            (true, 4, 1, 1, 0),
            (false, 0, 0, 0, 0),
            // Ben rests since the drill before; the neck drill is off for Cy, whose neck is not cleared.
            (true, 2, 0, 1, 2),
        ]
    );
    let effort = &record.steps[1].effort;
    assert_eq!((effort.len(), effort.iter().sum::<u32>(), effort[4], effort[7]), (11, 2, 1, 1));
    assert!(record.steps[3].effort.is_empty());
    let said = |seat| {
        of(&record, seat)
            .steps
            .iter()
            .map(|one| (one.step, one.form, one.answer, one.far))
            .collect::<Vec<_>>()
    };
    let neck = StepId(4);
    assert_eq!(
        said(ann),
        [
            (hiss, Form::Full, Some(Answer::Done), Some(HowFar::Target)),
            (neck, Form::Full, Some(Answer::Stopped), None),
        ]
    );
    assert_eq!(said(ben)[1], (neck, Form::Rest, None, None));
    assert_eq!(said(cy)[1], (neck, Form::Rest, None, None));
    let stops =
        |seat| of(&record, seat).stops.iter().map(|stop| (stop.step, stop.reason)).collect::<Vec<_>>();
    assert_eq!(
        stops(ben),
        [(Some(hiss), Some(StopReason::Tired))],
        "one stop, with the reason that was said later"
    );
    assert_eq!(stops(dot), [], "a slip of the finger");
    assert_eq!(stops(ann), [(Some(neck), Some(StopReason::Hurts))]);
    let [report] = &record.reports[..] else { panic!("one report") };
    assert_eq!((report.seat, report.step, report.said.strength), (ann, Some(neck), Some(Felt::Number(6))));
}

#[test]
fn a_dose_that_was_swapped_counts_with_what_was_done_before() {
    use samebreath_core::drill::dose::DoseChange;
    let mut class = Class::open("[[step]]\ndrill = \"sit-tall\"\n").staffed();
    class.join("Ann");
    class.desk(DeskCommand::Start);
    let planned = record(&class).steps[0].planned;
    class.wait_ms(40_000);
    class.desk(DeskCommand::PauseForSafety);
    let before = record(&class).steps[0].done;
    assert!(before.reps >= 1 && before.reps < planned.reps, "{before:?} of {planned:?}");
    class.desk(DeskCommand::Resume);
    let change = DoseChange { reps: Some(planned.reps + 2), ..DoseChange::default() };
    class.desk(DeskCommand::SwapDose { step: StepId(1), change: Box::new(change) });
    class.wait_ms(300_000);
    class.desk(DeskCommand::End);
    let step = &record(&class).steps[0];
    assert_eq!(step.planned, planned, "what was planned stays");
    // It goes on with the repetition in whose rest it was swapped, which is then done twice.
    assert_eq!(step.done.reps, before.reps + (planned.reps + 2) - (before.reps - 1));
}

/// A class that was played as planned was done as planned, by everybody who did not go.
#[test]
fn a_rehearsed_hour_gives_back_what_was_planned() {
    for seed in [3, 4, 5] {
        let ledger: Vec<Recorded> = crate::past::played(seed);
        let session = Session::replay(&ledger).unwrap();
        let record = class_record(&ledger).unwrap();
        for step in &record.steps {
            assert_eq!(
                (step.done.reps, step.done.completed),
                (step.planned.reps, step.planned.holds),
                "{}",
                step.title
            );
            assert_eq!(step.done.held_ms, step.planned.held_ms, "{}", step.title);
        }
        for person in &record.people {
            let seat = &session.seats()[&person.seat];
            assert_eq!(seat.place, Place::In);
            let whole = person.came_at.is_none() && person.left_at.is_none() && person.away_minutes == 0;
            assert!(
                !whole || person.minutes == record.minutes,
                "{}: {} of {}",
                person.name,
                person.minutes,
                record.minutes
            );
            let done = person.steps.iter().filter(|one| one.answer == Some(Answer::Done)).count();
            assert_eq!(
                done,
                seat.answers.values().filter(|said| said.answer == Answer::Done).count(),
                "{}",
                person.name
            );
        }
    }
}

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

#[test]
fn whoever_reported_stopped_was_away_or_stayed_away_is_in_the_list() {
    let mut class = Class::open(HOUR).staffed();
    let [ann, ben, cy, dot] = ["Ann", "Ben", "Cy", "Dot"].map(|name| class.join(name));
    class.desk(DeskCommand::Expect { name: "Eve".try_into().unwrap() });
    let eve = SeatId(dot.0 + 1);
    assert!(concerns(&record(&class)).is_empty(), "nobody misses a class that has not begun");
    class.desk(DeskCommand::Start);
    class.seat(ben, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    class.report(ann, 1, Some(Felt::Number(3)), None);
    class.report(dot, 2, None, Some(UrgentSign::Choking));
    class.seat(dot, SeatCommand::TakeBack { report: ReportId(Uuid::from_u128(2)) });
    class.wait_ms(MINUTE_MS);
    class.presence.seats.get_mut(&cy).unwrap().gone_at = Some(class.now);
    class.silence_ms(6 * MINUTE_MS);
    for seat in [ann, ben, dot] {
        class.hear(seat);
    }
    class.watch();
    class.desk(DeskCommand::End);
    let found: Vec<_> = concerns(&record(&class)).into_iter().map(|one| (one.seat, one.about)).collect();
    let report = |n| About::Report { report: ReportId(Uuid::from_u128(n)) };
    assert_eq!(
        found,
        [
            // Urgent ones come first, and count although they were taken back.
            (dot, report(2)),
            (ann, report(1)),
            (ben, About::Stops { times: 1 }),
            (cy, About::Away { minutes: 6 }),
            (eve, About::Missed),
        ]
    );
}

/// What is heard of somebody after two of their seats became one is heard of the one that stays.
#[test]
fn a_merge_in_the_middle_counts_no_minute_stop_or_effort_twice_and_none_too_many() {
    let mut class = Class::open(HOUR).staffed();
    let tablet = class.join("Ann");
    class.desk(DeskCommand::Expect { name: "Anne".try_into().unwrap() });
    let expected = SeatId(tablet.0 + 1);
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::Next);
    minutes(&mut class, 5);
    class.seat(tablet, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    class.desk(DeskCommand::Next);
    class.seat(tablet, SeatCommand::SayEffort { number: 1, score: 5 });
    class.desk(DeskCommand::Merge { from: tablet, into: expected });
    // The server counts what it hears of a seat for the one that it stands for.
    class.presence.seats.remove(&tablet);
    class.hear(expected);
    minutes(&mut class, 5);
    class.seat(tablet, SeatCommand::GoOn);
    let set = DeskCommand::SetAttendance { seat: expected, minutes: 9, reason: "why".try_into().unwrap() };
    class.desk(set);
    class.seat(expected, SeatCommand::Leave);
    minutes(&mut class, 30);
    class.desk(DeskCommand::End);
    let record = record(&class);
    let [ann] = &record.people[..] else { panic!("one person") };
    assert_eq!((ann.seat, ann.recorded_minutes, ann.minutes), (expected, 10, 9));
    assert!(ann.left_at.is_some());
    assert_eq!(ann.stops.len(), 1);
    assert_eq!(record.steps[1].effort.iter().sum::<u32>(), 1);
    assert_eq!((record.steps[1].asked, record.steps[1].stopped), (1, 1));
}

#[test]
fn whoever_answers_and_goes_before_the_class_goes_on_counts() {
    let mut class = Class::open(HOUR).staffed();
    let [ann, ben, cy] = ["Ann", "Ben", "Cy"].map(|name| class.join(name));
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::Next);
    class.wait_ms(20_000);
    class.seat(ann, SeatCommand::Done { step: StepId(2) });
    class.seat(ann, SeatCommand::Leave);
    class.seat(ben, SeatCommand::Stop { reason: None, whose: Whose::Own });
    class.seat(ben, SeatCommand::Leave);
    class.desk(DeskCommand::Remove { seat: cy, reason: "hung up".try_into().unwrap() });
    class.desk(DeskCommand::End);
    let step = &record(&class).steps[1];
    assert_eq!((step.asked, step.did, step.stopped), (3, 1, 1));
}

#[test]
fn an_effort_question_before_the_first_drill_is_about_none() {
    let plan = "[[step]]\neffort = \"How are you now?\"\n[[step]]\ndrill = \"long-hiss\"\n[[step]]\neffort = \"And now?\"\n";
    let mut class = Class::open(plan).staffed();
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.seat(ann, SeatCommand::SayEffort { number: 1, score: 2 });
    class.desk(DeskCommand::Next);
    class.wait_ms(20_000);
    class.desk(DeskCommand::Next);
    class.seat(ann, SeatCommand::SayEffort { number: 2, score: 8 });
    class.desk(DeskCommand::End);
    let effort = &record(&class).steps[1].effort;
    assert_eq!((effort[2], effort[8]), (0, 1));
}

#[test]
fn guests_who_left_before_the_start_and_people_taken_out_missed_nothing() {
    let mut class = Class::open(HOUR).staffed();
    let [ann, ben, wrong] = ["Ann", "Ben", "Wrong"].map(|name| class.join(name));
    class.desk(DeskCommand::Expect { name: "Eve".try_into().unwrap() });
    class.seat(ben, SeatCommand::Leave);
    class.desk(DeskCommand::Remove { seat: wrong, reason: "another class".try_into().unwrap() });
    class.desk(DeskCommand::Start);
    minutes(&mut class, 3);
    class.desk(DeskCommand::End);
    let record = record(&class);
    let people: Vec<_> = record.people.iter().map(|one| (one.seat, one.attended)).collect();
    assert_eq!(people, [(ann, Attended::Screen), (SeatId(wrong.0 + 1), Attended::No)]);
}

/// Somebody who was lost in a hold and found again is in the list, and so is whoever takes a report back.
#[test]
fn a_lost_person_and_a_report_that_was_taken_back_are_not_nothing() {
    let mut class = Class::open("[[step]]\ndrill = \"long-hiss\"\n").staffed();
    let [ann, ben] = ["Ann", "Ben"].map(|name| class.join(name));
    class.desk(DeskCommand::Start);
    class.wait_ms(crate::common::class::LEAD_MS + crate::common::class::READY_MS + 6_000);
    class.presence.seats.get_mut(&ann).unwrap().gone_at = Some(class.now);
    class.silence_ms(9_000);
    class.hear(ben);
    class.watch();
    class.hear(ann);
    class.watch();
    class.report(ben, 4, Some(Felt::Number(2)), None);
    class.seat(ben, SeatCommand::TakeBack { report: ReportId(Uuid::from_u128(4)) });
    class.desk(DeskCommand::End);
    let found: Vec<_> = concerns(&record(&class)).into_iter().map(|one| (one.seat, one.about)).collect();
    assert_eq!(found, [(ben, About::Stops { times: 1 }), (ann, About::Lost { times: 1 })]);
}
