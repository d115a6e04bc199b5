//! From a judge's call to a board's socket: a feed on one core, 24 lanes calling twice a second, a crowd of 1,000.
//! All times are taken by the clients, so the ways to the feed and back are in them: what is asked of the feed alone
//! is less. Beside it, in the same run: the disk's own fdatasync, and a relay that only passes bytes on over TCP.

use std::collections::HashMap;
use std::io::{BufRead, BufReader};
use std::process::Stdio;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use anyhow::Context;
use fivemark_wire::from_client::{Call, ClientMessage, Role, Tally};
use fivemark_wire::from_feed::{FeedMessage, Subject};
use futures_util::{SinkExt, StreamExt};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::Message;

use crate::disk::fdatasync_ms;
use crate::floor::{Feed, SERVER_CORE, Socket, competition};
use crate::process::{Running, on_cores, resident_mb, tree_cpu};
use crate::relay;
use crate::report::{Figure, Goal};
use crate::samples::Samples;
use crate::spectators::{self, Of};

const NAME: &str = "feed";
const LANES: u8 = 24;
const SPECTATORS: u32 = 1_000;
/// Mean time between two calls of one lane.
const EVERY: Duration = Duration::from_millis(500);
/// Units of the course: more than any run counts.
const REPS: u32 = 5_000;
/// Time added to the disk's own for everything that the feed does before it acknowledges.
const ACK_GRACE_MS: f64 = 1.5;

/// When each call was sent, by lane and number.
type Sent = Arc<Mutex<HashMap<(u8, u32), Instant>>>;

/// Measures for so many seconds of calls.
///
/// # Errors
/// The feed or the relay does not run.
pub fn measure(seconds: u32) -> anyhow::Result<Vec<Figure>> {
    let folder = crate::folder()?;
    let mut disk = fdatasync_ms(folder.path())?;
    let measured = through_feed(folder.path(), seconds)?;
    // Disks have better and worse minutes; the floor is what it needed before and after.
    disk.extend(fdatasync_ms(folder.path())?);
    let ack_goal = disk.p99().unwrap_or_default() + ACK_GRACE_MS;
    let bare = through_relay(seconds)?;
    let figure = |what: &str, unit, samples: &Samples, goal| Figure::of(NAME, what, unit, samples, goal);
    Ok(vec![
        figure(
            "call → durable → board's socket, 24 lanes, 1,000 spectators",
            "ms",
            &measured.to_board,
            Goal::Both(2.0, 5.0),
        ),
        figure("call → acknowledged durable", "ms", &measured.to_ack, Goal::P99(ack_goal)),
        figure("the disk's own fdatasync of a page", "ms", &disk, Goal::Yardstick),
        figure(
            "the same calls through a bare TCP relay → board's socket",
            "ms",
            &bare.to_board,
            Goal::Yardstick,
        ),
        Figure::once(NAME, "feed's share of its core", "%", measured.core_percent, Goal::Yardstick),
        Figure::once(NAME, "the bare relay's share of its core", "%", bare.core_percent, Goal::Yardstick),
        Figure::once(
            NAME,
            "feed's resident memory, 24 lanes, 1,000 spectators",
            "MB",
            measured.resident_mb,
            Goal::Median(30.0),
        ),
    ])
}

/// What one run gave; times in milliseconds.
struct Measured {
    to_board: Samples,
    to_ack: Samples,
    core_percent: f64,
    resident_mb: f64,
}

fn through_feed(folder: &std::path::Path, seconds: u32) -> anyhow::Result<Measured> {
    let feed = Feed::start(folder, &competition(LANES, REPS))?;
    let _crowd = spectators::start(Of::Feed, &feed.host, SPECTATORS)?;
    crate::waiting()?.block_on(async {
        feed.go().await?;
        let mut board = feed.join(Role::Display, None).await?;
        let sent = Sent::default();
        let mut judges = tokio::task::JoinSet::new();
        for lane in 1..=LANES {
            let socket = feed.join(Role::LaneJudge, Some(lane)).await?;
            judges.spawn(judge(socket, lane, calls(seconds), Arc::clone(&sent)));
        }
        let usage = Usage::begin(feed.process.id());
        let to_board = watch_board(&mut board, calls(seconds), &sent).await?;
        let core_percent = usage.percent();
        let mut to_ack = Samples::default();
        while let Some(judge) = judges.join_next().await {
            judge??.into_iter().for_each(|ms| to_ack.push(ms));
        }
        Ok(Measured { to_board, to_ack, core_percent, resident_mb: resident_mb(feed.process.id())? })
    })
}

/// Calls of one lane.
fn calls(seconds: u32) -> u32 {
    seconds * 2
}

/// A lane judge's phone: calls at its own uneven pace; gives the time to each acknowledgement.
async fn judge(mut socket: Socket, lane: u8, calls: u32, sent: Sent) -> anyhow::Result<Vec<f64>> {
    let mut pace = Pace::of(lane);
    let mut acknowledged = Vec::new();
    let mut number = 0;
    let mut next = tokio::time::Instant::now() + pace.first();
    while acknowledged.len() < calls as usize {
        tokio::select! {
            () = tokio::time::sleep_until(next), if number < calls => {
                number += 1;
                let message = serde_json::to_string(&ClientMessage::Tally(good(lane, number)))?;
                lock(&sent).insert((lane, number), Instant::now());
                socket.send(Message::text(message)).await?;
                next += pace.next();
            }
            message = socket.next() => {
                let now = Instant::now();
                let Message::Text(text) = message.context("the feed closed a judge's connection")?? else { continue };
                if let FeedMessage::Ack(ack) = serde_json::from_str(&text)? {
                    anyhow::ensure!(ack.not_counted.is_none(), "a call does not count: {text}");
                    let Subject::Tally { number, .. } = ack.of else { continue };
                    acknowledged.push(since(&sent, lane, number, now));
                }
            }
        }
    }
    Ok(acknowledged)
}

