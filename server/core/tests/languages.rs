//! What participants read of the library, in every language that comes with the program.
#![allow(clippy::unwrap_used, missing_docs, reason = "a test file")]

mod common;

use std::collections::BTreeSet;

use samebreath_core::file::Source;
use samebreath_core::language::{self, Language};
use samebreath_core::live::LiveStep;
use samebreath_core::plan::{EFFORT, SIP, Step};

fn languages() -> Vec<(String, Language)> {
    let read =
        |(id, path, text): (String, String, String)| (id, language::read(Source::new(&path, &text)).unwrap());
    common::files("languages").into_iter().map(read).collect()
}

/// Everything of the library that a class screen shows or says.
fn sentences() -> BTreeSet<String> {
    let mut all: BTreeSet<String> = [SIP, EFFORT].map(str::to_owned).into();
    for drill in common::library().drills() {
        all.insert(drill.name.to_string());
        all.insert(drill.purpose.to_string());
        all.extend(drill.cautions.iter().map(ToString::to_string));
        all.extend(drill.easier.as_ref().map(ToString::to_string));
        let content = LiveStep::alone(Step::of_drill(drill, &drill_change()).unwrap()).content();
        all.extend(content.sides.iter().filter_map(|side| side.name.as_ref().map(ToString::to_string)));
        all.extend(content.timeline.spans.iter().map(|span| span.cue.to_string()));
    }
    all
}

fn drill_change() -> samebreath_core::dose::DoseChange {
    samebreath_core::dose::DoseChange { sets: Some(2), reps: Some(2), ..Default::default() }
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
    for drill in common::library().drills() {
        let step = Step::of_drill(drill, &drill_change()).unwrap();
        let own = LiveStep::alone(step).content();
        let said = es.say_content(own.clone());
        assert_ne!(said.title, own.title);
        assert_eq!(said.timeline.total_ms, own.timeline.total_ms, "the clock is the same");
        for (own, said) in own.timeline.spans.iter().zip(&said.timeline.spans) {
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
