//! What the pages must know of the core's rules, in TypeScript.

use samebreath_core::people::person::{Mail, Phone};
use samebreath_core::plan::{Note, Title};
use samebreath_core::practice::Intro;
use samebreath_core::record::note::NoteText;
use samebreath_core::text::{Name, Sentence};
use samebreath_core::{clue, item, live};

/// A word that answers a clue.
type Word = samebreath_core::text::Line<60>;

/// What the pages must know of the core's rules to keep to them before the server is asked.
pub fn limits() -> String {
    let longest = [
        ("name", Name::LIMIT),
        ("sentence", Sentence::LIMIT),
        ("phone", Phone::LIMIT),
        ("mail", Mail::LIMIT),
        ("title", Title::LIMIT),
        ("note", Note::LIMIT),
        ("noteText", NoteText::LIMIT),
        ("intro", Intro::LIMIT),
        ("word", Word::LIMIT),
        ("item", item::Words::LIMIT),
        ("theme", clue::Theme::LIMIT),
        ("clue", clue::ClueWords::LIMIT),
        ("answer", clue::Answer::LIMIT),
        ("secondClue", clue::SecondClue::LIMIT),
        ("because", clue::Because::LIMIT),
        ("source", clue::FactSource::LIMIT),
    ];
    let longest = longest.map(|(text, limit)| format!("{text}: {limit}")).join(", ");
    format!(
        "/** The longest texts that the server takes, in characters. */\n\
         export const LONGEST = {{ {longest} }} as const;\n\n\
         /** The shortest notice before work, in milliseconds. */\n\
         export const NOTICE_MS = {};\n",
        live::NOTICE_MS
    )
}
