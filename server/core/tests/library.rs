//! The library's files against their published format: JSON Schema draft 2020-12, checked by a
//! general-purpose validator.

use std::fs;

use jsonschema::Validator;
use samebreath_core::clue::{self, ClueSet, Game, Verdict};
use samebreath_core::drill::{self, Phase, Setting, Trust};
use samebreath_core::file::Source;
use samebreath_core::plan::timeline;
use serde_json::Value;
use unicode_normalization::UnicodeNormalization;

fn validator(schema: &str) -> Validator {
    jsonschema::validator_for(&serde_json::from_str(schema).unwrap()).unwrap()
}

fn as_json(text: &str) -> Value {
    serde_json::to_value(toml::from_str::<toml::Table>(text).unwrap()).unwrap()
}

#[test]
fn every_drill_file_fits_the_schema() {
    let schema = validator(include_str!("../../drills/drill.schema.json"));
    let files = crate::common::files("drills");
    assert_eq!(files.len(), 51, "46 class shapes and 5 of common practice");
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
    refused("what = \"Hold for 5 in an easy voice.\"", "what = \"\"");
    refused("[easier]\n", "[easier]\npace = \"fast\"\n");
    refused("[easier]\n", "[easier]\nreps = 0\n");
    refused("[usual]", "[usual]\nrest = [1, 2]");
}

/// 140 words a minute (rate from memory), and never less than the notice that people with Parkinson's need.
#[test]
fn what_stands_on_the_screen_while_people_get_ready_can_be_read() {
    for drill in crate::common::library().drills() {
        let words = |text: &str| text.split_whitespace().count();
        let read =
            words("Get ready.") + words(drill.cautions[0].as_str()) + words(drill.phases[0].cue.as_str());
        let mouth = if drill.family.is_swallow() { words("Nothing in your mouth. Saliva only.") } else { 0 };
        let away = if drill.eyes_away { words("Look away if you like. The tones guide you.") } else { 0 };
        let ready_ms = timeline::compile_drill(drill, &drill.dose, &[]).ready_ms;
        let pace = (read + mouth + away) as f64 * 60_000.0 / ready_ms as f64;
        assert!(
            pace <= 140.0 && ready_ms >= 5_000,
            "{}: {pace:.0} words a minute in {ready_ms} ms",
            drill.id
        );
    }
}

#[test]
fn a_drill_says_what_is_weak_where_it_is_so() {
    let library = crate::common::library();
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
    for drill in crate::common::library().drills() {
        assert!(drill.easier.is_some(), "{} needs an easier form", drill.id);
        assert!(!drill.cautions.is_empty(), "{} needs a caution", drill.id);
        assert!(!drill.sources.is_empty(), "{} needs a source", drill.id);
        let seen = drill.sources.iter().all(|source| (source.trust == Trust::Seen) == source.at.is_some());
        assert!(seen, "{}: what was seen has a place, and only that", drill.id);
        if drill.family.is_swallow() {
            let says = |words| drill.cautions.iter().any(|caution| caution.as_str().contains(words));
            assert!(says("nothing in your mouth"), "{}", drill.id);
            let sips = drill.phases.iter().any(|phase| phase.phase == Phase::Sip);
            assert!(!sips, "{}: no sip between dry swallows", drill.id);
        }
        // The first caution stays on the class screen through the drill.
        let stop = drill.cautions.iter().position(|caution| caution.as_str().starts_with("Stop"));
        assert!(stop.is_none_or(|at| at == 0), "{}: the stop rule comes first", drill.id);
    }
}

#[test]
fn every_clue_file_fits_the_schema() {
    let schema = validator(include_str!("../../clues/clues.schema.json"));
    let files = crate::common::files("clues");
    assert!(files.len() >= 2 * 56, "a year of classes, in two languages");
    for (id, _, text) in files {
        let wrong: Vec<_> = schema.iter_errors(&as_json(&text)).map(|e| e.to_string()).collect();
        assert!(wrong.is_empty(), "{id}: {wrong:?}");
    }
    let bad = |text: &str| assert!(!schema.is_valid(&as_json(text)), "{text}");
    bad("theme = \"x\"");
    bad("theme = \"x\"\n[[clue]]\ntext = \"x\"");
    bad("theme = \"x\"\ngame = \"chess\"\n[[clue]]\ntext = \"x\"\nanswer = \"y\"");
    bad("theme = \"x\"\n[[clue]]\ntext = \"x\"\nanswer = \"y\"\nlevel = 4");
    bad("theme = \"x\"\n[[clue]]\ntext = \"x\"\nanswer = \"y\"\npoints = 4");
}