fn good(lane: u8, number: u32) -> Tally {
    Tally {
        heat: 1,
        run: 1,
        lane,
        epoch: u64::from(lane),
        number,
        call: Call::Good,
        amount: 0,
        fault: None,
        stamp_ms: i64::from(number) * 500,
        wall_ms: None,
        offset: None,
        athlete: None,
        load_g: None,
        slot: None,
    }
}

/// Reads until the board has seen every call of every lane.
async fn watch_board(board: &mut Socket, calls: u32, sent: &Sent) -> anyhow::Result<Samples> {
    let mut samples = Samples::default();
    let mut done = [0_u32; LANES as usize];
    while done.iter().any(|done| *done < calls) {
        let message = board.next().await.context("the feed closed the board's connection")??;
        let now = Instant::now();
        let Message::Text(text) = message else { continue };
        let FeedMessage::Delta(delta) = serde_json::from_str(&text)? else { continue };
        for lane in delta.lanes {
            let seen = &mut done[usize::from(lane.lane - 1)];
            for number in *seen + 1..=lane.done {
                samples.push(since(sent, lane.lane, number, now));
            }
            *seen = lane.done.max(*seen);
        }
    }
    Ok(samples)
}

fn through_relay(seconds: u32) -> anyhow::Result<Measured> {
    let mut child = on_cores(SERVER_CORE, &std::env::current_exe()?)
        .arg("relay")
        .stdout(Stdio::piped())
        .spawn()
        .context("the relay does not start")?;
    let output = child.stdout.take().context("its output is piped")?;
    let relay = Running(child);
    let host = BufReader::new(output).lines().next().context("the relay ended before it listened")??;
    let _crowd = spectators::start(Of::Relay, &host, SPECTATORS)?;
    crate::waiting()?.block_on(async {
        let mut board = TcpStream::connect(&host).await?;
        board.write_all(&[relay::BOARD]).await?;
        board.read_u8().await?;
        let sent = Sent::default();
        for lane in 1..=LANES {
            let socket = TcpStream::connect(&host).await?;
            socket.set_nodelay(true)?;
            tokio::spawn(bare_judge(socket, lane, calls(seconds), Arc::clone(&sent)));
        }
        let usage = Usage::begin(relay.id());
        let mut to_board = Samples::default();
        let mut message = [0; relay::MESSAGE_BYTES];
        for _ in 0..u32::from(LANES) * calls(seconds) {
            board.read_exact(&mut message).await?;
            let now = Instant::now();
            let number = u32::from_le_bytes([message[1], message[2], message[3], message[4]]);
            to_board.push(since(&sent, message[0], number, now));
        }
        let core_percent = usage.percent();
        Ok(Measured { to_board, to_ack: Samples::default(), core_percent, resident_mb: 0.0 })
    })
}

async fn bare_judge(mut socket: TcpStream, lane: u8, calls: u32, sent: Sent) -> anyhow::Result<()> {
    let mut pace = Pace::of(lane);
    socket.write_all(&[relay::JUDGE]).await?;
    let mut next = tokio::time::Instant::now() + pace.first();
    for number in 1..=calls {
        tokio::time::sleep_until(next).await;
        let mut message = [0; relay::MESSAGE_BYTES];
        message[0] = lane;
        message[1..5].copy_from_slice(&number.to_le_bytes());
        lock(&sent).insert((lane, number), Instant::now());
        socket.write_all(&message).await?;
        next += pace.next();
    }
    // It stays: a judge who leaves would be work for the relay.
    std::future::pending().await
}

/// When a lane calls: as unevenly as people do, and the same in every run.
struct Pace(ChaCha8Rng);

impl Pace {
    fn of(lane: u8) -> Self {
        Self(ChaCha8Rng::seed_from_u64(u64::from(lane)))
    }

    fn first(&mut self) -> Duration {
        EVERY.mul_f64(self.0.random_range(0.0..1.0))
    }

    fn next(&mut self) -> Duration {
        EVERY.mul_f64(self.0.random_range(0.6..1.4))
    }
}

struct Usage {
    id: u32,
    cpu: Duration,
    began: Instant,
}

impl Usage {
    fn begin(id: u32) -> Self {
        Self { id, cpu: tree_cpu(id), began: Instant::now() }
    }

    fn percent(&self) -> f64 {
        (tree_cpu(self.id) - self.cpu).as_secs_f64() / self.began.elapsed().as_secs_f64() * 100.0
    }
}

fn since(sent: &Sent, lane: u8, number: u32, now: Instant) -> f64 {
    lock(sent).get(&(lane, number)).map_or(0.0, |sent| (now - *sent).as_secs_f64() * 1e3)
}

fn lock(sent: &Sent) -> std::sync::MutexGuard<'_, HashMap<(u8, u32), Instant>> {
    sent.lock().unwrap_or_else(PoisonError::into_inner)
}
