//! Reads a clue set's file.

use crate::clue::hints::{self, Phrases};
use crate::clue::{Clue, ClueSet, ClueSetId, Game};
use crate::drill::dose::{PHASE_MS, length};
use crate::drill::read_reference;
use crate::file::{FileError, Source, Table};
use crate::text::{LanguageTag, Line};

/// Most clues of a round.
pub(super) const MOST_CLUES: usize = 100;

const GAMES: [(&str, Game); 6] = [
    ("clue", Game::Clue),
    ("saying", Game::Saying),
    ("odd-one-out", Game::OddOneOut),
    ("goes-together", Game::GoesTogether),
    ("category", Game::Category),
    ("origin", Game::Origin),
];

/// Reads one clue set; `id` is the name of its file without the ending, such as `toolbox`, or `toolbox.es` for its
/// Spanish translation.
///
/// A clue without `hints` of its own gets the ladder of its game, in the set's language.
///
/// # Errors
/// The first mistake, with its line.
pub fn read(id: &str, source: Source<'_>) -> Result<ClueSet, FileError> {
    let parsed = source.parse()?;
    let table = Table::new(source, "clue set", parsed.span(), parsed.get_ref());
    let id = ClueSetId::try_from(id).map_err(|e| table.error(format!("the file's name: {e}")))?;
    let theme: Line<60> = table.need_line("theme")?;
    let game = table.choice("game", &GAMES)?.unwrap_or_default();
    let language = language(&table, &id)?;
    let phrases = hints::phrases(language.as_str());
    let counter_ms = table.seconds("counter")?;
    if let Some(counter_ms) = counter_ms {
        length("counter", counter_ms, PHASE_MS).map_err(|e| table.error_at("counter", e.to_string()))?;
    }
    let entries = table.tables("clue", "clue")?;
    let clues: Vec<Clue> =
        entries.iter().map(|entry| read_clue(entry, game, phrases)).collect::<Result<_, _>>()?;
    match clues.len() {
        0 => return Err(table.error("this clue set needs at least one [[clue]]")),
        1..=MOST_CLUES => {}
        many => {
            return Err(
                table.error(format!("this clue set has {many} clues; at most {MOST_CLUES} are allowed"))
            );
        }
    }
    if let Some(at) = no_answer_twice(&clues, game) {
        return Err(entries[at].error_at("answer", "this answer is already that of another clue in the set"));
    }
    let sources = table.tables("source", "source")?.iter().map(read_reference).collect::<Result<_, _>>()?;
    table.finish()?;
    Ok(ClueSet { id, theme, game, language, counter_ms, clues, sources, also: Vec::new() })
}

/// The language written in the file, or else the one in its name; English when neither gives one.
fn language(table: &Table<'_>, id: &ClueSetId) -> Result<LanguageTag, FileError> {
    let written: Option<LanguageTag> = table.line("language")?;
    let named = id.as_str().split_once('.').map(|(_, tag)| tag);
    if let Some(tag) = named.filter(|tag| !is_language(tag)) {
        return Err(table.error(format!(
            "`{tag}` in the file's name is not a language; a translation's name ends in one, such as `.es`"
        )));
    }
    match (written, named) {
        (Some(written), Some(named)) if written.as_str() != named => Err(table.error_at(
            "language",
            format!("`language` is `{written}`, but the file's name says `{named}`; make them the same"),
        )),
        (Some(written), _) => Ok(written),
        (None, named) => {
            let tag = LanguageTag::try_from(named.unwrap_or("en"));
            tag.map_err(|e| table.error(format!("the language in the file's name: {e}")))
        }
    }
}

/// Two or three lower-case letters, in the form that screens ask for.
fn is_language(tag: &str) -> bool {
    (2..=3).contains(&tag.len()) && tag.bytes().all(|letter| letter.is_ascii_lowercase())
}

/// The place of the first clue whose answer an earlier one has already, where each answer is one word to find.
pub(super) fn no_answer_twice(clues: &[Clue], game: Game) -> Option<usize> {
    let is_twice = |at: &usize| clues[..*at].iter().any(|earlier| earlier.answer == clues[*at].answer);
    (0..clues.len()).find(is_twice).filter(|_| game.finds_words())
}

