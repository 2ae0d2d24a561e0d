//! What participants read of the library, in every language that comes with the program.

use std::collections::BTreeSet;

use samebreath_core::clue::{self, Verdict};
use samebreath_core::file::Source;
use samebreath_core::language::{self, Language};
use samebreath_core::library::Library;
use samebreath_core::live::{Content, LiveStep};
use samebreath_core::plan::draft;
use samebreath_core::plan::minutes::Minutes;
use samebreath_core::plan::{EFFORT, SIP, Step, StepRequest};

fn languages() -> Vec<(String, Language)> {
    let read =
        |(id, path, text): (String, String, String)| (id, language::read(Source::new(&path, &text)).unwrap());
    crate::common::files("languages").into_iter().map(read).collect()
}

/// Everything of the library that a class screen shows or says.
fn sentences() -> BTreeSet<String> {
    // The last two are the heads that the desk and the planner give first.
    let mut all: BTreeSet<String> = [SIP, EFFORT, "Talk", "Check-in"].map(str::to_owned).into();
    for drill in crate::common::library().drills() {
        all.insert(drill.name.to_string());
        all.insert(drill.purpose.to_string());
        all.extend(drill.cautions.iter().map(ToString::to_string));
        all.extend(drill.easier.as_ref().map(|form| form.what.to_string()));
        let content = |change| LiveStep::alone(Step::of_drill(drill, &change, Vec::new()).unwrap()).content();
        let usual = content(Default::default());
        let content = content(drill_change());
        all.extend(content.sides.iter().filter_map(|side| side.name.as_ref().map(ToString::to_string)));
        let timelines = usual.forms.iter().map(|form| &form.timeline).chain([&content.timeline]);
        all.extend(timelines.flat_map(|timeline| &timeline.spans).map(|span| span.cue.to_string()));
    }
    for (_, path, text) in crate::common::files("plans") {
        let plan = draft::read_plan(Source::new(&path, &text), crate::common::library()).unwrap();
        let is_theme =
            |step: &Step| step.clues().is_some_and(|set| set.theme.as_str() == step.title.as_str());
        let own = plan.steps.iter().filter(|step| !is_theme(step));
        all.extend(own.map(|step| step.title.to_string()));
    }
    all
}

fn drill_change() -> samebreath_core::drill::dose::DoseChange {
    samebreath_core::drill::dose::DoseChange { sets: Some(2), reps: Some(2), ..Default::default() }
}

#[test]
fn every_language_has_every_sentence_and_no_other() {
    let own = sentences();
    assert!(own.len() > 250, "{} sentences", own.len());
    let languages = languages();
    assert_eq!(languages.iter().map(|(tag, _)| tag.as_str()).collect::<Vec<_>>(), ["es"]);
    for (tag, language) in &languages {
        let missing: Vec<_> = own.iter().filter(|sentence| !language.has(sentence)).collect();
        assert!(missing.is_empty(), "{tag} lacks {missing:#?}");
        let stale: Vec<_> = language.sentences().filter(|sentence| !own.contains(*sentence)).collect();
        assert!(stale.is_empty(), "{tag} has what the library does not: {stale:#?}");
    }
}

#[test]
fn a_drill_is_said_whole_in_another_language() {
    let (_, es) = languages().remove(0);
    for drill in crate::common::library().drills() {
        let step = Step::of_drill(drill, &drill_change(), Vec::new()).unwrap();
        let own = LiveStep::alone(step).content();
        let said = own.clone().said_in(&es);
        assert_ne!(said.title, own.title);
        assert_eq!(said.timeline.total_ms, own.timeline.total_ms, "the clock is the same");
        let all = |content: &Content| {
            let forms = content.forms.iter().flat_map(|form| form.timeline.spans.clone());
            content.timeline.spans.iter().cloned().chain(forms).collect::<Vec<_>>()
        };
        for (own, said) in all(&own).iter().zip(&all(&said)) {
            assert_ne!(own.cue, said.cue, "{}", drill.name);
            assert_eq!((own.start_ms, own.len_ms, own.phase), (said.start_ms, said.len_ms, said.phase));
        }
    }
}

#[test]
fn a_wrong_file_says_where_and_an_unknown_sentence_stays_as_it_is() {
    let wrong = |text: &str| language::read(Source::new("xx.toml", text)).unwrap_err().to_string();
    assert_eq!(wrong("\"Rest.\" = \"a\"\n\"In.\" = 3\n"), "xx.toml:2: `In.` must be a text in quotes");
    assert_eq!(wrong("\"Rest.\" = \"\"\n"), "xx.toml:1: the text is empty; write at least one character");
    let short = language::read(Source::new("xx.toml", "\"Rest.\" = \"far too long for a name\"\n")).unwrap();
    let rest: samebreath_core::text::Line<10> = "Rest.".try_into().unwrap();
    assert_eq!(short.say(&rest), rest, "what does not fit stays in the own language");
}

