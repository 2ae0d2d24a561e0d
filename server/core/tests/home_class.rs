//! A plan as one person does it at home, alone: what is in it for them, how long it takes, and what they say they did of it.

use samebreath_core::drill::Family;
use samebreath_core::file::Source;
use samebreath_core::live::{Ease, HomeLog, HomeRun};
use samebreath_core::people::care::Condition;
use samebreath_core::people::person::{Decided, Person};
use samebreath_core::plan::draft;
use samebreath_core::plan::group::GroupId;
use samebreath_core::practice::{
    ClassAtHome, ClassGiven, HomeClass, HomeClassSheet, HomeClassStep, Limits, at_home, home_class,
};
use samebreath_core::versioned::Document;
use uuid::Uuid;

use crate::common::examples::{home_log, name};
use crate::common::roll::{at_most, day, decided, person};
use crate::common::{library, rules};

const STEPS: &str = "title = \"Evening hour\"\nminutes = 30\n[[step]]\ntalk = \"Hello\"\nminutes = 2\n\
    [[step]]\nsip = \"Sip\"\nseconds = 30\n\
    [[step]]\ndrill = \"sit-tall\"\n[[step]]\nsip = \"Sip\"\nseconds = 40\n\
    [[step]]\ndrill = \"effortful-swallow\"\n[[step]]\ndrill = \"neck-five\"\n\
    [[step]]\nsip = \"Sip\"\nseconds = 50\n";

fn evening() -> HomeClass {
    let read = draft::read(Source::new("plan.toml", STEPS), library()).unwrap();
    HomeClass {
        title: read.title,
        intro: "Sit where you can hold on.".to_owned().try_into().ok(),
        group: GroupId(Uuid::from_u128(1)),
        person: None,
        steps: read.steps,
        days_a_week: 3,
        from: day("2026-10-06"),
        until: day("2026-10-13"),
        by: name("Lena"),
    }
}

fn of(person: &Person, class: &HomeClass) -> HomeClassSheet {
    home_class(class, &mut Limits::after(person, Vec::new()), &rules(), library())
}

/// The steps by the ids of their drills, and the rests by their lengths.
fn steps(sheet: &HomeClassSheet) -> Vec<String> {
    let each = sheet.steps.iter().map(|step| match step {
        HomeClassStep::Drill { sheet } => sheet.drill.to_string(),
        HomeClassStep::Rest { ms } => format!("{} s", ms / 1_000),
    });
    each.collect()
}

#[test]
fn at_home_there_is_what_can_be_done_alone_and_only_what_is_for_this_person() {
    let ada = of(&person("Ada"), &evening());
    assert_eq!(steps(&ada), ["sit-tall", "40 s", "neck-five"], "no talk, and no rest at either end");
    assert_eq!(ada.left_out.iter().map(|title| title.as_str()).collect::<Vec<_>>(), ["Strong swallow"]);
    let may = of(&decided("Ada", &[Decided::Swallow]), &evening());
    assert_eq!(steps(&may), ["sit-tall", "40 s", "effortful-swallow", "neck-five"]);
    // What a precaution makes of a drill in class, it makes of it at home.
    let sore = of(&Person { conditions: vec![Condition::Neck], ..person("Ada") }, &evening());
    let form = |sheet: &HomeClassSheet| match sheet.steps.last() {
        Some(HomeClassStep::Drill { sheet }) => (sheet.drill.to_string(), sheet.form),
        other => panic!("{other:?}"),
    };
    assert_ne!(form(&sore), form(&ada));
}

/// A class lasts as long as its spans, one after the other (arithmetic).
#[test]
fn it_lasts_as_long_as_its_spans_with_the_time_before_each_drill() {
    let sheet = of(&decided("Ada", &[Decided::Swallow]), &evening());
    let spans: i64 = sheet.steps.iter().fold(0, |sum, step| match step {
        HomeClassStep::Rest { ms } => sum + ms,
        HomeClassStep::Drill { sheet } => {
            let timeline = &sheet.content.timeline;
            let spans: i64 = timeline.spans.iter().map(|span| span.len_ms).sum();
            sum + timeline.ready_ms + spans
        }
    });
    assert_eq!(sheet.total_ms, spans + 2 * sheet.between_ms, "before the second and the third drill");
    assert!(sheet.total_ms > 3 * 60_000, "{}", sheet.total_ms);
}

