//! Groups: what a clinician set for their people, what they had, and what a week holds for them.

use crate::common::class::Class;
use crate::common::roll::{at_most, cleared, day, decided, group, id, person};
use samebreath_core::clue::written::{self, WrittenClue, WrittenRound};
use samebreath_core::clue::{ClueSet, Game};
use samebreath_core::drill::Family;
use samebreath_core::file::Source;
use samebreath_core::live::DeskCommand;
use samebreath_core::people::care::Condition;
use samebreath_core::people::person::{Decided, Person};
use samebreath_core::plan::StepRequest;
use samebreath_core::plan::advice::{Advice, AdviceKind, Around, advise, class_loads, loads};
use samebreath_core::plan::course::{self, Load};
use samebreath_core::plan::draft::{self, Draft};
use samebreath_core::plan::group::{Group, Roll};
use samebreath_core::plan::history::{Had, History};
use samebreath_core::plan::timeline::Figures;
use samebreath_core::record::had::had;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::{Document, Versioned};
use uuid::Uuid;

fn draft(steps: &str) -> Draft {
    let text = format!("title = \"x\"\nminutes = 60\n{steps}");
    draft::read(Source::new("p.toml", &text), crate::common::library()).unwrap()
}

/// Advice of one kind for a group that had `history` and does `week` elsewhere.
fn advice(kind: AdviceKind, draft: &Draft, group: &Roll, history: &History, week: &[Load]) -> Vec<Advice> {
    let (library, rules) = (crate::common::library(), crate::common::rules());
    let plan = draft.plan(library).unwrap();
    let around = Around { rules: &rules, group: Some((group, history)), week };
    advise(draft, &plan, library, around).into_iter().filter(|one| one.kind == kind).collect()
}

fn nothing() -> History {
    History::before(day("2027-03-09"), [])
}

#[test]
fn a_group_and_a_person_say_what_is_wrong_with_them() {
    let fine = group(&[person("Ann"), person("Ben")]);
    assert_eq!((fine.group.check(), fine.check()), (Ok(()), Ok(())));
    let wrong = |change: &dyn Fn(&mut Group), expected: &str| {
        let mut group = fine.group.clone();
        change(&mut group);
        assert_eq!(group.check(), Err(expected.to_owned()));
    };
    wrong(&|g| g.people.push(id(1)), "somebody is enrolled in the group twice");
    wrong(&|g| g.weekday = Some(0), "`weekday` is 0; it must be from 1 (Monday) to 7 (Sunday)");
    wrong(&|g| g.weeks_apart = 53, "`weeks_apart` is 53; it must be from 0 to 52");
    wrong(&|g| g.minutes = 0, "`minutes` is 0; it must be from 1 to 240");
    wrong(
        &|g| g.start = Some("25:00".try_into().unwrap()),
        "`start` is 25:00; it must be a time of day such as 10:00",
    );
    wrong(&|g| g.people = (0..61).map(id).collect(), "a group has 61 people; at most 60 are allowed");
    let refused = |what: &[Decided]| decided("Ben", what).check().unwrap_err();
    assert_eq!(
        refused(&[cleared(Family::TongueHold)]),
        "`Ben` is cleared for a swallow family; that is decided by `swallow`"
    );
    let twice = "`Ben` has two decisions about the same thing; keep the newer one";
    assert_eq!(refused(&[Decided::Swallow, Decided::Swallow]), twice);
    assert_eq!(refused(&[at_most(Family::Neck, 9), at_most(Family::Neck, 10)]), twice);
    let two = decided("Ben", &[at_most(Family::Neck, 9), at_most(Family::Voice, 9), cleared(Family::Neck)]);
    assert_eq!(two.check(), Ok(()));
}

#[test]
fn a_roll_has_the_people_of_a_group_in_its_order_and_no_two_of_one_name() {
    let kept = |n: u128, name: &str| Versioned {
        id: Uuid::from_u128(n),
        version: 1,
        updated_at: EpochMs(0),
        content: person(name),
    };
    let all = [kept(1, "Ann"), kept(2, "Ben"), kept(3, "Ann")];
    let roll = |ids: &[u128]| {
        let people = ids.iter().copied().map(id).collect();
        Roll::of(Group { people, ..group(&[]).group }, &all)
    };
    let names = |roll: &Roll| roll.people.iter().map(|one| one.person.name.to_string()).collect::<Vec<_>>();
    assert_eq!(names(&roll(&[2, 1])), ["Ben", "Ann"]);
    assert_eq!(roll(&[2, 1]).check(), Ok(()));
    assert_eq!(names(&roll(&[9, 2])), ["Ben"], "somebody who is not kept any more is not expected");
    let two_anns = "there are two people called “Ann” in Lantern Quay; add an initial";
    assert_eq!(roll(&[1, 2, 3]).check(), Err(two_anns.to_owned()));
}

