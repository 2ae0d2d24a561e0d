//! What is on a person's home sheet and what is not (W-41), and what they say they did.

use samebreath_core::drill::dose::DoseChange;
use samebreath_core::drill::{Family, Phase};
use samebreath_core::language::Language;
use samebreath_core::live::{
    Actor, AskedAtHome, Command, DeskCommand, Form, HomeLog, HomeRun, NotedBy, Refusal, SeatId, Session,
};
use samebreath_core::people::care::{Condition, Of, PersonalForm, Way};
use samebreath_core::people::person::{Decided, Person};
use samebreath_core::plan::course::Load;
use samebreath_core::plan::draft::{Draft, HomeItem};
use samebreath_core::plan::timeline::Figures;
use samebreath_core::plan::{ForHome, Plan};
use samebreath_core::practice::{DrillAtHome, HomeSheet, Limits, SheetOf, at_home, holds_until, home_sheet};
use samebreath_core::record::class::class_record;
use uuid::Uuid;

use crate::common::class::Class;
use crate::common::examples::{home_log, name};
use crate::common::roll::{at_most, cleared, day, decided, group, id, person};
use crate::common::{library, plan, rules};

/// What a class takes home: each of these drills, this often a day and on so many days.
fn home(drills: &[&str], times_a_day: u32, days_a_week: u32) -> Vec<ForHome> {
    let item = |drill: &&str| HomeItem {
        drill: (*drill).try_into().unwrap(),
        change: DoseChange::default(),
        times_a_day,
        days_a_week,
    };
    let steps = plan("title = \"x\"\nminutes = 60\n[[step]]\ntalk = \"x\"\nminutes = 1\n");
    let Plan { title, .. } = steps;
    let step = serde_json::from_value(serde_json::json!({ "part": null, "title": null, "note": null,
        "what": { "kind": "talk", "title": "x", "minutes": 1 } }));
    let draft = Draft {
        title,
        minutes: 60,
        start: None,
        steps: vec![step.unwrap()],
        home: drills.iter().map(item).collect(),
    };
    draft.plan(library()).unwrap().home
}

fn sheet(person: &Person, home: &[ForHome]) -> HomeSheet {
    sheet_after(person, home, Vec::new())
}

/// The sheet of somebody whose classes of the week held this.
fn sheet_after(person: &Person, home: &[ForHome], classes: Vec<Load>) -> HomeSheet {
    let of = SheetOf { home, from: day("2026-10-06"), until: day("2026-10-13") };
    home_sheet(&of, &mut Limits::after(person, classes), &rules(), library())
}

fn drills(sheet: &HomeSheet) -> Vec<&str> {
    sheet.items.iter().map(|item| item.drill.as_str()).collect()
}

const SWALLOW: &str = "effortful-swallow";

#[test]
fn what_is_not_cleared_is_on_no_sheet_and_what_was_withdrawn_goes() {
    let all = home(&["sit-tall", SWALLOW, "neck-five", "long-hiss"], 2, 5);
    let ada = person("Ada");
    assert_eq!(drills(&sheet(&ada, &all)), ["sit-tall", "neck-five", "long-hiss"]);
    assert_eq!(sheet(&ada, &all).left_out.len(), 1);
    let may = decided("Ada", &[Decided::Swallow]);
    assert_eq!(drills(&sheet(&may, &all)), ["sit-tall", SWALLOW, "neck-five", "long-hiss"]);
    // A precaution takes a drill away, and a clearance gives it back.
    let sore = |what: &[Decided]| Person { conditions: vec![Condition::Neck], ..decided("Ada", what) };
    let of = |sheet: &HomeSheet| {
        sheet.items.iter().find(|one| one.drill.as_str() == "neck-five").map(|one| one.form)
    };
    let careful = of(&sheet(&sore(&[]), &all));
    assert_ne!(careful, Some(Form::Full));
    assert_eq!(of(&sheet(&sore(&[cleared(Family::Neck)]), &all)), Some(Form::Full));
}

