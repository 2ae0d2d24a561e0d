//! Where two things meet: a class and another moment of it, a person and a namesake, a command and its double.

use crate::common::class::{Class, FACILITATOR, HELPER, LEAD_MS};
use samebreath_core::live::ClassEvent;
use samebreath_core::live::{
    Actor, Alert, Command, CommandId, DeskCommand, DeskRole, Form, Pressed, Recorded, Refusal, ReportId,
    ReportState, Said, SeatCommand, SeatId, Session, Status, StepId, StopReason, UrgentSign, Where, Whose,
};
use samebreath_core::people::rules::{Felt, Strength};
use samebreath_core::time::EpochMs;
use uuid::Uuid;

const TWO_DRILLS: &str = "[[step]]\ndrill = \"steady-ah\"\n[[step]]\ndrill = \"pucker-smile\"\n";
const SWALLOW_SIP_SWALLOW: &str = "[[step]]\ndrill = \"effortful-swallow\"\n[[step]]\nsip = \"Sip\"\nseconds = 30\n\
    [[step]]\ndrill = \"effortful-swallow\"\n[[step]]\ndrill = \"sit-tall\"\n";
const TWO_ROUNDS: &str =
    "[[step]]\nclues = \"allotment\"\nminutes = 5\n[[step]]\nclues = \"toolbox\"\nminutes = 5\n";

fn said(place: Where) -> Said {
    Said { place: Some(place), ..Said::default() }
}

fn report(n: u128) -> ReportId {
    ReportId(Uuid::from_u128(n))
}

fn what(alert: &Alert) -> String {
    match alert {
        Alert::Report(report) => format!("report of {}", report.name),
        Alert::Stopped(row) => format!("{} stopped", row.name),
        Alert::Lost(row) => format!("{} lost", row.name),
    }
}

/// An unseen urgent report, an unseen report (strongest first, then oldest), then an urgent one that somebody sees to,
/// then who stopped, then who is lost.
#[test]
fn a_pain_report_is_above_a_stop_and_a_stop_above_a_lost_screen() {
    let mut class = Class::open(TWO_DRILLS).staffed();
    let all = ["Lost", "Stops", "Little", "Very", "Urgent", "Early"].map(|name| class.join(name));
    let [lost, stops, little, very, urgent, early] = all;
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + 11_000);
    class.presence.seats.get_mut(&lost).unwrap().gone_at = Some(class.now);
    class.silence_ms(9_000);
    class.watch();
    class.seat(stops, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    class.report(early, 4, Some(Felt::Word(Strength::Little)), None);
    class.silence_ms(10);
    class.report(little, 1, Some(Felt::Word(Strength::Little)), None);
    class.report(very, 2, Some(Felt::Word(Strength::Very)), None);
    class.report(urgent, 3, None, Some(UrgentSign::Faint));
    let order = |class: &Class| class.alerts().iter().map(what).collect::<Vec<_>>();
    let first = [
        "report of Urgent",
        "report of Very",
        "report of Early",
        "report of Little",
        "Stops stopped",
        "Lost lost",
    ];
    assert_eq!(order(&class), first);
    // Seen is not taken: an urgent report stays on top.
    class.desk(DeskCommand::HandleReport { report: report(3), to: ReportState::Seen });
    assert_eq!(order(&class)[0], "report of Urgent");
    for n in [1, 2, 3, 4] {
        class.desk(DeskCommand::HandleReport { report: report(n), to: ReportState::Taken });
    }
    let taken = ["report of Urgent", "Stops stopped", "Lost lost"];
    assert_eq!(order(&class)[..3], taken, "of what somebody sees to, only the urgent stays above");
    class.desk(DeskCommand::HandleReport { report: report(3), to: ReportState::Resting });
    assert_eq!(order(&class)[..2], ["Stops stopped", "Lost lost"], "the danger is over");
    class.try_do(HELPER, Command::Desk(DeskCommand::SeeStop { seat: stops })).unwrap();
    assert_eq!(order(&class)[0], "Lost lost");
    assert_eq!(class.status(stops), Status::Stopped, "seen, and still stopped");
    class.seat(stops, SeatCommand::GoOn);
    class.seat(stops, SeatCommand::Stop { reason: None, whose: Whose::Own });
    assert_eq!(order(&class)[0], "Stops stopped", "a new stop has to be seen anew");
}

