//! One connection to the feed: join, snapshot, deltas, clock exchanges, until it ends. What comes is put into the
//! shared state; when to try again is left to the caller.

use std::time::Duration;

use fivemark_dial::{FeedAddress, Socket};
use fivemark_wire::SUBPROTOCOL;
use fivemark_wire::from_client::{ClientMessage, ClockRequest, Join, Role};
use fivemark_wire::from_feed::{FeedMessage, Refusal, Subject};
use futures_util::{SinkExt, StreamExt};
use thiserror::Error;
use tokio::time::{Instant, interval_at, timeout_at};
use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;
use tokio_tungstenite::tungstenite::{self, Message};

use super::known::Shared;
use super::waiting::Heard;
use crate::clock::MonoClock;

/// Time for the connection to be made, including the feed's welcome.
const CONNECT_WITHIN: Duration = Duration::from_secs(5);
/// The feed answers a clock exchange every two seconds; this long without a word means that the link is dead.
pub const SILENCE: Duration = Duration::from_secs(6);
/// Between clock exchanges. They are the heartbeat too.
const EXCHANGE_EVERY: Duration = Duration::from_secs(2);
/// Between the first exchanges, so that the estimator has its eight samples within two seconds.
const FIRST_EXCHANGES_EVERY: Duration = Duration::from_millis(200);
/// How many come that fast.
const FIRST_EXCHANGES: u32 = 8;
/// Time between two questions for the same missing deltas.
const ASK_AGAIN: Duration = Duration::from_secs(1);
/// Largest message that is taken from a feed, in bytes: a snapshot of 40 lanes on a long course is a tenth of it.
const MAX_FEED_MESSAGE: usize = 4 * 1024 * 1024;
/// Read buffer, in bytes: a delta is some 200, a snapshot is read in a few steps.
const READ_BUFFER: usize = 16 * 1024;

/// Who joins.
#[derive(Clone, Debug)]
pub struct Identity {
    /// Name of this display among the feed's clients.
    pub device: String,
    /// Its access key; none for a feed that lets displays in without one.
    pub access_key: Option<String>,
}

/// How a connection ended.
#[derive(Debug, Error)]
pub(super) enum End {
    #[error("the feed at {address} can't be reached: {reason}")]
    Unreachable { address: String, reason: String },
    #[error("the feed refused this display: {0}")]
    Refused(String),
    #[error("the feed closed the connection")]
    Closed,
    #[error("the feed has been silent for {} s", SILENCE.as_secs())]
    Silent,
    #[error("the connection broke: {0}")]
    Broken(#[from] tungstenite::Error),
}

/// Follows the feed until the connection ends. `joined` is called once the feed has let us in.
pub(super) async fn follow(
    address: &FeedAddress,
    identity: &Identity,
    followers: &[Shared],
    clock: MonoClock,
    joined: impl FnOnce(),
) -> End {
    let deadline = Instant::now() + CONNECT_WITHIN;
    let mut session = match timeout_at(deadline, Session::open(address, identity, followers, clock)).await {
        Ok(Ok(session)) => session,
        Ok(Err(end)) => return end,
        Err(_) => {
            let reason = format!("no answer within {} s", CONNECT_WITHIN.as_secs());
            return End::Unreachable { address: address.to_string(), reason };
        }
    };
    joined();
    session.run().await
}

struct Session<'a> {
    socket: Socket,
    /// Hear the same; the first one's place in the stream is everybody's.
    followers: &'a [Shared],
    clock: MonoClock,
    heard: Instant,
    asked: Option<Instant>,
}

impl<'a> Session<'a> {
    /// Connects, joins and waits for the welcome.
    async fn open(
        address: &FeedAddress,
        identity: &Identity,
        followers: &'a [Shared],
        clock: MonoClock,
    ) -> Result<Self, End> {
        let config = WebSocketConfig::default()
            .read_buffer_size(READ_BUFFER)
            .max_message_size(Some(MAX_FEED_MESSAGE))
            .max_frame_size(Some(MAX_FEED_MESSAGE));
        let socket = address
            .dial(SUBPROTOCOL, config)
            .await
            .map_err(|reason| End::Unreachable { address: address.to_string(), reason })?;
        let mut session = Self { socket, followers, clock, heard: Instant::now(), asked: None };
        let join = ClientMessage::Join(Join {
            access_key: identity.access_key.clone(),
            resume: followers.first().and_then(|shared| shared.lock().place()),
            ..Join::new(Role::Display, identity.device.clone())
        });
        session.say(&join).await?;
        loop {
            match session.next().await? {
                FeedMessage::Welcome(welcome) => {
                    tracing::info!(%address, version = welcome.version, "joined the feed");
                    let (stream, speed_milli) = (welcome.stream, welcome.speed_milli);
                    session.receive(Heard::Welcome { stream, speed_milli });
                    return Ok(session);
                }
                FeedMessage::Refusal(Refusal { of: Subject::Join | Subject::Message, why }) => {
                    return Err(End::Refused(why.says));
                }
                other => tracing::warn!(?other, "a message before the welcome is passed over"),
            }
        }
    }