/// Days of the week by the calendar: 2027-03-09 is a Tuesday.
#[test]
fn a_group_meets_next_on_its_day_of_the_week() {
    let next = |weekday, today: &str| {
        let group = Group { weekday, ..group(&[]).group };
        group.next_day(day(today)).map(|day| day.to_string())
    };
    assert_eq!(next(Some(2), "2027-03-09").as_deref(), Some("2027-03-09"), "today");
    assert_eq!(next(Some(2), "2027-03-10").as_deref(), Some("2027-03-16"));
    assert_eq!(next(Some(7), "2027-02-27").as_deref(), Some("2027-02-28"));
    assert_eq!(next(Some(1), "2027-12-31").as_deref(), Some("2028-01-03"), "over the end of the year");
    assert_eq!(next(None, "2027-03-09"), None);
}

/// ISO 8601: a week runs from Monday to Sunday, also over the end of a year (2026-12-28 to 2027-01-03 is
/// week 53 of 2026).
#[test]
fn a_week_runs_from_monday_to_sunday() {
    assert!(day("2026-12-28").is_in_week_of(day("2027-01-03")));
    assert!(!day("2027-01-03").is_in_week_of(day("2027-01-04")));
    assert!(!day("2026-03-09").is_in_week_of(day("2027-03-09")));
    assert_eq!(day("2027-03-09").days_since(day("2027-02-23")), 14);
}

#[test]
fn advice_names_who_is_not_cleared() {
    let (mut ann, mut ben, cleo) = (person("Ann"), decided("Ben", &[cleared(Family::Neck)]), person("Cleo"));
    (ann.conditions, ben.conditions) = (vec![Condition::Neck], vec![Condition::Neck]);
    let not_cleared = |steps: &str, people: &[Person]| {
        advice(AdviceKind::NotCleared, &draft(steps), &group(people), &nothing(), &[])
    };
    let trainer = "[[step]]\ndrill = \"trainer-breaths\"\n";
    assert_eq!(not_cleared(trainer, &[person("Dora")]).len(), 1, "off for everybody until cleared");
    assert_eq!(not_cleared(trainer, &[decided("Dora", &[cleared(Family::Trainer)])]), []);
    let neck = "[[step]]\ndrill = \"nod-down\"\n[[step]]\ntalk = \"a\"\nminutes = 1\n[[step]]\ndrill = \"effortful-swallow\"\n";
    let found = not_cleared(neck, &[ann, ben, cleo]);
    assert_eq!(found[0].step, Some(0));
    assert_eq!(found[0].text, "Not cleared for Nod down: Ann. They rest.");
    assert_eq!(found[1].text, "Not cleared for Strong swallow: Ann, Ben, Cleo. They rest.");
}

#[test]
fn a_weeks_load_is_classes_and_home_together_against_a_ceiling() {
    let draft = draft(
        "[[step]]\ntalk = \"Mouths\"\nminutes = 1\n[[step]]\ndrill = \"effortful-swallow\"\n[[step]]\ndrill = \"effortful-swallow\"\nreps = 6\n\
         [[home]]\ndrill = \"effortful-swallow\"\nreps = 5\ntimes_a_day = 2\ndays_a_week = 5\n",
    );
    let library = crate::common::library();
    let plan = draft.plan(library).unwrap();
    let week = course::week(loads(&draft, &plan, library));
    let figures = Figures { reps: 5 + 6 + 5 * 2 * 5, holds: 0, held_ms: 0 };
    assert_eq!(week, [Load { family: Family::EffortfulSwallow, figures }]);
    let over = |reps_a_week: u32, week: &[Load]| {
        let ann = decided("Ann", &[at_most(Family::EffortfulSwallow, reps_a_week)]);
        let found = advice(AdviceKind::OverCeiling, &draft, &group(&[ann]), &nothing(), week);
        found.first().map(|one| one.text.clone())
    };
    assert_eq!(over(61, &[]), None);
    assert!(over(60, &[]).unwrap().starts_with("Ann: 1 more than the 60 a week"));
    // A second class of the same plan in that week adds its 11.
    let second: Vec<_> = class_loads(&plan).collect();
    assert!(over(61, &second).unwrap().starts_with("Ann: 11 more than the 61 a week"));
    assert_eq!(over(72, &second), None);
}

