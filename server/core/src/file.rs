//! Reads our TOML files, with errors that a person can act on: the file, the line, what was wrong, and the nearest
//! right name.
//!
//! [`Table`] hands out typed values and remembers which keys were asked for, so that an unknown key is reported
//! instead of ignored. The readers of drills, plans, clues and house rules use it.

use std::cell::RefCell;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::text::Line;

/// A mistake in a file; the message says where it is and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{file}:{line}: {message}")]
pub struct FileError {
    /// The file's name, as the caller gave it.
    pub file: String,
    /// The line, counted from 1.
    pub line: usize,
    /// What was wrong and what would be right.
    pub message: String,
}

/// A file being read: its name, and its text to find the line of a place.
#[derive(Debug, Clone, Copy)]
pub struct Source<'a> {
    name: &'a str,
    text: &'a str,
}

impl<'a> Source<'a> {
    /// A file called `name` (used in messages only) with its `text`.
    #[must_use]
    pub fn new(name: &'a str, text: &'a str) -> Self {
        Self { name, text }
    }

    /// Parses the whole file as one TOML table.
    ///
    /// # Errors
    /// When the text is not TOML.
    pub fn parse(&self) -> Result<Spanned<DeTable<'a>>, FileError> {
        DeTable::parse(self.text)
            .map_err(|e| self.error(e.span().unwrap_or(0..0), format!("not TOML: {}", e.message())))
    }

    /// An error at a place in this file.
    #[must_use]
    pub fn error(&self, at: Range<usize>, message: impl Into<String>) -> FileError {
        let before = &self.text[..at.start.min(self.text.len())];
        FileError {
            file: self.name.to_owned(),
            line: before.matches('\n').count() + 1,
            message: message.into(),
        }
    }
}

/// One table of a file.
#[derive(Debug)]
pub struct Table<'a> {
    source: Source<'a>,
    what: &'static str,
    span: Range<usize>,
    table: &'a DeTable<'a>,
    known: RefCell<Vec<&'static str>>,
}

impl<'a> Table<'a> {
    /// A table; `what` names it in messages, such as `plan` or `step`.
    #[must_use]
    pub fn new(source: Source<'a>, what: &'static str, span: Range<usize>, table: &'a DeTable<'a>) -> Self {
        Self { source, what, span, table, known: RefCell::new(Vec::new()) }
    }

