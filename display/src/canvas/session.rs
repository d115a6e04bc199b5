//! One page's connection: it joins, and then is sent a frame whenever it has shown the last one and there is
//! something newer. Knows messages and patience; leaves the picture to the encoder.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::ws::{CloseFrame, Message, WebSocket};
use bytes::Bytes;
use tokio::sync::oneshot;
use tokio::time::{Instant, sleep_until, timeout, timeout_at};

use super::encoder::{Event, Wanted};
use super::format::{FromPage, MAX_PART_BYTES, Refusal, ToPage};
use super::http::Server;
use super::picture::{At, Frame};

/// How often a page is told that the display is there while nothing changes.
const ALIVE_EVERY: Duration = Duration::from_secs(2);
/// For a close to reach the page.
const CLOSE_PATIENCE: Duration = Duration::from_secs(1);
/// The display stops, and the page broke a rule (RFC 6455 section 7.4.1).
const CLOSE_GOING_AWAY: u16 = 1001;
const CLOSE_POLICY: u16 = 1008;

/// Why a page's connection is over.
#[derive(Debug)]
enum End {
    /// The page closed it or is unreachable.
    Left,
    /// It does not read.
    NotReading,
    /// It does not answer.
    Silent,
    /// It may not be here.
    Refused(Refusal),
    /// The display stops.
    Stopping,
}

/// Serves one page to its end.
pub(super) async fn serve(socket: WebSocket, server: &Server) {
    let mut page = Page { socket, server, questions: 0, answered: Instant::now() };
    let mut stopped = server.stopped.clone();
    let end = tokio::select! {
        end = page.follow() => match end { Err(end) => end },
        // An error means that the handle is gone, which is the same.
        _ = stopped.wait_for(|stop| *stop) => End::Stopping,
    };
    tracing::info!(?end, "a page's connection is over");
    page.close(end).await;
}

struct Page<'a> {
    socket: WebSocket,
    server: &'a Server,
    /// Asked whether it is alive, and not answered yet.
    questions: u32,
    /// When it last answered anything.
    answered: Instant,
}

impl Page<'_> {
    async fn follow(&mut self) -> Result<Infallible, End> {
        self.join().await?;
        let server = self.server;
        let Ok(_place) = Arc::clone(&server.pages).try_acquire_owned() else {
            return Err(End::Refused(Refusal::TooManyPages));
        };
        let _seat = server.audience.enter();
        self.say(&ToPage::Welcome).await?;
        tracing::info!("a page has joined");
        self.answered = Instant::now();
        let mut has = None;
        loop {
            let frame = self.next_frame(has.take()).await?;
            self.send_parts(&frame.bytes).await?;
            self.until_shown(*frame.at).await?;
            has = Some(frame.at);
        }
    }

    async fn join(&mut self) -> Result<(), End> {
        let first = timeout(self.server.patience, self.hear()).await.map_err(|_| End::Silent)??;
        let FromPage::Join { access_key } = first else { return Err(End::Refused(Refusal::NotUnderstood)) };
        self.server.access.admit(access_key.as_deref()).map_err(End::Refused)
    }

    /// Waits for something newer than the page has. Meanwhile each side is told that the other is there.
    async fn next_frame(&mut self, has: Option<At>) -> Result<Frame, End> {
        let (reply, mut answer) = oneshot::channel();
        let wanted = Wanted { has, reply };
        self.server.events.send(Event::Wanted(wanted)).map_err(|_| End::Stopping)?;
        let mut ask_at = Instant::now() + ALIVE_EVERY;
        loop {
            tokio::select! {
                frame = &mut answer => return frame.map_err(|_| End::Stopping),
                () = sleep_until(ask_at) => {
                    if self.questions > 0 && self.answered.elapsed() > self.server.patience {
                        return Err(End::Silent);
                    }
                    self.questions += 1;
                    self.say(&ToPage::Alive).await?;
                    ask_at = Instant::now() + ALIVE_EVERY;
                }
                said = self.hear() => match said? {
                    FromPage::Alive => self.alive()?,
                    _ => return Err(End::Refused(Refusal::NotUnderstood)),
                },
            }
        }
    }

    async fn send_parts(&mut self, frame: &Bytes) -> Result<(), End> {
        for start in (0..frame.len()).step_by(MAX_PART_BYTES) {
            let part = frame.slice(start..frame.len().min(start + MAX_PART_BYTES));
            self.send(Message::Binary(part)).await?;
        }
        Ok(())
    }

    async fn until_shown(&mut self, number: u64) -> Result<(), End> {
        let until = Instant::now() + self.server.patience;
        loop {
            match timeout_at(until, self.hear()).await.map_err(|_| End::Silent)?? {
                FromPage::Shown { frame } if frame == number => {
                    self.answered = Instant::now();
                    return Ok(());
                }
                FromPage::Alive => self.alive()?,
                _ => return Err(End::Refused(Refusal::NotUnderstood)),
            }
        }
    }

    /// An answer, if there was a question.
    fn alive(&mut self) -> Result<(), End> {
        self.questions = self.questions.checked_sub(1).ok_or(End::Refused(Refusal::NotUnderstood))?;
        self.answered = Instant::now();
        Ok(())
    }

    /// The page's next message. Dropping the wait loses none.
    async fn hear(&mut self) -> Result<FromPage, End> {
        loop {
            match self.socket.recv().await {
                Some(Ok(Message::Text(text))) => {
                    return serde_json::from_str(&text).map_err(|_| End::Refused(Refusal::NotUnderstood));
                }
                Some(Ok(Message::Ping(_) | Message::Pong(_))) => {}
                Some(Ok(Message::Binary(_))) => return Err(End::Refused(Refusal::NotUnderstood)),
                Some(Ok(Message::Close(_)) | Err(_)) | None => return Err(End::Left),
            }
        }
    }

    async fn say(&mut self, message: &ToPage) -> Result<(), End> {
        // Text of our own always becomes JSON.
        let text = serde_json::to_string(message).map_err(|_| End::Stopping)?;
        self.send(Message::Text(text.into())).await
    }

    async fn send(&mut self, message: Message) -> Result<(), End> {
        let sent = timeout(self.server.patience, self.socket.send(message)).await;
        sent.map_err(|_| End::NotReading)?.map_err(|_| End::Left)
    }

    async fn close(mut self, end: End) {
        let (code, reason) = match end {
            End::Left | End::NotReading => return,
            End::Silent => (CLOSE_POLICY, "no answer"),
            End::Stopping => (CLOSE_GOING_AWAY, "the display stops"),
            End::Refused(_) => (CLOSE_POLICY, "refused"),
        };
        let told = async {
            if let End::Refused(refusal) = end {
                self.say(&refusal.told()).await?;
            }
            self.send(Message::Close(Some(CloseFrame { code, reason: reason.into() }))).await?;
            // Until the page has closed too: what it was sent would be lost if the connection were cut before.
            while self.hear().await.is_ok() {}
            Ok::<(), End>(())
        };
        // It fails for pages that are gone, and then there is nobody left to tell.
        drop(timeout(CLOSE_PATIENCE, told).await);
    }
}