#[test]
fn every_drill_of_the_library_is_on_a_sheet_only_as_the_persons_rules_have_it() {
    let names: Vec<String> = library().drills().map(|drill| drill.id.as_str().to_owned()).collect();
    let conditions =
        [Condition::Heart, Condition::Neck, Condition::Aspiration, Condition::Spine, Condition::Tracheostomy];
    let mut seen = (0, 0);
    for conditions in std::iter::once(vec![]).chain(conditions.map(|one| vec![one])) {
        for decisions in [vec![], vec![Decided::Swallow]] {
            let one = Person { conditions: conditions.clone(), ..decided("Ada", &decisions) };
            for name in &names {
                let drill = library().drill(name).unwrap();
                let is_off = one.rule(drill, &rules()) == samebreath_core::people::rules::Rule::Off;
                let found = sheet(&one, &home(&[name.as_str()], 1, 1));
                assert_eq!(found.items.is_empty(), is_off, "{name} with {conditions:?}, {decisions:?}");
                if is_off {
                    seen.0 += 1;
                } else {
                    seen.1 += 1;
                    assert!(!found.items[0].how.is_empty(), "{name}");
                }
            }
        }
    }
    assert!(seen.0 > 50 && seen.1 > 200, "{seen:?}");
}

#[test]
fn a_sheet_has_the_persons_own_form_hold_and_limit() {
    let ways =
        |of: Of, way: Way| Person { forms: vec![PersonalForm { of, way, note: None }], ..person("Ada") };
    let family = Of::Family(Family::Posture);
    let sit = home(&["sit-tall"], 2, 5);
    let easier = sheet(&ways(family.clone(), Way::Easier), &sit);
    let [item] = easier.items.as_slice() else { panic!() };
    assert_eq!(item.form, Form::Easier);
    assert_eq!(item.what.as_ref().unwrap().as_str(), "Lean on the chair back. Hold for 3.");
    assert_eq!(item.how.iter().map(|line| line.ms).take(2).collect::<Vec<_>>(), [3_000, 3_000]);
    assert_eq!((item.reps, item.sets, item.times_a_day, item.days_a_week), (5, 1, 2, 5));
    assert!(sheet(&ways(family, Way::LeaveOut), &sit).items.is_empty());
    let drill = Of::Drill(library().drill("sit-tall").unwrap().id.clone());
    let own = sheet(&ways(drill, Way::OwnHold(4_000)), &sit);
    let holds: Vec<_> = own.items[0].how.iter().map(|line| (line.ms, line.up_to)).take(2).collect();
    assert_eq!(holds, [(3_000, false), (4_000, true)]);
    // Five repetitions, twice a day on five days, are fifty; a limit makes it fewer days, then fewer times, then nothing.
    let limited = |reps| {
        let found = sheet(&decided("Ada", &[at_most(Family::Posture, reps)]), &sit);
        found.items.first().map(|item| (item.times_a_day, item.days_a_week))
    };
    assert_eq!(limited(50), Some((2, 5)));
    assert_eq!(limited(49), Some((2, 4)));
    assert_eq!(limited(12), Some((2, 1)));
    assert_eq!(limited(9), Some((1, 1)));
    assert_eq!(limited(4), None);
}

#[test]
fn a_limit_for_a_week_is_one_for_all_drills_of_the_family_and_for_the_class_too() {
    let neck = home(&["neck-five", "chin-glide"], 1, 5);
    let of = |reps, classes| {
        let found = sheet_after(&decided("Ada", &[at_most(Family::Neck, reps)]), &neck, classes);
        let each = found.items.iter().map(|item| {
            let sides = u32::try_from(item.sides.len()).unwrap().max(1);
            item.reps * item.sets * sides * item.times_a_day * item.days_a_week
        });
        (found.items.len(), each.sum::<u32>())
    };
    let (all, whole) = of(10_000, Vec::new());
    assert_eq!(all, 2);
    for most in (0..whole + 20).step_by(3) {
        let (_, reps) = of(most, Vec::new());
        assert!(reps <= most, "{reps} of at most {most}");
        let class = Load { family: Family::Neck, figures: Figures { reps: 7, ..Figures::default() } };
        let (_, reps) = of(most, vec![class]);
        assert!(reps + 7 <= most || reps == 0, "{reps} and 7 in class of at most {most}");
    }
    assert_eq!(of(whole, Vec::new()), (2, whole));
}

