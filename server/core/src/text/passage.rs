//! Several lines of text that somebody typed.

use serde::{Deserialize, Serialize};

use super::{TextError, is_invisible};

/// Text of 1 to `MAX` characters on one or more lines, trimmed. Lines are ended by `\n`, and tabs are spaces; what could
/// hide or reorder text is refused, as in a [`Line`](super::Line).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Passage<const MAX: usize>(String);

impl<const MAX: usize> Passage<MAX> {
    /// The most characters that it can have.
    pub const LIMIT: usize = MAX;

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl<const MAX: usize> TryFrom<String> for Passage<MAX> {
    type Error = TextError;

    fn try_from(raw: String) -> Result<Self, TextError> {
        // What comes along when text is pasted.
        let text = raw.replace("\r\n", "\n").replace('\t', " ").replace(['\u{200B}', '\u{FEFF}'], "");
        let text = text.trim();
        // Some scripts and signs need the two joiners.
        let may_stand = |c: char| matches!(c, '\n' | '\u{200C}' | '\u{200D}');
        if let Some(c) = text.chars().find(|c| !may_stand(*c) && is_invisible(*c)) {
            return Err(TextError::Invisible(u32::from(c)));
        }
        match text.chars().count() {
            0 => Err(TextError::Empty),
            found if found > MAX => Err(TextError::TooLong { found, limit: MAX }),
            _ => Ok(Self(text.to_owned())),
        }
    }
}

impl<const MAX: usize> TryFrom<&str> for Passage<MAX> {
    type Error = TextError;

    fn try_from(raw: &str) -> Result<Self, TextError> {
        Self::try_from(raw.to_owned())
    }
}

impl<const MAX: usize> From<Passage<MAX>> for String {
    fn from(passage: Passage<MAX>) -> Self {
        passage.0
    }
}

#[cfg(feature = "ts-rs")]
impl<const MAX: usize> ts_rs::TS for Passage<MAX> {
    type WithoutGenerics = Self;
    type OptionInnerType = Self;
    fn name(_: &ts_rs::Config) -> String {
        "string".to_owned()
    }
    fn inline(_: &ts_rs::Config) -> String {
        "string".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_passage_has_lines_and_nothing_else_that_is_invisible() {
        let passage = |text: &str| Passage::<9>::try_from(text).map(String::from);
        assert_eq!(passage(" one\r\ntwo\n"), Ok("one\ntwo".into()));
        assert_eq!(passage("a\tb\u{FEFF}c"), Ok("a bc".into()));
        assert_eq!(passage("\u{1F468}\u{200D}\u{1F469}"), Ok("\u{1F468}\u{200D}\u{1F469}".into()));
        assert_eq!(passage("a\u{7}b"), Err(TextError::Invisible(7)));
        assert_eq!(passage("a\u{202E}b"), Err(TextError::Invisible(0x202E)));
        assert_eq!(passage(" \n "), Err(TextError::Empty));
        assert_eq!(passage("0123456789"), Err(TextError::TooLong { found: 10, limit: 9 }));
    }
}
