//! What a feed answers to a question without a socket, such as its counters.

use rustls::pki_types::ServerName;
use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};
use tokio::net::TcpStream;
use tokio_rustls::TlsConnector;

use super::FeedAddress;
use super::trouble;

/// Longest answer that is read, in bytes: counters are some thousand.
const MAX_ANSWER: u64 = 256 * 1024;

impl FeedAddress {
    /// What the feed answers at a path, head and body.
    ///
    /// # Errors
    /// Why there is no answer, in words that end a sentence.
    pub async fn get(&self, path: &str) -> Result<String, String> {
        let host = self.uri().host().unwrap_or_default();
        let bare = host.trim_start_matches('[').trim_end_matches(']');
        let port = self.uri().port_u16().unwrap_or(if self.is_encrypted() { 443 } else { 80 });
        let stream = TcpStream::connect((bare, port)).await.map_err(|error| error.to_string())?;
        let request = format!("GET {path} HTTP/1.1\r\nHost: {host}:{port}\r\nConnection: close\r\n\r\n");
        let Some(settings) = self.trust().map_err(|error| error.to_string())? else {
            return ask(stream, &request).await;
        };
        let name = ServerName::try_from(bare.to_owned()).map_err(|error| error.to_string())?;
        let stream = TlsConnector::from(settings).connect(name, stream).await;
        ask(stream.map_err(|error| trouble::of_stream(&error))?, &request).await
    }
}

async fn ask(mut stream: impl AsyncRead + AsyncWrite + Unpin, request: &str) -> Result<String, String> {
    let mut answer = Vec::new();
    let asked = async {
        stream.write_all(request.as_bytes()).await?;
        stream.take(MAX_ANSWER).read_to_end(&mut answer).await
    };
    asked.await.map_err(|error| error.to_string())?;
    Ok(String::from_utf8_lossy(&answer).into_owned())
}
