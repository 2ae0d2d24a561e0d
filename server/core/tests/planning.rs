//! Plans as people write them: files that come back the same, advice, one notch on, and dose arithmetic
//! against published worked examples.

use proptest::prelude::*;
use samebreath_core::drill::Phase;
use samebreath_core::drill::dose::{DoseChange, Hold, Lengths};
use samebreath_core::file::Source;
use samebreath_core::plan::StepRequest;
use samebreath_core::plan::advice::{AdviceKind, Around, advise};
use samebreath_core::plan::choice::ItemChoice;
use samebreath_core::plan::draft::{self, Draft, DraftStep, HomeItem};
use samebreath_core::plan::minutes::Minutes;
use samebreath_core::time::day::clock_ms;

fn read(text: &str) -> Draft {
    draft::read(Source::new("p.toml", text), crate::common::library()).unwrap()
}

fn draft(steps: &str) -> Draft {
    read(&format!("title = \"x\"\nminutes = 60\n{steps}"))
}

fn advice(draft: &Draft) -> Vec<(AdviceKind, Option<usize>, String)> {
    let library = crate::common::library();
    let plan = draft.plan(library).unwrap();
    let all =
        advise(draft, &plan, library, Around { rules: &crate::common::rules(), group: None, week: &[] });
    for one in &all {
        assert!(!one.reason.is_empty() && !one.source.is_empty(), "{one:?} has a reason and a source");
    }
    all.into_iter().map(|a| (a.kind, a.step, a.text)).collect()
}

fn kinds(steps: &str) -> Vec<(AdviceKind, Option<usize>)> {
    advice(&draft(steps))
        .into_iter()
        .map(|(kind, step, _)| (kind, step))
        .filter(|(kind, _)| *kind != AdviceKind::UnderTime)
        .collect()
}

/// W19. A whole class: welcome 5, warm-up 5, breath 8, voice 15, swallow 10, neck and face 7, game 8,
/// close 2 minutes from 10:00:00 (arithmetic).
#[test]
fn w19_a_whole_class() {
    let parts = [
        ("Welcome", 5),
        ("Warm-up", 5),
        ("Breath", 8),
        ("Voice", 15),
        ("Swallow", 10),
        ("Neck and face", 7),
        ("Game", 8),
        ("Close", 2),
    ];
    let steps: String =
        parts.iter().map(|(t, m)| format!("[[step]]\ntalk = \"{t}\"\nminutes = {m}\n")).collect();
    let draft = read(&format!("title = \"x\"\nminutes = 60\nstart = \"10:00\"\n{steps}"));
    let plan = draft.plan(crate::common::library()).unwrap();
    assert_eq!(plan.planned_ms(), 60 * 60_000);
    let start_ms = clock_ms(draft.start.as_ref().unwrap().as_str()).unwrap();
    let starts: Vec<String> = plan
        .steps
        .iter()
        .scan(start_ms, |at, step| {
            let from = *at;
            *at += step.planned_ms();
            Some(format!("{}-{}", clock(from), clock(*at)))
        })
        .collect();
    assert_eq!(starts[3], "10:18:00-10:33:00", "voice");
    assert_eq!(starts[4], "10:33:00-10:43:00", "swallow");
    assert_eq!(starts[6], "10:50:00-10:58:00", "game");
}

