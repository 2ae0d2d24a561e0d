//! Compares what somebody wrote with the answer to a clue, and forgives small mistakes.
//!
//! Case, accents, articles, plurals, hyphens, spaces and small typing slips do not matter. Another answer of the
//! round, or the wrong word of a choice of two, never counts as right.

use serde::{Deserialize, Serialize};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use crate::clue::{Clue, ClueSet, Game};

/// What a written answer is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Verdict {
    /// The answer, or a word that is as good.
    Right,
    /// Something else.
    Other,
    /// A word that nobody has listed, in a game in which there are always more: the group judges.
    Unlisted,
}

/// Articles of the languages that the screens speak; only the first word of an answer is checked against them.
const ARTICLES: [&str; 12] =
    ["a", "an", "the", "some", "el", "la", "los", "las", "un", "una", "unos", "unas"];

impl ClueSet {
    /// What `said` is worth as an answer to clue `number` (from 1), in any of the round's languages.
    #[must_use]
    pub fn hear(&self, number: u32, said: &str) -> Verdict {
        let Some(index) = (number as usize).checked_sub(1) else { return Verdict::Other };
        let languages = std::iter::once(self).chain(&self.also);
        let all: Vec<(&Self, &Clue)> =
            languages.filter_map(|set| Some((set, set.clues.get(index)?))).collect();
        let clues = || all.iter().map(|(_, clue)| *clue);
        let said = Plain::of(said);
        if said.whole.is_empty() || all.is_empty() {
            return Verdict::Other;
        }
        if self.game == Game::Category {
            let listed = clues().flat_map(Clue::listed).map(Plain::of).any(|word| word.is_nearly(&said));
            return if listed { Verdict::Right } else { Verdict::Unlisted };
        }
        if self.game == Game::OddOneOut {
            // Any good reason is right, so each word that the clue names may be the odd one out.
            let named = clues().flat_map(Clue::named).map(Plain::of).any(|word| word.is_nearly(&said));
            return if named { Verdict::Right } else { Verdict::Other };
        }
        let right = clues().flat_map(Clue::right).map(Plain::of).map(|word| word.distance(&said)).min();
        let is_same = right.is_some_and(|(_, whole)| whole == 0);
        let others = all.iter().flat_map(|(set, clue)| set.others(clue));
        let wrong = others.map(Plain::of).map(|word| word.distance(&said)).min();
        let close = clues().flat_map(Clue::right).map(Plain::of).any(|word| word.is_nearly(&said));
        if is_same || (close && wrong.is_none_or(|wrong| right < Some(wrong))) {
            Verdict::Right
        } else {
            Verdict::Other
        }
    }

    /// Words that are wrong here: answers elsewhere in the round, and the wrong word of the choice of two.
    fn others<'a>(&'a self, clue: &'a Clue) -> impl Iterator<Item = &'a str> {
        let elsewhere = self.clues.iter().filter(move |other| other.answer != clue.answer);
        elsewhere.flat_map(Clue::right).chain(clue.other.iter().map(|other| other.as_str()))
    }
}

/// Whether two answers are one: case, accents, hyphens, spaces and an article make no difference.
pub(super) fn is_one_answer(one: &str, other: &str) -> bool {
    let (one, other) = (Plain::of(one), Plain::of(other));
    one.whole == other.whole || one.written == other.written
}

impl Clue {
    pub(super) fn right(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.answer.as_str()).chain(self.accept.iter().map(|word| word.as_str()))
    }

    /// The words of a kind: its examples and its list.
    fn listed(&self) -> impl Iterator<Item = &str> {
        self.answer.as_str().split(',').chain(self.accept.iter().map(|word| word.as_str()))
    }

    /// The words that the clue itself names.
    fn named(&self) -> impl Iterator<Item = &str> {
        self.clue.as_str().split(',')
    }
}

/// A word reduced to the letters that matter, and the same without plural endings. What looks like an article may
/// be part of the word ("an opener"), so the word is also kept with it.
struct Plain {
    written: String,
    whole: String,
    stem: String,
}

impl Plain {
    fn of(text: &str) -> Self {
        let letters: String =
            text.nfkd().filter(|c| !is_combining_mark(*c)).flat_map(char::to_lowercase).collect();
        let words: Vec<&str> =
            letters.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
        let written = words.concat();
        let words = match words[..] {
            [article, _, ..] if ARTICLES.contains(&article) => &words[1..],
            _ => &words[..],
        };
        Self { written, whole: words.concat(), stem: words.iter().map(|word| singular(word)).collect() }
    }

