//! Listens and accepts: a bounded number of connections, each with a deadline for its headers and without delay for
//! small frames.

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
use tokio::net::{TcpListener, TcpSocket, TcpStream};
use tokio::sync::Semaphore;

/// Connections that wait in the kernel: a floor of phones that come back at once.
const BACKLOG: u32 = 512;
/// Bytes that the kernel holds for one reader; what is beyond it is known to be unread.
const SEND_BUFFER: u32 = 64 * 1024;
/// Most requests under way at once. WebSockets leave this count when they are open.
const MAX_REQUESTS: usize = 1_024;
/// For the headers of a request.
const HEADER_PATIENCE: Duration = Duration::from_secs(10);
/// Largest head of a request, in bytes.
const MAX_HEAD: usize = 16 * 1024;
/// Pause after the system refuses a connection, for instance for want of file handles.
const BREATH: Duration = Duration::from_millis(50);

/// How a request came; every handler can have it as an extension.
#[derive(Clone, Debug)]
pub struct Arrived {
    /// From where.
    pub peer: SocketAddr,
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
pub async fn accept(listener: TcpListener, router: Router) {
    let requests = Arc::new(Semaphore::new(MAX_REQUESTS));
    loop {
        // The semaphore is never closed.
        let Ok(permit) = Arc::clone(&requests).acquire_owned().await else { return };
        match listener.accept().await {
            Ok((stream, peer)) => {
                let router = router.clone();
                tokio::spawn(async move {
                    request(stream, Arrived { peer }, router).await;
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

async fn request(stream: TcpStream, arrived: Arrived, router: Router) {
    if let Err(error) = stream.set_nodelay(true) {
        tracing::debug!(%error, "small frames may be delayed");
    }
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
        .with_upgrades()
        .await;
    if let Err(error) = served {
        tracing::debug!(%error, "a connection ended early");
    }
}