const ROUND: &str = "[[step]]\nclues = \"toolbox\"\nonly = [1, 3, 4]\nminutes = 5\n[[step]]\ndrill = \"nod-down\"\n[[step]]\ndrill = \"sit-tall\"\n";

#[test]
fn what_the_screens_showed_is_had_and_the_rest_is_not() {
    let mut class = Class::open(ROUND);
    class.desk(DeskCommand::Start);
    class.wait_ms(1_000);
    class.desk(DeskCommand::ShowClue);
    class.wait_ms(1_000);
    class.desk(DeskCommand::ShowClue);
    class.wait_ms(1_000);
    class.desk(DeskCommand::Next);
    let had = had(&class.ledger);
    let history = History::before(day("2027-03-09"), [(day("2027-02-23"), had)]);
    let drills: Vec<_> = history.drills().map(|(drill, days)| (drill.as_str(), days)).collect();
    assert_eq!(drills, [("nod-down", 14)], "the last drill was not reached");
    let library = crate::common::library();
    let set = library.clue_set("toolbox").unwrap();
    let all: Vec<u32> = (1..).take(set.clues.len()).collect();
    let but = |gone: &[u32]| all.iter().copied().filter(|n| !gone.contains(n)).collect::<Vec<_>>();
    assert_eq!(history.left(set, 4), but(&[1, 3]), "clues 1 and 3 were shown, 4 was not");
    assert_eq!(history.left(set, 3), but(&[1, 3]));
    assert_eq!(history.left(set, 2), all, "two weeks later it may come again");
    assert_eq!(history.left(set, 0), all);
}

#[test]
fn only_what_was_before_counts_and_the_last_day_stands() {
    let had = || Had::in_plan(&draft(ROUND).plan(crate::common::library()).unwrap());
    let days = |all: &[&str]| {
        let history = History::before(day("2027-03-09"), all.iter().map(|on| (day(on), had())));
        history.drills().find(|(drill, _)| drill.as_str() == "sit-tall").map(|(_, days)| days)
    };
    assert_eq!(days(&["2027-03-09", "2027-03-16"]), None, "its own day and later ones do not");
    assert_eq!(days(&["2027-02-09", "2027-03-02", "2027-02-23"]), Some(7));
}

#[test]
fn clues_that_came_too_lately_are_named_with_the_reason() {
    let had = Had::in_plan(&draft(ROUND).plan(crate::common::library()).unwrap());
    let of = |on: &str| History::before(day("2027-03-09"), [(day(on), had.clone())]);
    let whole = draft("[[step]]\nclues = \"toolbox\"\nminutes = 5\n");
    let found = |history: &History| advice(AdviceKind::SameClues, &whole, &group(&[]), history, &[]);
    let [one] = &found(&of("2027-02-23"))[..] else { panic!("one piece of advice") };
    assert_eq!(one.text, "3 clues of The toolbox came 2 weeks ago already.");
    assert_eq!(one.reason, "Lantern Quay wants 4 weeks before a clue comes again.");
    assert_eq!((one.step, one.source.as_str()), (Some(0), "the group's own setting"));
    assert_eq!(found(&of("2027-02-09")), [], "four weeks are enough");
    assert!(found(&of("2027-03-08"))[0].text.ends_with("came 1 day ago already."));
}

