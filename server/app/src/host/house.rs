//! What classes are made of: the drills, clue sets, languages, plans and house rules that come with the program,
//! and those of an organisation's own.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::Context;
use rust_embed::RustEmbed;
use samebreath_core::file::{FileError, Source};
use samebreath_core::language::{self, Language};
use samebreath_core::library::Library;
use samebreath_core::people::rules::{self, Rules};
use samebreath_core::plan::Plan;
use samebreath_core::plan::draft::{self, Draft};
use samebreath_core::{clue, drill, item};

use crate::host::regions;

#[derive(RustEmbed)]
#[folder = "../drills"]
struct Drills;

#[derive(RustEmbed)]
#[folder = "../clues"]
struct Clues;

#[derive(RustEmbed)]
#[folder = "../items"]
struct Items;

#[derive(RustEmbed)]
#[folder = "../languages"]
struct Languages;

#[derive(RustEmbed)]
#[folder = "../plans"]
struct Plans;

/// The house rules that come with the program.
const RULES: &str = include_str!("../../../rules.toml");

/// The plan of the demo.
const DEMO: &str = "tuesday-at-ten.toml";

/// What classes are made of.
#[derive(Debug, Clone, Default)]
pub struct House {
    /// Drills, clue sets and item sets.
    pub library: Arc<Library>,
    /// What participants read in other languages, by BCP 47 tag.
    pub languages: BTreeMap<String, Language>,
    /// The house rules.
    pub rules: Rules,
    /// A sentence for each of the organisation's files that was left out: file, line and reason.
    pub refused: Vec<String>,
}

/// What comes with the program, together with an organisation's own files in the folders `drills`, `clues` and
/// `items` of `own`, which add to it or replace parts of it. A clue set that replaces another also replaces its
/// translations. A wrong file is left out, and the rest is used.
///
/// # Errors
/// When `own` cannot be read at all.
pub fn house(own: Option<&Path>, names: &[String]) -> anyhow::Result<House> {
    let mut library = library()?;
    regions::apply(&mut library, names, own)?;
    let mut refused = own.map(|own| add_own(&mut library, own)).transpose()?.unwrap_or_default();
    if let Some(own) = own {
        refused.extend(regions::apply_own(&mut library, names, own)?);
    }
    let mut languages = languages()?;
    for words in library.item_words() {
        if let Some(language) = languages.get_mut(words.language.as_str()) {
            language.add(&words.own, &words.other);
        }
    }
    Ok(House { library: Arc::new(library), languages, rules: rules()?, refused })
}

/// Adds what is in `own`. Returns a sentence for each file that is refused.
fn add_own(library: &mut Library, own: &Path) -> anyhow::Result<Vec<String>> {
    anyhow::ensure!(
        own.is_dir(),
        "{} is not a folder; --library takes a folder with `drills`, `clues` and `items` in it",
        own.display()
    );
    let mut refused = Vec::new();
    for drill in own_files(&own.join("drills"), drill::read)? {
        match drill {
            Ok(drill) => library.add_drill(drill),
            Err(error) => refused.push(format!("{error:#}")),
        }
    }
    for set in own_files(&own.join("clues"), clue::read)? {
        let added = set.and_then(|set| library.add_clue_set(set).map_err(anyhow::Error::msg));
        refused.extend(added.err().map(|error| format!("{error:#}")));
    }
    for set in own_files(&own.join("items"), item::read)? {
        let added = set.and_then(|set| library.add_item_set(set).map_err(anyhow::Error::msg));
        refused.extend(added.err().map(|error| format!("{error:#}")));
    }
    Ok(refused)
}

