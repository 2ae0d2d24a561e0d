//! What participants read of the library, in another language, sentence by sentence.

use std::collections::BTreeMap;

use toml::de::DeValue;

use crate::file::{FileError, Source};
use crate::live::{Content, SideContent};
use crate::plan::timeline::{Span, Timeline};
use crate::text::Line;

/// A language's BCP 47 tag, such as `es`.
pub type LanguageTag = Line<35>;

/// The sentences of one language, by the library's own.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Language {
    sentences: BTreeMap<String, String>,
}

/// Reads a language: each key a sentence of the library, each value the same in that language.
///
/// # Errors
/// The first mistake, with its line.
pub fn read(source: Source<'_>) -> Result<Language, FileError> {
    let parsed = source.parse()?;
    let mut sentences = BTreeMap::new();
    for (own, other) in parsed.get_ref() {
        let wrong = |why: String| source.error(other.span(), why);
        let DeValue::String(text) = other.get_ref() else {
            return Err(wrong(format!("`{}` must be a text in quotes", own.get_ref())));
        };
        let line = Line::<200>::try_from(text.as_ref()).map_err(|e| wrong(e.to_string()))?;
        sentences.insert(own.get_ref().to_string(), line.to_string());
    }
    Ok(Language { sentences })
}

impl Language {
    /// The same sentence in this language; as it is where the language has none, or a longer one than fits.
    #[must_use]
    pub fn say<const MAX: usize>(&self, own: &Line<MAX>) -> Line<MAX> {
        let other = self.sentences.get(own.as_str()).and_then(|other| Line::try_from(other.as_str()).ok());
        other.unwrap_or_else(|| own.clone())
    }

    /// Whether this language has the sentence.
    #[must_use]
    pub fn has(&self, own: &str) -> bool {
        self.sentences.contains_key(own)
    }

    /// The sentences of the library that it translates.
    pub fn sentences(&self) -> impl Iterator<Item = &str> {
        self.sentences.keys().map(String::as_str)
    }

    /// What a step asks, in this language.
    #[must_use]
    pub fn say_content(&self, content: Content) -> Content {
        let side =
            |side: SideContent| SideContent { name: side.name.as_ref().map(|name| self.say(name)), ..side };
        let span = |span: Span| Span { cue: self.say(&span.cue), ..span };
        let spans = content.timeline.spans.into_iter().map(span).collect();
        Content {
            title: self.say(&content.title),
            purpose: content.purpose.as_ref().map(|line| self.say(line)),
            caution: content.caution.as_ref().map(|line| self.say(line)),
            easier: content.easier.as_ref().map(|line| self.say(line)),
            sides: content.sides.into_iter().map(side).collect(),
            timeline: Timeline { spans, ..content.timeline },
            ..content
        }
    }
}
