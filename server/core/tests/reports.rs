//! Discomfort reports by example: said tap by tap, seen and handled by desks, never lost.

use crate::common::class::{Class, FACILITATOR, HELPER, LEAD_MS, READY_MS};
use samebreath_core::live::{
    Actor, CheckIn, Command, DeskCommand, DeskRole, Refusal, ReportId, ReportState, Said, SeatCommand,
    Status, StepId, UrgentSign, Where,
};
use samebreath_core::people::rules::{Felt, Strength};
use uuid::Uuid;

const TWO_DRILLS: &str = "[[step]]\ndrill = \"long-hiss\"\n[[step]]\ndrill = \"sit-tall\"\n";

#[test]
fn a_report_counts_once_and_shows_how_far_it_came() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 4_000);
    class.report(ann, 7, Some(Felt::Word(Strength::Quite)), None);
    class.report(ann, 7, Some(Felt::Word(Strength::Quite)), None);
    assert_eq!(class.session.reports().len(), 1);
    let report = class.calling().remove(0);
    assert_eq!((report.during, report.during_ms), (Some(StepId(1)), Some(4_000)));
    assert_eq!(class.status(ann), Status::Discomfort);
    let id = ReportId(Uuid::from_u128(7));
    class
        .try_do(HELPER, Command::Desk(DeskCommand::HandleReport { report: id, to: ReportState::Seen }))
        .unwrap();
    assert_eq!(class.session.mine(ann, class.now).unwrap().reports[0].seen_by, Some(DeskRole::Helper));
    class.desk(DeskCommand::HandleReport { report: id, to: ReportState::Closed });
    assert_eq!(class.status(ann), Status::Stopped);
    class.desk(DeskCommand::End);
    class.report(ann, 8, None, Some(UrgentSign::ChestPain));
    assert_eq!(class.session.reports().len(), 2, "a report is taken after the class as well");
}

#[test]
fn an_urgent_report_shows_where_the_person_is_to_the_desk_only() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    let answers = CheckIn {
        place: Some("12 Mill Lane".try_into().unwrap()),
        contact: Some("Ben, 555 0100".try_into().unwrap()),
        ..CheckIn::default()
    };
    class.seat(ann, SeatCommand::CheckIn { answers });
    class.report(ann, 1, None, Some(UrgentSign::Choking));
    let report = class.calling().remove(0);
    assert_eq!(report.location.unwrap().as_str(), "12 Mill Lane");
    assert_eq!(report.contact.unwrap().as_str(), "Ben, 555 0100");
    class.seat(ann, SeatCommand::TakeBack { report: ReportId(Uuid::from_u128(1)) });
    assert_eq!(class.calling().len(), 1, "still to be looked at");
}

#[test]
fn the_first_tap_is_a_report_and_the_next_ones_complete_it() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    let report = ReportId(Uuid::from_u128(1));
    let say = |class: &mut Class, said| class.seat(ann, SeatCommand::Report { report, said });
    say(&mut class, Said::default());
    assert_eq!(class.calling().len(), 1, "there before a word is said");
    class.desk(DeskCommand::HandleReport { report, to: ReportState::Seen });
    let place = Some(Where::Throat);
    say(&mut class, Said { place, ..Said::default() });
    assert_eq!(class.session.reports()[0].state, ReportState::Seen, "where it hurts is nothing graver");
    say(&mut class, Said { place, strength: Some(Felt::Number(6)), ..Said::default() });
    assert_eq!(class.session.reports()[0].state, ReportState::Recorded, "somebody must look again");
    let shown = class.calling().remove(0);
    assert_eq!(
        (shown.said.strength, shown.strength),
        (Some(Felt::Number(6)), Some(Strength::Quite)),
        "kept raw"
    );
    class.desk(DeskCommand::HandleReport { report, to: ReportState::Taken });
    say(&mut class, Said { place, urgent: Some(UrgentSign::Choking), ..Said::default() });
    assert_eq!(class.session.mine(ann, class.now).unwrap().reports[0].seen_by, None);
    let too_much = Said { strength: Some(Felt::Number(11)), ..Said::default() };
    let refused =
        class.try_do(Actor::Seat(ann), Command::Seat(SeatCommand::Report { report, said: too_much }));
    assert_eq!(refused.unwrap_err().to_string(), "the strength is 11; it must be from 0 to 10");
    let ben = class.join("Ben");
    let of_another = Command::Seat(SeatCommand::Report { report, said: Said::default() });
    assert_eq!(class.try_do(Actor::Seat(ben), of_another), Err(Refusal::NoSuchReport));
}

#[test]
fn the_parts_of_a_report_may_come_in_the_wrong_order() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    let report = ReportId(Uuid::from_u128(1));
    let say = |class: &mut Class, said| class.seat(ann, SeatCommand::Report { report, said });
    let whole = Said { place: Some(Where::Chest), urgent: Some(UrgentSign::ChestPain), ..Said::default() };
    say(&mut class, whole.clone());
    say(&mut class, Said::default());
    say(&mut class, Said { place: Some(Where::Chest), ..Said::default() });
    assert_eq!(class.session.reports()[0].said, whole);
}

#[test]
fn what_is_done_about_a_report_is_kept_with_who_and_when() {
    let mut class = Class::open(TWO_DRILLS).named();
    let ann = class.join("Ann");
    class.report(ann, 1, None, None);
    let report = ReportId(Uuid::from_u128(1));
    let steps = [
        (HELPER, ReportState::Seen),
        (FACILITATOR, ReportState::Taken),
        (HELPER, ReportState::Taken),
        (HELPER, ReportState::Resting),
        (HELPER, ReportState::Back),
        (FACILITATOR, ReportState::Closed),
    ];
    for (by, to) in steps {
        class.silence_ms(1_000);
        class.try_do(by, Command::Desk(DeskCommand::HandleReport { report, to })).unwrap();
    }
    let handled = class.session.reports()[0].handled.clone();
    let states: Vec<_> = handled.iter().map(|h| (Actor::Desk(h.by), h.to)).collect();
    assert_eq!(states, steps, "also that the helper took it over");
    assert_eq!(handled[1].name.as_ref().unwrap().as_str(), "Rosamund");
    assert_eq!(handled[0].name, None, "nobody said a name at that desk");
    assert_eq!(handled[5].at, class.now);
    let twice = class.refused(DeskCommand::HandleReport { report, to: ReportState::Closed });
    assert_eq!(twice, Refusal::NoChange);
    let backwards = class.refused(DeskCommand::HandleReport { report, to: ReportState::Recorded });
    assert_eq!(backwards, Refusal::NoChange);
}

#[test]
fn more_said_of_a_report_that_was_over_is_looked_at_anew() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    let report = ReportId(Uuid::from_u128(1));
    let say = |class: &mut Class, said| class.seat(ann, SeatCommand::Report { report, said });
    say(&mut class, Said::default());
    class.desk(DeskCommand::HandleReport { report, to: ReportState::Closed });
    say(&mut class, Said { place: Some(Where::Throat), ..Said::default() });
    let shown = class.calling();
    assert_eq!((shown.len(), shown[0].state), (1, ReportState::Recorded));
}
