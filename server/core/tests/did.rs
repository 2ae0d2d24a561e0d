//! What a group did with a drill, and the notch that it speaks for.

use samebreath_core::drill::dose::{DoseChange, Hold};
use samebreath_core::drill::{Drill, DrillId};
use samebreath_core::live::{
    DeskCommand, HowFar, ReportId, Said, SeatCommand, StepId, StopReason, Where, Whose,
};
use samebreath_core::plan::draft::{hold_of, notch, notch_back};
use samebreath_core::plan::timeline::Figures;
use samebreath_core::record::did::{DrillClass, NotchReason, group_did, proposal};
use uuid::Uuid;

use crate::common::class::Class;
use crate::common::library;
use crate::common::roll::day;
use crate::record::{HOUR, MINUTE_MS, record};

fn drill(id: &str) -> &'static Drill {
    library().drill(id).unwrap()
}

fn id(id: &str) -> DrillId {
    drill(id).id.clone()
}

#[test]
fn what_a_group_did_is_counted_over_its_people_and_the_newest_comes_first() {
    let mut class = Class::open(HOUR).staffed();
    let [ann, ben, cy] = ["Ann", "Ben", "Cy"].map(|name| class.join(name));
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::Next);
    class.wait_ms(2 * MINUTE_MS);
    let hiss = StepId(2);
    class.seat(ann, SeatCommand::Done { step: hiss });
    class.seat(ann, SeatCommand::HowFar { step: hiss, far: HowFar::Target });
    class.seat(ben, SeatCommand::Done { step: hiss });
    class.seat(ben, SeatCommand::HowFar { step: hiss, far: HowFar::Under });
    class.seat(cy, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    let said = Said { place: Some(Where::Neck), ..Said::default() };
    class.seat(cy, SeatCommand::Report { report: ReportId(Uuid::from_u128(1)), said });
    class.desk(DeskCommand::Next);
    class.seat(ann, SeatCommand::SayEffort { number: 1, score: 4 });
    class.seat(ben, SeatCommand::SayEffort { number: 1, score: 7 });
    class.desk(DeskCommand::End);
    let record = record(&class);
    let [first, second] = [day("2026-10-06"), day("2026-10-13")];
    let did = group_did(&[(first, &record), (second, &record)], &id("long-hiss"));
    assert_eq!(did.iter().map(|one| one.day).collect::<Vec<_>>(), [second, first]);
    let planned = Figures { reps: 3, holds: 3, held_ms: 24_000 };
    let expected = DrillClass {
        day: second,
        planned,
        asked: 3,
        did: 2,
        stopped: 1,
        marked: 2,
        reached: 1,
        effort: Some(5.5),
        efforts: 2,
        reports: 1,
    };
    assert_eq!(did[0], expected);
    // The drill that the class did not come to, and one that it never had.
    assert!(group_did(&[(first, &record)], &id("neck-five")).is_empty());
    assert!(group_did(&[(first, &record)], &id("sit-tall")).is_empty());
    // At most the last three count.
    let many: Vec<_> = (0..5).map(|n| (first.plus_days(7 * n), &record)).collect();
    assert_eq!(group_did(&many, &id("long-hiss")).len(), 3);
}

/// A class in which a drill of five repetitions went well.
fn well() -> DrillClass {
    DrillClass {
        day: day("2026-10-13"),
        planned: Figures { reps: 5, holds: 0, held_ms: 0 },
        asked: 8,
        did: 6,
        stopped: 0,
        marked: 0,
        reached: 0,
        effort: None,
        efforts: 0,
        reports: 0,
    }
}

/// What is proposed for the plan's five repetitions of sitting tall.
fn proposed(did: &[DrillClass]) -> Option<NotchReason> {
    let (change, figures) = (DoseChange::default(), well().planned);
    proposal(drill("sit-tall"), &change, &figures, did).map(|proposal| proposal.because)
}

