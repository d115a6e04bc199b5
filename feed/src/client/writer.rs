//! The writing half of a connection: welcome, then answers first and deltas from the hub's ring after them. A client
//! that has fallen behind is given a snapshot; one that takes nothing for too long is left.

use std::time::Duration;

use axum::Error;
use axum::extract::ws::{Message, Utf8Bytes};
use bytes::Bytes;
use fivemark_wire::from_client::Role;
use fivemark_wire::from_feed::{ClockReply, FeedMessage, Welcome};
use futures_util::SinkExt;
use tokio::sync::watch;

use super::Over;
use super::handle::{Answer, ClientHandle, ClientInbox, End};
use super::join::Joined;
use crate::hub::{Hub, Next, RING, text};
use crate::roles::{Audience, audience};
use crate::shared::Shared;

/// Deltas that a client may be behind before it is given a snapshot instead: some five seconds of a busy floor.
const MAX_BEHIND: usize = 256;
/// The same for spectators, who are written to in batches.
const MAX_BEHIND_SPECTATOR: usize = 64;
/// How often spectators are written to: ten times a second is as fast as a count can be read.
const SPECTATOR_EVERY: Duration = Duration::from_millis(100);
/// Frames that are written before the socket has to take them: bounds what one connection holds.
const MAX_BATCH: usize = 64;

/// Writes to one client.
pub(super) struct Writer<'a, S> {
    pub(super) sink: &'a mut S,
    pub(super) shared: &'a Shared,
    pub(super) joined: &'a Joined,
    pub(super) inbox: &'a mut ClientInbox,
    pub(super) handle: &'a ClientHandle,
    /// The lane is another phone's.
    pub(super) standing_by: bool,
}

/// Everything that makes a connection write.
enum Wake {
    Answer(Answer),
    News,
    Ping,
    End(End),
    Stopped,
}

/// Tells when to look at the hub: at once, or at the spectators' beat.
enum News {
    AtOnce(watch::Receiver<u64>),
    Beat(tokio::time::Interval),
}

impl News {
    fn of(role: Role, hub: &Hub) -> Self {
        if role != Role::Spectator {
            return Self::AtOnce(hub.watch());
        }
        let mut beat = tokio::time::interval(SPECTATOR_EVERY);
        beat.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
        Self::Beat(beat)
    }

    async fn come(&mut self) {
        match self {
            Self::AtOnce(changed) => {
                if changed.changed().await.is_err() {
                    std::future::pending::<()>().await;
                }
            }
            Self::Beat(beat) => {
                beat.tick().await;
            }
        }
    }
}

