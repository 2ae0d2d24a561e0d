//! The shipped library and plan, read from the folders beside the crates.
#![allow(dead_code, missing_docs, clippy::unwrap_used, reason = "shared by several test files")]

pub mod class;
pub mod examples;
pub mod roll;

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use samebreath_core::file::Source;
use samebreath_core::library::Library;
use samebreath_core::people::rules::{self, Rules};
use samebreath_core::plan::Plan;
use samebreath_core::plan::draft;
use samebreath_core::{clue, drill, item};

pub fn rules() -> Rules {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../rules.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    rules::read(Source::new("rules.toml", &text)).unwrap()
}

pub fn library() -> &'static Library {
    static LIBRARY: LazyLock<Library> = LazyLock::new(read_library);
    &LIBRARY
}

fn read_library() -> Library {
    let mut library = Library::default();
    for (id, path, text) in files("drills") {
        library.add_drill(drill::read(&id, Source::new(&path, &text)).unwrap());
    }
    for (id, path, text) in files("clues") {
        library.add_clue_set(clue::read(&id, Source::new(&path, &text)).unwrap()).unwrap();
    }
    for (id, path, text) in files("items") {
        library.add_item_set(item::read(&id, Source::new(&path, &text)).unwrap()).unwrap();
    }
    library
}

/// The library with the words of a region, such as `en-us`.
pub fn library_of(region: &str) -> Library {
    let mut library = library().clone();
    let language = region.split('-').next().unwrap();
    for (id, path, text) in files(&format!("regions/{region}")) {
        let set = library.clue_set_in(&id, language).unwrap();
        *set = clue::overlay(set, Source::new(&path, &text)).unwrap();
    }
    library
}

pub fn plan(text: &str) -> Plan {
    draft::read_plan(Source::new("plan.toml", text), library()).unwrap()
}

pub fn shipped_plan() -> Plan {
    let (_, path, text) = files("plans").into_iter().find(|(id, ..)| id == "tuesday-at-ten").unwrap();
    draft::read_plan(Source::new(&path, &text), library()).unwrap()
}

pub fn files(folder: &str) -> Vec<(String, String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(folder);
    let mut paths: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    paths.sort_by_key(|path| path.file_stem().unwrap().to_owned());
    paths
        .into_iter()
        .map(|path| {
            let id = path.file_stem().unwrap().to_string_lossy().into_owned();
            (id, path.display().to_string(), std::fs::read_to_string(&path).unwrap())
        })
        .collect()
}