    /// The number of edits between two words: letters inserted, left out or changed, or two neighbours swapped
    /// (optimal string alignment). The first number is the smaller of the distances with and without plural
    /// endings; the second is that of the whole words, which decides a tie.
    fn distance(&self, other: &Self) -> (usize, usize) {
        let stems = strsim::osa_distance(&self.stem, &other.stem);
        let written = strsim::osa_distance(&self.written, &other.written);
        let whole = strsim::osa_distance(&self.whole, &other.whole).min(written);
        (whole.min(stems), whole)
    }

    /// Whether the difference is only a slip: none in up to 3 letters, 1 in up to 7, 2 in longer words (an agreed
    /// choice).
    fn is_nearly(&self, said: &Self) -> bool {
        let slips = match self.whole.chars().count() {
            0..=3 => 0,
            4..=7 => 1,
            _ => 2,
        };
        self.distance(said).0 <= slips
    }
}

/// The word without an English plural ending. The result need not be a word: both sides are cut the same way.
fn singular(word: &str) -> &str {
    let ending = |ending: &str, least: usize| word.strip_suffix(ending).filter(|stem| stem.len() >= least);
    if word.ends_with("ss") {
        return word;
    }
    let stem = ending("ies", 2)
        .or_else(|| {
            ["ches", "shes", "xes", "sses", "zes"]
                .iter()
                .find_map(|e| ending(e, 1).map(|_| &word[..word.len() - 2]))
        })
        .or_else(|| ending("s", 3));
    match stem {
        Some(stem) => stem,
        // A word in "ies" loses its y as well.
        None => word.strip_suffix('y').filter(|stem| stem.len() >= 2).unwrap_or(word),
    }
}

#[cfg(test)]
mod tests {
    use crate::clue::{Verdict, read};
    use crate::file::Source;

    #[test]
    fn small_differences_do_not_matter_and_other_words_are_not_taken() {
        let text = "theme = \"Food\"\n\
            [[clue]]\ntext = \"1\"\nanswer = \"strawberry\"\nor = \"submarine\"\n\
            [[clue]]\ntext = \"2\"\nanswer = \"crème brûlée\"\n\
            [[clue]]\ntext = \"3\"\nanswer = \"hot-water bottle\"\n\
            [[clue]]\ntext = \"4\"\nanswer = \"pea\"\naccept = [\"green pea\"]\n\
            [[clue]]\ntext = \"5\"\nanswer = \"pear\"\n\
            [[clue]]\ntext = \"6\"\nanswer = \"glass\"\n\
            [[clue]]\ntext = \"7\"\nanswer = \"grass\"\n\
            [[clue]]\ntext = \"8\"\nanswer = \"brush\"\n";
        let set = read("food", Source::new("food.toml", text)).expect("a clue set");
        let check = |number: u32, said: &str, expected: Verdict| {
            assert_eq!(set.hear(number, said), expected, "clue {number}: {said}");
        };
        for right in [
            "strawberry",
            "Strawberries",
            "a strawberry",
            "STRAWBERRY!",
            "strawbery",
            "stawbrry",
            "straw berry",
        ] {
            check(1, right, Verdict::Right);
        }
        for other in ["submarine", "straw", "", "  ", "berry", "raspberry"] {
            check(1, other, Verdict::Other);
        }
        check(2, "creme brulee", Verdict::Right);
        check(2, "the Crème-Brûlée", Verdict::Right);
        check(3, "hot water bottles", Verdict::Right);
        check(3, "hotwaterbottle", Verdict::Right);
        check(4, "peas", Verdict::Right);
        check(4, "pear", Verdict::Other);
        check(4, "pe", Verdict::Other);
        check(4, "green peas", Verdict::Right);
        check(5, "pears", Verdict::Right);
        check(5, "peas", Verdict::Other);
        check(6, "glas", Verdict::Right);
        check(6, "grass", Verdict::Other);
        check(7, "glass", Verdict::Other);
        check(8, "brushes", Verdict::Right);
        check(9, "anything", Verdict::Other);
    }

    #[test]
    fn in_a_category_the_words_that_are_listed_are_right_and_the_group_judges_others() {
        let text = "theme = \"Kinds\"\ngame = \"category\"\ncounter = 60\n[[clue]]\ntext = \"Round\"\nanswer = \"coin, plate\"\naccept = [\"moon\"]\n";
        let set = read("kinds", Source::new("kinds.toml", text)).expect("a clue set");
        assert_eq!(["coin", "the moon", "plates"].map(|word| set.hear(1, word)), [Verdict::Right; 3]);
        assert_eq!(set.hear(1, "brick"), Verdict::Unlisted);
        assert_eq!(set.hear(1, " "), Verdict::Other);
    }
}
