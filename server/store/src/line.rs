//! The form in which the lines of a ledger are stored. Each line names its version, so that events can change and
//! old ledgers can still be read.

use samebreath_core::live::Recorded;
use serde::{Deserialize, Serialize};

use crate::StoreError;

/// The version in which lines are written. A later version of the program reads all earlier ones. A line that names
/// no version was written before lines had versions.
pub const LINE_VERSION: u32 = 1;

/// A line as it is stored.
#[derive(Serialize)]
struct WrittenLine<'a> {
    v: u32,
    #[serde(flatten)]
    recorded: &'a Recorded,
}

/// The text that is stored for a line.
pub(crate) fn write_line(recorded: &Recorded) -> Result<String, serde_json::Error> {
    serde_json::to_string(&WrittenLine { v: LINE_VERSION, recorded })
}

/// Reads a stored line.
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
    // The line's place is stored twice. If the two differ, the line is in the wrong place.
    if recorded.seq == seq { Ok(recorded) } else { Err(StoreError::Gap) }
}
