//! Rounds of the word game that somebody writes in the planner.

use samebreath_core::clue::written::{self, Flaw, WrittenClue, WrittenRound};
use samebreath_core::clue::{Game, Verdict};
use samebreath_core::versioned::Document;
use uuid::Uuid;

/// A round with one finished clue, as it is written in the planner.
fn written() -> WrittenRound {
    let clue = WrittenClue {
        clue: "It turns, and ships see it at night.".to_owned(),
        answer: "lighthouse".to_owned(),
        accept: vec!["beacon".to_owned(), " ".to_owned()],
        other: "windmill".to_owned(),
        starts: "light".to_owned(),
        ..WrittenClue::default()
    };
    let [theme, language] = ["By the harbour", "en"];
    WrittenRound {
        theme: theme.try_into().unwrap(),
        game: Game::Clue,
        language: language.try_into().unwrap(),
        counter_ms: None,
        clues: vec![clue],
    }
}

#[test]
fn every_round_of_the_library_can_be_copied_to_be_changed_and_is_the_same_round_then() {
    for set in crate::common::library().clue_sets().flat_map(|set| std::iter::once(set).chain(&set.also)) {
        let written = WrittenRound::of(set);
        assert_eq!(written.check(), Ok(()), "{}", set.id);
        let made = written.set(Uuid::nil()).unwrap();
        assert_eq!((&made.clues, &made.theme, made.game), (&set.clues, &set.theme, set.game), "{}", set.id);
        // No clue of the library has hints that would be wrong once its answer is changed.
        assert!(written.clues.iter().all(|clue| clue.hints.is_empty()), "{}", set.id);
    }
}

#[test]
fn a_written_round_is_played_when_nothing_is_missing_and_says_what_is() {
    let round = written();
    assert_eq!(round.unfinished(), []);
    let set = round.set(Uuid::nil()).unwrap();
    assert_eq!(set.clues[0].hints.len(), 4);
    assert_eq!(set.clues[0].accept.len(), 1, "an empty field is no answer");
    let flaw = |change: &dyn Fn(&mut WrittenRound)| {
        let mut round = written();
        change(&mut round);
        assert_eq!(round.check(), Ok(()), "what is unfinished can still be saved");
        (
            round.unfinished().into_iter().map(|one| (one.clue, one.what)).collect::<Vec<_>>(),
            round.set(Uuid::nil()).err(),
        )
    };
    let (found, why) = flaw(&|round| round.clues.clear());
    assert_eq!(found, [(None, Flaw::NoClues)]);
    assert_eq!(why.unwrap(), "the round `By the harbour` is not finished: it needs at least one clue");
    assert_eq!(flaw(&|round| round.clues[0].clue.clear()).0, [(Some(1), Flaw::NoClue)]);
    assert_eq!(flaw(&|round| round.clues[0].answer = "  ".to_owned()).0, [(Some(1), Flaw::NoAnswer)]);
    for starts in ["night", "lighthouse", "Lighthouse", "l"] {
        assert_eq!(
            flaw(&|round| round.clues[0].starts = starts.to_owned()).0,
            [(Some(1), Flaw::NotTheBeginning)]
        );
    }
    assert_eq!(flaw(&|round| round.clues[0].starts = "Light".to_owned()).0, [], "however it is written");
    for other in ["beacon", "a Beacon", "Light-House"] {
        let found = flaw(&|round| round.clues[0].other = other.to_owned()).0;
        assert_eq!(found, [(Some(1), Flaw::ChoiceIsRight)], "{other}");
    }
    assert_eq!(flaw(&|round| round.language = "fr".try_into().unwrap()).0, [(Some(1), Flaw::NoHints)]);
    // What only another game asks for is in nobody's way.
    let other_game = |game| {
        flaw(&|round| {
            (round.game, round.clues[0].starts, round.clues[0].other) =
                (game, "night".to_owned(), "beacon".to_owned());
        })
    };
    assert_eq!(other_game(Game::OddOneOut).0, []);
    assert_eq!(other_game(Game::Category).0, []);
    assert_eq!(other_game(Game::Saying).0, [(Some(1), Flaw::ChoiceIsRight)]);
    let (found, why) = flaw(&|round| {
        let again = WrittenClue { answer: "Light-House".to_owned(), ..round.clues[0].clone() };
        round.clues.push(again);
    });
    assert_eq!(found, [(Some(2), Flaw::SameAnswer { as_clue: 1 })]);
    assert_eq!(
        why.unwrap(),
        "the round `By the harbour` is not finished: clue 2 has the same answer as clue 1"
    );
    // What could never be played is refused at once, with its place.
    let mut long = written();
    long.clues.push(WrittenClue { answer: "x".repeat(61), ..WrittenClue::default() });
    assert_eq!(
        long.check().unwrap_err(),
        "clue 2: the answer: the text has 61 characters; at most 60 are allowed"
    );
}

