//! The safety loop by example: stops, reports, who needs attention, coming in, two desks.
#![allow(clippy::unwrap_used, missing_docs, reason = "a test file")]

mod common;

use common::class::{Class, FACILITATOR, HELPER, LEAD_MS};
use samebreath_core::dose::DoseChange;
use samebreath_core::live::{
    Actor, CheckIn, Command, Company, DeskCommand, DeskRole, Entry, Exception, Feeling, Felt, Heard, Mark,
    Noticed, Place, Refusal, ReportId, ReportState, Said, Screen, SeatCommand, SeatId, Status, StepId,
    StopReason, Strength, UrgentSign, Where, Whose,
};
use samebreath_core::plan::StepRequest;
use samebreath_core::time::EpochMs;
use samebreath_core::timeline::READY_MS;
use uuid::Uuid;

const TWO_DRILLS: &str = "[[step]]\ndrill = \"long-hiss\"\n[[step]]\ndrill = \"sit-tall\"\n";

#[test]
fn a_safety_pause_takes_effect_at_once_and_either_desk_may_give_it() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 5_000);
    class.try_do(HELPER, Command::Desk(DeskCommand::PauseForSafety)).unwrap();
    class.wait_ms(2_000);
    assert_eq!(class.offset_ms(), 5_000);
    let error = class.try_do(HELPER, Command::Desk(DeskCommand::GoOn)).unwrap_err();
    assert_eq!(error, Refusal::NotLeading);
}

#[test]
fn a_stop_lasts_until_the_person_goes_on() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.seat(ann, SeatCommand::Stop { reason: None, whose: Whose::Own });
    class.seat(ann, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    class.desk(DeskCommand::Next);
    let row = class.session.roster(class.now, &class.presence).remove(0);
    assert_eq!((row.status, row.reason), (Status::Stopped, Some(StopReason::Tired)));
    class.seat(ann, SeatCommand::GoOn);
    assert_eq!(class.status(ann), Status::Working);
}

#[test]
fn a_report_counts_once_and_shows_how_far_it_came() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 4_000);
    class.report(ann, 7, Some(Felt::Word(Strength::Quite)), None);
    class.report(ann, 7, Some(Felt::Word(Strength::Quite)), None);
    assert_eq!(class.session.reports().len(), 1);
    let report = class.session.desk(class.now, &class.presence).reports.remove(0);
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
fn the_order_of_attention() {
    let mut class = Class::open(TWO_DRILLS);
    let names = ["Done", "Work", "Away", "Stop", "Little", "VeryLate", "Very", "Urgent", "Silent"];
    let seats: Vec<_> = names.iter().map(|name| class.join(name)).collect();
    class.desk(DeskCommand::Start);
    class.wait_ms(60_000);
    class.desk(DeskCommand::Next);
    class.wait_ms(60_000);
    class.desk(DeskCommand::Insert {
        after: None,
        step: StepRequest::Drill { drill: "sit-tall".try_into().unwrap(), change: DoseChange::default() },
    });
    class.desk(DeskCommand::Next);
    for seat in &seats[..8] {
        class.seat(*seat, SeatCommand::Done { step: StepId(1) });
    }
    class.seat(seats[0], SeatCommand::Done { step: StepId(3) });
    class.seat(seats[3], SeatCommand::Stop { reason: None, whose: Whose::Own });
    class.report(seats[4], 1, Some(Felt::Word(Strength::Little)), None);
    class.report(seats[6], 3, Some(Felt::Word(Strength::Very)), None);
    class.wait_ms(1_000);
    class.report(seats[5], 2, Some(Felt::Word(Strength::Very)), None);
    class.report(seats[7], 4, None, Some(UrgentSign::Faint));
    class.presence.seats.remove(&seats[2]);
    let rows = class.session.roster(class.now, &class.presence);
    let order: Vec<_> = rows.iter().map(|row| row.name.as_str()).collect();
    assert_eq!(order, ["Urgent", "Very", "VeryLate", "Little", "Stop", "Away", "Silent", "Work", "Done"]);
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
    let report = class.session.desk(class.now, &class.presence).reports.remove(0);
    assert_eq!(report.location.unwrap().as_str(), "12 Mill Lane");
    assert_eq!(report.contact.unwrap().as_str(), "Ben, 555 0100");
    class.seat(ann, SeatCommand::TakeBack { report: ReportId(Uuid::from_u128(1)) });
    assert_eq!(class.session.desk(class.now, &class.presence).reports.len(), 1, "still to be looked at");
}

