//! How files say what the program has names for.

use jiff::Timestamp;
use samebreath_core::time::EpochMs;
use serde::Serialize;

/// An instant in the format of RFC 3339.
pub(crate) fn instant(at: EpochMs) -> String {
    Timestamp::from_millisecond(at.0).map(|at| at.to_string()).unwrap_or_default()
}

/// A kind's name in plain words.
pub(crate) fn word<T: Serialize>(kind: &T) -> String {
    let name = serde_json::to_value(kind).ok();
    name.as_ref().and_then(|name| name.as_str()).map(|name| name.replace('_', " ")).unwrap_or_default()
}
