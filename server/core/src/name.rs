//! First names as people type them: whether two may be the same person's.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// A name without case, accents and doubled spaces, for comparing.
#[must_use]
pub fn folded(name: &str) -> String {
    let plain: String = name.nfkd().filter(|c| !is_combining_mark(*c)).flat_map(char::to_lowercase).collect();
    plain.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// Whether two names may be the same person's: the same word first, or one slip of the finger apart.
///
/// Short names must agree: most of three letters are one slip from another name (an agreed choice).
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
