//! Passkeys of staff (Web Authentication Level 2): a device proves that it has a key, and that its owner is at it.

use std::net::IpAddr;

use url::{Host, Url};
use webauthn_rs::{Webauthn, WebauthnBuilder};

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
