//! The drills, clue sets and plans that come with the program.

use rust_embed::RustEmbed;
use samebreath_core::file::{FileError, Source};
use samebreath_core::library::Library;
use samebreath_core::plan::{self, Plan};
use samebreath_core::rules::{self, Rules};
use samebreath_core::{clue, drill};

#[derive(RustEmbed)]
#[folder = "../drills"]
struct Drills;

#[derive(RustEmbed)]
#[folder = "../clues"]
struct Clues;

#[derive(RustEmbed)]
#[folder = "../plans"]
struct Plans;

/// The house rules that come with the program.
const RULES: &str = include_str!("../../rules.toml");

/// The plan of the demo.
const DEMO: &str = "tuesday-at-ten.toml";

/// The library that comes with the program.
///
/// # Errors
/// When one of the embedded files is wrong, which the tests rule out.
pub fn library() -> Result<Library, FileError> {
    let mut library = Library::default();
    for (name, text) in files::<Drills>() {
        library.add_drill(drill::read(stem(&name), Source::new(&name, &text))?);
    }
    for (name, text) in files::<Clues>() {
        library.add_clue_set(clue::read(stem(&name), Source::new(&name, &text))?);
    }
    Ok(library)
}

/// The plan of the demo.
///
/// # Errors
/// When the embedded file is wrong, which the tests rule out.
pub fn demo_plan(library: &Library) -> Result<Plan, FileError> {
    let text = files::<Plans>().find(|(name, _)| name == DEMO).map(|(_, text)| text).unwrap_or_default();
    plan::read(Source::new(DEMO, &text), library)
}

/// The house rules that come with the program.
///
/// # Errors
/// When the embedded file is wrong, which the tests rule out.
pub fn rules() -> Result<Rules, FileError> {
    rules::read(Source::new("rules.toml", RULES))
}

fn files<E: RustEmbed>() -> impl Iterator<Item = (String, String)> {
    E::iter().filter(|name| name.ends_with(".toml")).filter_map(|name| {
        let file = E::get(&name)?;
        Some((name.to_string(), String::from_utf8_lossy(&file.data).into_owned()))
    })
}

fn stem(name: &str) -> &str {
    name.trim_end_matches(".toml")
}
