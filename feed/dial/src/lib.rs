//! How our own programs reach a feed: what people type for its address, in plain text or over TLS, with the authorities
//! that they trust, and in words why it failed. Leaves what is said on the connection, and when to try again, to its
//! callers.

mod address;
mod page;
mod trouble;
mod trust;

pub use address::{AddressError, FeedAddress};
pub use trust::TrustError;

use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::client::ClientRequestBuilder;
use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;
use tokio_tungstenite::{Connector, MaybeTlsStream, WebSocketStream, connect_async_tls_with_config};

/// A connection to a feed.
pub type Socket = WebSocketStream<MaybeTlsStream<TcpStream>>;

impl FeedAddress {
    /// Connects to the feed's socket and asks for a subprotocol. Small frames go at once.
    ///
    /// # Errors
    /// Why not, in words that end a sentence such as "the feed can't be reached: …".
    pub async fn dial(&self, subprotocol: &str, config: WebSocketConfig) -> Result<Socket, String> {
        let request = ClientRequestBuilder::new(self.uri().clone()).with_sub_protocol(subprotocol);
        let connector = match self.trust().map_err(|error| error.to_string())? {
            Some(settings) => Connector::Rustls(settings),
            None => Connector::Plain,
        };
        match connect_async_tls_with_config(request, Some(config), true, Some(connector)).await {
            Ok((socket, _)) => Ok(socket),
            Err(error) => Err(trouble::in_words(&error)),
        }
    }
}
