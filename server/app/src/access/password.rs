//! Passwords and recovery codes: which passwords are good enough, and how both are hashed.

use std::sync::LazyLock;

use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use rand::RngExt;
use samebreath_core::staff::account::AccountId;
use tokio::sync::Semaphore;

use crate::access::token;

/// The shortest password that is the only factor, and the shortest one beside a second factor (NIST SP 800-63B-4,
/// section 3.1.1, as quoted by OWASP ASVS).
const SHORTEST_ALONE: usize = 15;
const SHORTEST_WITH_SECOND: usize = 8;
/// The longest password that is taken.
const LONGEST: usize = 128;
/// Passwords for which fewer guesses than ten to this power would do are refused, as common ones are
/// (ASVS 5.0.0, 6.2.4). An agreed choice.
const GUESSES_LOG10: f64 = 8.0;
/// The memory in KiB, the passes over it and the lanes of argon2id (RFC 9106, section 4, second choice).
const COST: Cost = (64 * 1024, 3, 4);
/// The same for recovery codes, which are random: the least that OWASP's "Password Storage Cheat Sheet" advises.
const CODE_COST: Cost = (19 * 1024, 2, 1);
type Cost = (u32, u32, u32);
/// How many hashes are worked out at once, and how many may wait for that. Each takes 64 MiB.
const AT_ONCE: usize = 2;
const WAIT_AT_ONCE: usize = 16;
/// How many recovery codes an account has, and the characters of each: 80 bits.
const CODES: usize = 10;
const CODE_CHARS: usize = 16;

/// Works out hashes, a few at a time.
pub struct Hashing {
    at_once: Semaphore,
    places: Semaphore,
}

/// Too many people are waiting for a hash.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Busy;

impl Default for Hashing {
    fn default() -> Self {
        Self { at_once: Semaphore::new(AT_ONCE), places: Semaphore::new(AT_ONCE + WAIT_AT_ONCE) }
    }
}

impl Hashing {
    async fn run<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Result<T, Busy> {
        let _place = self.places.try_acquire().map_err(|_| Busy)?;
        let _turn = self.at_once.acquire().await.map_err(|_| Busy)?;
        tokio::task::spawn_blocking(work).await.map_err(|_| Busy)
    }

    /// The hash of a password, as a PHC string with a salt of its own.
    ///
    /// # Errors
    /// When too many are waiting.
    pub async fn hash(&self, password: String) -> Result<String, Busy> {
        let work = move || argon2(COST).hash_password(password.as_bytes()).map(|hash| hash.to_string());
        self.run(work).await?.map_err(|_| Busy)
    }

    /// Whether `password` has this hash. Without a hash the answer is no, and takes as long.
    ///
    /// # Errors
    /// When too many are waiting.
    pub async fn is(&self, password: String, hash: Option<String>) -> Result<bool, Busy> {
        self.run(move || {
            let known = hash.is_some();
            let hash = hash.unwrap_or_else(|| NOBODYS.clone());
            let Ok(hash) = PasswordHash::new(&hash) else { return false };
            argon2(COST).verify_password(password.as_bytes(), &hash).is_ok() && known
        })
        .await
    }

    /// The hashes of recovery codes. All of an account have one salt, so that a typed one is found with one hash.
    ///
    /// # Errors
    /// When too many are waiting.
    pub async fn hash_codes(&self, id: AccountId, codes: Vec<String>) -> Result<Vec<String>, Busy> {
        self.run(move || codes.iter().map(|code| hash_code(id, code)).collect()).await
    }
}

/// The hash of no password, so that an unknown name takes as long as a wrong password.
static NOBODYS: LazyLock<String> =
    LazyLock::new(|| argon2(COST).hash_password(b"nobody").map(|hash| hash.to_string()).unwrap_or_default());

fn argon2((memory, passes, lanes): Cost) -> Argon2<'static> {
    let params = Params::new(memory, passes, lanes, None).unwrap_or_default();
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
}

/// Whether a hash was worked out at another cost than today's.
pub fn is_old(hash: &str) -> bool {
    let (memory, passes, lanes) = COST;
    !hash.starts_with(&format!("$argon2id$v=19$m={memory},t={passes},p={lanes}$"))
}

/// Checks a new password. `about` is what an attacker would try first: the account's names.
///
/// # Errors
/// A sentence saying what is wrong and what would be right.
pub fn check(password: &str, has_second: bool, about: &[&str]) -> Result<(), String> {
    let shortest = if has_second { SHORTEST_WITH_SECOND } else { SHORTEST_ALONE };
    match password.chars().count() {
        found if found < shortest => Err(format!(
            "this password has {found} characters; choose one with at least {shortest}, such as four or five words"
        )),
        found if found > LONGEST => {
            Err(format!("this password has {found} characters; at most {LONGEST} are taken"))
        }
        _ => {
            let known = [about, &["samebreath"]].concat();
            let guesses = zxcvbn::zxcvbn(password, &known).guesses_log10();
            if guesses < GUESSES_LOG10 {
                return Err(
                    "this password is easy to guess; choose words that do not belong together".to_owned()
                );
            }
            Ok(())
        }
    }
}

/// New recovery codes, as they are compared.
pub fn new_codes() -> Vec<String> {
    let mut random = rand::rng();
    let mut code =
        || (0..CODE_CHARS).map(|_| char::from(token::ALPHABET[random.random_range(0..32)])).collect();
    std::iter::repeat_with(&mut code).take(CODES).collect()
}

