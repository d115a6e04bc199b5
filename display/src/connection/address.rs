//! Where the feed is: reads what people type and makes the address of its WebSocket.

use std::fmt;

use fivemark_wire::SOCKET_PATH;
use thiserror::Error;
use tokio_tungstenite::tungstenite::http::Uri;

/// The address of a feed's WebSocket.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FeedAddress {
    uri: Uri,
}

/// What is wrong with an address.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum AddressError {
    /// No address at all.
    #[error("`{0}` is not the address of a feed; write it like ws://127.0.0.1:4600/feed")]
    NotAnAddress(String),
    /// An address that needs encryption.
    #[error(
        "`{0}` asks for an encrypted connection, which this program does not speak; \
         use ws:// within the hall's own network, or a tunnel"
    )]
    Encrypted(String),
}

impl FeedAddress {
    /// Reads `ws://HOST:PORT/PATH`, `http://HOST:PORT` or `HOST:PORT`. Without a path the feed's usual one.
    ///
    /// # Errors
    /// It is no address, or one that this program can't speak to.
    pub fn read(text: &str) -> Result<Self, AddressError> {
        let text = text.trim();
        let not = || AddressError::NotAnAddress(text.to_owned());
        let (scheme, rest) = text.split_once("://").unwrap_or(("ws", text));
        match scheme {
            "ws" | "http" => {}
            "wss" | "https" => return Err(AddressError::Encrypted(text.to_owned())),
            _ => return Err(not()),
        }
        let (authority, path) = rest.split_at(rest.find(['/', '?']).unwrap_or(rest.len()));
        let path = if path.is_empty() || path == "/" { SOCKET_PATH } else { path };
        let uri: Uri = format!("ws://{authority}{path}").parse().map_err(|_| not())?;
        let after_host = authority.rsplit_once(']').map_or(authority, |(_, after)| after);
        let port_is_wrong = after_host.contains(':') && uri.port_u16().is_none();
        if uri.host().is_none_or(str::is_empty) || port_is_wrong {
            return Err(not());
        }
        Ok(Self { uri })
    }

    pub(super) fn uri(&self) -> &Uri {
        &self.uri
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
        assert_eq!(read("wss://hall/feed"), Err(AddressError::Encrypted("wss://hall/feed".into())));
        for text in ["", "ws://", "ftp://hall", "ws:// hall", "ws://:4600", "hall:99999999"] {
            assert_eq!(read(text), Err(AddressError::NotAnAddress(text.into())), "{text}");
        }
    }
}
