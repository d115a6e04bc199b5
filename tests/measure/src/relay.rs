//! The yardstick beside the feed: a program that does nothing but pass bytes on over TCP. No WebSocket, no JSON, no
//! heat and no disk; what it needs, the kernel needs. It sends as the feed does: every call to the board at once, to
//! spectators ten times a second, a tenth of them at a time.

use std::io::Write;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::tcp::OwnedWriteHalf;
use tokio::net::{TcpListener, TcpStream};

/// First byte of a connection that calls.
pub const JUDGE: u8 = b'J';
/// First byte of the board's connection.
pub const BOARD: u8 = b'B';
/// First byte of a spectator's connection.
pub const SPECTATOR: u8 = b'S';
/// Bytes of a call and of what is passed on: about those of a delta with one lane and its places.
pub const MESSAGE_BYTES: usize = 320;

/// Groups of spectators, each written to at another moment, so that nobody waits for a thousand writes.
const GROUPS: usize = 10;
/// Between two groups: each spectator is written to ten times a second.
const GROUP_EVERY: Duration = Duration::from_millis(10);

#[derive(Default)]
struct Out {
    at_once: Vec<OwnedWriteHalf>,
    groups: [Group; GROUPS],
    joined: usize,
}

#[derive(Default)]
struct Group {
    spectators: Vec<OwnedWriteHalf>,
    waiting: Vec<u8>,
}

/// Passes on until it is ended; says where it listens.
///
/// # Errors
/// It cannot listen.
pub async fn run() -> anyhow::Result<()> {
    let listener = TcpListener::bind("127.0.0.1:0").await?;
    println!("{}", listener.local_addr()?);
    std::io::stdout().flush()?;
    let out = Arc::new(Mutex::new(Out::default()));
    tokio::spawn(to_spectators(Arc::clone(&out)));
    loop {
        let (stream, _) = listener.accept().await?;
        stream.set_nodelay(true)?;
        tokio::spawn(serve(stream, Arc::clone(&out)));
    }
}

async fn serve(mut stream: TcpStream, out: Arc<Mutex<Out>>) {
    let Ok(kind) = stream.read_u8().await else { return };
    let (mut read, mut write) = stream.into_split();
    if kind != JUDGE {
        // So that whoever joined knows that it is in.
        if write.write_all(&[kind]).await.is_err() {
            return;
        }
    }
    {
        let mut out = out.lock().unwrap_or_else(PoisonError::into_inner);
        if kind == SPECTATOR {
            out.joined += 1;
            let group = out.joined % GROUPS;
            out.groups[group].spectators.push(write);
        } else {
            out.at_once.push(write);
        }
    }
    let mut message = [0; MESSAGE_BYTES];
    while kind == JUDGE && read.read_exact(&mut message).await.is_ok() {
        let mut out = out.lock().unwrap_or_else(PoisonError::into_inner);
        // Sockets here are always read; one that were not would only distort the yardstick.
        out.at_once.retain(|socket| socket.try_write(&message).is_ok());
        out.groups.iter_mut().for_each(|group| group.waiting.extend_from_slice(&message));
    }
}

async fn to_spectators(out: Arc<Mutex<Out>>) {
    let mut ticks = tokio::time::interval(GROUP_EVERY);
    for turn in (0..GROUPS).cycle() {
        ticks.tick().await;
        let mut out = out.lock().unwrap_or_else(PoisonError::into_inner);
        let group = &mut out.groups[turn];
        let bytes = std::mem::take(&mut group.waiting);
        if !bytes.is_empty() {
            group.spectators.retain(|socket| socket.try_write(&bytes).is_ok());
        }
    }
}
