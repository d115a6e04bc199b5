//! Listens and accepts: a bounded number of connections, in all and of each address, each with deadlines for its
//! handshake, its headers and itself, and without delay for small frames. TLS and plain HTTP go the same way, and
//! differ in one step. Leaves what is served to the routers that it is given.

use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use hyper::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpSocket, TcpStream};
use tokio::sync::Semaphore;
use tokio::time::timeout;

use super::crowd::{Crowd, Guest};
use crate::tls::Certificate;

/// Connections that wait in the kernel: a floor of phones that come back at once.
const BACKLOG: u32 = 512;
/// Bytes that the kernel holds for one reader; what is beyond it is known to be unread.
const SEND_BUFFER: u32 = 64 * 1024;
/// Most requests under way at once. WebSockets leave this count when they are open.
const MAX_REQUESTS: usize = 1_024;
/// For the first byte and the handshake of TLS: three ways there and back on a bad link.
const HANDSHAKE_PATIENCE: Duration = Duration::from_secs(10);
/// For the headers of a request.
const HEADER_PATIENCE: Duration = Duration::from_secs(10);
/// For a connection that opens no WebSocket: all files of a page on a bad link. One that does not read what it asked
/// for would keep its place for ever.
const REQUEST_PATIENCE: Duration = Duration::from_secs(120);
/// Largest head of a request, in bytes.
const MAX_HEAD: usize = 16 * 1024;
/// Pause after the system refuses a connection, for instance for want of file handles.
const BREATH: Duration = Duration::from_millis(50);
/// First byte of every TLS connection: a record of the handshake (RFC 8446 section 5.1). No method of HTTP has it.
const TLS_HANDSHAKE: u8 = 22;

/// A way in.
#[derive(Debug)]
pub struct Door {
    /// Where it listens.
    pub listener: TcpListener,
    /// What is served.
    pub router: Router,
    /// On a door with TLS, its certificate, and what those are served who ask in plain HTTP.
    pub secured: Option<(Arc<Certificate>, Router)>,
}

/// How a request came; every handler can have it as an extension.
#[derive(Clone, Debug)]
pub struct Arrived {
    /// From where.
    pub peer: SocketAddr,
    /// Whether over TLS.
    pub secure: bool,
    /// Counts the connection for as long as somebody holds it.
    _guest: Arc<Guest>,
}

/// Binds an address.
///
/// # Errors
/// When the system refuses, for instance because the port is in use.
pub fn bind(address: SocketAddr) -> io::Result<TcpListener> {
    let socket = if address.is_ipv4() { TcpSocket::new_v4()? } else { TcpSocket::new_v6()? };
    socket.set_reuseaddr(true)?;
    // Accepted sockets inherit it.
    socket.set_send_buffer_size(SEND_BUFFER)?;
    socket.bind(address)?;
    socket.listen(BACKLOG)
}

/// Accepts until the future is dropped.
pub async fn accept(door: Door, crowd: Arc<Crowd>) {
    let requests = Arc::new(Semaphore::new(MAX_REQUESTS));
    let Door { listener, router, secured } = door;
    loop {
        // The semaphore is never closed.
        let Ok(permit) = Arc::clone(&requests).acquire_owned().await else { return };
        match listener.accept().await {
            Ok((stream, peer)) => {
                let Some(guest) = crowd.enter(peer.ip()) else { continue };
                let (router, secured) = (router.clone(), secured.clone());
                let arrived = Arrived { peer, secure: false, _guest: Arc::new(guest) };
                tokio::spawn(async move {
                    welcome(stream, arrived, router, secured).await;
                    drop(permit);
                });
            }
            Err(error) => {
                tracing::warn!(%error, "a connection could not be accepted");
                tokio::time::sleep(BREATH).await;
            }
        }
    }
}

async fn welcome(
    stream: TcpStream,
    arrived: Arrived,
    router: Router,
    secured: Option<(Arc<Certificate>, Router)>,
) {
    if let Err(error) = stream.set_nodelay(true) {
        tracing::debug!(%error, "small frames may be delayed");
    }
    let Some((certificate, for_plain)) = secured else { return serve(stream, arrived, router).await };
    let handshake = async {
        if !speaks_tls(&stream).await? {
            return Ok(Err(stream));
        }
        certificate.acceptor().accept(stream).await.map(Ok)
    };
    match timeout(HANDSHAKE_PATIENCE, handshake).await {
        Ok(Ok(Ok(stream))) => serve(stream, Arrived { secure: true, ..arrived }, router).await,
        Ok(Ok(Err(stream))) => serve(stream, arrived, for_plain).await,
        // Mostly a device that does not know the authority: its people see a warning and want to know why.
        Ok(Err(error)) => {
            tracing::info!(peer = %arrived.peer.ip(), %error, "no encrypted connection came about")
        }
        Err(_) => tracing::debug!(peer = %arrived.peer.ip(), "a handshake took too long"),
    }
}

/// Looks at the first byte and leaves it where it is.
async fn speaks_tls(stream: &TcpStream) -> io::Result<bool> {
    let mut first = [0];
    let read = stream.peek(&mut first).await?;
    Ok(read == 1 && first == [TLS_HANDSHAKE])
}

async fn serve<S>(stream: S, arrived: Arrived, router: Router)
where
    S: AsyncRead + AsyncWrite + Unpin + Send + 'static,
{
    let router = TowerToHyperService::new(router);
    let service = service_fn(move |mut request: Request<Incoming>| {
        request.extensions_mut().insert(arrived.clone());
        router.call(request)
    });
    let served = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEADER_PATIENCE)
        .max_buf_size(MAX_HEAD)
        .serve_connection(TokioIo::new(stream), service)
        .with_upgrades();
    match timeout(REQUEST_PATIENCE, served).await {
        Ok(Ok(())) => {}
        Ok(Err(error)) => tracing::debug!(%error, "a connection ended early"),
        Err(_) => tracing::debug!("a connection without a WebSocket was ended"),
    }
}
