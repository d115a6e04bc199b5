//! Names of a feed: what people write for the addresses by which phones reach it.

use std::fmt;
use std::net::IpAddr;
use std::str::FromStr;

use rcgen::SanType;
use thiserror::Error;

/// Longest name, in bytes, and longest part of one between dots (RFC 1035 section 2.3.4).
const MAX_NAME: usize = 253;
const MAX_LABEL: usize = 63;

/// A name of a feed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Name {
    /// Of a host, in lower case.
    Host(String),
    /// An address.
    Address(IpAddr),
}

/// Text that is no name.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("\"{0}\" is no name of a host and no address; write it alone, like feed.local or 192.0.2.7")]
pub struct NameError(String);

impl Name {
    /// As a certificate has it.
    pub(super) fn in_certificate(&self) -> Result<SanType, rcgen::Error> {
        match self {
            Self::Host(name) => Ok(SanType::DnsName(name.as_str().try_into()?)),
            Self::Address(address) => Ok(SanType::IpAddress(*address)),
        }
    }
}

impl FromStr for Name {
    type Err = NameError;

    fn from_str(text: &str) -> Result<Self, NameError> {
        if let Ok(address) = text.trim_start_matches('[').trim_end_matches(']').parse::<IpAddr>() {
            return Ok(Self::Address(address));
        }
        let name = text.to_ascii_lowercase();
        let label = |part: &str| {
            let inside = part.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
            inside && (1..=MAX_LABEL).contains(&part.len()) && !part.starts_with('-') && !part.ends_with('-')
        };
        // A last part of digits alone is a slip in an address.
        let last = name.rsplit('.').next().unwrap_or_default();
        let host = name.split('.').all(label) && !last.bytes().all(|byte| byte.is_ascii_digit());
        if host && name.len() <= MAX_NAME { Ok(Self::Host(name)) } else { Err(NameError(text.to_owned())) }
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Host(name) => f.write_str(name),
            Self::Address(address) => address.fmt(f),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_as_people_write_them() {
        for (text, name) in [
            ("Feed.local", "feed.local"),
            ("scoreboard", "scoreboard"),
            ("192.0.2.7", "192.0.2.7"),
            ("[2001:db8::7]", "2001:db8::7"),
        ] {
            assert_eq!(text.parse::<Name>().map(|name| name.to_string()).as_deref(), Ok(name));
        }
        let long = format!("{}.local", "x".repeat(64));
        for text in [
            "",
            "https://feed.local",
            "feed.local:7333",
            "192.0.2",
            "192.0.2.300",
            "*.local",
            "a..b",
            "-a",
            "é.example",
            long.as_str(),
        ] {
            assert_eq!(text.parse::<Name>(), Err(NameError(text.to_owned())), "{text}");
        }
    }
}
