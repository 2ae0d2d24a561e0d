//! What the commands print.

use std::io::Write;

/// Prints a line on standard output.
pub(super) fn print(text: &str) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{text}")?;
    Ok(out.flush()?)
}