#[test]
fn next_week_has_fresh_clues() {
    let library = crate::common::library();
    let clues = |draft: &Draft, at: usize| match draft.steps[at].what.clone() {
        StepRequest::Clues { set, only, .. } => (set.to_string(), only),
        other => panic!("{other:?} is no round"),
    };
    let had = |draft: &Draft| (day("2027-03-02"), Had::in_plan(&draft.plan(library).unwrap()));
    let before = draft(ROUND);
    let history = History::before(day("2027-03-09"), [had(&before)]);
    let next = before.freshened(library, &history, 4);
    assert_eq!(clues(&next, 0), ("toolbox".to_owned(), vec![2, 5, 6]), "as many as before");
    assert_eq!(next.steps[1..], before.steps[1..], "nothing else changes");
    // A choice that is still fresh stays as it was made, and one that is half gone fills up.
    let chosen = draft("[[step]]\nclues = \"toolbox\"\nonly = [8, 3]\nminutes = 5\n");
    let fresh = History::before(day("2027-03-09"), []);
    assert_eq!(chosen.freshened(library, &fresh, 4), chosen);
    assert_eq!(clues(&chosen.freshened(library, &history, 4), 0).1, [8, 2], "3 came lately");
    // A round that has too few left gives way to a fuller one.
    let nearly =
        draft("[[step]]\nclues = \"toolbox\"\nonly = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]\nminutes = 5\n");
    let gone = History::before(day("2027-03-09"), [had(&nearly)]);
    let (set, only) = clues(&nearly.freshened(library, &gone, 4), 0);
    assert_eq!((set == "toolbox", only.len()), (false, 11));
    // A round that somebody wrote, perhaps about people of another group, is in nobody's next week.
    let mut with_written = library.clone();
    let written = WrittenRound {
        theme: "Our street".try_into().unwrap(),
        clues: (0..40)
            .map(|n| WrittenClue {
                clue: format!("The house with number {n}"),
                answer: format!("house {n}"),
                ..WrittenClue::default()
            })
            .collect(),
        ..WrittenRound::of(library.clue_set("toolbox").unwrap())
    };
    with_written.add_written(Uuid::from_u128(7), &written);
    let own = written::set_id(Uuid::from_u128(7));
    assert_eq!(with_written.clue_set(own.as_str()).unwrap().clues.len(), 40, "more than any other has");
    assert_eq!(clues(&nearly.freshened(&with_written, &gone, 4), 0).0, set);
    // A whole round is followed by another of the same kind, under its own head.
    let whole = draft(
        "[[step]]\nclues = \"toolbox\"\nminutes = 5\ntitle = \"Tools\"\n[[step]]\nclues = \"sayings\"\nminutes = 5\n",
    );
    let history = History::before(day("2027-03-09"), [had(&whole)]);
    let next = whole.freshened(library, &history, 4);
    let (set, only) = clues(&next, 0);
    assert_ne!(set, "toolbox");
    assert_eq!(library.clue_set(&set).unwrap().game, library.clue_set("toolbox").unwrap().game);
    assert_eq!((only, &next.steps[0].title), (vec![], &None));
    let (set, only) = clues(&next, 1);
    assert_ne!(set, "sayings");
    assert_eq!((library.clue_set(&set).unwrap().game, only), (Game::Saying, vec![]));
    // One that is in several rounds is not shown again from another.
    let before = draft("[[step]]\nclues = \"music\"\nonly = [1]\nminutes = 5\n");
    let music = library.clue_set("music").unwrap();
    let history = History::before(day("2027-03-09"), [had(&before)]);
    let elsewhere = ClueSet { id: "elsewhere".try_into().unwrap(), ..music.clone() };
    assert!(!history.left(&elsewhere, 4).contains(&1), "{} was shown", music.clues[0].answer);
    // Two rounds in one class do not share a clue.
    let twice = draft(
        "[[step]]\nclues = \"toolbox\"\nonly = [1]\nminutes = 5\n[[step]]\nclues = \"toolbox\"\nonly = [1]\nminutes = 5\n",
    );
    let next = twice.freshened(library, &History::before(day("2027-03-09"), []), 4);
    assert_ne!(clues(&next, 0), clues(&next, 1));
}

/// Weeks on end: no clue comes twice to a group within its weeks while the library has any left.
#[test]
fn no_clue_repeats_within_the_weeks() {
    let library = crate::common::library();
    let mut on = day("2027-01-05");
    let mut plan = draft("[[step]]\nclues = \"toolbox\"\nminutes = 10\n");
    let mut had: Vec<(Date, Had)> = Vec::new();
    for week in 0..12 {
        let history = History::before(on, had.clone());
        let compiled = plan.plan(library).unwrap();
        let set = compiled.steps[0].clues().unwrap();
        let again = set.clues.iter().filter(|clue| history.is_within(&clue.answer, 12)).count();
        assert_eq!(again, 0, "week {week}: {} of {}", again, set.id);
        had.push((on, Had::in_plan(&compiled)));
        on = on.plus_days(7);
        plan = plan.freshened(library, &History::before(on, had.clone()), 12);
    }
}