#[test]
fn seats_can_be_messaged_rested_marked_merged_and_removed() {
    let mut class = Class::open(TWO_DRILLS);
    let (ann, twin) = (class.join("Ann"), class.join("Ann again"));
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::Message { seat: ann, text: "Well done".try_into().unwrap() });
    assert_eq!(class.session.mine(ann, class.now).unwrap().message.unwrap().text.as_str(), "Well done");
    assert_eq!(class.row(ann).unread, 1);
    class.seat(ann, SeatCommand::ReadMessage);
    assert_eq!(class.row(ann).unread, 0);
    let sent = class.session.person(ann, DeskRole::Helper).unwrap().messages.remove(0);
    assert_eq!((sent.by, sent.read_at), (DeskRole::Facilitator, Some(class.now)));
    assert_eq!(class.session.mine(ann, class.now).unwrap().message, None);
    class.desk(DeskCommand::AskRest { seat: ann });
    assert_eq!(class.status(ann), Status::Resting);
    class.seat(ann, SeatCommand::GoOn);
    class.report(twin, 1, None, None);
    class.desk(DeskCommand::Merge { from: twin, into: ann });
    assert_eq!(class.session.roster(class.now, &class.presence).len(), 1);
    assert_eq!(class.session.mine(twin, class.now).unwrap().seat, ann, "the old seat leads to the new");
    assert_eq!(class.session.reports()[0].seat, ann);
    class.desk(DeskCommand::AddByPhone { name: "Cy".try_into().unwrap() });
    let cy = *class.session.seats().keys().last().unwrap();
    class.desk(DeskCommand::MarkSeat { seat: cy, answer: Mark::Done });
    assert_eq!(class.status(cy), Status::Done);
    class.desk(DeskCommand::Remove { seat: ann, reason: "by mistake".try_into().unwrap() });
    assert_eq!(class.session.mine(ann, class.now), None, "nothing is shown to them any more");
    let again = class.try_do(Actor::Seat(ann), Command::Seat(SeatCommand::GoOn));
    assert_eq!(again, Err(Refusal::NotIn));
    class.report(ann, 2, None, Some(UrgentSign::Faint));
    assert_eq!(class.session.reports().len(), 2, "a report that was on its way is not lost");
}

#[test]
fn the_desk_is_handed_over_or_taken_when_left() {
    let mut class = Class::open(TWO_DRILLS);
    let here = Heard::now(class.now, true);
    class.presence.desks.insert(DeskRole::Facilitator, here);
    let take = Command::Desk(DeskCommand::HandDesk { to: DeskRole::Helper });
    assert_eq!(class.try_do(HELPER, take.clone()), Err(Refusal::StillLed));
    class.presence.desks.remove(&DeskRole::Facilitator);
    class.try_do(HELPER, take).unwrap();
    assert_eq!(class.refused(DeskCommand::Start), Refusal::NotLeading);
    class.try_do(HELPER, Command::Desk(DeskCommand::Start)).unwrap();
}

#[test]
fn hidden_is_not_gone() {
    let check = |visible, connected: bool, silent_ms, expected| {
        let heard = Heard { gone_at: (!connected).then_some(EpochMs(0)), ..Heard::now(EpochMs(0), visible) };
        assert_eq!(heard.screen(EpochMs(silent_ms)), expected, "{visible} {connected} {silent_ms}");
    };
    check(true, true, 10_000, Screen::Live);
    check(true, false, 10_000, Screen::Quiet);
    check(true, true, 20_000, Screen::Quiet);
    check(true, true, 31_000, Screen::Away);
    check(false, true, 80_000, Screen::Off);
    check(false, false, 80_000, Screen::Off);
    check(false, true, 91_000, Screen::Away);
}

