//! Tables as CSV files (RFC 4180), safe to open in a spreadsheet.

/// A cell of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cell {
    /// Text, such as somebody's words.
    Text(String),
    /// A number, which keeps its sign.
    Number(i64),
    /// Nothing.
    Empty,
}

impl Cell {
    /// Text.
    pub fn text(text: impl ToString) -> Self {
        Self::Text(text.to_string())
    }

    /// Text, or nothing.
    pub fn maybe(text: Option<impl ToString>) -> Self {
        text.map_or(Self::Empty, Self::text)
    }

    /// A number, or nothing.
    pub fn number(n: Option<impl Into<i64>>) -> Self {
        n.map_or(Self::Empty, |n| Self::Number(n.into()))
    }
}

/// The file's text: the names of the columns, then a line for each row. Lines end in CRLF.
#[must_use]
pub fn csv<const N: usize>(head: [&str; N], rows: impl IntoIterator<Item = [Cell; N]>) -> String {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let rows = rows.into_iter().map(|row| row.map(written));
    for row in std::iter::once(head.map(str::to_owned)).chain(rows) {
        // Writing to memory does not fail.
        let _ = writer.write_record(row);
    }
    writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
}

fn written(cell: Cell) -> String {
    match cell {
        Cell::Text(text) => harmless(text),
        Cell::Number(n) => n.to_string(),
        Cell::Empty => String::new(),
    }
}

/// Makes a text safe: a spreadsheet would run one that begins with any of these characters (OWASP, CSV injection; the
/// full-width ones from memory), so it is preceded by an apostrophe.
fn harmless(text: String) -> String {
    // One that begins with an apostrophe gets another, so that the first can always be taken away again.
    const SIGNS: [char; 13] = ['=', '+', '-', '@', '\t', '\r', '\n', '\0', '＝', '＋', '－', '＠', '\''];
    if text.starts_with(SIGNS) { format!("'{text}") } else { text }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests")]
mod tests {
    use super::*;

    proptest::proptest! {
        /// W-28: whatever somebody typed.
        #[test]
        fn any_text_comes_back(text in "(?s).{0,12}", n in proptest::num::i32::ANY) {
            let file = csv(["text", "n", "x"], [[Cell::text(&text), Cell::Number(n.into()), Cell::Empty]]);
            let mut reader = ::csv::Reader::from_reader(file.as_bytes());
            let (read, number, _): (String, i64, String) = reader.deserialize().next().unwrap().unwrap();
            proptest::prop_assert_eq!(number, i64::from(n));
            let is_marked = read.starts_with('\'');
            proptest::prop_assert_eq!(read.strip_prefix('\'').unwrap_or(&read), text.as_str());
            proptest::prop_assert!(is_marked || !text.starts_with(['=', '+', '-', '@', '\'', '\t']));
        }
    }

    /// W-28: the vectors; what was written is read back, texts that look like formulas are none, and numbers stay numbers.
    #[test]
    fn vectors_come_back_and_none_is_a_formula() {
        let texts =
            ["=1+1", "-2+3", "@SUM(A1)", "a,\"b\"\nc", "", "007", "＝1", "\tx", "+4", "plain", "a\r\nb"];
        let file = csv(["text", "n"], texts.map(|text| [Cell::text(text), Cell::Number(-3)]));
        assert!(file.starts_with("text,n\r\n") && file.ends_with("\r\n"));
        let mut reader = ::csv::Reader::from_reader(file.as_bytes());
        let rows: Vec<(String, i64)> = reader.deserialize().map(Result::unwrap).collect();
        for ((read, n), text) in rows.iter().zip(texts) {
            assert_eq!(*n, -3);
            assert!(!read.starts_with(['=', '+', '-', '@', '\t', '＝']), "{read}");
            assert_eq!(read.strip_prefix('\'').unwrap_or(read), text);
        }
        assert_eq!(rows.len(), texts.len());
    }
}
