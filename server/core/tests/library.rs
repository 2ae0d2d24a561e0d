//! The library's files against their published format: JSON Schema draft 2020-12, checked by a
//! general-purpose validator.
#![allow(clippy::unwrap_used, missing_docs, reason = "a test file")]

mod common;

use std::fs;

use jsonschema::Validator;
use samebreath_core::drill::{self, Setting, Trust};
use samebreath_core::file::Source;
use serde_json::Value;

fn validator(schema: &str) -> Validator {
    jsonschema::validator_for(&serde_json::from_str(schema).unwrap()).unwrap()
}

fn as_json(text: &str) -> Value {
    serde_json::to_value(toml::from_str::<toml::Table>(text).unwrap()).unwrap()
}

#[test]
fn every_drill_file_fits_the_schema() {
    let schema = validator(include_str!("../../drills/drill.schema.json"));
    let files = common::files("drills");
    assert_eq!(files.len(), 50, "46 class shapes and 4 of common practice");
    for (id, _, text) in files {
        let wrong: Vec<_> = schema.iter_errors(&as_json(&text)).map(|e| e.to_string()).collect();
        assert!(wrong.is_empty(), "{id}: {wrong:?}");
    }
}

#[test]
fn the_schema_and_the_reader_refuse_the_same_mistakes() {
    let schema = validator(include_str!("../../drills/drill.schema.json"));
    let good =
        fs::read_to_string(format!("{}/../drills/strong-ah.toml", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let refused = |from: &str, to: &str| {
        let text = good.replacen(from, to, 1);
        assert_ne!(text, good, "{from} is not in the file");
        assert!(!schema.is_valid(&as_json(&text)), "the schema lets pass: {to}");
        assert!(drill::read("x", Source::new("x.toml", &text)).is_err(), "the reader lets pass: {to}");
    };
    refused("family = \"voice\"", "family = \"song\"");
    refused("pose = ", "posture = ");
    refused("reps = 6", "reps = 0");
    refused("reps = 6", "reps = 101");
    refused("kind = \"hold\"", "kind = \"hang\"");
    refused("seconds = 10", "seconds = 0.25");
    refused("seconds = 10", "seconds = { floor = 5, target = 10 }");
    refused("seconds = 10", "seconds = 10\nfirm_last = 3");
    refused("trust = \"memory\"", "trust = \"memory\"\nat = \"a place\"");
    refused("trust = \"seen\"", "trust = \"heard\"");
    refused("easier = \"Hold for 5 in an easy voice.\"", "easier = \"\"");
    refused("[usual]", "[usual]\nrest = [1, 2]");
}

#[test]
fn a_drill_says_what_is_weak_where_it_is_so() {
    let library = common::library();
    // The sources of these say it: tongue-hold, effortful swallow, neck stretches, head lift, trainer, glide.
    for id in [
        "tongue-hold-swallow",
        "effortful-swallow",
        "look-over-shoulder",
        "ear-to-shoulder",
        "nod-down",
        "neck-five",
        "head-lift-hold",
        "trainer-breaths",
        "glide-up",
        "word-from-clue",
    ] {
        assert!(library.drill(id).unwrap().evidence.is_some(), "{id}");
    }
    let home: Vec<_> = library.drills().filter(|d| d.place == Setting::Home).map(|d| d.id.as_str()).collect();
    assert_eq!(home, ["head-lift-hold", "head-lift-short"], "never live on camera");
}

#[test]
fn every_drill_has_what_a_class_needs() {
    for drill in common::library().drills() {
        assert!(drill.easier.is_some(), "{} needs an easier form", drill.id);
        assert!(!drill.cautions.is_empty(), "{} needs a caution", drill.id);
        assert!(!drill.sources.is_empty(), "{} needs a source", drill.id);
        let seen = drill.sources.iter().all(|source| (source.trust == Trust::Seen) == source.at.is_some());
        assert!(seen, "{}: what was seen has a place, and only that", drill.id);
        if drill.family.is_swallow() {
            let first = drill.cautions.first().unwrap().as_str();
            assert!(first.contains("nothing in your mouth"), "{}: {first}", drill.id);
        }
    }
}