fn clock(ms: i64) -> String {
    let s = ms / 1000;
    format!("{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
}

#[test]
fn advice_names_what_a_careful_colleague_would() {
    use AdviceKind::{
        Equipment, HomeByClinician, HomeOnly, LongHomeList, LongStretch, ManySwallows, MouthCheck, NoCheckIn,
        NoExplaining, NoRest, NoSip, NoWarmUp, ShortRest, SwallowRest, UnusualDose,
    };
    let check =
        |steps: &str, expected: &[(AdviceKind, Option<usize>)]| assert_eq!(kinds(steps), expected, "{steps}");
    check("[[step]]\ndrill = \"strong-ah\"\n", &[]);
    check("[[step]]\ndrill = \"strong-ah\"\nreps = 20\n", &[(UnusualDose, Some(0))]);
    check("[[step]]\ndrill = \"strong-ah\"\nhold = 20\n", &[(UnusualDose, Some(0))]);
    check("[[step]]\ndrill = \"effortful-swallow\"\n", &[(MouthCheck, Some(0))]);
    check("[[step]]\ntalk = \"Mouths empty?\"\nminutes = 1\n[[step]]\ndrill = \"effortful-swallow\"\n", &[]);
    check(
        "[[step]]\ntalk = \"Football\"\nminutes = 1\n[[step]]\ndrill = \"effortful-swallow\"\n",
        &[(MouthCheck, Some(1))],
    );
    check(
        "[[step]]\ntalk = \"Mouths empty?\"\nminutes = 1\n[[step]]\ndrill = \"effortful-swallow\"\n\
         [[step]]\nsip = \"Sip\"\nseconds = 30\n[[step]]\ndrill = \"tongue-hold-swallow\"\n",
        &[(MouthCheck, Some(3))],
    );
    check(
        "[[step]]\ntalk = \"Mouths empty?\"\nminutes = 1\n[[step]]\ndrill = \"effortful-swallow\"\nreps = 2\n",
        &[],
    );
    check(
        "[[step]]\ncheck_in = \"Mouths?\"\nminutes = 1\n[[step]]\ndrill = \"hold-at-top-swallow\"\n[[step]]\ndrill = \"tongue-hold-swallow\"\n",
        &[],
    );
    check("[[step]]\ndrill = \"head-lift-hold\"\n", &[(Equipment, None), (HomeOnly, Some(0))]);
    // Stretches are held at ease, and need no rest between them; long presses do, and are told in one line.
    check(
        "[[step]]\ndrill = \"look-over-shoulder\"\n[[step]]\ndrill = \"ear-to-shoulder\"\n",
        &[(NoWarmUp, Some(0))],
    );
    let press = "[[step]]\ndrill = \"pucker-smile\"\n";
    check(&format!("[[step]]\ndrill = \"sit-tall\"\n{}", press.repeat(2)), &[(NoRest, Some(2))]);
    let long = format!("{}[[step]]\ncheck_in = \"x\"\nminutes = 1\n", press.repeat(3));
    let told = advice(&draft(&format!("[[step]]\ndrill = \"sit-tall\"\n{long}")));
    assert_eq!(told.iter().filter(|(kind, ..)| *kind == NoRest).count(), 1, "{told:?}");
    check(
        "[[step]]\ndrill = \"sit-tall\"\n[[step]]\ndrill = \"look-over-shoulder\"\n[[step]]\nsip = \"Sip\"\nseconds = 30\n\
         [[step]]\ndrill = \"ear-to-shoulder\"\n",
        &[],
    );
    let swallows = |reps: &str| {
        let steps =
            reps.split(' ').map(|reps| format!("[[step]]\ndrill = \"effortful-swallow\"\nreps = {reps}\n"));
        format!("[[step]]\ntalk = \"Mouths empty?\"\nminutes = 1\n{}", steps.collect::<String>())
    };
    check(&swallows("5 10 5"), &[]);
    check(&swallows("5 10 6"), &[(ManySwallows, None)]);
    check("[[step]]\ntalk = \"Long\"\nminutes = 20\n[[step]]\ndrill = \"sit-tall\"\n", &[(NoSip, Some(1))]);
    check("[[step]]\ndrill = \"trainer-breaths\"\nrest = 0\n", &[(Equipment, None), (ShortRest, Some(0))]);
    check("[[step]]\ndrill = \"chin-press-hold\"\nhold = 60\n", &[(Equipment, None), (ShortRest, Some(0))]);
    check(
        "[[step]]\ndrill = \"steady-ah\"\nrest = 0\nhold = { floor = 5, target = 15, limit = 60 }\n",
        &[(UnusualDose, Some(0)), (ShortRest, Some(0))],
    );
    check("[[step]]\ndrill = \"steady-ah\"\nsets = 3\nset_rest = 30\n", &[(UnusualDose, Some(0))]);
    check("[[step]]\ndrill = \"high-ee\"\nsets = 2\n", &[(ShortRest, Some(0))]);
    check("[[step]]\ndrill = \"look-over-shoulder\"\nreps = 4\n", &[(LongStretch, Some(0))]);
    let four = "[[step]]\ndrill = \"sit-tall\"\n".repeat(4);
    check(&four, &[(NoCheckIn, None)]);
    let full = format!("{four}[[step]]\ncheck_in = \"x\"\nminutes = 55\n");
    check(&full, &[(NoExplaining, None)]);
    check(&full.replace("tall\"\n", "tall\"\nexplain = 5\n").replace("55", "54"), &[]);
    let over = full.replace("tall\"\n", "tall\"\nexplain = 5\n").replace("55", "58");
    check(&over, &[(AdviceKind::OverTime, None)]);
    let at_home = |drill: &str, more: &str| {
        format!("[[step]]\ndrill = \"sit-tall\"\n[[home]]\ndrill = \"{drill}\"\n{more}")
    };
    check(&at_home("tongue-hold-swallow", ""), &[(HomeByClinician, None)]);
    check(&at_home("strong-ah", "reps = 40\n"), &[(UnusualDose, None)]);
    let home = "[[home]]\ndrill = \"sit-tall\"\n";
    check(&format!("[[step]]\ndrill = \"sit-tall\"\n{}", home.repeat(3)), &[]);
    check(&format!("[[step]]\ndrill = \"sit-tall\"\n{}", home.repeat(4)), &[(LongHomeList, None)]);
    // A swallow drill of one's own without a rest between its swallows.
    let mut draft =
        draft("[[step]]\ntalk = \"Mouths\"\nminutes = 1\n[[step]]\ndrill = \"effortful-swallow\"\n");
    let mut library = crate::common::library().clone();
    let mut drill = library.drill("effortful-swallow").unwrap().clone();
    drill.phases.pop();
    library.add_drill(drill);
    draft.minutes = 3;
    let plan = draft.plan(&library).unwrap();
    let found =
        advise(&draft, &plan, &library, Around { rules: &crate::common::rules(), group: None, week: &[] });
    assert!(
        found.iter().any(|a| a.kind == SwallowRest && a.text.starts_with("Only 5 s between")),
        "{found:?}"
    );
}

#[test]
fn advice_on_time() {
    let long = draft("[[step]]\ntalk = \"a\"\nminutes = 60\n[[step]]\ndrill = \"sit-tall\"\n");
    let (kind, step, text) = advice(&long).remove(0);
    assert_eq!(
        (kind, step, text.as_str()),
        (AdviceKind::OverTime, None, "1:07 min over the 60:00 min of the class.")
    );
    let of = |minutes: u32| advice(&draft(&format!("[[step]]\ntalk = \"a\"\nminutes = {minutes}\n")));
    assert_eq!(of(50)[0].0, AdviceKind::UnderTime);
    assert_eq!(of(51), [], "nine minutes of an hour are soon gone");
}

#[test]
fn one_notch_on_stays_within_the_usual_range() {
    let library = crate::common::library();
    let notched = |steps: &str| match draft(steps).one_notch_on(library).steps[0].what.clone() {
        StepRequest::Drill { change, .. } => *change,
        other => panic!("{other:?}"),
    };
    let hold = |ms| Some(Hold::Fixed { ms });
    assert_eq!(notched("[[step]]\ndrill = \"strong-ah\"\n").hold, hold(11_000), "first a longer hold");
    let at_top = notched("[[step]]\ndrill = \"strong-ah\"\nhold = 15\n");
    assert_eq!((at_top.hold, at_top.reps), (hold(15_000), Some(7)), "then one more");
    assert_eq!(notched("[[step]]\ndrill = \"jaw-open-hold\"\n").sets, Some(2), "then one set more");
    assert_eq!(
        notched("[[step]]\ndrill = \"trainer-breaths\"\n"),
        DoseChange::default(),
        "a clinician sets the load"
    );
    for id in ["hold-at-top-swallow", "effortful-swallow", "head-lift-short"] {
        let change = notched(&format!("[[step]]\ndrill = \"{id}\"\n"));
        assert_eq!(change, DoseChange::default(), "{id}: a clinician gives more of it, person by person");
    }
    let open = notched("[[step]]\ndrill = \"steady-ah\"\n").hold;
    assert_eq!(open, Some(Hold::Open { floor_ms: 5_000, target_ms: 11_000, limit_ms: 15_000 }));
    for drill in library.drills() {
        let mut plan = draft(&format!("[[step]]\ndrill = \"{}\"\n", drill.id));
        for _ in 0..200 {
            plan = plan.one_notch_on(library);
        }
        plan.plan(library).unwrap();
        let text = plan.write();
        assert!(
            !kinds(text.split_once("\n\n").unwrap().1).iter().any(|(k, _)| *k == AdviceKind::UnusualDose),
            "{text}"
        );
    }
}

/// The planner's own steps have no head of their own.
#[test]
fn steps_with_their_usual_heads_come_back_without_one() {
    let text = "title = \"x\"\nminutes = 60\n\n[[step]]\nsip = \"A sip\"\nseconds = 30\n\n[[step]]\neffort = \"How hard was it?\"\n";
    let draft = read(text);
    assert!(draft.steps.iter().all(|step| step.title.is_none()), "{draft:?}");
    assert_eq!(draft.write(), text);
}

#[test]
fn mistakes_in_a_plan_of_the_planner_say_which_step() {
    let library = crate::common::library();
    let mut plan = draft(
        "[[step]]\ntalk = \"a\"\nminutes = 5\n[[step]]\nclues = \"kitchen\"\nonly = [1, 12]\nminutes = 5\n",
    );
    let rounds = plan.plan(library).unwrap();
    assert_eq!(rounds.steps[1].clues().unwrap().clues.len(), 2);
    plan.steps[1].what = StepRequest::Clues {
        set: "kitchen".try_into().unwrap(),
        only: vec![13],
        minutes: Minutes::whole(5).unwrap(),
    };
    let error = plan.plan(library).unwrap_err();
    assert_eq!(
        (error.step, error.text.as_str()),
        (Some(1), "`kitchen` has no clue 13; its clues are 1 to 12")
    );
    plan.steps.clear();
    assert_eq!(plan.plan(library).unwrap_err().text, "this plan needs at least one [[step]]");
}

fn minutes() -> impl Strategy<Value = Minutes> {
    (10..=3_600_u32).prop_map(|seconds| Minutes::of_seconds(seconds).unwrap())
}

fn line<const N: usize>() -> impl Strategy<Value = samebreath_core::text::Line<N>> {
    // Quotes, backslashes and letters of other scripts: what a file must keep.
    proptest::string::string_regex("[A-Za-z\"'\\\\#=é語 ]{0,12}[A-Za-zé語]")
        .unwrap()
        .prop_map(|s| s.as_str().try_into().unwrap())
}

/// The same change without the lengths of phases that the drill does not have.
fn fitting(drill: &str, change: DoseChange) -> DoseChange {
    let phases = crate::common::library().drill(drill).unwrap().phases.clone();
    let has = |phase| phases.iter().any(|spec| spec.phase == phase);
    DoseChange {
        hold: change.hold.filter(|_| has(Phase::Hold)),
        lengths: change.lengths.filter(|_| has(Phase::Move)),
        ..change
    }
}

fn change() -> impl Strategy<Value = DoseChange> {
    let ms = |most: i64| proptest::option::of((0..=most).prop_map(|s| s * 250));
    let hold = proptest::option::of(prop_oneof![
        (2..80_i64).prop_map(|s| Hold::Fixed { ms: s * 250 }),
        (2..40_i64, 0..40_i64, 0..40_i64).prop_map(|(a, b, c)| Hold::Open {
            floor_ms: a * 250,
            target_ms: (a + b) * 250,
            limit_ms: (a + b + c) * 250
        }),
    ]);
    let counts =
        (proptest::option::of(1..3_u32), proptest::option::of(1..4_u32), proptest::option::of(0..4_u32));
    let pauses = (ms(80), ms(80), ms(80), ms(80));
    let lengths = proptest::option::of(
        (2..80_i64).prop_map(|s| Lengths { move_ms: Some(s * 250), ..Lengths::default() }),
    );
    (counts, hold, pauses, lengths).prop_map(
        |((sets, reps, shown), hold, (rest_ms, set_rest_ms, switch_ms, explain_ms), lengths)| DoseChange {
            sets,
            reps,
            hold,
            rest_ms,
            set_rest_ms,
            switch_ms,
            explain_ms,
            shown,
            lengths,
        },
    )
}

fn items() -> impl Strategy<Value = ItemChoice> {
    let set = || Some("reading-08-fog".try_into().unwrap());
    prop_oneof![
        proptest::collection::vec(1..=8_u32, 0..5).prop_map(move |only| ItemChoice {
            set: set(),
            only,
            words: Vec::new()
        }),
        proptest::collection::vec(1..=8_u32, 1..5)
            .prop_map(|only| ItemChoice { only, ..ItemChoice::default() }),
        proptest::collection::vec("[a-zñ]{1,9}( [a-z]{1,9}){0,5}", 1..5).prop_map(|words| {
            let words = words.iter().map(|words| words.as_str().try_into().unwrap()).collect();
            ItemChoice { words, ..ItemChoice::default() }
        }),
    ]
}

fn step() -> impl Strategy<Value = DraftStep> {
    let drill =
        prop_oneof![Just("strong-ah"), Just("sit-tall"), Just("neck-five"), Just("effortful-swallow")];
    let what = prop_oneof![
        (drill, change(), proptest::option::of(line())).prop_map(|(d, change, t)| (
            StepRequest::Drill {
                drill: d.try_into().unwrap(),
                change: Box::new(fitting(d, change)),
                items: None
            },
            t
        )),
        (change(), items()).prop_map(|(change, items)| {
            (
                StepRequest::Drill {
                    drill: "phrase-breaks".try_into().unwrap(),
                    change: Box::new(fitting("phrase-breaks", change)),
                    items: Some(Box::new(items)),
                },
                None,
            )
        }),
        (line(), minutes()).prop_map(|(title, minutes)| (StepRequest::Talk { title, minutes }, None)),
        (line(), minutes()).prop_map(|(title, minutes)| (StepRequest::CheckIn { title, minutes }, None)),
        (5..600_u32, line()).prop_map(|(seconds, t)| (StepRequest::Sip { seconds }, Some(t))),
        line().prop_map(|t| (StepRequest::Effort, Some(t))),
        (proptest::collection::vec(1..=12_u32, 0..5), minutes(), proptest::option::of(line())).prop_map(
            |(only, minutes, t)| (
                StepRequest::Clues { set: "kitchen".try_into().unwrap(), only, minutes },
                t
            )
        ),
    ];
    (what, proptest::option::of(line()), proptest::option::of(line()))
        .prop_map(|((what, title), part, note)| DraftStep { part, title, note, what })
}

fn any_draft() -> impl Strategy<Value = Draft> {
    let home =
        ("[a-z]{1}", change(), 1..=10_u32, 1..=7_u32).prop_map(|(_, change, times_a_day, days_a_week)| {
            HomeItem { drill: "sit-tall".try_into().unwrap(), change, times_a_day, days_a_week }
        });
    (
        line(),
        1..=240_u32,
        proptest::option::of(Just("09:30:15".try_into().unwrap())),
        proptest::collection::vec(step(), 1..12),
        proptest::collection::vec(home, 0..4),
    )
        .prop_map(|(title, minutes, start, steps, home)| Draft { title, minutes, start, steps, home })
}

proptest! {
    #[test]
    fn a_plan_file_comes_back_the_same(draft in any_draft()) {
        let text = draft.write();
        let again = draft::read(Source::new("p.toml", &text), crate::common::library());
        prop_assert_eq!(again.as_ref().map_err(ToString::to_string), Ok(&draft), "{}", text);
        prop_assert_eq!(again.unwrap().write(), text, "the same bytes");
    }

    #[test]
    fn the_total_is_the_sum_of_the_steps(draft in any_draft()) {
        let plan = draft.plan(crate::common::library()).unwrap();
        let steps: i64 = draft.steps.iter().map(|s| s.step(crate::common::library()).unwrap().planned_ms()).sum();
        prop_assert_eq!(plan.planned_ms(), steps);
    }
}