/// A person who comes back with another device is no longer lost.
#[test]
fn a_return_closes_its_entry_whichever_way_it_comes() {
    let mut class = Class::open(TWO_DRILLS).staffed();
    let yuki = class.join("Yuki");
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS + 11_000);
    class.presence.seats.get_mut(&yuki).unwrap().gone_at = Some(class.now);
    class.silence_ms(9_000);
    class.watch();
    assert_eq!(class.missing().len(), 1);
    let again = class.join("yuki");
    let asking = class.session.desk(class.now, &class.presence).asking.remove(0);
    assert!(asking.perhaps.as_ref().is_some_and(|perhaps| perhaps.lost && perhaps.seat == yuki));
    class.desk(DeskCommand::LetIn { seat: again, known_as: Some(yuki) });
    assert_eq!(class.missing(), []);
    assert_eq!(class.session.roster(class.now, &class.presence).len(), 1);
}

#[test]
fn a_safety_pause_ends_only_by_resuming_and_from_the_breath_in() {
    let mut class = Class::open(TWO_DRILLS);
    class.desk(DeskCommand::Start);
    class.wait_ms(LEAD_MS);
    let timeline = class.session.present_step().unwrap().timeline.clone();
    let second = timeline.spans.iter().find(|span| span.rep == 1).unwrap();
    class.wait_ms(timeline.ready_ms + second.start_ms + 6_000);
    class.desk(DeskCommand::PauseForSafety);
    let since = class.now;
    assert_eq!(class.session.stage(class.now).safety_pause, Some(since));
    let others = [
        DeskCommand::GoOn,
        DeskCommand::Next,
        DeskCommand::Back,
        DeskCommand::GoTo { step: StepId(2) },
        DeskCommand::AgainRep,
        DeskCommand::AgainStep,
        DeskCommand::CutShort,
        DeskCommand::MoreTime { seconds: 10 },
        DeskCommand::ShowClue,
    ];
    for command in others {
        let refusal = class.refused(command.clone());
        assert!(matches!(refusal, Refusal::SafetyPause | Refusal::NoClue), "{command:?}: {refusal}");
    }
    assert_eq!(class.refused(DeskCommand::PauseForSafety), Refusal::Paused, "once is enough");
    class.wait_ms(60_000);
    class.desk(DeskCommand::Resume);
    assert_eq!(class.session.stage(class.now).safety_pause, None);
    let last = class.session.moves().last().unwrap().clone();
    assert_eq!((last.offset_ms, last.running), (second.start_ms, true), "the breath in of that repetition");
    assert!(last.at.since(class.now) >= 4_000, "with a notice");
    class.wait_ms(2_000);
    let stands = class.session.position(class.now).unwrap();
    assert_eq!((stands.of.running, stands.offset_ms), (false, second.start_ms));
    assert_eq!(class.refused(DeskCommand::Resume), Refusal::NotPaused);
}

#[test]
fn a_pause_can_become_a_safety_pause_and_a_class_without_a_clock_resumes_too() {
    let mut class = Class::open("[[step]]\ntalk = \"Hello\"\nminutes = 2\n[[step]]\ndrill = \"sit-tall\"\n");
    class.desk(DeskCommand::Start);
    class.wait_ms(5_000);
    class.desk(DeskCommand::Pause);
    class.wait_ms(1_000);
    class.desk(DeskCommand::PauseForSafety);
    assert!(class.session.stage(class.now).safety_pause.is_some());
    class.wait_ms(1_000);
    class.desk(DeskCommand::Resume);
    assert!(class.session.moves().last().unwrap().running);
    class.desk(DeskCommand::Next);
}

/// Nothing pressed minutes ago ever acts later.
#[test]
fn a_desks_key_that_arrives_late_does_nothing_and_what_sees_to_people_still_does() {
    let mut class = Class::open(TWO_DRILLS).named();
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.wait_ms(10_000);
    class.report(ann, 1, None, None);
    let screen = class.screen();
    class.wait_ms(8_001);
    for command in [
        DeskCommand::Pause,
        DeskCommand::End,
        DeskCommand::Remove { seat: ann, reason: "x".try_into().unwrap() },
        DeskCommand::ClearSwallow { seats: vec![ann] },
    ] {
        assert_eq!(class.pressed(command, screen), Err(Refusal::TooLate));
    }
    let take = DeskCommand::HandleReport { report: report(1), to: ReportState::Taken };
    assert_eq!(class.pressed(take, screen), Ok(()));
    // A desk whose clock is not known yet is only told where it was.
    assert_eq!(class.pressed(DeskCommand::Pause, Pressed { at: None, ..screen }), Ok(()));
    class.desk(DeskCommand::GoOn);
    assert_eq!(class.pressed(DeskCommand::PauseForSafety, screen), Ok(()), "late is better than never");
    class.desk(DeskCommand::Resume);
    class.desk(DeskCommand::Next);
    assert_eq!(class.pressed(DeskCommand::PauseForSafety, screen), Err(Refusal::MovedMeanwhile));
}

