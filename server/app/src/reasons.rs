//! Errors in a line of the log or of a page.

/// The error with its reasons.
pub(crate) fn said(error: &dyn std::error::Error) -> String {
    let mut text = error.to_string();
    let mut next = error.source();
    while let Some(reason) = next {
        text = format!("{text}: {reason}");
        next = reason.source();
    }
    text
}
