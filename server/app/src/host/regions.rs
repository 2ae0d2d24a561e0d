//! Words of a region: rounds of the word game in which some clues differ, because people there use another word or do
//! not know the thing.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use anyhow::Context;
use rust_embed::RustEmbed;
use samebreath_core::clue;
use samebreath_core::file::Source;
use samebreath_core::library::Library;

#[derive(RustEmbed)]
#[folder = "../regions"]
struct Regions;

/// The file of a round in a region: its name without the ending, its path and its text.
type File = (String, String, String);

/// Changes the rounds that come with the program to the words of the regions named, BCP 47 tags such as `en-US`.
///
/// # Errors
/// When neither the program nor `own` has such a region.
pub fn apply(library: &mut Library, names: &[String], own: Option<&Path>) -> anyhow::Result<()> {
    let built_in = built_in();
    for name in names.iter().map(|name| name.to_lowercase()) {
        let is_own = own.map(|own| folder_of(own, &name)).transpose()?.flatten().is_some();
        let known: Vec<&str> = built_in.keys().map(String::as_str).collect();
        anyhow::ensure!(
            is_own || built_in.contains_key(&name),
            "there are no words of the region `{name}`; the regions are `{}`, and the folders in `regions` of --library",
            known.join("`, `")
        );
        for file in built_in.get(&name).into_iter().flatten() {
            change(library, &name, file).map_err(anyhow::Error::msg)?;
        }
    }
    Ok(())
}

/// The same with an organisation's own words, in the folder `regions` of `own` with a folder for each region; they go
/// before those of the program, and may be of rounds of its own. Returns a sentence for each file that is refused.
///
/// # Errors
/// When a folder cannot be read.
pub fn apply_own(library: &mut Library, names: &[String], own: &Path) -> anyhow::Result<Vec<String>> {
    let mut refused = Vec::new();
    for name in names.iter().map(|name| name.to_lowercase()) {
        for file in folder_of(own, &name)?.map(|folder| own_files(&folder)).transpose()?.unwrap_or_default() {
            refused.extend(change(library, &name, &file).err());
        }
    }
    Ok(refused)
}

/// The folder of a region, however its letters are written.
fn folder_of(own: &Path, region: &str) -> anyhow::Result<Option<PathBuf>> {
    let regions = own.join("regions");
    if !regions.is_dir() {
        return Ok(None);
    }
    let entries =
        std::fs::read_dir(&regions).with_context(|| format!("cannot read {}", regions.display()))?;
    for entry in entries {
        let path = entry?.path();
        let is_it = path.file_name().is_some_and(|name| name.eq_ignore_ascii_case(region));
        if is_it && path.is_dir() {
            return Ok(Some(path));
        }
    }
    Ok(None)
}

fn change(library: &mut Library, region: &str, (id, path, text): &File) -> Result<(), String> {
    let language = region.split('-').next().unwrap_or(region);
    let set = library.clue_set_in(id, language).map_err(|error| format!("{path}: {error}"))?;
    *set = clue::overlay(set, Source::new(path, text)).map_err(|error| error.to_string())?;
    Ok(())
}

fn built_in() -> BTreeMap<String, Vec<File>> {
    let mut regions: BTreeMap<String, Vec<File>> = BTreeMap::new();
    for path in Regions::iter() {
        let (Some((region, name)), Some(file)) = (path.split_once('/'), Regions::get(&path)) else {
            continue;
        };
        let Some(id) = name.strip_suffix(".toml") else { continue };
        let text = String::from_utf8_lossy(&file.data).into_owned();
        regions.entry(region.to_owned()).or_default().push((id.to_owned(), path.to_string(), text));
    }
    regions
}

fn own_files(folder: &Path) -> anyhow::Result<Vec<File>> {
    let entries = std::fs::read_dir(folder).with_context(|| format!("cannot read {}", folder.display()))?;
    let mut files = Vec::new();
    for entry in entries {
        let path = entry?.path();
        let Some(id) = path.file_name().and_then(|name| name.to_str()?.strip_suffix(".toml")) else {
            continue;
        };
        let text =
            std::fs::read_to_string(&path).with_context(|| format!("cannot read {}", path.display()))?;
        files.push((id.to_owned(), path.display().to_string(), text));
    }
    files.sort();
    Ok(files)
}

#[cfg(test)]
mod tests {
    use crate::host::house::house;

    #[test]
    fn a_region_changes_the_words_and_an_unknown_one_is_refused() {
        let answer = |names: &[&str], own: Option<&std::path::Path>| {
            let names: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
            let house = house(own, &names).expect("the library");
            let kitchen = house.library.clue_set("kitchen").expect("the round");
            (kitchen.clues[6].answer.to_string(), house.refused)
        };
        assert_eq!(answer(&[], None).0, "tin opener");
        assert_eq!(answer(&["en-US", "es-MX"], None).0, "can opener");
        let unknown = house(None, &["en-au".to_owned()]).expect_err("no such region").to_string();
        assert!(
            unknown.starts_with("there are no words of the region `en-au`; the regions are `en-us`, `es-mx`")
        );

        let own = tempfile::tempdir().expect("a folder");
        let folder = own.path().join("regions/en-US");
        std::fs::create_dir_all(&folder).expect("a folder");
        let clue =
            "[[clue]]\nnumber = 7\ntext = \"It opens tins.\"\nanswer = \"tin knife\"\nhints = [\"Sharp.\"]\n";
        std::fs::write(folder.join("kitchen.toml"), clue).expect("a file");
        std::fs::write(folder.join("kitchn.toml"), clue).expect("a file");
        let (found, refused) = answer(&["en-us"], Some(own.path()));
        assert_eq!(found, "tin knife", "an organisation's own words go before those of the program");
        assert!(
            refused[0].ends_with("there is no clue set called `kitchn`; did you mean `kitchen`?"),
            "{refused:?}"
        );
    }

    #[test]
    fn a_round_of_ones_own_keeps_its_clues_in_every_region() {
        let own = tempfile::tempdir().expect("a folder");
        std::fs::create_dir(own.path().join("clues")).expect("a folder");
        let round = "theme = \"Ours\"\n[[clue]]\ntext = \"It bangs\"\nanswer = \"hammer\"\n";
        std::fs::write(own.path().join("clues/kitchen.toml"), round).expect("a file");
        let names = ["en-us".to_owned(), "es-mx".to_owned()];
        let house = house(Some(own.path()), &names).expect("the library");
        let kitchen = house.library.clue_set("kitchen").expect("the round");
        assert_eq!((kitchen.clues.len(), kitchen.clues[0].answer.as_str()), (1, "hammer"));
        assert_eq!(house.refused, Vec::<String>::new());
    }
}
