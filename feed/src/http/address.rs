//! Addresses as requests name them. A request may say anything there, so only what looks like an address is taken.

use std::fmt;

use axum::http::HeaderMap;
use axum::http::header::HOST;

/// Longest name of a host, in bytes (RFC 1035 section 2.3.4).
const MAX_HOST: usize = 255;

/// A host and its port.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Place {
    /// A name, an IPv4 address, or an IPv6 address in brackets.
    pub(super) host: String,
    /// If it is not the scheme's own.
    pub(super) port: Option<u16>,
}

impl Place {
    /// A name or an address as certificates have it, on a port.
    pub(super) fn of(name: &str, port: u16) -> Self {
        let host = if name.contains(':') { format!("[{name}]") } else { name.to_owned() };
        Self { host, port: Some(port) }
    }

    /// The address of a path here; a port that is the scheme's own is left out.
    pub(super) fn url(&self, scheme: &str, path: &str) -> String {
        let host = &self.host;
        let own = if scheme == "http" { 80 } else { 443 };
        match self.port {
            Some(port) if port != own => format!("{scheme}://{host}:{port}{path}"),
            _ => format!("{scheme}://{host}{path}"),
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.port {
            None => f.write_str(&self.host),
            Some(port) => write!(f, "{}:{port}", self.host),
        }
    }
}

/// What a request takes the feed's address to be; none if it says none.
pub(super) fn asked(headers: &HeaderMap) -> Option<Place> {
    read(headers.get(HOST)?.to_str().ok()?)
}

/// Reads an address; none if it is none.
fn read(text: &str) -> Option<Place> {
    let end = text.rfind(']').map_or(0, |bracket| bracket + 1);
    let (host, port) = match text[end..].find(':') {
        None => (text, None),
        Some(colon) => {
            let (host, port) = text.split_at(end + colon);
            (host, Some(number(&port[1..])?))
        }
    };
    let inner = host.strip_prefix('[').and_then(|rest| rest.strip_suffix(']'));
    let fits = match inner {
        Some(inner) => inner.parse::<std::net::Ipv6Addr>().is_ok(),
        None => host.bytes().all(|byte| byte.is_ascii_alphanumeric() || b"-._".contains(&byte)),
    };
    (fits && !host.is_empty() && host.len() <= MAX_HOST).then(|| Place { host: host.to_owned(), port })
}

fn number(port: &str) -> Option<u16> {
    // A sign would do for a number, and not for a port.
    if port.bytes().all(|byte| byte.is_ascii_digit()) { port.parse().ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_looks_like_an_address_is_one() {
        for text in ["feed.local", "feed.local:7333", "192.0.2.7:80", "[::1]", "[2001:db8::7]:7333"] {
            assert_eq!(read(text).map(|place| place.to_string()).as_deref(), Some(text));
        }
        for text in [
            "",
            ":80",
            "a b",
            "a;b",
            "a/b",
            "a:b",
            "a:99999",
            "a:1:2",
            "[::1",
            "::1",
            "[x]:80",
            "é.example",
            "a:+1",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
