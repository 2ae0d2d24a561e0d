//! Who is heard from, and what the server notices by itself: people lost in a hold, a lost leader.

use crate::common::class::{Class, HELPER, LEAD_MS, READY_MS};
use samebreath_core::live::{Command, DeskCommand, DeskRole, Heard, Noticed, Screen, Status, StepId};
use samebreath_core::time::EpochMs;

const TWO_DRILLS: &str = "[[step]]\ndrill = \"long-hiss\"\n[[step]]\ndrill = \"sit-tall\"\n";

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
    let lost = class.missing();
    assert_eq!((lost.len(), lost[0].seat, lost[0].heard_at), (1, ann, gone_at));
    assert_eq!((lost[0].during, lost[0].during_ms), (StepId(1), 6_000), "the hold of the first repetition");
    class.try_do(HELPER, Command::Desk(DeskCommand::TakeLost { seat: ann })).unwrap();
    let lost = class.missing();
    assert_eq!(lost[0].taken_by, Some(DeskRole::Helper));
    class.hear(ann);
    class.hear(ben);
    assert_eq!(class.watch(), [Noticed::Found(ann)]);
    assert!(class.missing().is_empty());
}

#[test]
fn silence_in_a_talk_or_a_rest_after_the_drill_is_no_alarm() {
    let mut class = Class::open("[[step]]\ntalk = \"Hello\"\nminutes = 2\n");
    let ann = class.join("Ann");
    class.desk(DeskCommand::Start);
    class.wait_ms(10_000);
    class.silence_ms(60_000);
    let noticed = [Noticed::ScreenAway(ann), Noticed::LeadLost];
    assert_eq!(class.watch(), noticed, "nobody sits at the desk of this test");
    assert!(class.missing().is_empty());
    assert_eq!(class.status(ann), Status::Away);
}

/// Attendance needs to know since when a screen was away; nobody is called for that.
#[test]
fn a_screen_that_goes_away_and_comes_back_is_noticed_once_each() {
    let mut class = Class::open("[[step]]\ntalk = \"Hello\"\nminutes = 2\n").staffed();
    let ann = class.join("Ann");
    class.wait_ms(10_000);
    let heard_at = class.now;
    class.silence_ms(29_999);
    assert_eq!(class.watch(), []);
    class.silence_ms(2);
    assert_eq!(class.watch(), [Noticed::ScreenAway(ann)]);
    assert_eq!(class.watch(), []);
    assert_eq!(class.session.seats()[&ann].away_since, Some(heard_at));
    class.hear(ann);
    assert_eq!(class.watch(), [Noticed::ScreenBack(ann)]);
    assert_eq!(class.watch(), []);
    // A page behind another one is away only later, and after the class nobody is.
    class.presence.seats.get_mut(&ann).unwrap().visible = false;
    class.silence_ms(90_000);
    assert_eq!(class.watch(), []);
    class.desk(DeskCommand::End);
    class.silence_ms(600_000);
    assert_eq!(class.watch(), []);
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
