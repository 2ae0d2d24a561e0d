//! Tables as CSV files (RFC 4180) that are safe to open in a spreadsheet, and as JSON.

use serde_json::Value;

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

/// A table: the names of its columns, and its rows, each as long as those.
#[derive(Debug, Clone)]
pub struct Table {
    head: Vec<&'static str>,
    rows: Vec<Vec<Cell>>,
}

impl Table {
    /// A table of N columns.
    pub fn new<const N: usize>(head: [&'static str; N], rows: impl IntoIterator<Item = [Cell; N]>) -> Self {
        Self { head: head.into(), rows: rows.into_iter().map(Into::into).collect() }
    }

    /// The text of a CSV file: the names of the columns, then a line for each row. Lines end in CRLF.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
        // Writing to memory does not fail.
        let _ = writer.write_record(&self.head);
        for row in &self.rows {
            let _ = writer.write_record(row.iter().map(written));
        }
        writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
    }

    /// The same for another program: an object for each row.
    #[must_use]
    pub fn json(&self) -> Value {
        let object = |row: &Vec<Cell>| {
            let cells = self.head.iter().zip(row).map(|(name, cell)| ((*name).to_owned(), value(cell)));
            Value::Object(cells.collect())
        };
        self.rows.iter().map(object).collect()
    }
}

fn value(cell: &Cell) -> Value {
    match cell {
        Cell::Text(text) => text.as_str().into(),
        Cell::Number(n) => (*n).into(),
        Cell::Empty => Value::Null,
    }
}

fn written(cell: &Cell) -> String {
    match cell {
        Cell::Text(text) => harmless(text),
        Cell::Number(n) => n.to_string(),
        Cell::Empty => String::new(),
    }
}

/// Makes a text safe: a spreadsheet would run one that begins with any of these characters (OWASP, CSV injection; the
/// full-width ones from memory), so it is preceded by an apostrophe.
fn harmless(text: &str) -> String {
    // One that begins with an apostrophe gets another, so that the first can always be taken away again.
    const SIGNS: [char; 13] = ['=', '+', '-', '@', '\t', '\r', '\n', '\0', '＝', '＋', '－', '＠', '\''];
    if text.starts_with(SIGNS) { format!("'{text}") } else { text.to_owned() }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests")]
mod tests {
    use super::*;

    proptest::proptest! {
        /// W-28: whatever somebody typed.
        #[test]
        fn any_text_comes_back(text in "(?s).{0,12}", n in proptest::num::i32::ANY) {
            let table =
                Table::new(["text", "n", "x"], [[Cell::text(&text), Cell::Number(n.into()), Cell::Empty]]);
            proptest::prop_assert_eq!(&table.json()[0]["text"], &Value::from(text.as_str()));
            let file = table.csv();
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
        let file = Table::new(["text", "n"], texts.map(|text| [Cell::text(text), Cell::Number(-3)])).csv();
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
