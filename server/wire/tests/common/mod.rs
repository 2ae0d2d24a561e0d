//! Golden files: compared, or written anew.
#![allow(missing_docs, clippy::unwrap_used, reason = "shared by several test files")]

use std::path::{Path, PathBuf};

/// Compares a file with what it must hold, or writes it when asked to.
pub fn check_file(path: &Path, expected: &str) {
    if std::env::var_os("SAMEBREATH_WRITE").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, expected).unwrap();
    }
    let found = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        found == expected,
        "{} is stale; write it anew with SAMEBREATH_WRITE=1 cargo test -p samebreath-wire",
        path.display()
    );
}

pub fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