/// A recovery code as it is shown, in groups of four.
pub fn grouped(code: &str) -> String {
    let chars: Vec<char> = code.chars().collect();
    chars.chunks(4).map(|four| four.iter().collect::<String>()).collect::<Vec<_>>().join("-")
}

fn hash_code(id: AccountId, code: &str) -> String {
    let mut out = [0; 32];
    // Fails only for a salt of the wrong length. An empty text is no code's hash.
    match argon2(CODE_COST).hash_password_into(code.as_bytes(), id.0.as_bytes(), &mut out) {
        Ok(()) => out.iter().map(|byte| format!("{byte:02x}")).collect(),
        Err(_) => String::new(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test module")]
mod tests {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};

    use uuid::Uuid;

    use super::*;

    #[test]
    fn a_password_is_long_enough_and_hard_to_guess() {
        let refused = |password: &str, second| check(password, second, &["ines", "Inés Quintana"]).err();
        let says = |password: &str, second, part: &str| {
            let said = refused(password, second).unwrap_or_default();
            assert!(said.contains(part), "{password}: {said}");
        };
        says("14 characters.", false, "14 characters; choose one with at least 15");
        assert_eq!(refused("lamp otter sill", false), None, "15 characters");
        says("kq7-Rm2", true, "at least 8");
        assert_eq!(refused("kq7-Rm2p", true), None, "8 characters beside a second factor");
        says("kq7-Rm2p", false, "at least 15");
        says("password1", true, "easy to guess");
        says("aaaaaaaaaaaaaaaaaaaa", false, "easy to guess");
        says("inesinesinesines", false, "easy to guess");
        says("samebreathsamebreath", false, "easy to guess");
        says("1234567890123456", false, "easy to guess");
        assert_eq!(
            refused(&"wé ".repeat(42), false),
            Some("this password is easy to guess; choose words that do not belong together".to_owned())
        );
        says(&"x".repeat(129), false, "at most 128");
        assert_eq!(refused("пять медленных выдр у окна", false), None, "any letters");
    }

    /// The published test vector of argon2id: RFC 9106, section 5.3.
    #[test]
    fn the_hash_is_argon2id() {
        let params = argon2::ParamsBuilder::new()
            .m_cost(32)
            .t_cost(3)
            .p_cost(4)
            .output_len(32)
            .data(argon2::AssociatedData::new(&[4; 12]).unwrap())
            .build()
            .unwrap();
        let hasher = Argon2::new_with_secret(&[3; 8], Algorithm::Argon2id, Version::V0x13, params).unwrap();
        let mut out = [0; 32];
        hasher.hash_password_into(&[1; 32], &[2; 16], &mut out).unwrap();
        let hex: String = out.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(hex, "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659");
    }

    #[tokio::test]
    async fn passwords_and_codes_are_kept_as_costly_hashes() {
        let hashing = Hashing::default();
        let hash = hashing.hash("lamp otter sill".to_owned()).await.unwrap();
        assert!(hash.starts_with("$argon2id$v=19$m=65536,t=3,p=4$"), "{hash}");
        assert!(!is_old(&hash) && is_old("$argon2id$v=19$m=19456,t=2,p=1$x$y"));
        assert!(hashing.is("lamp otter sill".to_owned(), Some(hash.clone())).await.unwrap());
        assert!(!hashing.is("lamp otter sil".to_owned(), Some(hash)).await.unwrap());
        assert!(!hashing.is("nobody".to_owned(), None).await.unwrap());
        let codes = new_codes();
        assert_eq!((codes.len(), codes[0].len()), (10, 16));
        assert_eq!(grouped("ABCDEFGHJKMNPQRS"), "ABCD-EFGH-JKMN-PQRS");
        let (one, other) = (AccountId(Uuid::from_u128(1)), AccountId(Uuid::from_u128(2)));
        let code = vec![codes[0].clone()];
        let hashes = hashing.hash_codes(one, code.clone()).await.unwrap();
        assert_eq!(hashes, hashing.hash_codes(one, code.clone()).await.unwrap());
        assert_ne!(hashes, hashing.hash_codes(other, code).await.unwrap());
    }

    #[tokio::test]
    async fn of_many_who_sign_in_at_once_some_are_asked_to_wait() {
        let (hashing, freed) = (Arc::new(Hashing::default()), Arc::new(AtomicBool::new(false)));
        let all: Vec<_> = (0..100)
            .map(|_| {
                let (hashing, freed) = (Arc::clone(&hashing), Arc::clone(&freed));
                let work = move || {
                    while !freed.load(Ordering::Relaxed) {
                        std::thread::yield_now();
                    }
                };
                tokio::spawn(async move { hashing.run(work).await })
            })
            .collect();
        let refused = 100 - AT_ONCE - WAIT_AT_ONCE;
        while all.iter().filter(|one| one.is_finished()).count() < refused {
            tokio::task::yield_now().await;
        }
        freed.store(true, Ordering::Relaxed);
        let mut done = 0;
        for one in all {
            done += usize::from(one.await.unwrap().is_ok());
        }
        assert_eq!(done, AT_ONCE + WAIT_AT_ONCE);
    }
}