/// What each TOML file of a folder says, or why it is refused; empty when there is no such folder. The files are
/// ordered by name without the ending, so that a clue set comes before its translations.
fn own_files<T>(
    folder: &Path,
    read: impl Fn(&str, Source<'_>) -> Result<T, FileError>,
) -> anyhow::Result<Vec<anyhow::Result<T>>> {
    if !folder.exists() {
        return Ok(Vec::new());
    }
    let entries = std::fs::read_dir(folder).with_context(|| format!("cannot read {}", folder.display()))?;
    let mut paths: Vec<_> = entries.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    paths.sort_by_key(|path| path.file_stem().map(ToOwned::to_owned));
    let read = |path: PathBuf| {
        let text =
            std::fs::read_to_string(&path).with_context(|| format!("cannot read {}", path.display()))?;
        let id = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        Ok(read(&id, Source::new(&path.display().to_string(), &text))?)
    };
    Ok(paths.into_iter().map(read).collect())
}

/// The library that comes with the program.
///
/// # Errors
/// When one of the embedded files is wrong, which the tests rule out.
pub fn library() -> anyhow::Result<Library> {
    let mut library = Library::default();
    for (name, text) in files::<Drills>() {
        library.add_drill(drill::read(stem(&name), Source::new(&name, &text))?);
    }
    for (name, text) in files::<Clues>() {
        let set = clue::read(stem(&name), Source::new(&name, &text))?;
        library.add_clue_set(set).map_err(anyhow::Error::msg)?;
    }
    for (name, text) in files::<Items>() {
        let set = item::read(stem(&name), Source::new(&name, &text))?;
        library.add_item_set(set).map_err(anyhow::Error::msg)?;
    }
    Ok(library)
}

/// The languages that come with the program.
///
/// # Errors
/// When one of the embedded files is wrong, which the tests rule out.
pub fn languages() -> Result<BTreeMap<String, Language>, FileError> {
    let read = |(name, text): (String, String)| {
        Ok((stem(&name).to_owned(), language::read(Source::new(&name, &text))?))
    };
    files::<Languages>().map(read).collect()
}

/// The plan of the demo.
///
/// # Errors
/// When the embedded file is wrong, which the tests rule out.
pub fn demo_plan(library: &Library) -> Result<Plan, FileError> {
    let text = files::<Plans>().find(|(name, _)| name == DEMO).map(|(_, text)| text).unwrap_or_default();
    draft::read_plan(Source::new(DEMO, &text), library)
}

/// The plans that come with the program, to start from: id and draft.
///
/// # Errors
/// When an embedded file is wrong, which the tests rule out.
pub fn templates(library: &Library) -> Result<Vec<(String, Draft)>, FileError> {
    let read = |(name, text): (String, String)| {
        Ok((stem(&name).to_owned(), draft::read(Source::new(&name, &text), library)?))
    };
    files::<Plans>().map(read).collect()
}

/// The house rules that come with the program.
///
/// # Errors
/// When the embedded file is wrong, which the tests rule out.
pub fn rules() -> Result<Rules, FileError> {
    rules::read(Source::new("rules.toml", RULES))
}

fn files<E: RustEmbed>() -> impl Iterator<Item = (String, String)> {
    let mut names: Vec<_> = E::iter().filter(|name| name.ends_with(".toml")).collect();
    names.sort_by(|one, other| stem(one).cmp(stem(other)));
    names.into_iter().filter_map(|name| {
        let file = E::get(&name)?;
        Some((name.to_string(), String::from_utf8_lossy(&file.data).into_owned()))
    })
}

fn stem(name: &str) -> &str {
    name.trim_end_matches(".toml")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_round_of_ones_own_has_the_translations_that_stand_beside_it() {
        let one = "theme = \"Ours\"\n[[clue]]\ntext = \"It bangs\"\nanswer = \"hammer\"\n";
        let folder = tempfile::tempdir().expect("a folder");
        let clues = folder.path().join("clues");
        std::fs::create_dir(&clues).expect("a folder");
        let languages_of = |id: &str| {
            let house = house(Some(folder.path()), &[]).expect("the library");
            let set = house.library.clue_set(id).expect("the round").clone();
            let tags = set.also.iter().map(|other| other.language.to_string()).collect::<Vec<_>>();
            (set.theme.to_string(), tags, house.refused)
        };
        std::fs::write(clues.join("toolbox.toml"), one).expect("a file");
        assert_eq!(languages_of("toolbox"), ("Ours".to_owned(), Vec::new(), Vec::new()));
        std::fs::write(clues.join("toolbox.es.toml"), one.replace("Ours", "Lo nuestro")).expect("a file");
        assert_eq!(languages_of("toolbox").1, ["es"]);
        assert_eq!(languages_of("kitchen").1, ["es"], "the other rounds stay as they were");
        std::fs::write(clues.join("tolbox.es.toml"), one).expect("a file");
        let refused = languages_of("toolbox").2;
        assert_eq!(refused, ["there is no clue set called `tolbox`; did you mean `toolbox`?"]);
    }
}