#[test]
fn every_round_has_its_like_in_every_language() {
    let tags: Vec<String> = languages().into_iter().map(|(tag, _)| tag).collect();
    for set in crate::common::library().clue_sets() {
        let also: Vec<&str> = set.also.iter().map(|other| other.language.as_str()).collect();
        assert_eq!(also, tags, "{}", set.id);
        for other in &set.also {
            assert_ne!(other.theme, set.theme);
            for (number, (own, words)) in (1..).zip(set.clues.iter().zip(&other.clues)) {
                let at = format!("{}, clue {number}", other.id);
                assert_ne!(own.clue, words.clue, "{at}");
                assert_eq!(own.because.is_some(), words.because.is_some(), "{at}");
                assert_eq!(own.hints.is_empty(), words.hints.is_empty(), "{at}");
                let one = words.answer.as_str().split(',').next().unwrap();
                assert_eq!(set.hear(number, one), Verdict::Right, "{at}: either will do");
            }
        }
    }
}

#[test]
fn a_round_keeps_to_the_same_clues_and_its_head_in_each_language() {
    let library = crate::common::library();
    let request = StepRequest::Clues {
        set: "toolbox".try_into().unwrap(),
        only: vec![3, 1],
        minutes: Minutes::whole(5).unwrap(),
    };
    let step = Step::of_request(&request, library).unwrap();
    let set = step.clues().unwrap();
    let es = "es".try_into().unwrap();
    let answers: Vec<&str> =
        set.in_language(Some(&es)).clues.iter().map(|clue| clue.answer.as_str()).collect();
    assert_eq!(answers, ["destornillador", "martillo"]);
    assert_eq!(set.in_language(Some(&"de".try_into().unwrap())).clues, set.clues);
    assert_eq!(set.hear(2, "un martillo"), Verdict::Right);
    assert_eq!(set.hear(2, "destornillador"), Verdict::Other, "the answer to another clue");
    let live = LiveStep::alone(step.clone());
    assert_eq!(live.content_in(Some(&es)).title.as_str(), "La caja de herramientas");
    assert_eq!(live.content_in(None).title.as_str(), "The toolbox");
    let renamed = Step { title: "For Ben".try_into().unwrap(), ..step };
    assert_eq!(
        LiveStep::alone(renamed).content_in(Some(&es)).title.as_str(),
        "For Ben",
        "a head of one's own"
    );
}

#[test]
fn the_last_hint_comes_with_the_last_in_every_language() {
    let text = "theme = \"x\"\n[[clue]]\ntext = \"x\"\nanswer = \"y\"\nhints = [\"1\", \"2\", \"3\"]\n";
    let clue = clue::read("x", Source::new("x.toml", text)).unwrap().clues.remove(0);
    let shown = |shown, of| clue.hints_at(shown, of).iter().map(ToString::to_string).collect::<String>();
    // Where the other language has more.
    assert_eq!((0..=5).map(|n| shown(n, 5)).collect::<Vec<_>>(), ["", "1", "12", "12", "12", "123"]);
    // Where it has fewer.
    assert_eq!((0..=2).map(|n| shown(n, 2)).collect::<Vec<_>>(), ["", "1", "123"]);
    assert_eq!(shown(0, 0), "", "a round without hints shows none");
}

#[test]
fn a_translation_that_does_not_go_with_its_round_is_refused() {
    let mut library = Library::default();
    let mut add = |id: &str, text: &str| {
        let set = clue::read(id, Source::new(&format!("{id}.toml"), text)).map_err(|e| e.to_string())?;
        library.add_clue_set(set)
    };
    let one = "theme = \"x\"\n[[clue]]\ntext = \"a\"\nanswer = \"b\"\n";
    assert_eq!(add("tools", one), Ok(()));
    assert_eq!(add("tools.es", one), Ok(()));
    let refused = |result: Result<(), String>, why: &str| assert_eq!(result.unwrap_err(), why);
    refused(add("tool.es", one), "there is no clue set called `tool`; did you mean `tools`?");
    refused(add("tools.en", one), "`tools.en` is in `en`, and so is `tools` itself");
    let two = format!("{one}[[clue]]\ntext = \"c\"\nanswer = \"d\"\n");
    refused(add("tools.es", &two), "`tools.es` has 2 clues, but `tools` has 1; both need the same clues");
    let other = format!("game = \"saying\"\n{one}");
    refused(add("tools.es", &other), "`tools.es` is another game than `tools`; give it the same");
    let unlike = format!("language = \"fr\"\n{one}");
    let why = "tools.es.toml:1: `language` is `fr`, but the file's name says `es`; make them the same";
    refused(add("tools.es", &unlike), why);
    let why = "tools.fr.toml:2: this clue needs `hints`: the usual ones are known in `en` and `es` only";
    refused(add("tools.fr", one), why);
    let why = "tools.2026.toml:1: `2026` in the file's name is not a language; a translation's name ends in one, such as `.es`";
    refused(add("tools.2026", one), why);
    let own = format!("{one}hints = [\"h\"]\n");
    assert_eq!(add("tools.fr", &own), Ok(()));
}
