//! The address from which a request comes: the peer's, or the one that a trusted proxy names.

use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;

use axum::extract::{ConnectInfo, FromRef, FromRequestParts};
use axum::http::HeaderMap;
use axum::http::request::Parts;
use ipnet::IpNet;

/// The address from which a request comes. Limits are counted by it, so it must be a person's or a household's
/// address and not a proxy's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caller(pub IpAddr);

impl Caller {
    /// What counts as one caller: an IPv4 address, or the first half of an IPv6 address, since a household has the
    /// whole other half.
    pub fn key(self) -> u128 {
        match self.0.to_canonical() {
            IpAddr::V4(v4) => u128::from(v4.to_bits()),
            IpAddr::V6(v6) => v6.to_bits() >> 64 << 64,
        }
    }
}

impl Caller {
    /// The address as it is written down: of an IPv6 address only the household's half.
    pub fn masked(self) -> String {
        match self.0.to_canonical() {
            IpAddr::V4(v4) => v4.to_string(),
            IpAddr::V6(_) => format!("{}/64", std::net::Ipv6Addr::from(self.key())),
        }
    }
}

/// The proxies that are believed about where a request comes from.
#[derive(Debug, Clone)]
pub struct TrustedProxies(pub Arc<[IpNet]>);

impl TrustedProxies {
    /// Whether `address` is one of these proxies.
    pub fn has(&self, address: IpAddr) -> bool {
        self.0.iter().any(|net| net.contains(&address.to_canonical()))
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Caller
where
    TrustedProxies: FromRef<S>,
{
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Self::Rejection> {
        let peer = parts.extensions.get::<ConnectInfo<SocketAddr>>().map(|ConnectInfo(peer)| peer.ip());
        let peer = peer.unwrap_or(IpAddr::from([0, 0, 0, 0]));
        Ok(Self(caller(peer, &parts.headers, &TrustedProxies::from_ref(state))))
    }
}

/// Goes back from the peer through `X-Forwarded-For` for as long as the address is one of our own proxies. The
/// first address that is not is the caller; anybody could have written what stands before it.
fn caller(peer: IpAddr, headers: &HeaderMap, trusted: &TrustedProxies) -> IpAddr {
    let lines: Vec<&str> =
        headers.get_all("x-forwarded-for").iter().filter_map(|line| line.to_str().ok()).collect();
    let mut last = peer.to_canonical();
    for named in lines.iter().rev().flat_map(|line| line.rsplit(',')) {
        if !trusted.has(last) {
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
        let trusted = ["127.0.0.0/8", "10.0.0.0/8"].map(|net| net.parse().expect("a net"));
        let trusted = TrustedProxies(trusted.into());
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
