//! Listens and accepts: a bounded number of connections, each with a deadline for its headers and without delay for
//! small messages.

use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpSocket, TcpStream};
use tokio::sync::{Semaphore, watch};

/// Connections that wait in the kernel: every page may come back at once.
const BACKLOG: u32 = 256;
/// Bytes that the kernel holds for one page; what is beyond it waits until the page reads.
const SEND_BUFFER_BYTES: u32 = 64 * 1024;
/// Most requests under way at once. WebSockets leave this count when they are open.
const MAX_REQUESTS: usize = 64;
/// For the headers of a request.
const HEADER_PATIENCE: Duration = Duration::from_secs(10);
/// Largest head of a request, in bytes.
const MAX_HEAD_BYTES: usize = 16 * 1024;
/// Pause after the system refuses a connection, for instance for want of file handles.
const BREATH: Duration = Duration::from_millis(50);
/// For pages to be told that the display ends.
const LAST_WORDS: Duration = Duration::from_millis(500);

/// Binds an address.
///
/// # Errors
/// When the system refuses, for instance because the port is in use.
pub(super) fn bind(address: SocketAddr) -> io::Result<TcpListener> {
    let socket = if address.is_ipv4() { TcpSocket::new_v4()? } else { TcpSocket::new_v6()? };
    socket.set_reuseaddr(true)?;
    // Accepted sockets inherit it.
    socket.set_send_buffer_size(SEND_BUFFER_BYTES)?;
    socket.bind(address)?;
    socket.listen(BACKLOG)
}

/// Accepts until it is told to stop, and then gives what is open a moment to say so.
pub(super) async fn until_stopped(listener: TcpListener, router: Router, mut stopped: watch::Receiver<bool>) {
    let requests = Arc::new(Semaphore::new(MAX_REQUESTS));
    let mut open = tokio::task::JoinSet::new();
    loop {
        let accepted = tokio::select! {
            accepted = accept(&listener, &requests) => accepted,
            // An error means that the handle is gone, which is the same.
            _ = stopped.wait_for(|stop| *stop) => break,
        };
        while open.try_join_next().is_some() {}
        match accepted {
            Ok((stream, permit)) => {
                let router = router.clone();
                open.spawn(async move {
                    request(stream, router).await;
                    drop(permit);
                });
            }
            Err(error) => {
                tracing::warn!(%error, "a page's connection could not be accepted");
                tokio::time::sleep(BREATH).await;
            }
        }
    }
    tokio::time::sleep(LAST_WORDS).await;
}

async fn accept(
    listener: &TcpListener,
    requests: &Arc<Semaphore>,
) -> io::Result<(TcpStream, tokio::sync::OwnedSemaphorePermit)> {
    let permit = Arc::clone(requests).acquire_owned().await.map_err(io::Error::other)?;
    let (stream, _) = listener.accept().await?;
    Ok((stream, permit))
}

async fn request(stream: TcpStream, router: Router) {
    if let Err(error) = stream.set_nodelay(true) {
        tracing::debug!(%error, "small messages may be delayed");
    }
    let served = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEADER_PATIENCE)
        .max_buf_size(MAX_HEAD_BYTES)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(router))
        .with_upgrades()
        .await;
    if let Err(error) = served {
        tracing::debug!(%error, "a page's connection ended early");
    }
}
