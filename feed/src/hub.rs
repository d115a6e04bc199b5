//! Fans out: keeps the picture current, numbers deltas, and holds the last of them in a ring of shared bytes. Each
//! connection reads from the ring at its own pace, so that no reader's queue grows; one that has fallen behind is
//! given a snapshot.

use std::collections::VecDeque;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use axum::extract::ws::Utf8Bytes;
use fivemark_wire::from_feed::{Delta, FeedMessage};
use tokio::sync::watch;

use crate::access::Audience;
use crate::picture::Picture;
use crate::timeline::FeedClock;

/// Deltas that are kept for clients that come back: some twenty seconds of a busy floor.
pub const RING: usize = 1_024;
/// How long serialised snapshot bytes are shared, so that their moment stays true.
const SNAPSHOT_SHARED: Duration = Duration::from_millis(100);

/// What a reader should be sent next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Next {
    /// It has everything.
    Nothing,
    /// These deltas, in order, the last with this number.
    Deltas(Vec<Utf8Bytes>, u64),
    /// A snapshot with this number.
    Snapshot(Utf8Bytes, u64),
}

/// The shared stream of deltas.
#[derive(Debug)]
pub struct Hub {
    inner: Mutex<Inner>,
    changed: watch::Sender<u64>,
    clock: FeedClock,
}

#[derive(Debug)]
struct Inner {
    picture: Picture,
    number: u64,
    ring: VecDeque<Frame>,
    shared: Vec<Shared>,
}

/// A delta as bytes. Rulings are for officials only, and what screens show is not told to the crowd, so a delta with
/// either has forms of its own.
#[derive(Debug)]
struct Frame {
    officials: Utf8Bytes,
    others: Utf8Bytes,
    crowd: Utf8Bytes,
    /// The picture was replaced: no delta leads past this number.
    replaced: bool,
}

#[derive(Debug)]
struct Shared {
    audience: Audience,
    number: u64,
    made: Instant,
    bytes: Utf8Bytes,
}

impl Hub {
    /// A stream that begins with a picture.
    #[must_use]
    pub fn new(picture: Picture, clock: FeedClock) -> Self {
        let inner = Inner { picture, number: 0, ring: VecDeque::with_capacity(RING), shared: Vec::new() };
        Self { inner: Mutex::new(inner), changed: watch::Sender::new(0), clock }
    }

    /// Numbers a delta, keeps it and wakes the readers. Returns its number.
    pub fn publish(&self, mut delta: Delta) -> u64 {
        let mut inner = self.lock();
        inner.number += 1;
        delta.number = inner.number;
        inner.picture.apply(&delta);
        let officials = text(&FeedMessage::Delta(delta.clone()));
        let others = if delta.rulings.is_empty() {
            officials.clone()
        } else {
            delta.rulings.clear();
            text(&FeedMessage::Delta(delta.clone()))
        };
        let crowd =
            if delta.shows.take().is_some() { text(&FeedMessage::Delta(delta)) } else { others.clone() };
        inner.keep(Frame { officials, others, crowd, replaced: false });
        self.wake(inner)
    }

    /// Replaces the picture, for another heat or run: everybody gets a snapshot.
    pub fn replace(&self, mut picture: Picture) -> u64 {
        let mut inner = self.lock();
        inner.number += 1;
        picture.renumber(inner.number);
        inner.picture = picture;
        let empty = Utf8Bytes::from_static("");
        inner.keep(Frame { officials: empty.clone(), others: empty.clone(), crowd: empty, replaced: true });
        self.wake(inner)
    }

    /// Number of the last delta.
    #[must_use]
    pub fn number(&self) -> u64 {
        self.lock().number
    }

    /// Wakes when there is something new.
    #[must_use]
    pub fn watch(&self) -> watch::Receiver<u64> {
        self.changed.subscribe()
    }

    /// What follows `last` for a reader; a snapshot when more than `most` deltas are missing or they are gone.
    #[must_use]
    pub fn after(&self, last: u64, most: usize, audience: Audience) -> Next {
        let mut inner = self.lock();
        let number = inner.number;
        if last == number {
            return Next::Nothing;
        }
        let missing = usize::try_from(number.saturating_sub(last)).unwrap_or(usize::MAX);
        let known = last < number && missing <= most && missing <= inner.ring.len();
        if known {
            let frames = inner.ring.iter().skip(inner.ring.len() - missing);
            if frames.clone().all(|frame| !frame.replaced) {
                let bytes = frames.map(|frame| match audience {
                    Audience::Officials => frame.officials.clone(),
                    Audience::Staff | Audience::Public => frame.others.clone(),
                    Audience::Crowd => frame.crowd.clone(),
                });
                return Next::Deltas(bytes.collect(), number);
            }
        }
        Next::Snapshot(inner.snapshot(audience, &self.clock), number)
    }

    /// The snapshot as of now.
    #[must_use]
    pub fn snapshot(&self, audience: Audience) -> (Utf8Bytes, u64) {
        let mut inner = self.lock();
        (inner.snapshot(audience, &self.clock), inner.number)
    }

    fn wake(&self, inner: MutexGuard<'_, Inner>) -> u64 {
        let number = inner.number;
        drop(inner);
        self.changed.send_replace(number);
        number
    }

    fn lock(&self) -> MutexGuard<'_, Inner> {
        // A panic elsewhere cannot leave the picture half changed: each change is made under one lock.
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Inner {
    fn keep(&mut self, frame: Frame) {
        if self.ring.len() == RING {
            self.ring.pop_front();
        }
        self.ring.push_back(frame);
    }

    fn snapshot(&mut self, audience: Audience, clock: &FeedClock) -> Utf8Bytes {
        let number = self.number;
        let fresh = |shared: &Shared| shared.number == number && shared.made.elapsed() < SNAPSHOT_SHARED;
        self.shared.retain(fresh);
        if let Some(shared) = self.shared.iter().find(|shared| shared.audience == audience) {
            return shared.bytes.clone();
        }
        let snapshot = self.picture.for_audience(audience, clock.now().0);
        let bytes = text(&FeedMessage::Snapshot(Box::new(snapshot)));
        self.shared.push(Shared { audience, number, made: Instant::now(), bytes: bytes.clone() });
        bytes
    }
}

/// A message as shared bytes.
#[must_use]
pub fn text(message: &FeedMessage) -> Utf8Bytes {
    // Every message is plain data; a failure would be ours, and an empty frame is noticed by every client.
    serde_json::to_string(message).unwrap_or_default().into()
}
