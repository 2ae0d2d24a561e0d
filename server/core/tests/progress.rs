//! A person over their classes, and its statistics beside those of scipy.

use samebreath_core::live::{
    DeskCommand, HowFar, ReportId, Said, SeatCommand, SeatId, StepId, StopReason, Where, Whose,
};
use samebreath_core::people::person::PersonId;
use samebreath_core::record::class::{Attended, ClassRecord};
use samebreath_core::record::progress::statistics::{middle, theil_sen};
use samebreath_core::record::progress::{Best, Progress, progress};
use samebreath_core::time::day::Date;
use uuid::Uuid;

use crate::common::class::Class;
use crate::common::roll::day;
use crate::record::{HOUR, MINUTE_MS, record};

/// The numbers of `tests/reference/figures.py`.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % n
    }

    fn series(&mut self) -> Vec<(i64, f64)> {
        let (mut day, few) = (0, self.below(2) == 0);
        let long = 1 + self.below(16);
        (0..long)
            .map(|_| {
                day += i64::try_from(self.below(22)).unwrap();
                let value = if few { self.below(11) as f64 } else { self.below(1000) as f64 / 8.0 };
                (day, value)
            })
            .collect()
    }
}

/// W-33: medians, their intervals, and slopes with their limits are those of scipy 1.17.1, to nine digits.
#[test]
fn statistics_are_those_of_scipy() {
    let mut numbers = Numbers(20_261_128);
    let lines = include_str!("golden/statistics.txt").lines();
    let mut seen = (0, 0);
    for (at, line) in lines.enumerate() {
        let expected: Vec<Option<f64>> = line.split(' ').map(|word| word.parse().ok()).collect();
        let points = numbers.series();
        let values: Vec<f64> = points.iter().map(|(_, value)| *value).collect();
        let of = middle(&values).unwrap();
        let sen = theil_sen(&points);
        let found = [
            Some(of.median),
            of.interval.map(|(from, _)| from),
            of.interval.map(|(_, to)| to),
            sen.map(|(slope, _)| slope),
            sen.map(|(_, (low, _))| low),
            sen.map(|(_, (_, high))| high),
        ];
        for (found, expected) in found.iter().zip(&expected) {
            let near = match (found, expected) {
                (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * b.abs().max(1.0),
                (a, b) => a == b,
            };
            assert!(near, "line {}: {found:?} for {expected:?} of {points:?}", at + 1);
        }
        seen.0 += 1;
        seen.1 += usize::from(found.iter().all(Option::is_some));
    }
    assert!(seen.0 == 1000 && seen.1 > 500, "{seen:?}");
}

const ADA: PersonId = PersonId(Uuid::from_u128(0xada));

/// A class that Ada came to, with a hiss in which she went so far; its question about effort was answered with `score`.
fn class(far: Option<HowFar>, score: u8, act: impl FnOnce(&mut Class, SeatId)) -> ClassRecord {
    let mut class = Class::open(HOUR).staffed();
    let seat = class.join("Ada");
    class.desk(DeskCommand::Start);
    class.desk(DeskCommand::Next);
    class.wait_ms(2 * MINUTE_MS);
    class.seat(seat, SeatCommand::Done { step: StepId(2) });
    if let Some(far) = far {
        class.seat(seat, SeatCommand::HowFar { step: StepId(2), far });
    }
    class.desk(DeskCommand::Next);
    class.seat(seat, SeatCommand::SayEffort { number: 1, score });
    act(&mut class, seat);
    class.watch();
    class.desk(DeskCommand::End);
    let mut record = record(&class);
    record.people[0].person = Some(ADA);
    record
}

fn over(classes: &[(Date, ClassRecord)]) -> Progress {
    let classes: Vec<_> =
        classes.iter().zip(0..).map(|((day, record), n)| (Uuid::from_u128(n), *day, record)).collect();
    progress(&classes, ADA)
}

#[test]
fn weeks_of_one_person_are_added_up_and_nobody_else_is_in_them() {
    let nothing = |_: &mut Class, _: SeatId| {};
    let somebody_else = |class: &mut Class, _: SeatId| {
        let ben = class.join("Ben");
        class.seat(ben, SeatCommand::Done { step: StepId(2) });
        class.seat(ben, SeatCommand::Stop { reason: Some(StopReason::Tired), whose: Whose::Own });
    };
    let hurts = |class: &mut Class, seat: SeatId| {
        let said = Said { place: Some(Where::Neck), ..Said::default() };
        class.seat(seat, SeatCommand::Report { report: ReportId(Uuid::from_u128(1)), said });
    };
    let mut absent = class(None, 3, nothing);
    absent.people[0].attended = Attended::No;
    absent.people[0].efforts.clear();
    absent.people[0].steps.clear();
    let progress = over(&[
        (day("2026-10-06"), class(Some(HowFar::Target), 4, nothing)),
        (day("2026-10-13"), class(Some(HowFar::Beyond), 6, somebody_else)),
        (day("2026-10-20"), absent),
        (day("2026-10-27"), class(Some(HowFar::FirstMark), 8, hurts)),
        (day("2026-11-03"), class(Some(HowFar::Beyond), 5, nothing)),
    ]);
    let days: Vec<_> = progress
        .classes
        .iter()
        .map(|one| (one.asked, one.done, one.stops.len(), one.reports.len()))
        .collect();
    // What hurts stops somebody too.
    assert_eq!(days, [(1, 1, 0, 0), (1, 1, 0, 0), (0, 0, 0, 0), (1, 1, 1, 1), (1, 1, 0, 0)]);
    let effort: Vec<f64> = progress.effort.days.iter().map(|(_, value)| *value).collect();
    assert_eq!(effort, [4.0, 6.0, 8.0, 5.0]);
    let last = progress.effort.last.unwrap();
    assert_eq!((last.median, last.interval, progress.effort.slope), (5.5, None, None), "too few days");
    let hiss = &progress.drills[0];
    assert_eq!((hiss.asked, hiss.done, hiss.stopped, hiss.rested, hiss.days.len()), (4, 4, 0, 0, 4));
    let best = Best { far: HowFar::Beyond, target_ms: 8_000, day: day("2026-11-03"), days: 2 };
    assert_eq!(hiss.best, Some(best));
    // Two classes of one day are one day, with the middle of both.
    let twice = over(&[
        (day("2026-10-06"), class(Some(HowFar::Target), 4, |_, _| {})),
        (day("2026-10-06"), class(Some(HowFar::Target), 7, |_, _| {})),
    ]);
    assert_eq!(twice.effort.days, [(day("2026-10-06"), 5.5)]);
    assert_eq!(twice.drills[0].best.map(|best| best.days), Some(1));
    let nothing = over(&[]);
    assert!(nothing.classes.is_empty() && nothing.drills.is_empty() && nothing.effort.last.is_none());
}
