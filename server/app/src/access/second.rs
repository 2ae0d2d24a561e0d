//! The second factor: codes that an app shows (RFC 6238), six digits every thirty seconds.

use rand::Rng;
use samebreath_core::time::EpochMs;
use totp_rs::{Builder, Secret, Totp};

/// The length of a secret in bytes: as long as the hash (RFC 4226, section 4, R6).
const SECRET_BYTES: usize = 20;

/// A new secret in base 32.
pub fn new_secret() -> String {
    let mut bytes = [0; SECRET_BYTES];
    rand::rng().fill_bytes(&mut bytes);
    Secret::new(bytes.into()).to_base32()
}

/// The step whose code this is, if it is one of now, the step before or the step after.
pub fn step(secret: &str, code: &str, now: EpochMs) -> Option<u64> {
    let digits: String = code.chars().filter(|c| !c.is_whitespace()).collect();
    totp(secret, "account")?.check(&digits, u64::try_from(now.0 / 1_000).ok()?)
}

/// The secret as an address that apps open.
pub fn address(secret: &str, sign_in: &str) -> Option<String> {
    totp(secret, &sign_in.replace(':', " "))?.to_url().ok()
}

fn totp(secret: &str, account: &str) -> Option<Totp> {
    let secret = Secret::try_from_base32(secret).ok()?;
    let builder = Builder::new().with_secret(secret).with_account_name(account);
    builder.with_issuer(Some("Samebreath")).build().ok()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test module")]
mod tests {
    use super::*;

    /// RFC 6238, appendix B, SHA-1: the last six of the eight digits for the secret "12345678901234567890"; values
    /// from memory.
    #[test]
    fn codes_are_those_of_the_standard() {
        let secret = Secret::new(b"12345678901234567890".to_vec().into()).to_base32();
        let at = |seconds: i64, code: &str| step(&secret, code, EpochMs(seconds * 1_000));
        assert_eq!(at(59, "287082"), Some(1));
        assert_eq!(at(1_111_111_109, "081 804"), Some(37_037_036));
        assert_eq!(at(1_111_111_111, "050471"), Some(37_037_037));
        assert_eq!(at(1_234_567_890, "005924"), Some(41_152_263));
        assert_eq!(at(2_000_000_000, "279037"), Some(66_666_666));
        assert_eq!(at(89, "287082"), Some(1), "one step late");
        assert_eq!(at(29, "287082"), Some(1), "one step early");
        assert_eq!(at(120, "287082"), None);
        assert_eq!(at(59, "28708"), None);
        assert_eq!(at(59, "nonsense"), None);
    }

    #[test]
    fn a_new_secret_can_be_opened_by_an_app() {
        let secret = new_secret();
        assert_eq!(Secret::try_from_base32(&secret).unwrap().as_bytes().len(), SECRET_BYTES);
        assert_ne!(secret, new_secret());
        let address = address(&secret, "ines: q").unwrap();
        assert!(address.starts_with("otpauth://totp/Samebreath:ines"), "{address}");
        assert!(address.contains(&format!("secret={secret}")), "{address}");
    }
}