#[test]
fn a_sheet_says_when_to_rest() {
    let lift = library().drill("head-lift-hold").unwrap();
    let may = decided("Ada", &[Decided::Swallow, cleared(lift.family)]);
    let found = sheet(&may, &home(&["head-lift-hold"], 1, 1));
    let [item] = found.items.as_slice() else { panic!("{found:?}") };
    let rest = item.how.last().unwrap();
    assert_eq!((rest.phase, rest.ms, rest.words.as_str()), (Phase::Rest, 60_000, "Head down. Rest."));
    // An easier form that is shorter than the drill rests for as long as the class would still work.
    let easier = Person {
        forms: vec![PersonalForm { of: Of::Family(Family::Posture), way: Way::Easier, note: None }],
        ..person("Ada")
    };
    let took = |person: &Person| {
        let lines = sheet(person, &home(&["sit-tall"], 1, 1)).items[0].how.clone();
        assert_eq!(lines.last().unwrap().phase, Phase::Rest);
        lines.iter().map(|line| line.ms).sum::<i64>()
    };
    assert_eq!(took(&easier), took(&person("Ada")));
}

/// Nobody is there who would say them, or stop somebody who does more than in class.
#[test]
fn a_sheet_has_every_caution_and_asks_for_no_more_than_a_class_would() {
    let mut seen = (0, 0);
    for drill in library().drills() {
        let may = decided("Ada", &[Decided::Swallow, cleared(drill.family)]);
        for way in [None, Some(Way::Easier), Some(Way::Seated), Some(Way::Harder)] {
            let form = way.map(|way| PersonalForm { of: Of::Family(drill.family), way, note: None });
            let person = Person { forms: form.into_iter().collect(), ..may.clone() };
            let found = sheet(&person, &home(&[drill.id.as_str()], 1, 1));
            let [item] = found.items.as_slice() else { panic!("{:?}", drill.id) };
            assert_eq!(item.cautions, drill.cautions);
            seen.0 += usize::from(item.cautions.len() > 1);
            let own = item.content.forms.iter().find(|one| one.form == item.form);
            let timeline = own.map_or(&item.content.timeline, |own| &own.timeline);
            let most = timeline.spans.iter().map(|span| span.rep).max().unwrap();
            assert!(item.reps <= most, "{:?} {way:?}", drill.id);
            let held = |all: &mut dyn Iterator<Item = (Phase, i64)>| -> i64 {
                all.filter(|(phase, _)| phase.is_held()).map(|(_, ms)| ms).sum()
            };
            let asked = held(&mut item.how.iter().map(|line| (line.phase, line.ms)));
            let in_class = timeline.spans.iter().filter(|span| (span.rep, span.set, span.side) == (1, 1, 0));
            assert_eq!(asked, held(&mut in_class.map(|span| (span.phase, span.held_ms))), "{:?}", drill.id);
            seen.1 += usize::from(own.is_some());
        }
    }
    assert!(seen.0 > 20 && seen.1 > 20, "{seen:?}");
    // Who must not lie flat is shown somebody who sits.
    let lift = library().drill("head-lift-hold").unwrap();
    let seated = PersonalForm { of: Of::Family(lift.family), way: Way::Seated, note: None };
    let person = Person { forms: vec![seated], ..decided("Ada", &[Decided::Swallow, cleared(lift.family)]) };
    let found = sheet(&person, &home(&["head-lift-hold"], 1, 1));
    assert_ne!(found.items[0].pose.as_str(), "lying");
}

#[test]
fn a_sheet_in_another_language_is_in_it() {
    let mut spanish = Language::default();
    spanish.add("Sit tall", "Siéntese recto");
    spanish.add("Feet flat. Sit tall.", "Pies planos.");
    let found = sheet(&person("Ada"), &home(&["sit-tall"], 1, 1)).said_in(&spanish);
    assert_eq!(found.items[0].content.title.as_str(), "Siéntese recto");
    assert_eq!(found.items[0].how[0].words.as_str(), "Pies planos.");
}

#[test]
fn a_sheet_holds_until_the_next_class_but_not_for_a_whole_summer() {
    let from = day("2026-07-07");
    let until = |next: Option<&str>| holds_until(from, next.map(day));
    assert_eq!(until(Some("2026-07-14")), day("2026-07-14"));
    assert_eq!(until(Some("2026-09-08")), day("2026-07-28"));
    assert_eq!(until(None), day("2026-07-14"));
}

