//! Who is in the list of those who may need a follow-up.

use samebreath_core::live::{DeskCommand, ReportId, SeatCommand, SeatId, StopReason, UrgentSign, Whose};
use samebreath_core::people::rules::Felt;
use samebreath_core::record::concerns::{About, concerns};
use uuid::Uuid;

use crate::common::class::Class;
use crate::record::{HOUR, MINUTE_MS, record};

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
