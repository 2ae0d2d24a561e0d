//! Dose arithmetic over days and weeks against published worked examples.

use samebreath_core::drill::dose::{DoseChange, Hold};
use samebreath_core::plan::Step;
use samebreath_core::plan::course::{self, Course};

/// Courses from published protocols; each row is amount of one time, times a day, days a week, days, and
/// the printed sum.
#[test]
fn published_courses_add_up() {
    let check = |what: &str, amount: i64, times: u32, days_a_week: u32, days: u32, printed: i64| {
        let course = Course { times_a_day: times, days_a_week, days };
        assert_eq!(course.in_all(amount), printed, "{what}");
    };
    // W1: Shaker et al. 1997, Am J Physiol 272:G1518 (seen at fcd.mcw.edu).
    check("head lift, holds", 3, 3, 7, 42, 378);
    check("head lift, seconds", 180, 3, 7, 42, 22_680);
    check("head lift, lifts", 30, 3, 7, 42, 3_780);
    // W2a: Troche et al. 2010, Neurology 75:1912 (seen at PMC2995389; 5 x 5 from memory).
    check("expiratory strength", 25, 1, 5, 28, 500);
    check("expiratory strength, minutes", 20, 1, 5, 28, 400);
    // W2b: Reyes et al. 2018 (seen at sage.cnpereading.com): 8 weeks or 61 days.
    check("expiratory strength, 8 weeks", 25, 1, 6, 56, 1_200);
    check("expiratory strength, 61 days", 25, 1, 6, 61, 1_307);
    // W3: Yano et al. 2021 (seen at springermedizin.de); W3b: Robbins et al. 2005 (dose from memory).
    check("tongue presses", 30, 3, 5, 56, 3_600);
    check("tongue presses, 3 days", 30, 3, 3, 56, 2_160);
    // W4: Wada et al. 2012 (seen at archives-pmr.org).
    check("jaw opening, holds", 5, 2, 7, 28, 280);
    check("jaw opening, seconds", 50, 2, 7, 28, 2_800);
    // W5: Matsubara et al. 2018 (seen at dovepress.com).
    check("fast jaw opening", 60, 2, 7, 28, 3_360);
    // W6: Namiki et al. 2019 (seen at informahealthcare.com): a month of 28, 30 or 31 days.
    check("palate press, 28 days", 5, 2, 7, 28, 280);
    check("palate press, 30 days", 5, 2, 7, 30, 300);
    check("palate press, seconds", 50, 2, 7, 30, 3_000);
    check("palate press, 31 days", 5, 2, 7, 31, 310);
    // W7: table at PMC9899761: Park 2018, Gao and Zhang 2017, Kim and Park 2019.
    check("chin tuck a, seconds", 180, 1, 5, 28, 3_600);
    check("chin tuck a, repetitions", 30, 1, 5, 28, 600);
    check("chin tuck b", 30, 3, 7, 42, 3_780);
    check("chin tuck c, holds", 3, 1, 5, 42, 90);
    check("chin tuck c, seconds", 30, 1, 5, 42, 900);
    // W8: Oh 2021 (seen at springermedizin.de): 60 in weeks 1-2, 120 in weeks 5-7, twice a week.
    check("effortful swallow, weeks 1-2", 60, 1, 2, 14, 240);
    check("effortful swallow, weeks 5-7", 120, 1, 2, 21, 720);
    check("effortful swallow, minutes", 20, 1, 2, 49, 280);
    // W13: Voice Foundation 2024 abstract. W14: pubmed 31761854. W15: Webber and Porter 2021.
    check("straw voice, minutes", 20, 1, 2, 28, 160);
    check("face class, minutes", 60, 1, 1, 84, 720);
    check("stretch class, minutes", 45, 1, 2, 84, 1_080);
    // W16: a common four-part routine (dose from memory).
    check("four-part routine", 8, 2, 7, 42, 672);
    // W10: MedlinePlus: in 2, out 4 is 10 a minute; 5 minutes twice a day (sweetwaterwellness.ca).
    check("pursed lips, breaths a day", 5 * 60 / 6, 2, 1, 7, 100);
}

/// W3, W12, W17, W18: rounding, shares and adherence.
#[test]
fn shares_and_adherence_in_whole_numbers() {
    // W12: 80 % of a maximum of 12 (Pisegna 2013, seen at open.bu.edu): rounded down to 9, 90 sets.
    assert_eq!(course::share_of(12, 80), 9);
    assert_eq!(Course::of_weeks(3, 5, 6).in_all(course::share_of(12, 80).into()), 810);
    assert_eq!(course::share_of(15, 80), 12, "12 exactly: no binary fractions on the way");
    // W3: 3,600 at 99.2 % (Yano et al. 2021): 3,571.
    assert_eq!(course::part_of(3_600, 992), 3_571);
    // W17: 11 of 10 is 110 % (a mean of 108 % was published, s12913-023-09194-0).
    assert_eq!(course::adherence(11, 10), Some(1_100));
    assert_eq!(course::adherence(0, 10), Some(0));
    assert_eq!(course::adherence(3, 0), None);
    // W18: 58 to 77 % of 12 classes are 7 to 9 (Picorelli et al. 2014, J Physiother 60:151).
    assert_eq!((course::part_of(12, 580), course::part_of(12, 770)), (7, 9));
}

/// W11. Counting on one breath, two numbers a second (Bartfield et al. 1994, pubmed 8037392): 30 numbers
/// are 15 s and 25 are 12.5 s, which a hold must be able to say.
#[test]
fn w11_counting_on_one_breath() {
    let library = crate::common::library();
    let held_ms = |numbers: i64| {
        let hold = Some(Hold::Fixed { ms: numbers * 500 });
        let change = DoseChange { reps: Some(1), hold, ..DoseChange::default() };
        let step = Step::of_drill(library.drill("count-one-breath").unwrap(), &change, Vec::new()).unwrap();
        step.timeline().figures().held_ms
    };
    assert_eq!((held_ms(30), held_ms(25)), (15_000, 12_500));
}
