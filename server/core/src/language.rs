//! What participants read of the library, in another language, sentence by sentence.

use std::collections::BTreeMap;

use toml::de::DeValue;

use crate::file::{FileError, Source};
use crate::text::Line;

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
}