#[test]
fn more_is_proposed_only_after_it_went_well_twice() {
    assert_eq!(proposed(&[well(), well()]), Some(NotchReason::WentWell));
    assert_eq!(proposed(&[]), None);
    assert_eq!(proposed(&[well()]), None, "once is not enough");
    let but = |change: fn(&mut DrillClass)| {
        let mut other = well();
        change(&mut other);
        (proposed(&[other.clone(), well()]), proposed(&[well(), other]))
    };
    // What somebody stopped in, or was hard, does not get more, wherever it comes of the two.
    assert_eq!(but(|one| one.stopped = 1), (None, None));
    assert_eq!(but(|one| one.did = 5), (None, None), "fewer than three quarters said that they did it");
    assert_eq!(but(|one| one.effort = Some(6.0)), (None, None));
    assert_eq!(but(|one| (one.marked, one.reached) = (4, 2)), (None, None));
    assert_eq!(but(|one| one.effort = Some(5.0)), (Some(NotchReason::WentWell), Some(NotchReason::WentWell)));
}

#[test]
fn less_is_proposed_for_what_hurt_stopped_people_or_was_very_hard_the_last_time() {
    let last = |change: fn(&mut DrillClass)| {
        let mut other = well();
        change(&mut other);
        proposed(&[other, well(), well()])
    };
    assert_eq!(last(|one| one.reports = 1), Some(NotchReason::Reported));
    assert_eq!(last(|one| one.stopped = 2), Some(NotchReason::Stopped));
    assert_eq!(last(|one| (one.effort, one.efforts) = (Some(8.0), 2)), Some(NotchReason::VeryHard));
    assert_eq!(last(|one| (one.effort, one.efforts) = (Some(8.0), 1)), None, "one of eight said so");
    // That people said nothing speaks for nothing.
    assert_eq!(last(|one| one.did = 0), None);
    // What hurt comes before what went well before.
    let mut hurt = well();
    hurt.reports = 1;
    assert_eq!(proposed(&[hurt.clone(), well()]), Some(NotchReason::Reported));
    assert_eq!(proposed(&[well(), hurt]), None);
}

#[test]
fn a_plan_that_went_that_way_already_gets_no_proposal() {
    let figures = |reps| Figures { reps, holds: 0, held_ms: 0 };
    let change = |reps| DoseChange { reps: Some(reps), ..DoseChange::default() };
    let of = |reps, did: &[DrillClass]| proposal(drill("sit-tall"), &change(reps), &figures(reps), did);
    assert_eq!(of(6, &[well(), well()]), None);
    let mut hurt = well();
    hurt.reports = 1;
    assert_eq!(of(4, std::slice::from_ref(&hurt)), None);
    assert!(of(6, &[hurt]).is_some(), "more than what hurt");
}

#[test]
fn a_notch_back_is_less_than_a_notch_on_and_both_stay_in_the_usual_range() {
    let mut both = 0;
    for drill in library().drills() {
        let usual = DoseChange::default();
        let on = notch(drill, usual);
        if on != usual {
            let size = |change| {
                let dose = drill.dose.changed(change).unwrap();
                let hold_ms = hold_of(drill, &dose).map_or(1, Hold::planned_ms);
                i64::from(dose.sets) * i64::from(dose.reps) * hold_ms
            };
            assert!(size(&on) > size(&usual), "{:?}", drill.id);
            assert!(size(&notch_back(drill, on)) < size(&on), "{:?}", drill.id);
            both += 1;
        }
        // Less and less ends at the least of the usual range.
        let mut change = usual;
        for _ in 0..200 {
            change = notch_back(drill, change);
        }
        let dose = drill.dose.changed(&change).unwrap();
        assert!(drill.usual.reps.is_none_or(|(least, _)| dose.reps >= least.min(drill.dose.reps)));
        assert_eq!(notch_back(drill, change), change, "{:?}", drill.id);
    }
    assert!(both > 20, "{both} drills have a notch on");
    // The target of an open hold does not go below its first mark.
    let open = |floor_ms| DoseChange {
        hold: Some(Hold::Open { floor_ms, target_ms: 8_000, limit_ms: 12_000 }),
        ..DoseChange::default()
    };
    let less = |floor_ms| notch_back(drill("long-hiss"), open(floor_ms)).hold;
    assert_eq!(less(5_000), Some(Hold::Open { floor_ms: 5_000, target_ms: 7_000, limit_ms: 11_000 }));
    assert_eq!(less(8_000), open(8_000).hold);
    // For a swallow, less is proposed, and never more.
    let swallow = drill("hold-at-top-swallow");
    assert_eq!(notch(swallow, DoseChange::default()), DoseChange::default());
    assert_ne!(notch_back(swallow, DoseChange::default()), DoseChange::default());
}
