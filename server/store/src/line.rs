//! The form in which a line of a ledger is kept. It has a version of its own, so that the events can change while
//! old ledgers are read for ever.

use samebreath_core::live::Recorded;
use serde::{Deserialize, Serialize};

use crate::StoreError;

/// The version of the lines that are written. A later version of the program reads all earlier ones; lines without
/// a version are from before there was one.
pub const LINE_VERSION: u32 = 1;

/// A line as it is kept.
#[derive(Serialize)]
struct WrittenLine<'a> {
    v: u32,
    #[serde(flatten)]
    recorded: &'a Recorded,
}

/// The body that is kept for a line.
pub(crate) fn write_line(recorded: &Recorded) -> Result<String, serde_json::Error> {
    serde_json::to_string(&WrittenLine { v: LINE_VERSION, recorded })
}

/// Reads a line as it is kept.
pub(crate) fn read_line(seq: u64, body: &str) -> Result<Recorded, StoreError> {
    #[derive(Deserialize)]
    struct Version {
        #[serde(default)]
        v: u32,
    }
    let wrong = |source| StoreError::Line { seq, source };
    let Version { v } = serde_json::from_str(body).map_err(wrong)?;
    if v > LINE_VERSION {
        return Err(StoreError::Newer { seq, found: v });
    }
    let recorded: Recorded = serde_json::from_str(body).map_err(wrong)?;
    // Its place is said twice: a line that stands in another place is not believed.
    if recorded.seq == seq { Ok(recorded) } else { Err(StoreError::Gap) }
}
