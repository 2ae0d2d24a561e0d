//! First names as people type them: whether a name can be read, and whether two may belong to the same person.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;
use unicode_properties::{GeneralCategory, GeneralCategoryGroup, UnicodeGeneralCategory};

/// The characters that a name may have besides letters, marks and digits.
const BETWEEN: &str = " '’-‐.,&+/()·";
/// Most marks on one letter. Hebrew and Vietnamese need up to three; more would be drawn over the neighbouring
/// lines.
const MOST_MARKS: usize = 3;

/// Why nobody could read a name or tell it from another.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    /// The name has a character that is invisible or belongs in no name.
    #[error("a name cannot have the character U+{0:04X}; write letters")]
    Character(u32),
    /// A letter has more marks than can be read.
    #[error("a letter of this name has too many marks; at most {MOST_MARKS} can be read")]
    Marks,
    /// The name has nothing to read aloud.
    #[error("a name needs a letter")]
    NoLetter,
}

/// Checks that a new name can be read. Names already in ledgers and plans stay as they are.
///
/// # Errors
/// What makes it unreadable.
pub fn check(name: &str) -> Result<(), NameError> {
    let (mut marks, mut letters) = (0, 0);
    for c in name.chars() {
        match c.general_category_group() {
            _ if is_blank(c) => return Err(NameError::Character(u32::from(c))),
            GeneralCategoryGroup::Letter => (marks, letters) = (0, letters + 1),
            GeneralCategoryGroup::Mark => marks += 1,
            _ if c.general_category() == GeneralCategory::DecimalNumber || BETWEEN.contains(c) => marks = 0,
            _ => return Err(NameError::Character(u32::from(c))),
        }
        if marks > MOST_MARKS {
            return Err(NameError::Marks);
        }
    }
    if letters == 0 { Err(NameError::NoLetter) } else { Ok(()) }
}

/// Letters and marks that show nothing by themselves (Default_Ignorable_Code_Point of Unicode, in the categories
/// Lo and Mn; from memory).
fn is_blank(c: char) -> bool {
    matches!(c, '\u{034F}' | '\u{115F}' | '\u{1160}' | '\u{17B4}' | '\u{17B5}' | '\u{180B}'..='\u{180F}'
        | '\u{3164}' | '\u{FE00}'..='\u{FE0F}' | '\u{FFA0}' | '\u{E0100}'..='\u{E01EF}')
}

/// A name without case, accents and doubled spaces, for comparison.
#[must_use]
pub fn folded(name: &str) -> String {
    let plain: String = name.nfkd().filter(|c| !is_combining_mark(*c)).flat_map(char::to_lowercase).collect();
    plain.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// Whether two names may belong to the same person: they begin with the same word, or are one typing slip apart.
///
/// Short names must be equal: most names of three letters are one slip away from another name (an agreed choice).
#[must_use]
pub fn may_be_the_same(a: &str, b: &str) -> bool {
    let (a, b) = (folded(a), folded(b));
    let first = |name: &str| name.split(' ').next().unwrap_or_default().to_owned();
    let (first_a, first_b) = (first(&a), first(&b));
    if a == b || (!first_a.is_empty() && first_a == first_b) {
        return true;
    }
    let slip = |a: &str, b: &str| {
        a.chars().count().min(b.chars().count()) > 3 && strsim::damerau_levenshtein(a, b) <= 1
    };
    slip(&a, &b) || slip(&first_a, &first_b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_people_are_read_and_what_hides_or_overflows_is_not() {
        for name in [
            "Ana María",
            "O’Neill",
            "Jean-Luc",
            "Ben & Ida",
            "Nguyễn",
            "Nguye\u{302}\u{303}n",
            "ש\u{5C1}\u{5BC}\u{5B0}",
            "李",
            "Zoë 2",
        ] {
            assert_eq!(check(name), Ok(()), "{name}");
        }
        // An Arabic letter mark, line and paragraph separators, a Hangul filler, a tag, a blank braille cell.
        for hidden in
            ['\u{61C}', '\u{2028}', '\u{2029}', '\u{3164}', '\u{E0041}', '\u{2800}', '\u{FE0F}', '\u{E000}']
        {
            assert_eq!(check(&format!("An{hidden}n")), Err(NameError::Character(u32::from(hidden))));
        }
        assert_eq!(check(&format!("A{}nn", "\u{301}".repeat(4))), Err(NameError::Marks));
        assert_eq!(check("12"), Err(NameError::NoLetter));
    }

    #[test]
    fn names_are_the_same_with_a_slip_a_family_name_or_an_accent() {
        let check = |a: &str, b: &str, expected: bool| {
            assert_eq!(may_be_the_same(a, b), expected, "{a} and {b}");
            assert_eq!(may_be_the_same(b, a), expected, "{b} and {a}");
        };
        check("Henk", "Henk V", true);
        check("henk", "HENK", true);
        check("Zoë", "Zoe", true);
        check("Rosa", "Rosa M.", true);
        check("Anselm", "Anslem", true);
        check("Ifeoma", "Ifeona", true);
        check("Pat", "Mat", false);
        check("Ada", "Ida", false);
        check("Rosa", "Rosamund", false);
        check("Ben", "Bente", false);
    }
}