#[test]
fn nobody_gets_in_before_the_opening_or_after_the_end() {
    let mut class = Class::new(TWO_DRILLS);
    let take = Command::TakeSeat { name: "Ann".try_into().unwrap() };
    assert_eq!(class.try_do(Actor::Entry, take.clone()), Err(Refusal::NotOpen));
    class.desk(DeskCommand::Open);
    class.try_do(Actor::Entry, take.clone()).unwrap();
    class.desk(DeskCommand::End);
    assert_eq!(class.try_do(Actor::Entry, take), Err(Refusal::Ended));
    let by_the_wrong_one = Command::Desk(DeskCommand::End);
    assert_eq!(class.try_do(Actor::Seat(SeatId(1)), by_the_wrong_one), Err(Refusal::Ended));
}

#[test]
fn the_first_tap_is_a_report_and_the_next_ones_complete_it() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    let report = ReportId(Uuid::from_u128(1));
    let say = |class: &mut Class, said| class.seat(ann, SeatCommand::Report { report, said });
    say(&mut class, Said::default());
    assert_eq!(
        class.session.desk(class.now, &class.presence).reports.len(),
        1,
        "there before a word is said"
    );
    class.desk(DeskCommand::HandleReport { report, to: ReportState::Seen });
    let place = Some(Where::Throat);
    say(&mut class, Said { place, ..Said::default() });
    assert_eq!(class.session.reports()[0].state, ReportState::Seen, "where it hurts is nothing graver");
    say(&mut class, Said { place, strength: Some(Felt::Number(6)), ..Said::default() });
    assert_eq!(class.session.reports()[0].state, ReportState::Recorded, "somebody must look again");
    let shown = class.session.desk(class.now, &class.presence).reports.remove(0);
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
    assert_eq!(refused.unwrap_err().to_string(), "11 as a strength; it must be from 0 to 10");
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
    let lines = class.ledger.len();
    say(&mut class, Said::default());
    say(&mut class, Said { place: Some(Where::Chest), ..Said::default() });
    assert_eq!((class.session.reports()[0].said.clone(), class.ledger.len()), (whole, lines));
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
fn a_slip_onto_stop_leaves_no_trace_in_the_answers() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.seat(ann, SeatCommand::Stop { reason: None, whose: Whose::Own });
    class.seat(ann, SeatCommand::UndoStop);
    assert_eq!(class.status(ann), Status::Working);
    assert_eq!(class.session.mine(ann, class.now).unwrap().answer, None);
}

#[test]
fn somebody_lost_in_a_hold_is_noticed_once_and_found_again() {
    let mut class = Class::open(TWO_DRILLS);
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    class.presence.desks.insert(DeskRole::Facilitator, Heard::now(EpochMs(i64::MAX), true));
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 6_000);
    let gone_at = class.now;
    class.presence.seats.get_mut(&ann).unwrap().gone_at = Some(gone_at);
    class.silence_ms(7_999);
    class.hear(ben);
    assert_eq!(class.watch(), []);
    class.silence_ms(1);
    assert_eq!(class.watch(), [Noticed::Lost(ann)]);
    assert_eq!(class.watch(), [], "once");
    let lost = class.session.desk(class.now, &class.presence).lost;
    assert_eq!((lost.len(), lost[0].seat, lost[0].heard_at), (1, ann, gone_at));
    assert_eq!((lost[0].during, lost[0].during_ms), (StepId(1), 6_000), "the hold of the first repetition");
    class.try_do(HELPER, Command::Desk(DeskCommand::TakeLost { seat: ann })).unwrap();
    let lost = class.session.desk(class.now, &class.presence).lost;
    assert_eq!(lost[0].taken_by, Some(DeskRole::Helper));
    class.hear(ann);
    class.hear(ben);
    assert_eq!(class.watch(), [Noticed::Found(ann)]);
    assert!(class.session.desk(class.now, &class.presence).lost.is_empty());
}