#[test]
fn every_shipped_round_is_fair() {
    let library = crate::common::library();
    let many = |game| library.clue_sets().filter(|set| set.game == game).count();
    assert!(many(Game::Clue) >= 28, "{} rounds of words", many(Game::Clue));
    for game in [Game::Saying, Game::OddOneOut, Game::GoesTogether, Game::Category, Game::Origin] {
        assert!(many(game) >= 5, "{} rounds of {game:?}", many(game));
    }
    library.clue_sets().for_each(fair);
}

#[test]
fn every_round_is_fair_in_the_words_of_each_region() {
    for region in ["en-us", "es-mx"] {
        let (library, base) = (crate::common::library_of(region), crate::common::library());
        let changed = library.clue_sets().filter(|set| base.clue_set(set.id.as_str()) != Ok(*set));
        let files = crate::common::files(&format!("regions/{region}")).len();
        assert_eq!(changed.inspect(|set| fair(set)).count(), files, "{region}: each file changes something");
    }
}

#[test]
fn the_files_of_the_regions_fit_their_schema_and_a_wrong_one_is_refused() {
    let schema = validator(include_str!("../../regions/region.schema.json"));
    for region in ["en-us", "es-mx"] {
        let files = crate::common::files(&format!("regions/{region}"));
        assert!(files.len() >= 20, "{region}: {} files", files.len());
        for (id, _, text) in files {
            let wrong: Vec<_> = schema.iter_errors(&as_json(&text)).map(|e| e.to_string()).collect();
            assert!(wrong.is_empty(), "{region}, {id}: {wrong:?}");
        }
    }
    let library = crate::common::library();
    let kitchen = library.clue_set("kitchen").unwrap();
    let wrong = |text: &str| clue::overlay(kitchen, Source::new("x.toml", text)).unwrap_err().to_string();
    let clue = "[[clue]]\ntext = \"x\"\nanswer = \"fridge\"\n";
    assert_eq!(wrong(clue), "x.toml:1: this clue needs `number`");
    let of = |number: u32| format!("{clue}number = {number}\n");
    assert_eq!(wrong(&of(13)), "x.toml:4: `kitchen` has no clue 13; its clues are 1 to 12");
    assert_eq!(wrong(&of(1)), "x.toml:1: the answer `fridge` would come twice in `kitchen`");
}