#[test]
fn answers_are_tried_while_a_round_is_written() {
    let mut round = written();
    round.clues.insert(0, WrittenClue::default());
    round.clues.push(WrittenClue {
        clue: "It floats and rings.".to_owned(),
        answer: "buoy".to_owned(),
        ..WrittenClue::default()
    });
    let hear = |said: [&str; 3]| round.hear(&said.map(str::to_owned));
    assert_eq!(
        hear(["lighthouse", "the Light House", "bouy"]),
        [None, Some(Verdict::Right), Some(Verdict::Right)]
    );
    assert_eq!(hear(["", "windmill", "lighthouse"]), [None, Some(Verdict::Other), Some(Verdict::Other)]);
    assert_eq!(round.hear(&[]), [None, None, None]);
    let hints = round.hints();
    assert_eq!(hints[0], Vec::<String>::new());
    assert_eq!(
        hints[1],
        ["10 letters", "It starts with L", "It begins like this: light...", "Lighthouse or windmill?"]
    );
}

#[test]
fn a_plan_with_a_round_that_is_not_finished_says_so_and_no_group_gets_anothers_round_by_itself() {
    let id = Uuid::from_u128(7);
    let mut library = crate::common::library().clone();
    library.add_written(id, &written());
    let set = written::set_id(id);
    assert_eq!(library.clue_set(set.as_str()).unwrap().theme.as_str(), "By the harbour");
    assert_eq!(written::round_of(set.as_str()), Some(id));
    let mut unfinished = written();
    unfinished.clues[0].answer.clear();
    let mut library = crate::common::library().clone();
    library.add_written(id, &unfinished);
    let why = library.clue_set(set.as_str()).unwrap_err();
    assert_eq!(why, "the round `By the harbour` is not finished: clue 1 has no answer");
    let gone = crate::common::library().clue_set(set.as_str()).unwrap_err();
    assert!(gone.starts_with("the round that was written for this step is not here"), "{gone}");
}

#[test]
fn the_letters_of_an_answer_are_known_as_far_as_the_hints_that_are_shown_tell_them() {
    let library = crate::common::library();
    let known = |set: &str, language: &str, answer: &str| {
        let set = library.clue_set(set).unwrap().in_language(Some(&language.try_into().unwrap()));
        let clue = set.clues.iter().find(|clue| clue.answer.as_str() == answer).unwrap();
        let shown =
            |many| clue.letters_known(&clue.hints[..many], &set.language).map(|letters| letters.to_string());
        (0..=clue.hints.len()).map(shown).collect::<Vec<_>>()
    };
    let some = |text: &str| Some(text.to_owned());
    // A second clue, the number of letters, the first one, the first part, one or the other.
    assert_eq!(
        known("toolbox", "en", "hammer"),
        [None, None, some("______"), some("h_____"), some("ham___"), some("ham___")]
    );
    assert_eq!(known("toolbox", "en", "spirit level")[2..4], [some("______ _____"), some("s_____ _____")]);
    assert_eq!(known("toolbox", "es", "martillo")[4], some("mar_____"));
    // A digit is as secret as a letter.
    let mut round = written();
    round.clues[0] = WrittenClue {
        clue: "A day has so many.".to_owned(),
        answer: "24 hours".to_owned(),
        ..WrittenClue::default()
    };
    let set = round.set(Uuid::nil()).unwrap();
    assert_eq!(set.clues[0].hints[0].as_str(), "2 words: 2 and 5 letters");
    let shown = |many: usize| {
        set.clues[0].letters_known(&set.clues[0].hints[..many], &set.language).unwrap().to_string()
    };
    assert_eq!([shown(1), shown(2)], ["__ _____", "2_ _____"]);
    // Where letters would steer to one word, none are given.
    let odd = library.clue_sets().find(|set| set.game == Game::OddOneOut).unwrap();
    assert!(odd.clues.iter().all(|clue| clue.letters_known(&clue.hints, &odd.language).is_none()));
}
