//! What repetitions are done with: the sets that come with the program, and what a plan makes of them.

use std::collections::{BTreeMap, BTreeSet};

use jsonschema::Validator;
use samebreath_core::drill::Tune;
use samebreath_core::file::Source;
use samebreath_core::item::{self, ItemKind, ItemSet};
use samebreath_core::language::{self, Language};
use samebreath_core::live::LiveStep;
use samebreath_core::plan::choice::ItemChoice;
use samebreath_core::plan::history::{Had, History};
use samebreath_core::plan::{Step, StepRequest, draft};
use samebreath_core::time::day::Date;

fn validator() -> Validator {
    let schema = include_str!("../../items/items.schema.json");
    jsonschema::validator_for(&serde_json::from_str(schema).unwrap()).unwrap()
}

fn sets() -> Vec<ItemSet> {
    let files = crate::common::files("items").into_iter();
    files.map(|(id, path, text)| item::read(&id, Source::new(&path, &text)).unwrap()).collect()
}

fn step_of(text: &str) -> Step {
    crate::common::plan(&format!("title = \"x\"\nminutes = 60\n[[step]]\n{text}")).steps.remove(0)
}

fn refused(step: &str) -> String {
    let text = format!("title = \"x\"\nminutes = 60\n[[step]]\n{step}");
    draft::read_plan(Source::new("plan.toml", &text), crate::common::library()).unwrap_err().to_string()
}

/// What the screens show of each repetition.
fn said(step: &Step) -> Vec<String> {
    let mut said: Vec<_> = step.timeline().spans.into_iter().filter_map(|span| span.say).collect();
    said.dedup();
    said.into_iter().map(|words| words.to_string()).collect()
}

#[test]
fn every_file_fits_the_schema_and_there_are_enough_of_each_kind() {
    let schema = validator();
    for (id, _, text) in crate::common::files("items") {
        let json = serde_json::to_value(toml::from_str::<toml::Table>(&text).unwrap()).unwrap();
        let wrong: Vec<_> = schema.iter_errors(&json).map(|e| e.to_string()).collect();
        assert!(wrong.is_empty(), "{id}: {wrong:?}");
    }
    let own: Vec<_> = sets().into_iter().filter(|set| set.translates().is_none()).collect();
    let many = |kind| own.iter().filter(|set| set.kind == kind).map(|set| set.items.len()).sum::<usize>();
    assert!(many(ItemKind::Phrase) >= 60, "everyday phrases, at three lengths");
    assert!(many(ItemKind::Pair) >= 30, "questions and answers");
    assert!(many(ItemKind::Stress) >= 20, "sentences with one word to stress");
    assert!(own.iter().filter(|set| set.kind == ItemKind::Reading).count() >= 12, "short readings");
    let phrases = own.iter().filter(|set| set.kind == ItemKind::Phrase);
    let lengths: Vec<_> = phrases
        .map(|set| {
            let words = set.items.iter().map(|item| item.say.as_str().split_whitespace().count());
            (words.clone().min().unwrap(), words.max().unwrap())
        })
        .collect();
    assert_eq!(lengths, [(10, 12), (6, 7), (3, 5)], "words of the long, the middle and the short ones");
}

#[test]
fn every_set_has_its_like_in_every_language() {
    let all = sets();
    for own in all.iter().filter(|set| set.translates().is_none()) {
        let other = all.iter().find(|set| set.translates() == Some(own.id.as_str())).unwrap();
        assert_eq!(other.language.as_str(), "es");
        assert_ne!(other.name, own.name);
        for (own, other) in own.said_by(other).unwrap() {
            assert!(own.len() == 1 || own != other, "`{own}` is not translated");
        }
    }
    let mut known = BTreeMap::new();
    for words in crate::common::library().item_words() {
        let before = known.insert(words.own.clone(), words.other.clone());
        assert!(before.is_none_or(|before| before == words.other), "`{}` has two translations", words.own);
    }
}

/// Nothing is cut off by a phase shorter than its words, at 140 words a minute (rate from memory), in any language.
#[test]
fn every_drill_has_time_for_the_words_of_its_usual_set() {
    let (library, all) = (crate::common::library(), sets());
    let with_items: Vec<_> = library.drills().filter(|drill| drill.items.is_some()).collect();
    assert_eq!(with_items.len(), 13, "all drills whose cues point at words");
    for drill in with_items {
        let usual = drill.items.as_ref().unwrap().set.as_str();
        ItemChoice::items(None, drill, library).unwrap();
        let other = all.iter().find(|set| set.translates() == Some(usual)).unwrap();
        for spec in drill.phases.iter().filter(|spec| spec.phase.needs_notice()) {
            for item in &other.items {
                let Some(part) = spec.item else { continue };
                let words = item.part(part).as_str().split_whitespace().count();
                let needs_ms = i64::try_from(words * 60_000 / 140).unwrap();
                assert!(needs_ms <= spec.length.clock_ms(), "{}, `{}`", drill.id, item.part(part));
            }
        }
    }
}

