//! From which address a request comes: the peer's, or what a trusted proxy says of it.

use std::net::{IpAddr, SocketAddr};

use axum::extract::{ConnectInfo, FromRequestParts};
use axum::http::HeaderMap;
use axum::http::request::Parts;
use ipnet::IpNet;

use crate::app::App;

/// The address of whoever asks. A budget of it is a person's or a household's, not a proxy's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caller(pub IpAddr);

impl Caller {
    /// What counts as one caller: an IPv4 address, or the first half of an IPv6 one, of which a household has the
    /// rest.
    pub fn key(self) -> u128 {
        match self.0.to_canonical() {
            IpAddr::V4(v4) => u128::from(v4.to_bits()),
            IpAddr::V6(v6) => v6.to_bits() >> 64 << 64,
        }
    }
}

impl FromRequestParts<std::sync::Arc<App>> for Caller {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(
        parts: &mut Parts,
        app: &std::sync::Arc<App>,
    ) -> Result<Self, Self::Rejection> {
        let peer = parts.extensions.get::<ConnectInfo<SocketAddr>>().map(|ConnectInfo(peer)| peer.ip());
        let peer = peer.unwrap_or(IpAddr::from([0, 0, 0, 0]));
        Ok(Self(caller(peer, &parts.headers, &app.trusted_proxies)))
    }
}

/// Whether `address` is a proxy of ours.
pub fn is_trusted(address: IpAddr, trusted: &[IpNet]) -> bool {
    trusted.iter().any(|net| net.contains(&address.to_canonical()))
}

/// Goes back from the peer through `X-Forwarded-For` as long as proxies of ours vouch for it: the first address that
/// is none of theirs is the caller. What stands before that anybody could have written.
fn caller(peer: IpAddr, headers: &HeaderMap, trusted: &[IpNet]) -> IpAddr {
    let lines: Vec<&str> =
        headers.get_all("x-forwarded-for").iter().filter_map(|line| line.to_str().ok()).collect();
    let mut last = peer.to_canonical();
    for named in lines.iter().rev().flat_map(|line| line.rsplit(',')) {
        if !is_trusted(last, trusted) {
            break;
        }
        let Ok(named) = named.trim().parse::<IpAddr>() else { break };
        last = named.to_canonical();
    }
    last
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_our_own_proxies_say_is_believed() {
        let trusted: Vec<IpNet> =
            vec!["127.0.0.0/8".parse().expect("a net"), "10.0.0.0/8".parse().expect("a net")];
        let check = |peer: &str, forwarded: &[&str], expected: &str| {
            let mut headers = HeaderMap::new();
            for line in forwarded {
                headers.append("x-forwarded-for", line.parse().expect("a header"));
            }
            let found = caller(peer.parse().expect("an address"), &headers, &trusted);
            assert_eq!(found.to_string(), expected, "{peer} with {forwarded:?}");
        };
        check("203.0.113.9", &[], "203.0.113.9");
        check("203.0.113.9", &["198.51.100.1"], "203.0.113.9");
        check("127.0.0.1", &["198.51.100.1"], "198.51.100.1");
        check("127.0.0.1", &["192.0.2.66, 198.51.100.1"], "198.51.100.1");
        check("127.0.0.1", &["192.0.2.66", "198.51.100.1, 10.1.2.3"], "198.51.100.1");
        check("127.0.0.1", &["nonsense"], "127.0.0.1");
        check("127.0.0.1", &["2001:db8::7"], "2001:db8::7");
        check("::ffff:127.0.0.1", &["198.51.100.1"], "198.51.100.1");
        let key = |address: &str| Caller(address.parse().expect("an address")).key();
        assert_eq!(key("2001:db8::7"), key("2001:db8::8"), "one household");
        assert_ne!(key("2001:db8::7"), key("2001:db8:1::7"));
    }
}
