//! The secrets that open a session: tokens in links and cookies, and codes that people read out.

use rand::RngExt;
use sha2::{Digest, Sha256};

/// Crockford's base 32: no I, L, O or U, so that a code can be read out on the telephone
/// (crockford.com/base32.html).
pub(super) const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// 8 characters are 40 bits.
const CODE_CHARS: usize = 8;
/// 32 characters are 160 bits, above the 120 that capability URLs ask for (W3C TAG, "Good Practices
/// for Capability URLs").
const TOKEN_CHARS: usize = 32;

/// A new code for a class.
pub fn new_code() -> String {
    random_chars(CODE_CHARS)
}

/// A new token for a link or a cookie.
pub fn new_token() -> String {
    random_chars(TOKEN_CHARS)
}

fn random_chars(count: usize) -> String {
    let mut random = rand::rng();
    (0..count).map(|_| char::from(ALPHABET[random.random_range(0..ALPHABET.len())])).collect()
}

/// What the store keeps of a token.
pub fn hash(token: &str) -> String {
    Sha256::digest(token.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// What the store keeps of a link's token or a hand-over code. It does not matter how the code was typed.
pub fn link_hash(token: &str) -> String {
    hash(&read_code(token).unwrap_or_else(|_| token.to_owned()))
}

/// A code as it is shown, in two groups of characters.
pub fn grouped(code: &str) -> String {
    let (first, second) = code.split_at(code.len() / 2);
    format!("{first}-{second}")
}

/// Whether `c` is one of the dashes that keyboards and word processors write.
fn is_dash(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2060}')
}

/// A long code as it is compared: case, spaces and dashes do not matter, and letters that look like digits are read
/// as those digits.
pub fn read_long(typed: &str) -> String {
    let kept = typed.chars().filter(|c| !c.is_whitespace() && !is_dash(*c));
    kept.map(read_char).collect()
}

/// A letter in the alphabet of codes.
fn read_char(c: char) -> char {
    match c.to_ascii_uppercase() {
        'I' | 'L' => '1',
        'O' => '0',
        other => other,
    }
}

/// Brings a typed code into the form that is stored: case, spaces and dashes do not matter, and letters that look
/// like digits are read as those digits.
///
/// # Errors
/// A sentence saying what is wrong.
pub fn read_code(typed: &str) -> Result<String, String> {
    let mut code = String::new();
    for c in typed.chars().filter(|c| !c.is_whitespace() && !is_dash(*c)) {
        let c = read_char(c);
        if !c.is_ascii() || !ALPHABET.contains(&(c as u8)) {
            return Err(format!("a class code has no `{c}`; it has 8 letters and digits, such as 7KPM-2XQD"));
        }
        code.push(c);
    }
    match code.len() {
        CODE_CHARS => Ok(code),
        found => Err(format!("this code has {found} characters; a class code has {CODE_CHARS}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_read_forgivingly() {
        let check = |typed: &str, expected: Result<&str, &str>| {
            let found = read_code(typed);
            assert_eq!(found.as_deref().map_err(String::as_str), expected, "{typed}");
        };
        check("7KPM-2XQD", Ok("7KPM2XQD"));
        check(" 7kpm 2xqd ", Ok("7KPM2XQD"));
        check("7KPM\u{2013}2XQD", Ok("7KPM2XQD"));
        check("oiLm-2xqd", Ok("011M2XQD"));
        check("7KPM", Err("this code has 4 characters; a class code has 8"));
        check("7KPM-2XQU", Err("a class code has no `U`; it has 8 letters and digits, such as 7KPM-2XQD"));
    }

    #[test]
    fn new_codes_and_tokens_have_their_length_and_alphabet() {
        assert_eq!(read_code(&grouped(&new_code())).map(|c| c.len()), Ok(CODE_CHARS));
        let token = new_token();
        assert!(token.len() == TOKEN_CHARS && token.bytes().all(|b| ALPHABET.contains(&b)));
        assert_ne!(token, new_token());
    }

    /// SHA-256 of "abc": FIPS 180-2, appendix B.1.
    #[test]
    fn the_hash_is_sha_256() {
        assert_eq!(hash("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
