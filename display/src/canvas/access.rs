//! Who may see the canvas: whoever knows the display's own access key, which is kept as a hash only and compared in
//! constant time; or, where the display has none, whoever is on this machine.

use axum::http::HeaderMap;
use axum::http::header::{HOST, ORIGIN};
use axum::http::uri::Authority;
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

use super::format::Refusal;

type Hash = [u8; 32];

/// Decides who may join.
#[derive(Debug)]
pub(super) struct Access {
    wanted: Option<Hash>,
}

impl Access {
    pub fn new(key: Option<&str>) -> Self {
        Self { wanted: key.map(hash) }
    }

    pub fn admit(&self, key: Option<&str>) -> Result<(), Refusal> {
        let Some(wanted) = self.wanted else { return Ok(()) };
        let given = key.filter(|key| !key.is_empty()).ok_or(Refusal::AccessKeyWanted)?;
        if bool::from(wanted.ct_eq(&hash(given))) { Ok(()) } else { Err(Refusal::WrongAccessKey) }
    }

    /// Whether a request may open a socket at all: it comes from our own page or from no page, and, where no key is
    /// asked for, by a name of this machine. A name of elsewhere that leads here is a foreign page's trick.
    pub fn may_connect(&self, headers: &HeaderMap) -> bool {
        same_origin(headers) && (self.wanted.is_some() || names_this_machine(headers))
    }
}

fn hash(key: &str) -> Hash {
    Sha256::digest(key).into()
}

fn host(headers: &HeaderMap) -> Option<&str> {
    headers.get(HOST).and_then(|host| host.to_str().ok())
}

/// Whether a request comes from no page, or from one of this very address.
fn same_origin(headers: &HeaderMap) -> bool {
    let mut origins = headers.get_all(ORIGIN).iter();
    let Some(origin) = origins.next() else { return true };
    let origin = origin
        .to_str()
        .ok()
        .and_then(|origin| origin.strip_prefix("http://").or_else(|| origin.strip_prefix("https://")));
    match (origin, host(headers)) {
        (Some(origin), Some(host)) => origins.next().is_none() && origin.eq_ignore_ascii_case(host),
        _ => false,
    }
}

fn names_this_machine(headers: &HeaderMap) -> bool {
    let Some(authority) = host(headers).and_then(|host| host.parse::<Authority>().ok()) else { return false };
    let name = authority.host().trim_start_matches('[').trim_end_matches(']');
    name.eq_ignore_ascii_case("localhost")
        || name.parse::<std::net::IpAddr>().is_ok_and(|address| address.is_loopback())
}

#[cfg(test)]
mod tests {
    use axum::http::HeaderValue;

    use super::*;

    #[test]
    fn only_the_displays_own_key_opens_it() {
        let access = Access::new(Some("the key"));
        assert_eq!(access.admit(Some("the key")), Ok(()));
        for wrong in ["the ke", "the key ", "The key", &"k".repeat(500)] {
            assert_eq!(access.admit(Some(wrong)), Err(Refusal::WrongAccessKey), "{wrong}");
        }
        assert_eq!(access.admit(Some("")), Err(Refusal::AccessKeyWanted));
        assert_eq!(access.admit(None), Err(Refusal::AccessKeyWanted));
        assert_eq!(Access::new(None).admit(None), Ok(()));
    }

    #[test]
    fn only_pages_of_this_address_may_connect() {
        for (origin, host, with_key, without) in [
            (None, "127.0.0.1:7334", true, true),
            (None, "hall.example:7334", true, false),
            (Some("http://127.0.0.1:7334"), "127.0.0.1:7334", true, true),
            (Some("http://LocalHost:7334"), "localhost:7334", true, true),
            (Some("http://[::1]:7334"), "[::1]:7334", true, true),
            (Some("https://hall.example"), "hall.example", true, false),
            (Some("http://127.0.0.1:7335"), "127.0.0.1:7334", false, false),
            (Some("http://elsewhere.example"), "127.0.0.1:7334", false, false),
            (Some("http://127.0.0.1:7334.elsewhere.example"), "127.0.0.1:7334", false, false),
            (Some("null"), "127.0.0.1:7334", false, false),
        ] {
            let mut headers = HeaderMap::new();
            headers.insert(HOST, HeaderValue::from_static(host));
            if let Some(origin) = origin {
                headers.insert(ORIGIN, HeaderValue::from_static(origin));
            }
            assert_eq!(Access::new(Some("k")).may_connect(&headers), with_key, "{origin:?} at {host}");
            assert_eq!(Access::new(None).may_connect(&headers), without, "{origin:?} at {host}, no key");
        }
    }

    #[test]
    fn a_request_without_a_host_or_with_two_origins_is_no_page_of_ours() {
        let access = Access::new(Some("k"));
        let mut headers = HeaderMap::new();
        headers.insert(ORIGIN, HeaderValue::from_static("http://hall.example"));
        assert!(!access.may_connect(&headers));
        headers.insert(HOST, HeaderValue::from_static("hall.example"));
        assert!(access.may_connect(&headers));
        headers.append(ORIGIN, HeaderValue::from_static("http://hall.example"));
        assert!(!access.may_connect(&headers));
    }
}
