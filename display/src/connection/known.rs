//! What is known of the heat now: one value, kept current by the connection and read by the frame loop. The loop
//! always draws the latest; nothing queues up while it is busy or its window is hidden. For a delayed stream the
//! value is the one of a moment ago: what comes waits its time first, the loss of the line and the clock included.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use fivemark_scene::{Link, View};
use fivemark_wire::clock::Exchange;
use fivemark_wire::from_client::Resume;
use fivemark_wire::from_feed::{ClockReply, Delta};
use tokio::sync::Notify;

use super::waiting::{Heard, Waiting};
use crate::clock::{FeedClock, stamp_us};

/// How the connection stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Contact {
    /// No picture has come yet.
    Never,
    /// Messages come.
    Live,
    /// None come; the last was heard at this time of the display's clock, microseconds.
    LostSince(i64),
}

/// The latest picture and how old it is.
#[derive(Debug)]
pub struct Known {
    /// The heat; none before the first snapshot.
    pub view: Option<View>,
    /// The feed's clock.
    pub clock: FeedClock,
    /// The connection.
    pub contact: Contact,
    /// What stands in the way, in words, while there is no connection.
    pub trouble: Option<String>,
    /// The trouble is that the feed does not let this display in.
    pub refused: bool,
    /// Name of the stream that the view belongs to.
    pub stream: String,
    /// When what is shown was last heard of, microseconds of the display's clock.
    heard_us: i64,
    received: Received,
    waiting: Waiting,
}

/// Where the line itself stands, whatever waits to be shown.
#[derive(Debug)]
struct Received {
    stream: String,
    speed_milli: u32,
    /// Number of the last delta, its snapshot's at first.
    last: Option<u64>,
    heard_us: i64,
}

impl Known {
    fn new(delay_us: i64) -> Self {
        Self {
            view: None,
            clock: FeedClock::default(),
            contact: Contact::Never,
            trouble: None,
            refused: false,
            stream: String::new(),
            heard_us: 0,
            received: Received { stream: String::new(), speed_milli: 1_000, last: None, heard_us: 0 },
            waiting: Waiting::new(delay_us),
        }
    }

    /// The moment that is shown at `now_us`, both on the display's clock, microseconds: now, or a moment ago.
    #[must_use]
    pub fn shown_us(&self, now_us: i64) -> i64 {
        now_us - self.waiting.delay_us()
    }

    /// The connection as the scene takes it, at a moment that is shown.
    #[must_use]
    pub fn link(&self, shown_us: i64) -> Link {
        match self.contact {
            Contact::Never => Link::Never,
            Contact::Live => Link::Live,
            Contact::LostSince(at_us) => Link::Lost { age_ms: (shown_us - at_us).max(0) / 1_000 },
        }
    }

    /// Anything came at `now_us`, be it only a sign of life.
    pub(super) fn heard(&mut self, now_us: i64) {
        self.received.heard_us = now_us;
    }

    /// A message for the picture came. False: deltas before it are missing, and have to be asked for.
    pub(super) fn receive(&mut self, heard: Heard, now_us: i64) -> bool {
        match &heard {
            Heard::Welcome { stream, speed_milli } => {
                if self.received.stream != *stream {
                    self.received.last = None;
                }
                self.received.stream.clone_from(stream);
                self.received.speed_milli = *speed_milli;
            }
            Heard::Snapshot(snapshot) => self.received.last = Some(snapshot.number),
            Heard::Delta(delta) => match self.received.last {
                Some(last) if delta.number == last.saturating_add(1) => {
                    self.received.last = Some(delta.number);
                }
                Some(last) if delta.number > last => return false,
                // Before the snapshot, or what is in the picture already.
                Some(_) | None => return true,
            },
            Heard::Exchange(_) | Heard::Lost { .. } => {}
        }
        // Before there is a picture nobody watches a stream, and who sets up a display should see at once why
        // none comes.
        if matches!(heard, Heard::Lost { .. }) && self.view.is_none() && self.received.last.is_none() {
            self.show(heard, now_us);
        } else {
            self.waiting.push(heard, now_us);
        }
        self.catch_up(now_us);
        true
    }

    /// The connection is gone. What is shown stays, with its age.
    pub(super) fn lost(&mut self, trouble: String, refused: bool, now_us: i64) {
        let heard_us = self.received.heard_us;
        self.receive(Heard::Lost { trouble, refused, heard_us }, now_us);
    }