#[test]
fn after_the_class_people_read_only_what_is_for_them_and_the_wall_what_is_for_everybody() {
    let text = format!(
        "[[step]]\ndrill = \"sit-tall\"\n[[home]]\ndrill = \"sit-tall\"\n[[home]]\ndrill = \"{SWALLOW}\"\n"
    );
    let mut class = Class::open(&text).staffed().named();
    let (ann, ben) = (class.join("Ann"), class.join("Ben"));
    class.desk(DeskCommand::ClearSwallow { seats: vec![ann] });
    class.desk(DeskCommand::Start);
    let theirs = |class: &Class, seat| {
        class
            .session
            .mine(seat, class.now)
            .unwrap()
            .home
            .iter()
            .map(|one| one.title.to_string())
            .collect::<Vec<_>>()
    };
    assert!(theirs(&class, ann).is_empty(), "the class is not over");
    class.desk(DeskCommand::End);
    assert_eq!(theirs(&class, ann).len(), 2);
    assert_eq!(theirs(&class, ben), ["Sit tall"]);
    let after = class.session.stage(class.now).after.unwrap();
    assert_eq!(after.home.len(), 1);
}

/// A class of Ann and Ben that was given two drills to take home, and is over.
fn class_over() -> Class {
    let mut plan = plan("title = \"x\"\nminutes = 60\n[[step]]\ntalk = \"x\"\nminutes = 1\n");
    plan.home = home(&["strong-ah", "long-hiss"], 1, 5);
    let mut class = Class::of(plan);
    class.record(Actor::Entry, Session::expected(&group(&[person("Ann"), person("Ben")]), &[]));
    class.desk(DeskCommand::SayName { name: name("Lena") });
    class.desk(DeskCommand::End);
    class
}

fn practise(class: &mut Class, who: u128, log: HomeLog) -> Result<(), Refusal> {
    let command = Command::Practise { person: id(who), log: Box::new(log), today: day("2026-10-08") };
    class.try_do(Actor::Entry, command)
}

/// What was done at home after it, on the day after.
fn done(class: &Class, who: usize) -> Vec<DrillAtHome> {
    let record = class_record(&class.ledger).unwrap();
    at_home(
        &record.people[who].practised,
        (&record.home, &[]),
        (day("2026-10-06"), day("2026-10-13")),
        library(),
    )
    .drills
}

#[test]
fn a_log_counts_once_however_often_it_comes_and_what_differs_is_kept() {
    let mut class = class_over();
    practise(&mut class, 1, home_log()).unwrap();
    let lines = class.ledger.len();
    practise(&mut class, 1, home_log()).unwrap();
    assert_eq!(class.ledger.len(), lines, "the same again is no news");
    practise(&mut class, 1, HomeLog { done: Some(50), ..home_log() }).unwrap();
    practise(&mut class, 1, HomeLog { done: Some(50), ..home_log() }).unwrap();
    assert_eq!(class.ledger.len(), lines + 1, "it is kept, once");
    let [ah, hiss] = &done(&class, 0)[..] else { panic!("two drills") };
    assert_eq!((ah.days, ah.times, ah.reps, ah.differs), (1, 1, 5, 1));
    assert_eq!((hiss.days_asked, hiss.times, hiss.reps_each), (5, 0, None));
    assert_eq!(done(&class, 1)[0].times, 0, "Ben did nothing");
    assert_eq!(practise(&mut class, 9, home_log()), Err(Refusal::NotIn), "nobody of this class");
    let session = Session::replay(&class.ledger).unwrap();
    assert_eq!(session.seats()[&SeatId(1)].practised.len(), 2);
}