#[test]
fn each_repetition_has_words_of_its_own_and_too_few_begin_anew() {
    let step =
        step_of("drill = \"strong-phrases\"\nreps = 4\nwords = [\"One tea.\", \"Two teas.\", \"No tea.\"]\n");
    assert_eq!(said(&step), ["One tea.", "Two teas.", "No tea.", "One tea."]);
    let rest = step.timeline().spans.into_iter().find(|span| span.cue.as_str() == "Rest.").unwrap();
    assert_eq!(rest.say, None, "a rest asks for nothing");
    let ladder = step_of("drill = \"loudness-ladder\"\nonly = [5, 7]\n");
    assert_eq!(
        said(&ladder),
        ["Over here, please!", "Pass the bread, please."],
        "one item for each set of five steps"
    );
    let numbered =
        step_of("drill = \"strong-phrases\"\nreps = 2\nitems = \"everyday-short\"\nonly = [3, 1]\n");
    assert_eq!(said(&numbered), ["Is anyone home?", "Come on in!"]);
}

#[test]
fn a_question_rises_and_its_statement_falls() {
    let step = step_of("drill = \"question-statement\"\nreps = 1\n");
    let spans = step.timeline().spans;
    let voiced: Vec<_> =
        spans.iter().filter_map(|span| Some((span.say.as_ref()?.as_str(), span.tune))).collect();
    assert_eq!(voiced, [("The kettle's hot?", Some(Tune::Rise)), ("The kettle's hot.", Some(Tune::Fall))]);
}

#[test]
fn a_step_is_said_in_each_persons_language_and_own_words_stay() {
    let mut es = Language::default();
    for words in crate::common::library().item_words() {
        es.add(&words.own, &words.other);
    }
    let content = |step: Step| LiveStep::alone(step).content().said_in(&es);
    let first = |step: Step| content(step).timeline.spans[0].say.clone().unwrap().to_string();
    assert_eq!(first(step_of("drill = \"show-and-say\"\n")), "Alegría");
    assert_eq!(
        first(step_of("drill = \"strong-phrases\"\nwords = [\"My name is Odile.\"]\n")),
        "My name is Odile."
    );
    let none = language::read(Source::new("xx.toml", "")).unwrap();
    assert!(!none.has("Glad"));
}

#[test]
fn a_wrong_choice_says_what_would_be_right() {
    let phrases = "drill = \"strong-phrases\"\n";
    let checks = [
        (
            format!("{phrases}items = \"everyday-mdi\"\n"),
            "plan.toml:5: there is no item set called `everyday-mdi`; did you mean `everyday-mid`?",
        ),
        (
            format!("{phrases}items = \"faces\"\n"),
            "plan.toml:5: `faces` is of another kind than `strong-phrases` needs; right would be everyday-long, everyday-mid, everyday-short",
        ),
        (
            format!("{phrases}items = \"everyday-long\"\n"),
            "plan.toml:5: `I have an appointment with the nurse at half past nine.` takes 5 s to say; `strong-phrases` gives it 4 s",
        ),
        (
            format!("{phrases}only = [1, 21]\n"),
            "plan.toml:5: `everyday-mid` has no item 21; its items are 1 to 20",
        ),
        (
            format!("{phrases}only = [1]\nwords = [\"Tea.\"]\n"),
            "plan.toml:6: `words` stand in place of a set; leave out `items` and `only`",
        ),
        (
            "drill = \"sit-tall\"\nwords = [\"Tea.\"]\n".to_owned(),
            "plan.toml:5: `sit-tall` is done without words; leave out `items`, `only` and `words`",
        ),
        (
            "drill = \"move-the-stress\"\nwords = [\"I want tea.\"]\n".to_owned(),
            "plan.toml:5: `I want tea.` needs one word between asterisks, as in `I *never* said that.`",
        ),
        (
            "drill = \"show-and-say\"\nwords = [\"Glad\"]\n".to_owned(),
            "plan.toml:5: each item of this drill has two parts; choose a set with `items`",
        ),
    ];
    for (step, expected) in checks {
        assert_eq!(refused(&step), expected);
    }
}

/// Over a quarter of weekly classes, a group hears no phrase again before it has heard all, and no text twice.
#[test]
fn a_group_gets_the_words_that_it_had_longest_ago() {
    let library = crate::common::library();
    let text = "title = \"x\"\nminutes = 60\n[[step]]\ndrill = \"strong-phrases\"\n[[step]]\ndrill = \"phrase-breaks\"\n\
                [[step]]\ndrill = \"move-the-stress\"\nwords = [\"*My* own.\"]\n";
    let mut draft = draft::read(Source::new("plan.toml", text), library).unwrap();
    let (mut lately, mut texts, mut had) = (Vec::new(), BTreeSet::new(), Vec::new());
    for week in 0..12_u32 {
        let day = Date::try_from(format!("2026-{:02}-{:02}", 1 + week / 4, 1 + 7 * (week % 4))).unwrap();
        let history = History::before(day, had.clone());
        draft = draft.freshened(library, &history, 4);
        let plan = draft.plan(library).unwrap();
        let phrases = said(&plan.steps[0]);
        assert_eq!(phrases.len(), 8);
        let both: BTreeSet<_> = phrases.iter().chain(&lately).collect();
        assert_eq!(both.len(), phrases.len() + lately.len(), "week {week}: none came last week too");
        lately = phrases;
        assert!(texts.insert(said(&plan.steps[1]).remove(0)), "week {week}: a text came twice");
        assert_eq!(said(&plan.steps[2]), ["*My* own."], "the plan's own words stay");
        had.push((day, Had::in_plan(&plan)));
    }
    assert!(
        matches!(&draft.steps[2].what, StepRequest::Drill { items: Some(items), .. } if items.words.len() == 1)
    );
}