impl<S> Writer<'_, S>
where
    S: SinkExt<Message, Error = Error> + Unpin,
{
    /// Writes until the connection is over.
    pub(super) async fn run(mut self) -> Over {
        let audience = audience(self.joined.role);
        let most = if self.joined.role == Role::Spectator { MAX_BEHIND_SPECTATOR } else { MAX_BEHIND };
        let mut news = News::of(self.joined.role, &self.shared.hub);
        let mut ping = tokio::time::interval(self.shared.patience.ping);
        ping.reset();
        let mut last = match self.greet(audience).await {
            Ok(last) => last,
            Err(over) => return over,
        };
        loop {
            let wake = tokio::select! {
                biased;
                Ok(end) = self.inbox.end.wait_for(Option::is_some) => end.map_or(Wake::News, Wake::End),
                Some(answer) = self.inbox.answers.recv() => Wake::Answer(answer),
                () = news.come() => Wake::News,
                _ = ping.tick() => Wake::Ping,
                () = self.shared.stopped() => Wake::Stopped,
            };
            let written = match wake {
                Wake::Answer(answer) => self.answers(answer, &mut last, audience, most).await,
                Wake::News => self.catch_up(&mut last, audience, most).await,
                Wake::Ping => self.ping().await,
                Wake::End(End::Replaced) => return Over::Replaced,
                Wake::End(End::NotReading) => return Over::NotReading,
                Wake::Stopped => return Over::ShuttingDown,
            };
            if let Err(over) = written {
                return over;
            }
        }
    }

    /// Welcome, and where the client stands: the deltas that it misses or a snapshot.
    async fn greet(&mut self, audience: Audience) -> Result<u64, Over> {
        let welcome = FeedMessage::Welcome(Welcome {
            role: self.joined.role,
            lane: self.joined.lane,
            access_key: self.joined.phone_key.clone(),
            standing_by: self.standing_by,
            stream: self.shared.stream.clone(),
            speed_milli: self.shared.clock.speed_milli(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
        });
        self.feed(text(&welcome)).await?;
        let here_before = self.joined.resume.as_ref().filter(|resume| resume.stream == self.shared.stream);
        let mut last = 0;
        match here_before {
            Some(resume) => {
                last = resume.last;
                self.catch_up(&mut last, audience, RING).await?;
            }
            None => self.snapshot(&mut last, audience).await?,
        }
        self.flush().await?;
        Ok(last)
    }

    /// Writes an answer and all that wait behind it.
    async fn answers(
        &mut self,
        first: Answer,
        last: &mut u64,
        audience: Audience,
        most: usize,
    ) -> Result<(), Over> {
        let mut answer = first;
        for _ in 0..MAX_BATCH {
            self.answer(answer, last, audience).await?;
            match self.inbox.answers.try_recv() {
                Ok(next) => answer = next,
                Err(_) => return self.flush_and_catch_up(last, audience, most).await,
            }
        }
        self.answer(answer, last, audience).await?;
        self.flush_and_catch_up(last, audience, most).await
    }

    async fn answer(&mut self, answer: Answer, last: &mut u64, audience: Audience) -> Result<(), Over> {
        match answer {
            Answer::Message(message) => self.feed(text(&message)).await,
            Answer::Clock { t1_us, t2_us } => {
                let t3_us = self.shared.clock.now_us();
                self.feed(text(&FeedMessage::Clock(ClockReply { t1_us, t2_us, t3_us }))).await
            }
            Answer::Resume { known: true, last: theirs } => {
                *last = theirs;
                self.catch_up(last, audience, RING).await
            }
            Answer::Resume { known: false, .. } => self.snapshot(last, audience).await,
        }
    }

    async fn flush_and_catch_up(
        &mut self,
        last: &mut u64,
        audience: Audience,
        most: usize,
    ) -> Result<(), Over> {
        self.flush().await?;
        self.catch_up(last, audience, most).await
    }

    /// Writes what the hub has and the client does not.
    async fn catch_up(&mut self, last: &mut u64, audience: Audience, most: usize) -> Result<(), Over> {
        loop {
            match self.shared.hub.after(*last, most, audience) {
                Next::Nothing => return Ok(()),
                Next::Deltas(frames, number) => {
                    for batch in frames.chunks(MAX_BATCH) {
                        for frame in batch {
                            self.feed(frame.clone()).await?;
                        }
                        self.flush().await?;
                    }
                    *last = number;
                }
                Next::Snapshot(frame, number) => {
                    self.shared.metrics.caught_up.inc();
                    self.feed(frame).await?;
                    self.flush().await?;
                    *last = number;
                }
            }
        }
    }

    async fn snapshot(&mut self, last: &mut u64, audience: Audience) -> Result<(), Over> {
        let (frame, number) = self.shared.hub.snapshot(audience);
        self.feed(frame).await?;
        *last = number;
        Ok(())
    }

    async fn ping(&mut self) -> Result<(), Over> {
        let silent_ms = self.shared.clock.boot_ms().saturating_sub(self.handle.heard_boot_ms());
        if u128::try_from(silent_ms).unwrap_or(0) > self.shared.patience.silence.as_millis() {
            return Err(Over::Silent);
        }
        self.write(Message::Ping(Bytes::new())).await?;
        self.flush().await
    }

    async fn feed(&mut self, frame: Utf8Bytes) -> Result<(), Over> {
        self.write(Message::Text(frame)).await
    }

    async fn write(&mut self, message: Message) -> Result<(), Over> {
        in_time(self.shared.patience.write, self.sink.feed(message)).await
    }

    async fn flush(&mut self) -> Result<(), Over> {
        in_time(self.shared.patience.write, self.sink.flush()).await
    }
}

async fn in_time(patience: Duration, writing: impl Future<Output = Result<(), Error>>) -> Result<(), Over> {
    match tokio::time::timeout(patience, writing).await {
        Ok(Ok(())) => Ok(()),
        Ok(Err(_)) => Err(Over::Left),
        Err(_) => Err(Over::NotReading),
    }
}
