//! Translates, sentence by sentence, what participants read of the library.

use std::collections::BTreeMap;

use toml::de::DeValue;

use crate::file::{FileError, Source};
use crate::text::Line;

/// The translations of one language, by the library's own sentences.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Language {
    sentences: BTreeMap<String, String>,
}

/// Reads a language file: each key is a sentence of the library, each value its translation.
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
    /// The sentence in this language; unchanged where there is no translation, or the translation is too long.
    #[must_use]
    pub fn say<const MAX: usize>(&self, own: &Line<MAX>) -> Line<MAX> {
        let other = self.sentences.get(own.as_str()).and_then(|other| Line::try_from(other.as_str()).ok());
        other.unwrap_or_else(|| own.clone())
    }

    /// Adds a sentence and what it is in this language.
    pub fn add(&mut self, own: &str, other: &str) {
        self.sentences.insert(own.to_owned(), other.to_owned());
    }

    /// Whether this language translates the sentence.
    #[must_use]
    pub fn has(&self, own: &str) -> bool {
        self.sentences.contains_key(own)
    }

    /// The sentences of the library that this language translates.
    pub fn sentences(&self) -> impl Iterator<Item = &str> {
        self.sentences.keys().map(String::as_str)
    }
}
