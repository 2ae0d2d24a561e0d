//! Short texts that people typed: limited in length, on one line, with nothing invisible.

pub mod name;
mod passage;

use std::fmt;

use serde::{Deserialize, Serialize};

pub use passage::Passage;

/// One line of text of 1 to `MAX` characters, trimmed. Control characters and those that change the direction of
/// text are refused, because they can hide or reorder what a reader sees.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Line<const MAX: usize>(String);

/// A first name, or two first names for a pair on one device.
pub type Name = Line<40>;
/// A sentence that somebody typed: a message, a reason, a free answer.
pub type Sentence = Line<200>;

/// A language's BCP 47 tag, such as `es`.
pub type LanguageTag = Line<35>;

/// Why a text was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TextError {
    /// Nothing was left after trimming.
    #[error("the text is empty; write at least one character")]
    Empty,
    /// The text is longer than allowed.
    #[error("the text has {found} characters; at most {limit} are allowed")]
    TooLong {
        /// How many characters it has.
        found: usize,
        /// How many characters are allowed.
        limit: usize,
    },
    /// The text has a control or direction-changing character.
    #[error("the text has the invisible character U+{0:04X}; remove it")]
    Invisible(u32),
}

impl<const MAX: usize> Line<MAX> {
    /// The most characters that the line can have.
    pub const LIMIT: usize = MAX;

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl<const MAX: usize> TryFrom<String> for Line<MAX> {
    type Error = TextError;

    fn try_from(raw: String) -> Result<Self, TextError> {
        let text = raw.trim();
        if let Some(c) = text.chars().find(|c| is_invisible(*c)) {
            return Err(TextError::Invisible(u32::from(c)));
        }
        match text.chars().count() {
            0 => Err(TextError::Empty),
            found if found > MAX => Err(TextError::TooLong { found, limit: MAX }),
            _ => Ok(Self(text.to_owned())),
        }
    }
}

impl<const MAX: usize> TryFrom<&str> for Line<MAX> {
    type Error = TextError;

    fn try_from(raw: &str) -> Result<Self, TextError> {
        Self::try_from(raw.to_owned())
    }
}

impl<const MAX: usize> From<Line<MAX>> for String {
    fn from(line: Line<MAX>) -> Self {
        line.0
    }
}

impl<const MAX: usize> fmt::Display for Line<MAX> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(feature = "ts-rs")]
impl<const MAX: usize> ts_rs::TS for Line<MAX> {
    type WithoutGenerics = Self;
    type OptionInnerType = Self;
    fn name(_: &ts_rs::Config) -> String {
        "string".to_owned()
    }
    fn inline(_: &ts_rs::Config) -> String {
        "string".to_owned()
    }
}

/// Control characters, and the bidirectional overrides and isolates of Unicode TR9.
fn is_invisible(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{2069}' | '\u{FEFF}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_trimmed_bounded_and_visible() {
        let line = |s: &str| Line::<5>::try_from(s).map(|l| l.to_string());
        assert_eq!(line("  Ada "), Ok("Ada".into()));
        assert_eq!(line("Zoë-é"), Ok("Zoë-é".into()));
        assert_eq!(line("   "), Err(TextError::Empty));
        assert_eq!(line("abcdef"), Err(TextError::TooLong { found: 6, limit: 5 }));
        assert_eq!(line("a\nb"), Err(TextError::Invisible(10)));
        assert_eq!(line("a\u{202E}b"), Err(TextError::Invisible(0x202E)));
    }
}
