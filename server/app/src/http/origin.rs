//! Tells requests of other websites from our own, so that they can be refused: another site's page must not open
//! a socket or change anything with a visitor's cookies.

use axum::http::{HeaderMap, header};

/// Whose origin a request names. A request without one does not come from a page's script; opening a socket
/// requires one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// This server's own.
    Own,
    /// Another website's, or one that cannot be read.
    Foreign,
    /// The request names none.
    Absent,
}

/// Compares scheme, host and port with `own_origin` if it is set, otherwise with the `Host` header.
pub fn origin(headers: &HeaderMap, own_origin: Option<&str>) -> Origin {
    let text = |name| headers.get(name).and_then(|value| value.to_str().ok());
    let Some(origin) = headers.get(header::ORIGIN) else { return Origin::Absent };
    let Ok(origin) = origin.to_str() else { return Origin::Foreign };
    let own = match (own_origin, text(header::HOST)) {
        (Some(own), _) => origin.eq_ignore_ascii_case(own),
        (None, Some(host)) => {
            ["http", "https"].iter().any(|scheme| origin.eq_ignore_ascii_case(&format!("{scheme}://{host}")))
        }
        (None, None) => false,
    };
    if own { Origin::Own } else { Origin::Foreign }
}

#[cfg(test)]
mod tests {
    use axum::http::HeaderValue;

    use super::*;

    #[test]
    fn only_the_same_scheme_host_and_port_are_our_own() {
        let check = |given: Option<&str>, own_origin: Option<&str>, expected: Origin| {
            let mut headers = HeaderMap::new();
            headers.insert(header::HOST, HeaderValue::from_static("class.example:8080"));
            if let Some(given) = given {
                headers.insert(header::ORIGIN, HeaderValue::from_str(given).expect("a header"));
            }
            assert_eq!(origin(&headers, own_origin), expected, "{given:?}");
        };
        check(None, None, Origin::Absent);
        check(Some("http://class.example:8080"), None, Origin::Own);
        check(Some("HTTP://CLASS.example:8080"), None, Origin::Own);
        let foreign = [
            "null",
            "",
            "http://class.example",
            "http://class.example:8081",
            "http://evil.example",
            "http://class.example:8080.evil.example",
            "http://sub.class.example:8080",
            "http://evilclass.example:8080",
            "ftp://class.example:8080",
            "class.example:8080",
        ];
        for given in foreign {
            check(Some(given), None, Origin::Foreign);
        }
        check(Some("https://class.example"), Some("https://class.example"), Origin::Own);
        check(Some("http://class.example"), Some("https://class.example"), Origin::Foreign);
    }
}