/// Each clue of a round, in each of its languages.
fn fair(round: &ClueSet) {
    for set in std::iter::once(round).chain(&round.also) {
        assert!(set.clues.len() >= 12, "{}", set.id);
        for (number, clue) in (1..).zip(&set.clues) {
            let at = format!("{}, clue {number}", set.id);
            if set.game == Game::Category {
                let last = clue.accept.iter().rev().take(4).map(|word| word.as_str());
                for word in last.chain(clue.answer.as_str().split(',')) {
                    assert_eq!(set.hear(number, word), Verdict::Right, "{at}: {word}");
                }
                assert!(clue.accept.len() >= 40, "{at}: a list of {}", clue.accept.len());
                assert_eq!(set.hear(number, "philosophy"), Verdict::Unlisted, "{at}: the group judges");
                continue;
            }
            if set.game == Game::OddOneOut {
                for word in clue.clue.as_str().split(',') {
                    assert_eq!(set.hear(number, word), Verdict::Right, "{at}: any good reason is right");
                }
                assert_eq!(set.hear(number, "marmalade"), Verdict::Other, "{at}");
                let named = |word: &str| clue.clue.as_str().to_lowercase().split(", ").any(|one| one == word);
                assert!(named(&clue.answer.as_str().to_lowercase()), "{at}: the answer is one of them");
                let [hint] = &clue.hints[..] else { panic!("{at}: one hint") };
                let gives = clue.clue.as_str().to_lowercase();
                let mut words = hint.as_str().split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase);
                assert!(!words.any(|word| gives.split(", ").any(|one| one == word)), "{at}: {hint}");
                continue;
            }
            assert_eq!(set.hear(number, clue.answer.as_str()), Verdict::Right, "{at}");
            for accept in &clue.accept {
                assert_eq!(set.hear(number, accept.as_str()), Verdict::Right, "{at}: {accept}");
            }
            if let Some(other) = &clue.other {
                let words = |line: &str| line.split([' ', '-']).count();
                let same = words(other.as_str()) == words(clue.answer.as_str());
                assert!(same, "{at}: the number of words, told before, rules `{other}` out");
                assert_eq!(set.hear(number, other.as_str()), Verdict::Other, "{at}: the wrong one of two");
            }
            // Nothing gives the word away before the choice of two.
            {
                let told = std::iter::once(clue.clue.as_str())
                    .chain(clue.hints.iter().rev().skip(1).map(|h| h.as_str()));
                for text in told {
                    let words = text.to_lowercase();
                    let given =
                        words.split(|c: char| !c.is_alphanumeric()).any(|word| word == clue.answer.as_str());
                    assert!(!given, "{at} gives `{}` away in: {text}", clue.answer);
                }
            }
            for (other, elsewhere) in (1..).zip(&set.clues) {
                if other != number && elsewhere.answer != clue.answer && set.game != Game::OddOneOut {
                    assert_eq!(
                        set.hear(number, elsewhere.answer.as_str()),
                        Verdict::Other,
                        "{at}: {}",
                        elsewhere.answer
                    );
                }
            }
        }
    }
}

proptest::proptest! {
    /// The edit distance behind the comparison agrees with another library's (the crate `rapidfuzz`),
    /// which is written by others: optimal string alignment.
    #[test]
    fn edit_distance_agrees_with_rapidfuzz(a in "[a-eé]{0,12}", b in "[a-eé]{0,12}") {
        let theirs = rapidfuzz::distance::osa::distance(a.chars(), b.chars());
        proptest::prop_assert_eq!(strsim::osa_distance(&a, &b), theirs);
    }

    /// One slip of the fingers in a word of more than four letters is forgiven, wherever it is.
    #[test]
    fn one_slip_is_forgiven(set in 0_usize..28, clue in 0_usize..12, at in 0_usize..20, slip in 0_u8..4) {
        let set = crate::common::library().clue_sets().filter(|set| set.game == Game::Clue).nth(set).unwrap();
        let answer: Vec<char> = set.clues[clue].answer.as_str().chars().collect();
        proptest::prop_assume!(answer.iter().filter(|c| c.is_alphabetic()).count() > 4);
        let at = at % answer.len();
        let mut said = answer.clone();
        match slip {
            0 => said.insert(at, 'q'),
            1 => said[at] = 'q',
            2 => drop(said.remove(at)),
            _ => said.swap(at, (at + 1) % answer.len().max(1)),
        }
        proptest::prop_assume!(slip != 3 || at + 1 < answer.len());
        let said: String = said.into_iter().collect();
        let number = u32::try_from(clue).unwrap() + 1;
        // What is as near to another word of the round, in any of its languages, is not taken: "bots" for boots or
        // boats, "botos" for boots or botón.
        let plain = |text: &str| text.nfd().filter(char::is_ascii_alphabetic).collect::<String>();
        let near = |word: &str| {
            let (word, said) = (plain(word), plain(&said));
            let stems = (word.trim_end_matches('s'), said.trim_end_matches('s'));
            [(&*word, &*said), stems].iter().any(|(a, b)| {
                rapidfuzz::distance::osa::distance(a.chars(), b.chars()) <= 1
            })
        };
        let mut languages = std::iter::once(set).chain(&set.also);
        let tie = languages.any(|set| {
            set.clues.iter().enumerate().any(|(n, other)| {
                let elsewhere = std::iter::once(&other.answer).chain(&other.accept).filter(|_| n != clue);
                elsewhere.chain(other.other.iter().filter(|_| n == clue)).any(|word| near(word.as_str()))
            })
        });
        proptest::prop_assume!(!tie);
        proptest::prop_assert_eq!(set.hear(number, &said), Verdict::Right, "{}: {}", set.clues[clue].answer, said);
    }
}
