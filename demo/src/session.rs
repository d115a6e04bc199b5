//! A connection to the feed over WebSocket: dialling, frames to messages and back, and for those who only follow
//! the heat a picture that is kept current. Leaves what is said to its callers.

use std::time::Duration;

use fivemark_dial::{FeedAddress, Socket};
use fivemark_wire::SUBPROTOCOL;
use fivemark_wire::from_client::{ClientMessage, Join, Resume, Role};
use fivemark_wire::from_feed::{Delta, FeedMessage, Snapshot};
use futures_util::{SinkExt, StreamExt};
use thiserror::Error;
use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;
use tokio_tungstenite::tungstenite::{Error as SocketError, Message};

/// Longest wait for a connection, real time.
const DIAL_WITHIN: Duration = Duration::from_secs(5);
/// Largest message taken from the feed, in bytes: a snapshot of 40 lanes with long courses and standings.
const MAX_MESSAGE: usize = 4 * 1024 * 1024;
/// Buffer of a socket, in bytes: messages are small, and there are many phones.
const BUFFER: usize = 4 * 1024;

/// Why talking to the feed failed.
#[derive(Debug, Error)]
pub enum SessionError {
    /// No connection came about.
    #[error("cannot reach the feed at {address}: {says}; is it running?")]
    Unreachable {
        /// The address.
        address: String,
        /// What the system says.
        says: String,
    },
    /// The connection broke.
    #[error("the connection to the feed broke: {0}")]
    Broken(String),
    /// The feed said something that cannot be read.
    #[error("the feed said something unreadable: {0}; are both programs of one version?")]
    Unreadable(String),
    /// The feed closed the connection.
    #[error("the feed closed the connection{}", if .0.is_empty() { String::new() } else { format!(": {}", .0) })]
    Closed(String),
}

/// Connects.
///
/// # Errors
/// Nobody answers there, or not as a feed that is trusted.
pub async fn dial(address: &FeedAddress) -> Result<Socket, SessionError> {
    let config = WebSocketConfig::default()
        .read_buffer_size(BUFFER)
        .write_buffer_size(0)
        .max_message_size(Some(MAX_MESSAGE))
        .max_frame_size(Some(MAX_MESSAGE));
    let unreachable = |says: String| SessionError::Unreachable { address: address.to_string(), says };
    match tokio::time::timeout(DIAL_WITHIN, address.dial(SUBPROTOCOL, config)).await {
        Ok(dialled) => dialled.map_err(unreachable),
        Err(_) => Err(unreachable("no answer".to_owned())),
    }
}

/// Sends one message.
///
/// # Errors
/// The connection broke.
pub async fn send(socket: &mut Socket, message: &ClientMessage) -> Result<(), SessionError> {
    let text = serde_json::to_string(message).map_err(|error| SessionError::Broken(error.to_string()))?;
    socket.send(Message::text(text)).await.map_err(broken)
}

/// Waits for the next message. Dropping the wait loses nothing.
///
/// # Errors
/// The connection broke or was closed, or the message cannot be read.
pub async fn receive(socket: &mut Socket) -> Result<FeedMessage, SessionError> {
    loop {
        match socket.next().await {
            Some(Ok(Message::Text(text))) => {
                return serde_json::from_str(&text)
                    .map_err(|error| SessionError::Unreadable(error.to_string()));
            }
            Some(Ok(Message::Close(frame))) => {
                return Err(SessionError::Closed(
                    frame.map_or_else(String::new, |frame| frame.reason.to_string()),
                ));
            }
            Some(Ok(_)) => {}
            Some(Err(error)) => return Err(broken(error)),
            None => return Err(SessionError::Closed(String::new())),
        }
    }
}

fn broken(error: SocketError) -> SessionError {
    SessionError::Broken(error.to_string())
}

/// A follower of the heat: keeps the picture current and asks for what it missed.
#[derive(Debug)]
pub struct Follower {
    socket: Socket,
    stream: String,
    /// The picture; none before the first snapshot.
    pub snapshot: Option<Snapshot>,
}

impl Follower {
    /// Connects and joins.
    ///
    /// # Errors
    /// See [`SessionError`].
    pub async fn join(address: &FeedAddress, join: Join) -> Result<Self, SessionError> {
        let mut socket = dial(address).await?;
        send(&mut socket, &ClientMessage::Join(join)).await?;
        Ok(Self { socket, stream: String::new(), snapshot: None })
    }

    /// Waits for a message; what it changes is in the picture when this returns.
    ///
    /// # Errors
    /// See [`SessionError`].
    pub async fn next(&mut self) -> Result<FeedMessage, SessionError> {
        let message = receive(&mut self.socket).await?;
        match &message {
            FeedMessage::Welcome(welcome) => self.stream.clone_from(&welcome.stream),
            FeedMessage::Snapshot(snapshot) => self.snapshot = Some((**snapshot).clone()),
            FeedMessage::Delta(delta) => {
                if let Some(snapshot) = &mut self.snapshot
                    && !apply(snapshot, delta)
                {
                    let resume = Resume { stream: self.stream.clone(), last: snapshot.number };
                    self.say(&ClientMessage::Resume(resume)).await?;
                }
            }
            _ => {}
        }
        Ok(message)
    }

    /// Says something.
    ///
    /// # Errors
    /// The connection broke.
    pub async fn say(&mut self, message: &ClientMessage) -> Result<(), SessionError> {
        send(&mut self.socket, message).await
    }
}

/// What the public is shown of the heat now: joins as a display, takes the first picture, and leaves.
///
/// # Errors
/// See [`SessionError`].
pub async fn public_picture(address: &FeedAddress, access_key: &str) -> Result<Snapshot, SessionError> {
    let access_key = Some(access_key.to_owned());
    let join = Join { access_key, ..Join::new(Role::Display, "demo-terminal") };
    let mut follower = Follower::join(address, join).await?;
    let arriving = async {
        loop {
            follower.next().await?;
            if let Some(picture) = follower.snapshot.take() {
                return Ok(picture);
            }
        }
    };
    let late = |_| SessionError::Broken("no picture of the heat came".to_owned());
    tokio::time::timeout(DIAL_WITHIN, arriving).await.map_err(late)?
}

/// Brings a picture up to a delta. False if deltas between are missing; an old one changes nothing.
pub fn apply(snapshot: &mut Snapshot, delta: &Delta) -> bool {
    if delta.number <= snapshot.number {
        return true;
    }
    if delta.number != snapshot.number + 1 {
        return false;
    }
    (snapshot.number, snapshot.at_ms) = (delta.number, delta.at_ms);
    if let Some(heat) = delta.heat {
        snapshot.heat = heat;
    }
    if let Some(journal_ok) = delta.journal_ok {
        snapshot.journal_ok = journal_ok;
    }
    for changed in &delta.lanes {
        if let Some(lane) = snapshot.lanes.iter_mut().find(|lane| lane.lane == changed.lane) {
            lane.clone_from(changed);
        }
    }
    for changed in &delta.order {
        if let Some(row) = snapshot.order.iter_mut().find(|row| row.lane == changed.lane) {
            *row = *changed;
        }
    }
    true
}