    async fn run(&mut self) -> End {
        match self.run_until_broken().await {
            Ok(end) | Err(end) => end,
        }
    }

    async fn run_until_broken(&mut self) -> Result<End, End> {
        let mut exchanges = 0;
        let mut tick = interval_at(Instant::now(), FIRST_EXCHANGES_EVERY);
        loop {
            tokio::select! {
                message = timeout_at(self.heard + SILENCE, self.socket.next()) => {
                    let message = match message {
                        Err(_) => return Ok(End::Silent),
                        Ok(None) => return Ok(End::Closed),
                        Ok(Some(message)) => message?,
                    };
                    if let Some(message) = self.read(&message)? {
                        self.take(message).await?;
                    }
                }
                _ = tick.tick() => {
                    let t1_us = self.stamp_us();
                    self.say(&ClientMessage::Clock(ClockRequest { t1_us })).await?;
                    exchanges += 1;
                    if exchanges == FIRST_EXCHANGES {
                        tick = interval_at(Instant::now() + EXCHANGE_EVERY, EXCHANGE_EVERY);
                    }
                }
            }
        }
    }

    async fn next(&mut self) -> Result<FeedMessage, End> {
        loop {
            let message = self.socket.next().await.ok_or(End::Closed)??;
            if let Some(message) = self.read(&message)? {
                return Ok(message);
            }
        }
    }

    /// Reads a frame. None for frames that say nothing to us, and for messages of a later feed.
    fn read(&mut self, message: &Message) -> Result<Option<FeedMessage>, End> {
        self.heard = Instant::now();
        let now_us = self.clock.now_us();
        self.followers.iter().for_each(|shared| shared.lock().heard(now_us));
        match message {
            Message::Text(text) => match serde_json::from_str(text) {
                Ok(message) => Ok(Some(message)),
                Err(error) => {
                    tracing::warn!(%error, "a message of the feed could not be read and is passed over");
                    Ok(None)
                }
            },
            Message::Close(_) => Err(End::Closed),
            _ => Ok(None),
        }
    }

    async fn take(&mut self, message: FeedMessage) -> Result<(), End> {
        match message {
            FeedMessage::Snapshot(snapshot) => {
                self.asked = None;
                self.receive(Heard::Snapshot(snapshot));
            }
            FeedMessage::Delta(delta) => {
                if !self.receive(Heard::Delta(Box::new(delta))) {
                    self.ask_for_missing().await?;
                }
            }
            FeedMessage::Clock(reply) => {
                let now_us = self.clock.now_us();
                for shared in self.followers {
                    shared.change(|known| known.exchanged(reply, now_us));
                }
            }
            FeedMessage::Refusal(refusal) => {
                tracing::warn!(of = ?refusal.of, says = refusal.why.says, "the feed refused a message");
            }
            // Nothing that a display says is acknowledged, a second welcome says nothing new, and the others are for
            // judges and officials.
            FeedMessage::Welcome(_)
            | FeedMessage::Ack(_)
            | FeedMessage::Gap(_)
            | FeedMessage::Lane(_)
            | FeedMessage::Phones(_)
            | FeedMessage::Pins(_)
            | FeedMessage::LaneRecord(_)
            | FeedMessage::Judges(_)
            | FeedMessage::Athletes(_)
            | FeedMessage::Papers(_)
            | FeedMessage::Standings(_) => {}
        }
        Ok(())
    }

    fn receive(&self, heard: Heard) -> bool {
        let now_us = self.clock.now_us();
        // All are at the same place in the stream, so all say the same.
        self.followers.iter().fold(true, |_, shared| {
            let heard = heard.clone();
            shared.change(|known| known.receive(heard, now_us))
        })
    }

    /// A stamp for a clock exchange, microseconds.
    fn stamp_us(&self) -> i64 {
        let now_us = self.clock.now_us();
        self.followers.first().map_or(now_us, |shared| shared.lock().stamp_us(now_us))
    }

    async fn ask_for_missing(&mut self) -> Result<(), End> {
        let asked_lately = self.asked.is_some_and(|asked| asked.elapsed() < ASK_AGAIN);
        let place = self.followers.first().and_then(|shared| shared.lock().place());
        let Some(place) = place.filter(|_| !asked_lately) else { return Ok(()) };
        tracing::info!(last = place.last, "deltas are missing; asking for them");
        self.asked = Some(Instant::now());
        self.say(&ClientMessage::Resume(place)).await
    }

    async fn say(&mut self, message: &ClientMessage) -> Result<(), End> {
        match serde_json::to_string(message) {
            Ok(text) => Ok(self.socket.send(Message::text(text)).await?),
            Err(error) => {
                // Our own messages are plain structs; this would be a fault of ours that no retry cures.
                tracing::error!(%error, "a message could not be written");
                Ok(())
            }
        }
    }
}