#[test]
fn silence_in_a_talk_or_a_rest_after_the_drill_is_no_alarm() {
    let mut class = Class::open("[[step]]\ntalk = \"Hello\"\nminutes = 2\n");
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.wait_ms(10_000);
    class.silence_ms(60_000);
    assert_eq!(class.watch(), [Noticed::LeadLost], "nobody sits at the desk of this test");
    assert_eq!(class.status(ann), Status::Away);
}

#[test]
fn a_hidden_page_in_a_hold_is_screen_off_and_no_alarm() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.presence.desks.insert(DeskRole::Facilitator, Heard::now(EpochMs(i64::MAX), true));
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 6_000);
    class.presence.seats.insert(ann, Heard::now(class.now, false));
    class.silence_ms(60_000);
    assert_eq!(class.watch(), []);
    assert_eq!(class.row(ann).screen, Screen::Off);
}

#[test]
fn a_lost_leader_is_told_to_the_class_and_the_helper_can_take_the_desk() {
    let mut class = Class::open(TWO_DRILLS);
    class.presence.desks.insert(DeskRole::Facilitator, Heard::now(class.now, true));
    class.desk(DeskCommand::Start);
    class.wait_ms(20_000);
    class.presence.desks.get_mut(&DeskRole::Facilitator).unwrap().gone_at = Some(class.now);
    class.silence_ms(8_000);
    assert_eq!(class.watch(), [Noticed::LeadLost]);
    assert!(class.session.stage(class.now).lead_lost);
    let before = class.session.moves().to_vec();
    class.silence_ms(120_000);
    assert_eq!(class.session.moves(), before, "the step runs to its end and the class waits there");
    class.try_do(HELPER, Command::Desk(DeskCommand::HandDesk { to: DeskRole::Helper })).unwrap();
    assert!(!class.session.stage(class.now).lead_lost);
    assert_eq!(class.session.lead(), DeskRole::Helper);
}

#[test]
fn a_restart_of_the_server_alarms_nobody_who_comes_back() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.presence.desks.insert(DeskRole::Facilitator, Heard::now(class.now, true));
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 6_000);
    class.presence = samebreath_core::live::Presence::since(class.now);
    class.silence_ms(5_000);
    assert_eq!(class.watch(), []);
    class.hear(ann);
    class.silence_ms(5_000);
    assert_eq!(class.watch(), [Noticed::LeadLost], "the desk did not come back, the person did");
}

#[test]
fn the_entry_can_ask_first_and_be_closed() {
    let mut class = Class::open(TWO_DRILLS);
    let take = |name: &str| Command::TakeSeat { name: name.try_into().unwrap() };
    class.desk(DeskCommand::SetEntry { to: Entry::Ask });
    class.try_do(Actor::Entry, take("Stranger")).unwrap();
    let seat = SeatId(1);
    let frame = class.session.desk(class.now, &class.presence);
    assert_eq!((frame.rows.len(), frame.asking.len()), (0, 1));
    assert_eq!(class.session.mine(seat, class.now), None, "sees nothing of the class yet");
    let early = class.try_do(Actor::Seat(seat), Command::Seat(SeatCommand::GoOn));
    assert_eq!(early, Err(Refusal::NotIn));
    class.desk(DeskCommand::LetIn { seat });
    assert_eq!(class.session.desk(class.now, &class.presence).rows.len(), 1);
    class.try_do(Actor::Entry, take("Other")).unwrap();
    class.desk(DeskCommand::TurnAway { seat: SeatId(2) });
    assert_eq!(class.session.seats()[&SeatId(2)].place, Place::TurnedAway);
    assert_eq!(class.refused(DeskCommand::LetIn { seat: SeatId(2) }), Refusal::NoSuchSeat(2));
    for n in 0..30 {
        class.try_do(Actor::Entry, take(&format!("P{n}"))).unwrap();
    }
    assert_eq!(class.try_do(Actor::Entry, take("One more")), Err(Refusal::ManyAsk));
    class.desk(DeskCommand::SetEntry { to: Entry::Closed });
    assert_eq!(class.try_do(Actor::Entry, take("Late")), Err(Refusal::EntryClosed));
    class.desk(DeskCommand::Expect { name: "Ida".try_into().unwrap() });
    let ida = *class.session.seats().keys().last().unwrap();
    assert_eq!((class.row(ida).status, class.row(ida).screen), (Status::Waiting, Screen::NotYet));
    class.try_do(Actor::Entry, Command::Arrive { seat: ida }).unwrap();
    assert_eq!(class.session.seats()[&ida].place, Place::In, "personal links still work");
}

