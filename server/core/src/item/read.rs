//! Reads an item set's file.

use crate::file::{FileError, Source, Table};
use crate::item::{Item, ItemKind, ItemSet, ItemSetId, KINDS, Words};
use crate::text::LanguageTag;

/// Most items of a set.
const MOST: usize = 200;

/// Reads one item set; `id` is the name of its file without the ending, such as `everyday-short`, or
/// `everyday-short.es` for its Spanish translation.
///
/// # Errors
/// The first mistake, with its line.
pub fn read(id: &str, source: Source<'_>) -> Result<ItemSet, FileError> {
    let parsed = source.parse()?;
    let table = Table::new(source, "item set", parsed.span(), parsed.get_ref());
    let id = ItemSetId::try_from(id).map_err(|e| table.error(format!("the file's name: {e}")))?;
    let kind = table.choice("kind", &KINDS)?.ok_or_else(|| table.missing("kind"))?;
    let tag = id.as_str().split_once('.').map_or("en", |(_, tag)| tag);
    let language = LanguageTag::try_from(tag)
        .map_err(|e| table.error(format!("the language in the file's name: {e}")))?;
    let entries = table.tables("item", "item")?;
    if entries.is_empty() || entries.len() > MOST {
        return Err(
            table.error(format!("an item set has 1 to {MOST} [[item]]; this one has {}", entries.len()))
        );
    }
    let set = ItemSet {
        id,
        name: table.need_line("name")?,
        kind,
        language,
        items: entries.iter().map(|entry| read_item(entry, kind)).collect::<Result<_, _>>()?,
    };
    table.finish()?;
    let twice =
        set.items.iter().enumerate().find(|(n, item)| set.items[..*n].iter().any(|one| one.say == item.say));
    match twice.and_then(|(n, item)| Some((entries.get(n)?, item))) {
        Some((entry, item)) => Err(entry.error_at("say", format!("`{}` is in this set already", item.say))),
        None => Ok(set),
    }
}

fn read_item(table: &Table<'_>, kind: ItemKind) -> Result<Item, FileError> {
    let item = Item { say: table.need_line("say")?, then: table.line("then")?, pose: table.line("pose")? };
    match (kind.has_two_parts(), &item.then) {
        (true, None) => return Err(table.missing("then")),
        (false, Some(_)) => return Err(table.error_at("then", "items of this kind have no second part")),
        _ => {}
    }
    if kind == ItemKind::Stress && !has_one_stress(&item.say) {
        return Err(
            table.error_at("say", "one word must stand between asterisks, as in `I *never* said that.`")
        );
    }
    table.finish()?;
    Ok(item)
}

/// Whether exactly one word, or words side by side, stand between asterisks.
pub(crate) fn has_one_stress(say: &Words) -> bool {
    let parts: Vec<&str> = say.as_str().split('*').collect();
    matches!(parts[..], [_, stressed, _] if !stressed.trim().is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mistakes_are_reported_with_their_line() {
        let check = |kind: &str, item: &str, expected: &str| {
            let text = format!("name = \"Some\"\nkind = \"{kind}\"\n\n[[item]]\n{item}");
            let error = read("some", Source::new("some.toml", &text)).expect_err("a mistake");
            assert_eq!(error.to_string(), expected);
        };
        check("pair", "say = \"Is it late?\"\n", "some.toml:4: this item needs `then`");
        check(
            "phrase",
            "say = \"Good morning.\"\nthen = \"Hello.\"\n",
            "some.toml:6: items of this kind have no second part",
        );
        check(
            "stress",
            "say = \"I never said that.\"\n",
            "some.toml:5: one word must stand between asterisks, as in `I *never* said that.`",
        );
        check(
            "phrase",
            "say = \"Good morning.\"\n[[item]]\nsay = \"Good morning.\"\n",
            "some.toml:7: `Good morning.` is in this set already",
        );
    }

    #[test]
    fn a_translation_needs_as_many_items_of_the_same_kind() {
        let set = |id: &str, items: &str| {
            let text = format!("name = \"Some\"\nkind = \"phrase\"\n{items}");
            read(id, Source::new("x.toml", &text)).expect("a set")
        };
        let own = set("some", "[[item]]\nsay = \"Thank you.\"\n");
        let other = set("some.es", "[[item]]\nsay = \"Gracias.\"\n");
        assert_eq!(other.translates(), Some("some"));
        assert_eq!(other.language.as_str(), "es");
        assert_eq!(own.said_by(&other), Ok(vec![("Thank you.", "Gracias.")]));
        let more = set("some.es", "[[item]]\nsay = \"Gracias.\"\n[[item]]\nsay = \"Hola.\"\n");
        assert_eq!(
            own.said_by(&more),
            Err("`some` has 1 items; its translation `some.es` needs as many, of the same kind, and has 2"
                .to_owned())
        );
        assert_eq!(own.only(&[2]), Err("`some` has no item 2; its items are 1 to 1".to_owned()));
    }
}