    /// The file this table is in.
    #[must_use]
    pub fn source(&self) -> Source<'a> {
        self.source
    }

    /// An error at the head of the table.
    #[must_use]
    pub fn error(&self, message: impl Into<String>) -> FileError {
        self.source.error(self.span.clone(), message)
    }

    /// An error at the value of `key`, or at the head of the table when the key is absent.
    #[must_use]
    pub fn error_at(&self, key: &'static str, message: impl Into<String>) -> FileError {
        let span = self.find(key).map_or_else(|| self.span.clone(), Spanned::span);
        self.source.error(span, message)
    }

    /// Whether the table has `key`.
    #[must_use]
    pub fn has(&self, key: &'static str) -> bool {
        self.find(key).is_some()
    }

    fn find(&self, key: &'static str) -> Option<&'a Spanned<DeValue<'a>>> {
        let mut known = self.known.borrow_mut();
        if !known.contains(&key) {
            known.push(key);
        }
        self.table.iter().find(|(k, _)| k.get_ref() == key).map(|(_, v)| v)
    }

    fn wrong(&self, value: &Spanned<DeValue<'_>>, key: &str, wanted: &str) -> FileError {
        let found = value.get_ref().type_str();
        self.source.error(value.span(), format!("`{key}` is {}; it must be {wanted}", article(found)))
    }

    /// The text at `key`, if any.
    ///
    /// # Errors
    /// When it is not text of 1 to `MAX` visible characters.
    pub fn line<const MAX: usize>(&self, key: &'static str) -> Result<Option<Line<MAX>>, FileError> {
        let Some(value) = self.find(key) else { return Ok(None) };
        let text = value.get_ref().as_str().ok_or_else(|| self.wrong(value, key, "a text in quotes"))?;
        Line::try_from(text).map(Some).map_err(|e| self.source.error(value.span(), format!("`{key}`: {e}")))
    }

    /// The text at `key`.
    ///
    /// # Errors
    /// When it is missing or not text of 1 to `MAX` visible characters.
    pub fn need_line<const MAX: usize>(&self, key: &'static str) -> Result<Line<MAX>, FileError> {
        self.line(key)?.ok_or_else(|| self.missing(key))
    }

    /// The texts in the list at `key`; an absent list is empty.
    ///
    /// # Errors
    /// When it is not a list of texts.
    pub fn lines<const MAX: usize>(&self, key: &'static str) -> Result<Vec<Line<MAX>>, FileError> {
        let Some(value) = self.find(key) else { return Ok(Vec::new()) };
        let list = value.get_ref().as_array().ok_or_else(|| self.wrong(value, key, "a list of texts"))?;
        list.iter()
            .map(|item| {
                let text = item
                    .get_ref()
                    .as_str()
                    .ok_or_else(|| self.wrong(item, key, "a list of texts in quotes"))?;
                Line::try_from(text).map_err(|e| self.source.error(item.span(), format!("`{key}`: {e}")))
            })
            .collect()
    }

    /// The whole number at `key`, if any.
    ///
    /// # Errors
    /// When it is not a whole number from 0 to 4294967295.
    pub fn count(&self, key: &'static str) -> Result<Option<u32>, FileError> {
        let Some(value) = self.find(key) else { return Ok(None) };
        value
            .get_ref()
            .as_integer()
            .and_then(|n| n.as_str().replace('_', "").parse().ok())
            .map(Some)
            .ok_or_else(|| self.wrong(value, key, "a whole number such as 5"))
    }

    /// The whole numbers in the list at `key`; an absent list is empty.
    ///
    /// # Errors
    /// When it is not a list of whole numbers.
    pub fn counts(&self, key: &'static str) -> Result<Vec<u32>, FileError> {
        let Some(value) = self.find(key) else { return Ok(Vec::new()) };
        let wanted = "a list of whole numbers such as [1, 2, 5]";
        let list = value.get_ref().as_array().ok_or_else(|| self.wrong(value, key, wanted))?;
        let number = |item: &Spanned<DeValue<'_>>| {
            item.get_ref()
                .as_integer()
                .and_then(|n| n.as_str().replace('_', "").parse().ok())
                .ok_or_else(|| self.wrong(item, key, wanted))
        };
        list.iter().map(number).collect()
    }

    /// The length at `key` in milliseconds, if any; it is written in seconds with at most three decimals.
    ///
    /// # Errors
    /// When it is not a number of seconds from 0 to 86400.
    pub fn seconds(&self, key: &'static str) -> Result<Option<i64>, FileError> {
        let Some(value) = self.find(key) else { return Ok(None) };
        let written = match value.get_ref() {
            DeValue::Integer(n) => n.as_str().replace('_', ""),
            DeValue::Float(n) => n.as_str().replace('_', ""),
            _ => return Err(self.wrong(value, key, "a number of seconds such as 20 or 2.5")),
        };
        parse_millis(&written).map(Some).ok_or_else(|| {
            self.source.error(
                value.span(),
                format!(
                    "`{key}` is {written}; it must be seconds from 0 to 86400 with at most three decimals"
                ),
            )
        })
    }

    /// The range at `key`, if any, written as `[least, most]`. `unit` is 1 for counts, and 1000 for seconds, which
    /// become milliseconds.
    ///
    /// # Errors
    /// When it is not two numbers, the smaller one first.
    pub fn range(&self, key: &'static str, unit: i64) -> Result<Option<(i64, i64)>, FileError> {
        let Some(value) = self.find(key) else { return Ok(None) };
        let number = |item: &Spanned<DeValue<'_>>| {
            let written = match item.get_ref() {
                DeValue::Integer(n) => n.as_str().replace('_', ""),
                DeValue::Float(n) => n.as_str().replace('_', ""),
                _ => return None,
            };
            parse_millis(&written).map(|thousandths| thousandths * unit / 1000)
        };
        let list = value.get_ref().as_array().map(|list| list.iter().map(number).collect::<Vec<_>>());
        match list.as_deref() {
            Some([Some(least), Some(most)]) if least <= most => Ok(Some((*least, *most))),
            _ => Err(self.source.error(
                value.span(),
                format!("`{key}` must be two numbers such as [5, 10], the smaller one first"),
            )),
        }
    }

    /// Whether the value at `key` is a table (and not, say, a number).
    #[must_use]
    pub fn is_table(&self, key: &'static str) -> bool {
        self.find(key).is_some_and(|value| value.get_ref().is_table())
    }

    /// The flag at `key`; false when the key is absent.
    ///
    /// # Errors
    /// When it is neither true nor false.
    pub fn flag(&self, key: &'static str) -> Result<bool, FileError> {
        let Some(value) = self.find(key) else { return Ok(false) };
        value.get_ref().as_bool().ok_or_else(|| self.wrong(value, key, "true or false"))
    }

    /// The table at `key`, if any.
    ///
    /// # Errors
    /// When it is not a table.
    pub fn table(&self, key: &'static str, what: &'static str) -> Result<Option<Table<'a>>, FileError> {
        let Some(value) = self.find(key) else { return Ok(None) };
        let table = value.get_ref().as_table().ok_or_else(|| self.wrong(value, key, "a table"))?;
        Ok(Some(Table::new(self.source, what, value.span(), table)))
    }

    /// The tables of the list `[[key]]`; an absent list is empty.
    ///
    /// # Errors
    /// When it is not a list of tables.
    pub fn tables(&self, key: &'static str, what: &'static str) -> Result<Vec<Table<'a>>, FileError> {
        let Some(value) = self.find(key) else { return Ok(Vec::new()) };
        let wanted = format!("a list of tables, each opened by [[{key}]]");
        let list = value.get_ref().as_array().ok_or_else(|| self.wrong(value, key, &wanted))?;
        list.iter()
            .map(|item| {
                let table = item.get_ref().as_table().ok_or_else(|| self.wrong(item, key, &wanted))?;
                Ok(Table::new(self.source, what, item.span(), table))
            })
            .collect()
    }

    /// The value from `pairs` that the text at `key` names, if any.
    ///
    /// # Errors
    /// When the text is none of the names; the message suggests the nearest one.
    pub fn choice<T: Copy>(
        &self,
        key: &'static str,
        pairs: &[(&'static str, T)],
    ) -> Result<Option<T>, FileError> {
        let Some(name) = self.line::<80>(key)? else { return Ok(None) };
        let found = pairs.iter().find(|(n, _)| *n == name.as_str());
        found.map(|(_, t)| Some(*t)).ok_or_else(|| {
            let names = pairs.iter().map(|(n, _)| *n);
            self.error_at(key, unknown(&format!("{key} for a {}", self.what), name.as_str(), names))
        })
    }

    /// An error that says `key` is missing.
    #[must_use]
    pub fn missing(&self, key: &'static str) -> FileError {
        self.error(format!("this {} needs `{key}`", self.what))
    }

    /// Ends the reading of this table, so that unknown keys are reported.
    ///
    /// # Errors
    /// When the table has a key that nobody asked for.
    pub fn finish(&self) -> Result<(), FileError> {
        let known = self.known.borrow();
        let extra = self.table.keys().find(|k| !known.contains(&k.get_ref().as_ref()));
        extra.map_or(Ok(()), |key| {
            let names = known.iter().copied();
            let message = unknown(&format!("key in a {}", self.what), key.get_ref(), names);
            Err(self.source.error(key.span(), message))
        })
    }
}

/// A sentence saying that no `what` is called `found`, with the nearest of `names`.
pub fn unknown<'n>(what: &str, found: &str, names: impl IntoIterator<Item = &'n str>) -> String {
    let nearest = names
        .into_iter()
        .map(|name| (strsim::osa_distance(found, name), name))
        .min()
        .filter(|(distance, name)| *distance <= 2.max(name.len() / 3));
    match nearest {
        Some((_, name)) => format!("there is no {what} called `{found}`; did you mean `{name}`?"),
        None => format!("there is no {what} called `{found}`"),
    }
}

