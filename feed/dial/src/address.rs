//! Where the feed is: reads what people type and makes the address of its WebSocket.

use std::fmt;
use std::path::Path;
use std::sync::Arc;

use fivemark_wire::SOCKET_PATH;
use rustls::ClientConfig;
use thiserror::Error;
use tokio_tungstenite::tungstenite::http::Uri;

use super::trust::{self, TrustError};

/// The address of a feed's WebSocket, and whom to trust there.
#[derive(Clone, Debug)]
pub struct FeedAddress {
    uri: Uri,
    /// Of an encrypted address; the system's authorities if it was not told.
    trust: Option<Arc<ClientConfig>>,
}

/// What is wrong with an address.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum AddressError {
    /// No address at all.
    #[error(
        "`{0}` is not the address of a feed; write it like ws://127.0.0.1:4600/feed, or wss:// for one with TLS"
    )]
    NotAnAddress(String),
}

impl FeedAddress {
    /// Reads `ws://HOST:PORT/PATH`, `http://HOST:PORT` or `HOST:PORT`, and `wss://…` or `https://…` for a feed with
    /// TLS. Without a path the feed's usual one.
    ///
    /// # Errors
    /// It is no address.
    pub fn read(text: &str) -> Result<Self, AddressError> {
        let text = text.trim();
        let not = || AddressError::NotAnAddress(text.to_owned());
        let (scheme, rest) = text.split_once("://").unwrap_or(("ws", text));
        let scheme = match scheme {
            "ws" | "http" => "ws",
            "wss" | "https" => "wss",
            _ => return Err(not()),
        };
        let (authority, path) = rest.split_at(rest.find(['/', '?']).unwrap_or(rest.len()));
        let path = if path.is_empty() || path == "/" { SOCKET_PATH } else { path };
        let uri: Uri = format!("{scheme}://{authority}{path}").parse().map_err(|_| not())?;
        let after_host = authority.rsplit_once(']').map_or(authority, |(_, after)| after);
        let port_is_wrong = after_host.contains(':') && uri.port_u16().is_none();
        if uri.host().is_none_or(str::is_empty) || port_is_wrong {
            return Err(not());
        }
        Ok(Self { uri, trust: None })
    }

    /// Trusts the authorities in a PEM file and nobody else; without a file those that the system trusts. In plain
    /// text whoever answers is trusted.
    ///
    /// # Errors
    /// See [`TrustError`].
    pub fn trusting(mut self, file: Option<&Path>) -> Result<Self, TrustError> {
        self.trust = match (self.is_encrypted(), file) {
            (true, Some(file)) => Some(trust::of_file(file)?),
            (true, None) => Some(trust::of_system()?),
            // Whoever names an authority takes the line to be safe.
            (false, Some(_)) => return Err(TrustError::NothingToTrust(self.to_string())),
            (false, None) => None,
        };
        Ok(self)
    }

    /// Whether TLS is spoken there.
    #[must_use]
    pub fn is_encrypted(&self) -> bool {
        self.uri.scheme_str() == Some("wss")
    }

    pub(super) fn uri(&self) -> &Uri {
        &self.uri
    }

    /// The settings of its handshake; none in plain text.
    pub(super) fn trust(&self) -> Result<Option<Arc<ClientConfig>>, TrustError> {
        match &self.trust {
            _ if !self.is_encrypted() => Ok(None),
            Some(settings) => Ok(Some(Arc::clone(settings))),
            None => trust::of_system().map(Some),
        }
    }
}

impl fmt::Display for FeedAddress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.uri.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_type_becomes_the_sockets_address() {
        let read = |text| FeedAddress::read(text).map(|address| address.to_string());
        for text in
            ["127.0.0.1:4600", "http://127.0.0.1:4600", "ws://127.0.0.1:4600/", "ws://127.0.0.1:4600/feed"]
        {
            assert_eq!(read(text).as_deref(), Ok("ws://127.0.0.1:4600/feed"), "{text}");
        }
        assert_eq!(read("[::1]:80/other").as_deref(), Ok("ws://[::1]:80/other"));
        for text in ["wss://hall", "https://hall/", "wss://hall/feed"] {
            assert_eq!(read(text).as_deref(), Ok("wss://hall/feed"), "{text}");
        }
        for text in ["", "ws://", "ftp://hall", "ws:// hall", "ws://:4600", "hall:99999999"] {
            assert_eq!(read(text), Err(AddressError::NotAnAddress(text.into())), "{text}");
        }
    }
}
