//! What the commands print.

use std::fs::{OpenOptions, Permissions};
use std::io::Write;
use std::os::unix::fs::{OpenOptionsExt, PermissionsExt};
use std::path::Path;

use anyhow::Context;

/// Prints a line on standard output.
pub(super) fn print(text: &str) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{text}")?;
    Ok(out.flush()?)
}

/// Writes a line into a file that only its owner can read, in place of what was there.
pub(super) fn write_private(file: &Path, text: &str) -> anyhow::Result<()> {
    let opened = OpenOptions::new().create(true).write(true).truncate(true).mode(0o600).open(file);
    let mut opened = opened.with_context(|| format!("cannot write {}", file.display()))?;
    // A file that was there keeps the mode it had.
    opened.set_permissions(Permissions::from_mode(0o600))?;
    Ok(writeln!(opened, "{text}")?)
}