fn article(kind: &str) -> String {
    let an = kind.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {kind}", if an { "an" } else { "a" })
}

/// The exact milliseconds of a decimal number of seconds, without rounding through binary fractions.
fn parse_millis(written: &str) -> Option<i64> {
    let (whole, part) = written.split_once('.').unwrap_or((written, ""));
    let whole: u32 = whole.parse().ok()?;
    if whole > 86_400 || part.len() > 3 || !part.chars().all(|c| c.is_ascii_digit()) {
        return None;
    }
    let thousandths: i64 = format!("{part:0<3}").parse().ok()?;
    Some(i64::from(whole) * 1000 + thousandths)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seconds_are_read_exactly() {
        let check = |written: &str, expected: Option<i64>| {
            assert_eq!(parse_millis(written), expected, "{written}");
        };
        check("20", Some(20_000));
        check("2.5", Some(2_500));
        check("0.001", Some(1));
        check("0.0001", None);
        check("-1", None);
        check("86401", None);
        check("1e3", None);
    }

    #[test]
    fn a_wrong_name_is_answered_with_the_nearest() {
        assert_eq!(
            unknown("drill", "steady-ahh", ["steady-ah", "high-ee"]),
            "there is no drill called `steady-ahh`; did you mean `steady-ah`?"
        );
        assert_eq!(unknown("drill", "xylophone", ["steady-ah"]), "there is no drill called `xylophone`");
    }

    #[test]
    fn an_unknown_key_is_reported_with_its_line() {
        let text = "title = \"x\"\n\nrepz = 3\n";
        let source = Source::new("a.toml", text);
        let parsed = source.parse().expect("TOML");
        let table = Table::new(source, "step", parsed.span(), parsed.get_ref());
        table.line::<10>("title").expect("a title");
        table.count("reps").expect("absent");
        let error = table.finish().expect_err("repz is unknown");
        assert_eq!(
            error.to_string(),
            "a.toml:3: there is no key in a step called `repz`; did you mean `reps`?"
        );
    }
}