#[test]
fn mouths_are_asked_about_again_after_a_sip_whichever_way_the_class_comes() {
    let stands = |class: &Class| !class.session.moves().last().unwrap().running;
    let ways: [fn(&mut Class); 3] = [
        |class| class.desk(DeskCommand::Next),
        |class| class.desk(DeskCommand::GoTo { step: StepId(3) }),
        |class| {
            class.desk(DeskCommand::GoTo { step: StepId(4) });
            class.desk(DeskCommand::Back);
        },
    ];
    for way in ways {
        let mut class = Class::open(SWALLOW_SIP_SWALLOW).named();
        let ann = class.join("Ann");
        class.desk(DeskCommand::ClearSwallow { seats: vec![ann] });
        class.desk(DeskCommand::Start);
        assert!(stands(&class));
        class.seat(ann, SeatCommand::ConfirmMouth { empty: true });
        class.desk(DeskCommand::GoOn);
        class.wait_ms(10_000);
        class.desk(DeskCommand::AgainStep);
        assert!(!stands(&class), "nobody drank meanwhile");
        class.wait_ms(10_000);
        class.desk(DeskCommand::Next);
        class.wait_ms(30_000);
        assert_eq!(
            class.form(ann, 3),
            Form::MouthFirst,
            "after a sip the mouth is not empty until she says so"
        );
        way(&mut class);
        assert!(stands(&class), "and the class waits for her");
    }
}

#[test]
fn a_late_answer_counts_for_its_own_clue_and_two_messages_are_read_one_by_one() {
    let mut class = Class::open(TWO_ROUNDS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::ShowClue);
    class.desk(DeskCommand::Next);
    class.desk(DeskCommand::ShowClue);
    let answer = |step: u32, number| SeatCommand::AnswerClue { step: StepId(step), number, word: None };
    class.seat(ann, answer(1, 1));
    let clues = &class.session.seats()[&ann].clues;
    assert_eq!(clues.keys().copied().collect::<Vec<_>>(), [(StepId(1), 1)], "given to the round before");
    let early = class.try_do(Actor::Seat(ann), Command::Seat(answer(2, 2)));
    assert_eq!(early, Err(Refusal::NoClue), "that one was not shown yet");
    for text in ["Sit down, please", "Mo calls you"] {
        class.desk(DeskCommand::Message { seat: ann, text: text.try_into().unwrap() });
    }
    let first = class.session.mine(ann, class.now).unwrap().message.unwrap();
    assert_eq!(first.text.as_str(), "Sit down, please");
    for _ in 0..2 {
        class.seat(ann, SeatCommand::ReadMessage { message: first.id });
    }
    let second = class.session.mine(ann, class.now).unwrap().message.unwrap();
    assert_eq!(second.text.as_str(), "Mo calls you", "two slow taps read one message");
}

#[test]
fn further_reports_of_one_person_become_part_of_the_open_one() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    for n in 1..=200 {
        class.seat(ann, SeatCommand::Report { report: report(n), said: said(Where::Neck) });
    }
    assert_eq!(class.calling().len(), 1);
    class.desk(DeskCommand::HandleReport { report: report(1), to: ReportState::Taken });
    class.seat(ann, SeatCommand::Report { report: report(900), said: said(Where::Throat) });
    let open = class.calling().remove(0);
    assert_eq!((open.said.place, open.state), (Some(Where::Throat), ReportState::Recorded), "looked at anew");
    let mine = class.session.mine(ann, class.now).unwrap();
    assert!(mine.reports[0].also.contains(&report(900)), "the page that sent it knows where it went");
    class.seat(ann, SeatCommand::TakeBack { report: report(900) });
    assert_eq!(class.calling(), []);
    // Of two people on one device each has an entry.
    let partner = Said { whose: Whose::Partner, ..said(Where::Jaw) };
    class.seat(ann, SeatCommand::Report { report: report(901), said: said(Where::Neck) });
    class.seat(ann, SeatCommand::Report { report: report(902), said: partner });
    assert_eq!(class.calling().len(), 2);
    let everything = serde_json::to_string(&class.session.desk(class.now, &class.presence)).unwrap();
    assert!(everything.len() < 6_000, "200 reports of one person are {} bytes", everything.len());
}

