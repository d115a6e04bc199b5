//! Fans out: keeps the picture current, numbers deltas, and holds the last of them in a ring of shared bytes. Each
//! connection reads from the ring at its own pace, so that no reader's queue grows; one that has fallen behind is
//! given a snapshot. Of the deltas in the ring only the newest that says what screens show still says it, so that large
//! programs don't pile up.

use std::collections::VecDeque;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use axum::extract::ws::Utf8Bytes;
use fivemark_wire::from_feed::{Delta, FeedMessage};
use tokio::sync::watch;

use crate::picture::Picture;
use crate::roles::Audience;
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
    /// The newest delta in the ring that says what screens show, with its number. Whoever reads on from an older one
    /// comes to it.
    shows: Option<(u64, Forms)>,
    shared: Vec<Shared>,
}

/// A delta without what screens show.
#[derive(Debug)]
struct Frame {
    forms: Forms,
    /// The picture was replaced: no delta leads past this number.
    replaced: bool,
}

/// A delta as bytes. Rulings are for officials only, so a delta with some has two forms.
#[derive(Debug)]
struct Forms {
    officials: Utf8Bytes,
    others: Utf8Bytes,
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
        let ring = VecDeque::with_capacity(RING);
        let inner = Inner { picture, number: 0, ring, shows: None, shared: Vec::new() };
        Self { inner: Mutex::new(inner), changed: watch::Sender::new(0), clock }
    }

    /// Numbers a delta, keeps it and wakes the readers. Returns its number.
    pub fn publish(&self, mut delta: Delta) -> u64 {
        let mut inner = self.lock();
        inner.number += 1;
        delta.number = inner.number;
        inner.picture.apply(&delta);
        if delta.shows.is_some() {
            inner.shows = Some((delta.number, Forms::of(delta.clone())));
            delta.shows = None;
        }
        inner.keep(Frame { forms: Forms::of(delta), replaced: false });
        self.wake(inner)
    }

    /// Replaces the picture, for another heat or run: everybody gets a snapshot.
    pub fn replace(&self, mut picture: Picture) -> u64 {
        let mut inner = self.lock();
        inner.number += 1;
        picture.renumber(inner.number);
        inner.picture = picture;
        inner.shows = None;
        let empty = Utf8Bytes::from_static("");
        inner.keep(Frame { forms: Forms { officials: empty.clone(), others: empty }, replaced: true });
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
                let shows = inner.shows.as_ref().filter(|_| audience.sees_shows());
                let bytes = (last + 1..).zip(frames).map(|(of, frame)| match shows {
                    Some((newest, forms)) if *newest == of => forms.of_audience(audience),
                    _ => frame.forms.of_audience(audience),
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

impl Forms {
    fn of(delta: Delta) -> Self {
        let ruled = !delta.rulings.is_empty();
        let all = FeedMessage::Delta(delta);
        let officials = text(&all);
        let others = match all {
            FeedMessage::Delta(delta) if ruled => {
                text(&FeedMessage::Delta(Delta { rulings: Vec::new(), ..delta }))
            }
            _ => officials.clone(),
        };
        Self { officials, others }
    }

    fn of_audience(&self, audience: Audience) -> Utf8Bytes {
        if audience == Audience::Officials { self.officials.clone() } else { self.others.clone() }
    }
}

impl Inner {
    fn keep(&mut self, frame: Frame) {
        if self.ring.len() == RING {
            self.ring.pop_front();
        }
        self.ring.push_back(frame);
        let kept = u64::try_from(self.ring.len()).unwrap_or(u64::MAX);
        self.shows.take_if(|(of, _)| self.number - *of >= kept);
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

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use fivemark_wire::shows::{Card, Shows, Step};
    use fivemark_wire::view::RulingNote;

    use super::*;
    use crate::actor::Heats;
    use crate::competition::parse;
    use crate::machine::ThisMachine;

    fn hub() -> Hub {
        let competition = parse("test", include_str!("../tests/data/competition.toml")).unwrap();
        let heats = Heats::new(Arc::new(competition)).unwrap();
        Hub::new(heats.picture(true).unwrap(), FeedClock::new(Arc::new(ThisMachine), 1_000))
    }

    /// A program of some hundred kilobytes, with the ribbon on or off.
    fn large(ribbon: bool) -> Shows {
        let text = "w".repeat(400_000);
        let card = Card::Words { title: String::new(), text };
        let mut shows = Shows::default();
        (shows.overlay.ribbon, shows.board.steps) = (ribbon, vec![Step { for_ms: 0, card }]);
        shows
    }

    fn says(shows: Option<Shows>) -> Delta {
        let ruling = RulingNote {
            lane: 1,
            by: "head judge".to_owned(),
            says: "a penalty".to_owned(),
            reason: "seen".to_owned(),
            before: String::new(),
            after: String::new(),
        };
        Delta { shows: shows.map(Box::new), rulings: vec![ruling], ..Delta::default() }
    }

    fn held(hub: &Hub) -> usize {
        let inner = hub.lock();
        let shows = inner.shows.iter().map(|(_, forms)| forms);
        let forms = inner.ring.iter().map(|frame| &frame.forms).chain(shows);
        forms.map(|forms| forms.officials.len() + forms.others.len()).sum()
    }

    fn deltas(hub: &Hub, last: u64, audience: Audience) -> Vec<Delta> {
        let Next::Deltas(frames, number) = hub.after(last, RING, audience) else { panic!("no deltas") };
        assert_eq!(number, hub.number());
        let read = |frame: &Utf8Bytes| match serde_json::from_str(frame) {
            Ok(FeedMessage::Delta(delta)) => delta,
            other => panic!("{other:?}"),
        };
        let deltas: Vec<_> = frames.iter().map(read).collect();
        let numbers: Vec<_> = deltas.iter().map(|delta| delta.number).collect();
        assert_eq!(numbers, (last + 1..=number).collect::<Vec<_>>());
        deltas
    }

    #[test]
    fn large_programs_do_not_pile_up_and_a_slow_reader_has_the_last_one() {
        let hub = hub();
        for toggle in 0..50 {
            hub.publish(says(Some(large(toggle % 2 == 0))));
            hub.publish(says(None));
        }
        assert!(held(&hub) < 1_000_000, "{} bytes", held(&hub));
        for (audience, rulings) in [(Audience::Officials, 1), (Audience::Staff, 0), (Audience::Public, 0)] {
            let deltas = deltas(&hub, 0, audience);
            assert!(deltas.iter().all(|delta| delta.rulings.len() == rulings));
            let told: Vec<_> = deltas.iter().filter_map(|delta| delta.shows.as_deref()).collect();
            assert_eq!(told, [&large(false)], "{audience:?}: one program, the last");
        }
        for audience in [Audience::Judges, Audience::Crowd] {
            assert!(deltas(&hub, 0, audience).iter().all(|delta| delta.shows.is_none()), "{audience:?}");
        }
        // Whoever has it already is not told again, and one that is told as it goes hears each.
        assert!(deltas(&hub, 99, Audience::Public)[0].shows.is_none());
        hub.publish(says(Some(large(true))));
        assert_eq!(deltas(&hub, 100, Audience::Public)[0].shows.as_deref(), Some(&large(true)));
    }

    #[test]
    fn a_program_is_kept_as_long_as_its_delta() {
        let hub = hub();
        let of = hub.publish(says(Some(large(true))));
        for _ in 1..RING {
            hub.publish(says(None));
        }
        assert!(deltas(&hub, of - 1, Audience::Public)[0].shows.is_some());
        hub.publish(says(None));
        assert!(hub.lock().shows.is_none());
        assert!(matches!(hub.after(of - 1, RING, Audience::Public), Next::Snapshot(..)));
        hub.publish(says(Some(large(true))));
        let picture = hub.lock().picture.clone();
        hub.replace(picture);
        assert!(hub.lock().shows.is_none(), "the picture has it");
    }
}