#[test]
fn both_desks_see_what_the_other_did() {
    let mut class = Class::open(TWO_DRILLS).named();
    let ann = class.join("Ann");
    class.try_do(HELPER, Command::Desk(DeskCommand::AskRest { seat: ann })).unwrap();
    let acts = class.session.desk(class.now, &class.presence).acts;
    let last = acts.last().unwrap();
    assert_eq!((last.by, last.seat), (DeskRole::Helper, Some(ann)));
    let names: Vec<_> = acts.iter().map(|act| act.name.as_ref().map(|n| n.as_str())).collect();
    assert_eq!(names, [None, Some("Rosamund"), None]);
}

#[test]
fn effort_is_a_spread_and_a_late_answer_counts_for_its_question() {
    let mut class = Class::open(TWO_DRILLS);
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::AskEffort);
    assert_eq!(class.session.stage(class.now).effort, Some(1));
    class.seat(ann, SeatCommand::SayEffort { number: 1, score: 7 });
    class.desk(DeskCommand::Next);
    assert_eq!(class.session.stage(class.now).effort, None, "the question goes with the step");
    class.seat(ben, SeatCommand::SayEffort { number: 1, score: 7 });
    let effort = class.session.desk(class.now, &class.presence).effort.unwrap();
    assert_eq!((effort.spread[7], effort.spread.iter().sum::<u32>(), effort.asked), (2, 2, false));
    let wrong =
        class.try_do(Actor::Seat(ann), Command::Seat(SeatCommand::SayEffort { number: 1, score: 11 }));
    assert!(matches!(wrong, Err(Refusal::Wrong(_))));
    let unasked =
        class.try_do(Actor::Seat(ann), Command::Seat(SeatCommand::SayEffort { number: 2, score: 1 }));
    assert_eq!(unasked, Err(Refusal::NotStarted));
}

#[test]
fn the_check_in_shows_only_what_stands_out() {
    let mut class = Class::open(TWO_DRILLS);
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    let all_well = CheckIn {
        feeling: Some(Feeling::Well),
        seated: Some(true),
        mouth_empty: Some(true),
        company: Some(Company::With),
        news: Some(false),
        place: Some("12 Mill Lane".try_into().unwrap()),
        contact: Some("Ben, 555 0100".try_into().unwrap()),
        ..CheckIn::default()
    };
    class.seat(ann, SeatCommand::CheckIn { answers: all_well.clone() });
    assert_eq!(class.row(ann).exceptions, []);
    let partner = samebreath_core::live::Partner {
        name: "Greta".try_into().unwrap(),
        feeling: Some(Feeling::NotWell),
        mouth_empty: Some(false),
    };
    let answers = CheckIn {
        feeling: None,
        news: Some(true),
        company: Some(Company::Alone),
        place: None,
        partner: Some(partner),
        ..all_well
    };
    class.seat(ben, SeatCommand::CheckIn { answers });
    let expected = [
        Exception::PartnerNotWell,
        Exception::MouthNotEmpty,
        Exception::News,
        Exception::Alone,
        Exception::NoPlace,
        Exception::NotAllSaid,
    ];
    assert_eq!(class.row(ben).exceptions, expected);
    assert_eq!(class.row(ben).partner.unwrap().as_str(), "Greta");
    let report = ReportId(Uuid::from_u128(1));
    class.seat(ben, SeatCommand::Report { report, said: Said { whose: Whose::Partner, ..Said::default() } });
    let shown = class.session.desk(class.now, &class.presence).reports.remove(0);
    assert_eq!(shown.name.as_str(), "Greta", "the desk knows which of the two");
}
