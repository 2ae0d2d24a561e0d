//! The hint ladder: theme, number of letters, first letter, first part, choice of two.
//!
//! A first syllable helped younger and young-old people to find a word, but not the oldest (White and
//! Abrams 2002, Psychol Aging; authors from memory), so a choice of two ends the ladder.

use crate::clue::{Clue, Game};
use crate::text::Line;

/// The ladder of a clue whose file gives no hints of its own.
pub(super) fn ladder(theme: &str, game: Game, clue: &Clue, starts: Option<&str>) -> Vec<Line<120>> {
    let answer = clue.answer.as_str();
    let choice = clue.other.as_ref().map(|other| choice(answer, other.as_str()));
    let texts = match game {
        Game::Category => Vec::new(),
        Game::OddOneOut => vec![letter(answer)],
        Game::Saying | Game::GoesTogether => vec![Some(letters(answer)), letter(answer), choice],
        Game::Clue => vec![
            Some(format!("Theme: {theme}")),
            Some(letters(answer)),
            letter(answer),
            starts.map(|starts| format!("It begins like this: {starts}...")),
            choice,
        ],
    };
    texts.into_iter().flatten().filter_map(|text| Line::try_from(text).ok()).collect()
}

fn letters(answer: &str) -> String {
    let words: Vec<usize> = answer
        .split([' ', '-'])
        .map(|word| word.chars().filter(|c| c.is_alphabetic()).count())
        .filter(|n| *n > 0)
        .collect();
    match words[..] {
        [one] => format!("{one} letters"),
        _ => {
            let each: Vec<_> = words.iter().map(usize::to_string).collect();
            format!("{} words: {} letters", words.len(), each.join(" and "))
        }
    }
}

fn letter(answer: &str) -> Option<String> {
    answer.chars().next().map(|first| format!("It starts with {}", first.to_uppercase()))
}

/// Both words in the order of the alphabet, so that the place of the right one says nothing.
fn choice(answer: &str, other: &str) -> String {
    let (first, second) = if answer < other { (answer, other) } else { (other, answer) };
    let mut letters = first.chars();
    let head = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    format!("{head}{} or {second}?", letters.as_str())
}