#[test]
fn a_removed_seat_frees_its_place_and_only_a_report_on_its_way_is_still_heard() {
    let mut class = Class::open(TWO_DRILLS);
    let ann = class.join("Ann");
    class.desk(DeskCommand::Remove { seat: ann, reason: "by mistake".try_into().unwrap() });
    class.silence_ms(1);
    class.report(ann, 1, None, Some(UrgentSign::ChestPain));
    assert_eq!(class.calling().len(), 1);
    let again = Command::Seat(SeatCommand::Report { report: report(2), said: said(Where::Neck) });
    assert_eq!(class.try_do(Actor::Seat(ann), again), Err(Refusal::NotIn));
    for command in
        [SeatCommand::Stop { reason: None, whose: Whose::Own }, SeatCommand::Done { step: StepId(1) }]
    {
        assert_eq!(class.try_do(Actor::Seat(ann), Command::Seat(command)), Err(Refusal::NotIn));
    }
    for n in 0..1_800 {
        let name = format!("P{n}x{n}").as_str().try_into().unwrap();
        class.try_do(Actor::Entry, Command::TakeSeat { name }).unwrap();
    }
    let one_more = Command::TakeSeat { name: "Zed".try_into().unwrap() };
    assert_eq!(class.try_do(Actor::Entry, one_more.clone()), Err(Refusal::Full));
    class.desk(DeskCommand::Expect { name: "Ida".try_into().unwrap() });
    class.desk(DeskCommand::Remove { seat: SeatId(5), reason: "unknown".try_into().unwrap() });
    class.desk(DeskCommand::Remove { seat: SeatId(6), reason: "unknown".try_into().unwrap() });
    class.try_do(Actor::Entry, one_more).unwrap();
}

#[test]
fn the_lead_goes_to_somebody_who_is_there_and_can_be_taken_back() {
    let hand = |to| Command::Desk(DeskCommand::HandDesk { to });
    let mut alone = Class::open(TWO_DRILLS);
    assert_eq!(alone.try_do(FACILITATOR, hand(DeskRole::Helper)), Err(Refusal::NobodyThere));
    let mut class = Class::open(TWO_DRILLS).staffed();
    class.try_do(FACILITATOR, hand(DeskRole::Helper)).unwrap();
    assert_eq!(class.session.desk(class.now, &class.presence).handed_by, Some(DeskRole::Facilitator));
    class.try_do(FACILITATOR, hand(DeskRole::Facilitator)).unwrap();
    assert_eq!(class.session.lead(), DeskRole::Facilitator, "while the helper is still there");
    assert_eq!(
        class.try_do(HELPER, hand(DeskRole::Helper)),
        Err(Refusal::StillLed),
        "the helper cannot seize it"
    );
}

/// The server's clock was set back while it was down: what comes later is not earlier in the ledger.
#[test]
fn the_last_lines_clock_is_known() {
    let mut class = Class::open(TWO_DRILLS);
    class.join("Ann");
    assert_eq!(class.session.last_at(), class.now);
    let early = Recorded {
        seq: class.session.seq() + 1,
        at: EpochMs(class.now.0 - 3_600_000),
        by: FACILITATOR,
        cause: None,
        event: ClassEvent::LeadLost.into(),
    };
    class.session.apply(&early);
    assert_eq!(class.session.last_at(), class.now);
}

/// A page may send what it sent before at any later time: what the second one asks was decided when the first came.
#[test]
fn a_request_that_comes_again_finds_what_it_made() {
    let mut class = Class::open(TWO_DRILLS);
    let id = CommandId(Uuid::from_u128(77));
    let ctx = class.context();
    let take = Command::TakeSeat { name: "Ann".try_into().unwrap() };
    let events = class.session.decide(&ctx, Actor::Entry, &take).unwrap();
    for event in events.clone() {
        let recorded = Recorded {
            seq: class.session.seq() + 1,
            at: class.now,
            by: Actor::Entry,
            cause: Some(id),
            event,
        };
        class.session.apply(&recorded);
        class.ledger.push(recorded);
    }
    assert!(class.session.has_counted(id));
    assert_eq!(class.session.made_by(id), Some(&events[0]));
    let again = Session::replay(&class.ledger).unwrap();
    assert_eq!(again.made_by(id), Some(&events[0]), "after a restart as well");
}
