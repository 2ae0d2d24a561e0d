//! The safety loop by example: stops, reports, who needs attention, coming in, two desks.

use crate::common::class::{Class, HELPER, LEAD_MS, READY_MS};
use samebreath_core::live::{
    Actor, CheckIn, Command, Company, DeskCommand, DeskRole, Entry, Exception, Feeling, Mark, Place, Refusal,
    ReportId, Said, Screen, SeatCommand, SeatId, Status, StepId, StopReason, UrgentSign, Whose,
};
use samebreath_core::people::rules::{Felt, Strength};
use samebreath_core::plan::StepRequest;
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
        step: StepRequest::Drill {
            drill: "sit-tall".try_into().unwrap(),
            change: Box::default(),
            items: None,
        },
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
fn seats_can_be_messaged_rested_marked_merged_and_removed() {
    let mut class = Class::open(TWO_DRILLS);
    let (ann, twin) = (class.join("Ann"), class.join("Ann again"));
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::Message { seat: ann, text: "Well done".try_into().unwrap() });
    assert_eq!(class.session.mine(ann, class.now).unwrap().message.unwrap().text.as_str(), "Well done");
    assert_eq!(class.row(ann).unread, 1);
    let message = class.session.mine(ann, class.now).unwrap().message.unwrap().id;
    class.seat(ann, SeatCommand::ReadMessage { message });
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
    class.silence_ms(1);
    class.report(ann, 2, None, Some(UrgentSign::Faint));
    let open = class.calling().remove(0);
    assert_eq!(open.said.urgent, Some(UrgentSign::Faint), "a report that was on its way is not lost");
}

#[test]
fn the_desk_is_handed_over_or_taken_when_left() {
    let mut class = Class::open(TWO_DRILLS).staffed();
    let take = Command::Desk(DeskCommand::HandDesk { to: DeskRole::Helper });
    assert_eq!(class.try_do(HELPER, take.clone()), Err(Refusal::StillLed));
    class.presence.desks.remove(&DeskRole::Facilitator);
    class.try_do(HELPER, take).unwrap();
    assert_eq!(class.refused(DeskCommand::Start), Refusal::NotLeading);
    class.try_do(HELPER, Command::Desk(DeskCommand::Start)).unwrap();
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
    class.desk(DeskCommand::LetIn { seat, known_as: None });
    assert_eq!(class.session.desk(class.now, &class.presence).rows.len(), 1);
    class.try_do(Actor::Entry, take("Other")).unwrap();
    class.desk(DeskCommand::TurnAway { seat: SeatId(2) });
    assert_eq!(class.session.seats()[&SeatId(2)].place, Place::TurnedAway);
    assert_eq!(class.refused(DeskCommand::LetIn { seat: SeatId(2), known_as: None }), Refusal::NoSuchSeat(2));
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
    class.desk(DeskCommand::SetEntry { to: Entry::Code });
    class.now = class.session.seats()[&SeatId(1)].joined_at.plus(25 * 3_600_000);
    assert_eq!(class.try_do(Actor::Entry, take("Next day")), Err(Refusal::CodeOver));
    let hidden = class.try_do(Actor::Entry, take("\u{3164}\u{3164}")).unwrap_err();
    assert_eq!(hidden.to_string(), "a name cannot have the character U+3164; write letters");
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
    let shown = class.calling().remove(0);
    assert_eq!(shown.name.as_str(), "Greta", "the desk knows which of the two");
}

#[test]
fn an_older_tap_that_comes_late_does_not_undo_a_stop() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.seat(ann, SeatCommand::Stop { reason: None, whose: Whose::Own });
    class.seat(ann, SeatCommand::Done { step: StepId(1) });
    assert_eq!(class.status(ann), Status::Stopped, "done before the stop, and heard after it");
}

#[test]
fn what_was_pressed_before_a_safety_pause_does_not_move_the_class_after_it() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + READY_MS + 5_000);
    class.desk(DeskCommand::Pause);
    class.wait_ms(2_000);
    class.desk(DeskCommand::GoOn);
    class.wait_ms(6_000);
    let pressed = class.now;
    class.wait_ms(5);
    class.desk(DeskCommand::PauseForSafety);
    let stands = class.session.moves().to_vec();
    let paused_at = std::mem::replace(&mut class.now, pressed);
    for late in
        [DeskCommand::GoOn, DeskCommand::Next, DeskCommand::GoTo { step: StepId(2) }, DeskCommand::AgainStep]
    {
        assert_eq!(class.refused(late), Refusal::SafetyPause);
    }
    assert_eq!(class.session.moves(), stands);
    class.now = paused_at.plus(1);
    class.desk(DeskCommand::Resume);
}

#[test]
fn two_seats_made_one_keep_the_more_careful_word() {
    let mut class = Class::open(TWO_DRILLS);
    let (ann, twin) = (class.join("Ann"), class.join("Ann again"));
    class.seat(ann, SeatCommand::ConfirmMouth { empty: true });
    class.seat(twin, SeatCommand::ConfirmMouth { empty: false });
    class.desk(DeskCommand::AskRest { seat: twin });
    class.desk(DeskCommand::Merge { from: twin, into: ann });
    let mine = class.session.mine(ann, class.now).unwrap();
    assert_eq!((mine.mouth_empty, mine.rest_asked), (Some(false), true));
}
