//! The address under which people reach the server.

use std::net::SocketAddr;

use url::Url;

/// The address under which people reach the server.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Site {
    /// Scheme, host and any unusual port, in the form that browsers send. `None` when no address was set; then the
    /// `Host` header of each request counts.
    pub origin: Option<String>,
    /// What comes before the path of every page, such as `/voice`, and is removed by the proxy. Empty at the root
    /// of a host.
    pub path: String,
}

impl Site {
    /// Reads an address such as <https://class.example> or <https://clinic.example/voice>.
    ///
    /// # Errors
    /// A sentence that says what is wrong and how to put it right.
    pub fn read(given: &str) -> Result<Self, String> {
        let wrong = |what: &str| format!("--public-url is `{given}`; {what}, such as https://class.example");
        let url = Url::parse(given).map_err(|_| wrong("it must be a complete address"))?;
        if !matches!(url.scheme(), "http" | "https") {
            return Err(wrong("it must begin with https:// (or http://)"));
        }
        if url.query().is_some() || url.fragment().is_some() {
            return Err(wrong("it must be an address without `?` or `#`"));
        }
        if !url.username().is_empty() || url.password().is_some() {
            return Err(wrong("it must be an address without a user name or password"));
        }
        let path = url.path().trim_end_matches('/');
        let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '/' | '-' | '_' | '.');
        if !path.chars().all(plain) || path.contains("//") {
            return Err(wrong("its path may have letters, digits, `-`, `_`, `.` and single `/`"));
        }
        Ok(Self { origin: Some(url.origin().ascii_serialization()), path: path.to_owned() })
    }

    /// Whether browsers reach the server over https, so that cookies can require it.
    #[must_use]
    pub fn is_secure(&self) -> bool {
        self.origin.as_ref().is_some_and(|origin| origin.starts_with("https://"))
    }

    /// What comes before the path of a page in a link. When no address was set, it is the one that the server
    /// listens on.
    #[must_use]
    pub fn base(&self, listens_on: SocketAddr) -> String {
        let origin = self.origin.clone().unwrap_or_else(|| format!("http://{listens_on}"));
        format!("{origin}{}", self.path)
    }

    /// What the names of the site's cookies begin with. Over https the prefix `__Host-` makes browsers insist
    /// that a cookie is secure and has the path `/`. So that two sites of one host do not take each other's
    /// cookies, the site's own path is in the name.
    #[must_use]
    pub fn cookie_prefix(&self) -> String {
        let host = if self.is_secure() { "__Host-" } else { "" };
        format!("{host}samebreath{}-", self.path.replace('/', "-"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_public_address_is_brought_into_the_form_that_browsers_send() {
        let check = |given: &str, expected: &str| {
            let site = Site::read(given).expect(given);
            assert_eq!(site.base(([127, 0, 0, 1], 1).into()), expected, "{given}");
        };
        check("https://class.example", "https://class.example");
        check("https://class.example/", "https://class.example");
        check("https://Class.Example:443", "https://class.example");
        check("http://class.example:8080", "http://class.example:8080");
        check("https://bücher.example", "https://xn--bcher-kva.example");
        check("https://class.example/voice/", "https://class.example/voice");
        check("https://class.example/a/b", "https://class.example/a/b");
        for wrong in [
            "class.example",
            "ftp://class.example",
            "https://class.example/?x",
            "https://class.example/#x",
            "https://class.example/a//b",
            "https://class.example/a\"b",
            "https://a:b@class.example",
        ] {
            let said = Site::read(wrong).expect_err(wrong);
            assert!(said.contains("such as https://class.example"), "{said}");
        }
    }
    #[test]
    fn sites_of_one_host_have_cookies_of_their_own() {
        let prefix = |given: &str| Site::read(given).expect(given).cookie_prefix();
        assert_eq!(Site::default().cookie_prefix(), "samebreath-");
        assert_eq!(prefix("https://class.example"), "__Host-samebreath-");
        assert_eq!(prefix("https://class.example/a/b"), "__Host-samebreath-a-b-");
        assert_eq!(prefix("http://class.example/a"), "samebreath-a-");
    }
}