    /// An answer to a clock exchange.
    pub(super) fn exchanged(&mut self, reply: ClockReply, now_us: i64) {
        let ClockReply { t1_us, t2_us, t3_us } = reply;
        self.receive(Heard::Exchange(Exchange { t1_us, t2_us, t3_us, t4_us: self.stamp_us(now_us) }), now_us);
    }

    /// A stamp for a clock exchange, microseconds.
    pub(super) fn stamp_us(&self, now_us: i64) -> i64 {
        stamp_us(now_us, self.received.speed_milli)
    }

    /// Where the line stands in the stream of deltas; none before a picture came.
    pub(super) fn place(&self) -> Option<Resume> {
        let last = self.received.last?;
        Some(Resume { stream: self.received.stream.clone(), last })
    }

    /// When the next message that waits is to be shown, microseconds of the display's clock.
    pub(super) fn due_us(&self) -> Option<i64> {
        self.waiting.due_us()
    }

    /// Shows what has waited long enough.
    pub(super) fn catch_up(&mut self, now_us: i64) {
        while let Some((heard, at_us)) = self.waiting.next(now_us) {
            self.show(heard, at_us);
        }
    }

    /// Takes in what came at `at_us`.
    fn show(&mut self, heard: Heard, at_us: i64) {
        match heard {
            Heard::Welcome { stream, speed_milli } => self.welcomed(stream, speed_milli.max(1)),
            Heard::Snapshot(snapshot) => {
                self.clock.heard(snapshot.at_ms, at_us);
                self.contact = Contact::Live;
                self.view = Some(View::new(*snapshot));
            }
            Heard::Delta(delta) => self.advance(&delta, at_us),
            Heard::Exchange(exchange) => self.clock.exchanged(exchange),
            Heard::Lost { trouble, refused, heard_us } => {
                if self.contact == Contact::Live {
                    self.contact = Contact::LostSince(heard_us);
                }
                self.trouble = Some(trouble);
                self.refused = refused;
                return;
            }
        }
        self.heard_us = at_us;
    }

    /// A welcome: another stream or speed makes what the clock exchanges said worthless.
    fn welcomed(&mut self, stream: String, speed_milli: u32) {
        if self.stream != stream || self.clock.speed_milli() != speed_milli {
            self.clock.restart(speed_milli);
            if let Some(view) = &self.view {
                self.clock.heard(view.snapshot.at_ms, self.heard_us);
            }
        } else if self.view.is_some() {
            // Same stream: missing deltas follow, and if there are none the picture is current.
            self.contact = Contact::Live;
        }
        self.stream = stream;
        self.trouble = None;
        self.refused = false;
    }

    fn advance(&mut self, delta: &Delta, at_us: i64) {
        self.clock.heard(delta.at_ms, at_us);
        let applied = self.view.as_mut().map(|view| view.apply(delta));
        if let Some(Err(hole)) = applied {
            // What waits is whole, so this would be a fault of ours; the next snapshot mends it.
            tracing::error!(%hole, "a delta does not fit the picture");
        }
    }
}

/// The latest state, shared between the connection's thread and those that read it.
#[derive(Clone)]
pub struct Shared {
    known: Arc<Mutex<Known>>,
    wake: Arc<dyn Fn() + Send + Sync>,
    arrived: Arc<Notify>,
}

impl Shared {
    /// Nothing known yet. `wake` is called after every change, from the connection's thread.
    #[must_use]
    pub fn new(wake: impl Fn() + Send + Sync + 'static) -> Self {
        Self::delayed(wake, 0)
    }

    /// As [`Shared::new`], with everything known only `delay_us` microseconds after it came.
    #[must_use]
    pub fn delayed(wake: impl Fn() + Send + Sync + 'static, delay_us: i64) -> Self {
        let known = Arc::new(Mutex::new(Known::new(delay_us)));
        Self { known, wake: Arc::new(wake), arrived: Arc::default() }
    }

    /// How long after it came everything is known, microseconds.
    #[must_use]
    pub fn delay_us(&self) -> i64 {
        self.lock().waiting.delay_us()
    }

    /// What is known now.
    pub fn lock(&self) -> MutexGuard<'_, Known> {
        // Every change is a few plain assignments: after a panic within one the value is still the best there is.
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Changes what is known and wakes who reads it.
    pub(super) fn change<T>(&self, change: impl FnOnce(&mut Known) -> T) -> T {
        let changed = change(&mut self.lock());
        self.arrived.notify_one();
        (self.wake)();
        changed
    }

    /// Wakes who reads it for something else.
    pub fn wake(&self) {
        (self.wake)();
    }

    /// Waits until something has changed since the last time.
    pub(super) async fn changed(&self) {
        self.arrived.notified().await;
    }
}
