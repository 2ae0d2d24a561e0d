//! What a class was, folded from its ledger: who was there, what was done, who stopped, what was reported.

use samebreath_core::live::{
    Answer, DeskCommand, Form, HowFar, Place, Recorded, SeatCommand, SeatId, Session, StepId, StopReason,
    Whose,
};
use samebreath_core::people::care::Condition;
use samebreath_core::people::rules::Felt;
use samebreath_core::record::attendance::{There, within};
use samebreath_core::record::class::{Attended, ClassRecord, PersonRecord, class_record};
use samebreath_core::time::EpochMs;

use crate::common::class::Class;

pub const HOUR: &str = "[[step]]\ntalk = \"Welcome\"\nminutes = 2\n[[step]]\ndrill = \"long-hiss\"\n[[step]]\neffort = \"How hard was it?\"\n[[step]]\ndrill = \"neck-five\"\n";
pub const MINUTE_MS: i64 = 60_000;

pub fn record(class: &Class) -> ClassRecord {
    class_record(&class.ledger).unwrap()
}

pub fn of(record: &ClassRecord, seat: SeatId) -> &PersonRecord {
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

#[test]
fn two_people_of_one_name_stay_two() {
    let mut class = Class::open(HOUR).staffed();
    let [one, other] = [class.join("Ann"), class.join("Ann")];
    class.desk(DeskCommand::Start);
    minutes(&mut class, 4);
    class.seat(one, SeatCommand::Leave);
    minutes(&mut class, 6);
    class.desk(DeskCommand::SetAttendance { seat: one, minutes: 5, reason: "why".try_into().unwrap() });
    class.desk(DeskCommand::End);
    let record = record(&class);
    let people: Vec<_> = record.people.iter().map(|ann| (ann.seat, ann.name.as_str(), ann.minutes)).collect();
    assert_eq!(people, [(one, "Ann (1)", 5), (other, "Ann (2)", 10)]);
}
