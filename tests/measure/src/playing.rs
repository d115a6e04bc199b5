//! A feed that plays a heat to displays: an ordinary one, with ten lanes of which each counts every two seconds, or one
//! that stands. It keeps no record; what displays cost is measured, not feeds.

use std::net::TcpListener;
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use anyhow::Context;
use fivemark_wire::SUBPROTOCOL;
use fivemark_wire::from_client::{ClientMessage, Role};
use fivemark_wire::from_feed::{ClockReply, Delta, FeedMessage, Snapshot, Welcome};
use fivemark_wire::view::{Clock, State};
use futures_util::{SinkExt, StreamExt};
use tokio::net::TcpStream;
use tokio::sync::watch;
use tokio_tungstenite::accept_hdr_async;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::handshake::server::{Request, Response};

use crate::frame::heat;

/// Lanes of the heat.
pub const LANES: u8 = 10;
/// Between two counts, of one lane after the other.
const COUNT_EVERY: Duration = Duration::from_millis(200);
/// Feed time when the first display comes.
const BEGIN_MS: i64 = 61_000;

/// What is played.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heat {
    /// Lanes count.
    Ordinary,
    /// It is over, and no clock runs.
    Standing,
}

/// The running feed. Dropping it ends it.
pub struct Playing {
    /// Where displays join.
    pub address: String,
    stop: watch::Sender<bool>,
    thread: Option<JoinHandle<()>>,
}

impl Playing {
    /// Plays to every display that joins, with the overlay's ribbon on.
    ///
    /// # Errors
    /// The system gives no port or no thread.
    pub fn start(heat: Heat) -> anyhow::Result<Self> {
        let listener = TcpListener::bind("127.0.0.1:0").context("there is no free port")?;
        listener.set_nonblocking(true)?;
        let address = listener.local_addr()?.to_string();
        let (stop, mut stopped) = watch::channel(false);
        let runtime = crate::waiting()?;
        let serve = move || {
            runtime.block_on(async {
                let Ok(listener) = tokio::net::TcpListener::from_std(listener) else { return };
                loop {
                    tokio::select! {
                        accepted = listener.accept() => if let Ok((stream, _)) = accepted {
                            tokio::spawn(async move {
                                // A display that leaves ends its own part only.
                                let _ = play(stream, heat).await;
                            });
                        },
                        _ = stopped.wait_for(|stop| *stop) => return,
                    }
                }
            });
        };
        let thread = std::thread::Builder::new().name("playing".into()).spawn(serve)?;
        Ok(Self { address, stop, thread: Some(thread) })
    }
}

impl Drop for Playing {
    fn drop(&mut self) {
        // It has ended already only after a fault of its own.
        let _ = self.stop.send(true);
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

async fn play(stream: TcpStream, heat: Heat) -> anyhow::Result<()> {
    #[allow(clippy::result_large_err)] // the shape that the handshake calls
    let choose = |_: &Request, mut response: Response| {
        response.headers_mut().insert("Sec-WebSocket-Protocol", SUBPROTOCOL.parse().expect("a header"));
        Ok(response)
    };
    let mut socket = accept_hdr_async(stream, choose).await?;
    let began = Instant::now();
    let now_us = || BEGIN_MS * 1_000 + i64::try_from(began.elapsed().as_micros()).unwrap_or(0);
    let mut snapshot = first(heat);
    let mut tick = tokio::time::interval(COUNT_EVERY);
    let mut joined = false;
    loop {
        tokio::select! {
            message = socket.next() => {
                let Some(Ok(message)) = message else { return Ok(()) };
                let Message::Text(text) = message else { continue };
                match serde_json::from_str(&text)? {
                    ClientMessage::Clock(request) => {
                        let (t2_us, t1_us) = (now_us(), request.t1_us);
                        say(&mut socket, &FeedMessage::Clock(ClockReply { t1_us, t2_us, t3_us: now_us() })).await?;
                    }
                    ClientMessage::Join(_) => {
                        joined = true;
                        say(&mut socket, &welcome()).await?;
                        say(&mut socket, &FeedMessage::Snapshot(Box::new(snapshot.clone()))).await?;
                    }
                    _ => {}
                }
            }
            _ = tick.tick(), if joined && heat == Heat::Ordinary => {
                let delta = count(&mut snapshot, now_us() / 1_000);
                say(&mut socket, &FeedMessage::Delta(delta)).await?;
            }
        }
    }
}

async fn say(
    socket: &mut tokio_tungstenite::WebSocketStream<TcpStream>,
    message: &FeedMessage,
) -> anyhow::Result<()> {
    Ok(socket.send(Message::text(serde_json::to_string(message)?)).await?)
}

fn welcome() -> FeedMessage {
    FeedMessage::Welcome(Welcome {
        role: Role::Display,
        lane: None,
        access_key: None,
        standing_by: false,
        stream: "playing".into(),
        speed_milli: 1_000,
        version: "bench".into(),
    })
}

fn first(heat: Heat) -> Snapshot {
    let mut snapshot = heat::snapshot(LANES);
    snapshot.shows.overlay.ribbon = true;
    for lane in 1..=LANES {
        // Apart from each other, so that places change now and then and not all the time.
        snapshot.lanes[usize::from(lane) - 1] = heat::count(lane, 5 + u32::from(lane * 7 % 10));
    }
    rank(&mut snapshot);
    if heat == Heat::Standing {
        snapshot.heat.state = State::Provisional;
        snapshot.heat.clock = Clock::Stopped { elapsed_ms: 90_000 };
    }
    snapshot
}

/// The next lane's next unit; after the last one the lane begins anew, so that the heat goes on.
fn count(snapshot: &mut Snapshot, at_ms: i64) -> Delta {
    snapshot.number += 1;
    let lane = u8::try_from(snapshot.number % u64::from(LANES)).unwrap_or(0) + 1;
    let at = usize::from(lane) - 1;
    let done = (snapshot.lanes[at].done + 1) % 84;
    snapshot.lanes[at] = heat::count(lane, done);
    rank(snapshot);
    Delta {
        number: snapshot.number,
        at_ms,
        heat: None,
        lanes: vec![snapshot.lanes[at].clone()],
        order: snapshot.order.clone(),
        no_reps: Vec::new(),
        rulings: Vec::new(),
        journal_ok: None,
        shows: None,
    }
}

fn rank(snapshot: &mut Snapshot) {
    for at in 0..snapshot.lanes.len() {
        let lane = &snapshot.lanes[at];
        let ahead = snapshot.lanes.iter().filter(|other| {
            (other.done, std::cmp::Reverse(other.lane)) > (lane.done, std::cmp::Reverse(lane.lane))
        });
        let place = u8::try_from(ahead.count() + 1).unwrap_or(u8::MAX);
        snapshot.order[at] = heat::row(lane.lane, place);
    }
}
