//! The hint ladder: a second clue, number of letters, first letter, first part, choice of two.
//!
//! A first syllable helped younger and young-old people to find a word, but not the oldest (White and
//! Abrams 2002, Psychol Aging; authors from memory), so a choice of two ends the ladder.

use crate::clue::{Clue, Game};
use crate::text::Line;

/// The words of the hints in one language, placed before and after what each hint is about.
pub(super) struct Phrases {
    words: &'static str,
    and: &'static str,
    letters: &'static str,
    letter: &'static str,
    part: &'static str,
    /// Before, between and after the two words of the choice.
    choice: [&'static str; 3],
    /// The word between them when the second one begins with one of the sounds below: Spanish has `u` before an o.
    or_before_its_sound: &'static str,
    its_sound: &'static [&'static str],
}

const EN: Phrases = Phrases {
    words: "words",
    and: "and",
    letters: "letters",
    letter: "It starts with",
    part: "It begins like this:",
    choice: ["", "or", "?"],
    or_before_its_sound: "or",
    its_sound: &[],
};

const ES: Phrases = Phrases {
    words: "palabras",
    and: "y",
    letters: "letras",
    letter: "Empieza por",
    part: "Empieza así:",
    choice: ["¿", "o", "?"],
    or_before_its_sound: "u",
    its_sound: &["o", "ó", "ho"],
};

/// The languages that have a hint ladder.
pub(super) const LANGUAGES: [&str; 2] = ["en", "es"];

/// The phrases of a language, by its BCP 47 tag; the region does not matter.
pub(super) fn phrases(tag: &str) -> Option<&'static Phrases> {
    match tag.split('-').next() {
        Some("en") => Some(&EN),
        Some("es") => Some(&ES),
        _ => None,
    }
}

/// The ladder of a clue whose file gives no hints of its own.
pub(super) fn ladder(
    game: Game,
    clue: &Clue,
    more: Option<&str>,
    starts: Option<&str>,
    phrases: &Phrases,
) -> Vec<Line<120>> {
    let answer = clue.answer.as_str();
    let choice = clue.other.as_ref().map(|other| phrases.choice(answer, other.as_str()));
    let (more, letters) = (more.map(str::to_owned), Some(phrases.letters(answer)));
    let texts = match game {
        Game::Category => Vec::new(),
        // A letter would steer to one word, where any good reason is right.
        Game::OddOneOut => vec![more],
        Game::Saying | Game::GoesTogether => vec![more, letters, phrases.letter(answer), choice],
        Game::Clue | Game::Origin => {
            let part = starts.map(|starts| format!("{} {starts}...", phrases.part));
            vec![more, letters, phrases.letter(answer), part, choice]
        }
    };
    texts.into_iter().flatten().filter_map(|text| Line::try_from(text).ok()).collect()
}

/// What a ladder was made of besides the clue itself.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Parts {
    /// The second clue.
    pub more: Option<String>,
    /// The first part of the answer.
    pub starts: Option<String>,
}

/// The parts from which the hints of a clue were made; `None` where they are not the usual ladder.
pub(super) fn parts(game: Game, clue: &Clue, phrases: &Phrases) -> Option<Parts> {
    let starts = clue.hints.iter().find_map(|hint| phrases.beginning(hint)).map(str::to_owned);
    let first = clue.hints.first().map(ToString::to_string);
    let is_made = |Parts { more, starts }: &Parts| {
        ladder(game, clue, more.as_deref(), starts.as_deref(), phrases) == clue.hints
    };
    let parts = [None, first].map(|more| Parts { more, starts: starts.clone() });
    parts.into_iter().find(is_made)
}

/// What the hints that are `shown` say about the letters of the answer: a place for each letter, `_` where it is not
/// known yet, with a space between words; `None` until their number is known.
pub(super) fn letters_known(answer: &str, shown: &[Line<120>], phrases: &Phrases) -> Option<String> {
    let says = |hint: &str| shown.iter().any(|one| one.as_str() == hint);
    if !says(&phrases.letters(answer)) {
        return None;
    }
    let begins = shown.iter().find_map(|hint| phrases.beginning(hint));
    let known = match begins {
        Some(starts) => starts.chars().count(),
        None => usize::from(phrases.letter(answer).is_some_and(|hint| says(&hint))),
    };
    let place = |(at, letter): (usize, char)| match letter {
        ' ' | '-' => ' ',
        _ if at < known || !letter.is_alphanumeric() => letter,
        _ => '_',
    };
    Some(answer.chars().enumerate().map(place).collect())
}

impl Phrases {
    /// The first part of the answer, where this hint gives it.
    fn beginning<'h>(&self, hint: &'h Line<120>) -> Option<&'h str> {
        hint.as_str().strip_prefix(self.part)?.trim().strip_suffix("...")
    }

    fn letters(&self, answer: &str) -> String {
        let words: Vec<usize> = answer
            .split([' ', '-'])
            .map(|word| word.chars().filter(|c| c.is_alphanumeric()).count())
            .filter(|n| *n > 0)
            .collect();
        let Self { words: many_words, letters, and, .. } = self;
        match words[..] {
            [one] => format!("{one} {letters}"),
            _ => {
                let each: Vec<_> = words.iter().map(usize::to_string).collect();
                let (last, before) =
                    each.split_last().map_or(("", each.as_slice()), |(l, b)| (l.as_str(), b));
                format!("{} {many_words}: {} {and} {last} {letters}", words.len(), before.join(", "))
            }
        }
    }

    fn letter(&self, answer: &str) -> Option<String> {
        answer.chars().next().map(|first| format!("{} {}", self.letter, first.to_uppercase()))
    }

    /// Both words in alphabetical order, so that their order does not give the answer away.
    fn choice(&self, answer: &str, other: &str) -> String {
        let (first, second) = if answer < other { (answer, other) } else { (other, answer) };
        let mut letters = first.chars();
        let head = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
        let [open, or, close] = self.choice;
        let sounds_alike = self.its_sound.iter().any(|sound| second.starts_with(sound));
        let or = if sounds_alike { self.or_before_its_sound } else { or };
        format!("{open}{head}{} {or} {second}{close}", letters.as_str())
    }
}