/// Eleven of ten stay eleven (W-34); days, times and repetitions are counted apart.
#[test]
fn what_was_done_is_never_cut_off_at_what_was_asked() {
    let mut class = class_over();
    let logs = [
        ("2026-10-07", Some(5), NotedBy::Screen),
        ("2026-10-07", Some(6), NotedBy::Screen),
        ("2026-10-08", None, NotedBy::Hand),
        ("2026-10-09", Some(0), NotedBy::Hand),
        ("2026-10-10", Some(20), NotedBy::Hand),
    ];
    for (n, (on, done, noted)) in (1u128..).zip(logs) {
        let log = HomeLog { id: Uuid::from_u128(n), day: day(on), done, noted, ..home_log() };
        practise(&mut class, 1, log).unwrap();
    }
    let ah = &done(&class, 0)[0];
    assert_eq!((ah.days, ah.times, ah.reps, ah.uncounted), (3, 4, 31, 1));
    assert_eq!((ah.days_asked, ah.times_a_day, ah.reps_each), (5, 1, Some(5)));
    // A sheet that holds for two weeks asks for twice as many days, and one for four days for the nearest whole number.
    let asked = |until| {
        let record = class_record(&class.ledger).unwrap();
        at_home(&[], (&record.home, &[]), (day("2026-10-06"), day(until)), library()).drills[0].days_asked
    };
    assert_eq!((asked("2026-10-20"), asked("2026-10-10"), asked("2026-10-06")), (10, 3, 1));
}

#[test]
fn what_hurt_is_followed_up_once_also_when_it_is_only_said_later() {
    let mut class = class_over();
    practise(&mut class, 1, HomeLog { hurt: true, ..home_log() }).unwrap();
    practise(&mut class, 1, HomeLog { hurt: true, ..home_log() }).unwrap();
    let [one] = class.session.follow_ups() else { panic!("one follow-up") };
    assert_eq!((one.seat, one.owner.as_str(), one.due), (SeatId(1), "Lena", day("2026-10-08")));
    assert_eq!(
        one.what.as_str(),
        "Said that “Strong ah, ten seconds” hurt at home on 2026-10-07. Call and ask how they are."
    );
    assert_eq!(done(&class, 0)[0].hurt, [day("2026-10-07")]);
    // After a whole class nobody asks which of its drills it was.
    let run = Some(HomeRun {
        class: Uuid::from_u128(5),
        title: "Evening hour".try_into().unwrap(),
        run: Uuid::from_u128(6),
        drills: 2,
    });
    let drill = "sit-tall".try_into().unwrap();
    practise(&mut class, 2, HomeLog { hurt: true, drill, run, ..home_log() }).unwrap();
    assert_eq!(
        class.session.follow_ups()[1].what.as_str(),
        "Said that something in “Evening hour” hurt, in or before “Sit tall”, at home on 2026-10-07. \
         Call and ask how they are."
    );
    // A log that said nothing of it was on its way already.
    let later = HomeLog { id: Uuid::from_u128(8), ..home_log() };
    practise(&mut class, 1, later.clone()).unwrap();
    assert_eq!(class.session.follow_ups().len(), 2);
    practise(&mut class, 1, HomeLog { hurt: true, ..later }).unwrap();
    assert_eq!(class.session.follow_ups().len(), 3, "it is a report, whatever else the log says");
}

#[test]
fn nonsense_is_refused_with_what_would_be_right() {
    let mut class = class_over();
    let good = home_log;
    let asked = |reps, times_a_day, days_a_week| AskedAtHome { reps, times_a_day, days_a_week };
    let wrong = [
        (HomeLog { asked: asked(0, 1, 5), ..good() }, "`asked.reps` is 0; it must be from 1 to 10000"),
        (HomeLog { asked: asked(5, 11, 5), ..good() }, "`asked.times_a_day` is 11; it must be from 1 to 10"),
        (HomeLog { asked: asked(5, 1, 8), ..good() }, "`asked.days_a_week` is 8; it must be from 1 to 7"),
        (HomeLog { done: Some(10_001), ..good() }, "`done` is 10001; it must be from 0 to 10000"),
        (HomeLog { form: Form::Rest, ..good() }, "`form` must be the form in which it was done"),
        (
            HomeLog { drill: "leap".try_into().unwrap(), ..good() },
            "`drill` is `leap`; there is no such drill",
        ),
        (HomeLog { offset_minutes: 900, ..good() }, "`offset_minutes` is 900; it must be from -720 to 840"),
    ];
    for (log, sentence) in wrong {
        assert_eq!(practise(&mut class, 1, log), Err(Refusal::Wrong(sentence.to_owned())));
    }
    assert!(done(&class, 0).iter().all(|drill| drill.times == 0));
}