#[test]
fn a_limit_for_a_week_leaves_out_what_does_not_fit_on_each_day() {
    let evening = evening();
    let drills = |most| steps(&of(&decided("Ada", &[at_most(Family::Neck, most)]), &evening));
    let HomeClassStep::Drill { sheet } = &of(&person("Ada"), &evening).steps[2] else { panic!() };
    let once = sheet.reps * sheet.sets * u32::try_from(sheet.sides.len()).unwrap().max(1);
    assert_eq!(drills(once * 3), ["sit-tall", "40 s", "neck-five"]);
    assert_eq!(drills(once * 3 - 1), ["sit-tall"], "there is room on two days of three");
    // What is left out takes no room from what is not.
    let ada = decided("Ada", &[at_most(Family::Neck, once * 3 - 1)]);
    let mut limits = Limits::after(&ada, Vec::new());
    assert_eq!(home_class(&evening, &mut limits, &rules(), library()).left_out.len(), 2);
    let fewer = HomeClass { days_a_week: 2, ..evening };
    let after = home_class(&fewer, &mut limits, &rules(), library());
    assert_eq!(steps(&after), ["sit-tall", "40 s", "neck-five"]);
}

#[test]
fn a_home_class_has_a_drill_and_ends_within_three_weeks() {
    assert_eq!(evening().check(), Ok(()));
    let refused = |class: HomeClass| class.check().unwrap_err();
    assert_eq!(
        refused(HomeClass { days_a_week: 8, ..evening() }),
        "`days_a_week` is 8; it must be from 1 to 7"
    );
    assert_eq!(
        refused(HomeClass { until: day("2026-10-28"), ..evening() }),
        "`until` is 2026-10-28; it must be from 2026-10-06 to 2026-10-27"
    );
    let talk = evening().steps.into_iter().take(2).collect();
    assert_eq!(refused(HomeClass { steps: talk, ..evening() }), "a home class needs at least one drill");
}

/// W-34: days, times and drills apart, and never cut off at what was asked.
#[test]
fn what_they_did_of_it_is_counted_by_days_times_and_drills() {
    let class = Uuid::from_u128(5);
    let log = |n: u128, run: u128, on: &str, done: u32| HomeLog {
        id: Uuid::from_u128(n),
        done: Some(done),
        ease: None,
        day: day(on),
        run: Some(HomeRun {
            class,
            title: "Evening hour".try_into().unwrap(),
            run: Uuid::from_u128(run),
            drills: 2,
        }),
        ..home_log()
    };
    let logs = [
        log(1, 10, "2026-10-07", 5),
        HomeLog { ease: Some(Ease::Hard), ..log(2, 10, "2026-10-07", 5) },
        log(3, 11, "2026-10-07", 5),
        HomeLog { hurt: true, ..log(4, 12, "2026-10-09", 0) },
        // The second one once more, with something else in it.
        log(2, 10, "2026-10-08", 1),
        // A drill on its own.
        HomeLog { id: Uuid::from_u128(6), day: day("2026-10-10"), ..home_log() },
    ];
    let given = ClassGiven {
        class,
        title: "Evening hour".try_into().unwrap(),
        days_a_week: 3,
        period: (day("2026-10-06"), day("2026-10-20")),
    };
    let period = (day("2026-10-06"), day("2026-10-13"));
    let found = at_home(&logs, (&[], std::slice::from_ref(&given)), period, library());
    let expected = ClassAtHome {
        class,
        title: given.title.clone(),
        days_asked: 3,
        days: 2,
        times: 3,
        drills_asked: 6,
        drills: 3,
        reps: 15,
        ease: [0, 0, 1],
        hurt: vec![day("2026-10-09")],
        differs: 1,
    };
    assert_eq!(found.classes, std::slice::from_ref(&expected));
    // A drill that was done on its own is another matter.
    let [drill] = &found.drills[..] else { panic!("{:?}", found.drills) };
    assert_eq!((drill.title.as_str(), drill.times, drill.reps), ("Strong ah, ten seconds", 1, 5));
    // One that was taken back keeps what was done, and one that nobody began is there too.
    let taken_back = at_home(&logs, (&[], &[]), period, library());
    assert_eq!(taken_back.classes, [ClassAtHome { days_asked: 0, ..expected }]);
    // Nothing is asked for by one that ends on the day on which the stretch begins.
    let before = ClassGiven { period: (day("2026-09-29"), day("2026-10-06")), ..given.clone() };
    assert_eq!(at_home(&[], (&[], &[before]), period, library()).classes[0].days_asked, 0);
    let unbegun = at_home(&[], (&[], &[given]), period, library());
    assert_eq!((unbegun.classes[0].days_asked, unbegun.classes[0].times), (3, 0));
}
