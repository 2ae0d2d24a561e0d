//! Passkeys of staff (Web Authentication Level 2): a device proves that it has a key, and that its owner is at it.

use std::net::IpAddr;

use dashmap::DashMap;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use url::{Host, Url};
use uuid::Uuid;
use webauthn_rs::prelude::{PasskeyAuthentication, PasskeyRegistration};
use webauthn_rs::{Webauthn, WebauthnBuilder};

/// How long somebody may take between the question and their device's answer.
const TAKES_MS: i64 = 5 * 60_000;
/// The most questions that are open at once; then the oldest are dropped.
const MOST_OPEN: usize = 10_000;

/// A question to a device, of which the answer is awaited.
#[derive(Debug, Clone)]
pub enum Ceremony {
    /// It makes a key.
    Make(AccountId, Box<PasskeyRegistration>),
    /// It uses one.
    Use(AccountId, Box<PasskeyAuthentication>),
}

/// The questions that are open. Browsers never see what has to be remembered of them.
#[derive(Debug, Default)]
pub struct Ceremonies(DashMap<Uuid, (EpochMs, Ceremony)>);

impl Ceremonies {
    /// Remembers a question, and returns its id.
    pub fn begin(&self, ceremony: Ceremony, now: EpochMs) -> Uuid {
        self.0.retain(|_, (since, _)| now.since(*since) < TAKES_MS);
        while self.0.len() >= MOST_OPEN {
            let oldest = self.0.iter().min_by_key(|one| one.value().0).map(|one| *one.key());
            if oldest.is_none_or(|oldest| self.0.remove(&oldest).is_none()) {
                break;
            }
        }
        let id = Uuid::new_v4();
        self.0.insert(id, (now, ceremony));
        id
    }

    /// Takes a question; it can be answered once.
    pub fn take(&self, id: Uuid, now: EpochMs) -> Option<Ceremony> {
        let (_, (since, ceremony)) = self.0.remove(&id)?;
        (now.since(since) < TAKES_MS).then_some(ceremony)
    }
}

/// What speaks for this site to devices. `origin` is the address in the browser.
///
/// # Errors
/// A sentence that says why there can be no passkeys at this address.
pub fn for_site(origin: &str) -> Result<Webauthn, String> {
    let url =
        Url::parse(origin).map_err(|_| "this page has no address that a passkey could be for".to_owned())?;
    let host = match url.host() {
        Some(Host::Domain(host)) if host.parse::<IpAddr>().is_err() => host.to_owned(),
        _ => {
            return Err(
                "passkeys are for a name, not for a number: open the server by its name, such as localhost or \
                 class.example"
                    .to_owned(),
            );
        }
    };
    let made = WebauthnBuilder::new(&host, &url).and_then(|site| site.rp_name("Samebreath").build());
    made.map_err(|error| format!("there can be no passkeys at {origin}: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passkeys_are_for_names() {
        for origin in ["https://class.example", "http://localhost:8787"] {
            assert!(for_site(origin).is_ok(), "{origin}");
        }
        for origin in ["http://127.0.0.1:8787", "https://[2001:db8::1]", "null"] {
            assert!(for_site(origin).is_err(), "{origin}");
        }
    }
}