/// Whether `starts` is the first part of an answer: two letters or more, and not all of it.
pub(super) fn is_beginning(starts: &str, answer: &str) -> bool {
    let (starts, answer) = (starts.to_lowercase(), answer.to_lowercase());
    answer.starts_with(&starts) && starts.len() < answer.len() && starts.chars().count() >= 2
}

pub(super) fn read_clue(table: &Table<'_>, game: Game, phrases: Option<&Phrases>) -> Result<Clue, FileError> {
    let level = table.count("level")?;
    if level.is_some_and(|level| !(1..=3).contains(&level)) {
        return Err(table.error_at("level", "`level` must be 1 (everyday), 2 or 3 (rare)"));
    }
    let clue = Clue {
        clue: table.need_line("text")?,
        answer: table.need_line("answer")?,
        accept: table.lines("accept")?,
        other: table.line("or")?,
        because: table.line("because")?,
        hints: table.lines("hints")?,
        level,
        source: table.line("source")?,
    };
    let starts: Option<Line<60>> = table.line("starts")?;
    if starts.as_ref().is_some_and(|starts| !is_beginning(starts.as_str(), clue.answer.as_str())) {
        let why = "`starts` must be the beginning of the answer, two letters or more, and not all of it";
        return Err(table.error_at("starts", why));
    }
    let more: Option<Line<110>> = table.line("more")?;
    table.finish()?;
    if !clue.hints.is_empty() || game == Game::Category {
        return Ok(clue);
    }
    let phrases = phrases.ok_or_else(|| {
        let known = hints::LANGUAGES.join("` and `");
        table.error(format!("this clue needs `hints`: the usual ones are known in `{known}` only"))
    })?;
    let starts = starts.as_ref().map(|starts| starts.as_str());
    let more = more.as_ref().map(|more| more.as_str());
    let ladder = hints::ladder(game, &clue, more, starts, phrases);
    Ok(Clue { hints: ladder, ..clue })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hints(text: &str) -> Vec<String> {
        let set = read("kitchen", Source::new("kitchen.toml", text)).expect("a clue set");
        set.clues[0].hints.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn the_ladder_goes_from_a_second_clue_to_a_choice_of_two() {
        let text = "theme = \"Kitchen\"\n[[clue]]\ntext = \"It boils\"\nmore = \"It has a lid.\"\nanswer = \"kettle\"\nstarts = \"ket\"\nor = \"candle\"\n";
        assert_eq!(
            hints(text),
            [
                "It has a lid.",
                "6 letters",
                "It starts with K",
                "It begins like this: ket...",
                "Candle or kettle?"
            ]
        );
        let own = format!("{text}hints = [\"It has a spout\"]\n");
        assert_eq!(hints(&own), ["It has a spout"]);
        let two = "theme = \"x\"\ngame = \"saying\"\n[[clue]]\ntext = \"x\"\nanswer = \"hot-water bottle\"\n";
        assert_eq!(hints(two), ["3 words: 3, 5 and 6 letters", "It starts with H"]);
    }

    #[test]
    fn mistakes_are_reported_with_their_line() {
        let check = |clue: &str, expected: &str| {
            let text = format!("theme = \"Kitchen\"\n\n[[clue]]\ntext = \"It boils\"\n{clue}");
            let error = read("kitchen", Source::new("kitchen.toml", &text)).expect_err("a mistake");
            assert_eq!(error.to_string(), expected);
        };
        check("", "kitchen.toml:3: this clue needs `answer`");
        check(
            "answer = \"kettle\"\nstarts = \"ke\"\nlevel = 4\n",
            "kitchen.toml:7: `level` must be 1 (everyday), 2 or 3 (rare)",
        );
        check(
            "answer = \"kettle\"\nstarts = \"kit\"\n",
            "kitchen.toml:6: `starts` must be the beginning of the answer, two letters or more, and not all of it",
        );
        check(
            "answer = \"kettle\"\n[[clue]]\ntext = \"It sings\"\nanswer = \"kettle\"\n",
            "kitchen.toml:8: this answer is already that of another clue in the set",
        );
    }
}
