//! What is known of the heat now: one value, kept current by the connection and read by the frame loop. The loop
//! always draws the latest; nothing queues up while it is busy or its window is hidden.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use fivemark_scene::{Link, View};
use fivemark_wire::from_feed::{Delta, Snapshot};

use crate::clock::FeedClock;

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
    /// When the feed was last heard, microseconds of the display's clock.
    pub heard_us: i64,
}

impl Known {
    fn new() -> Self {
        Self {
            view: None,
            clock: FeedClock::default(),
            contact: Contact::Never,
            trouble: None,
            refused: false,
            stream: String::new(),
            heard_us: 0,
        }
    }

    /// The connection as the scene takes it.
    #[must_use]
    pub fn link(&self, now_us: i64) -> Link {
        match self.contact {
            Contact::Never => Link::Never,
            Contact::Live => Link::Live,
            Contact::LostSince(at_us) => Link::Lost { age_ms: (now_us - at_us).max(0) / 1_000 },
        }
    }

    /// A welcome: another stream or speed makes what the clock exchanges said worthless.
    pub(super) fn welcomed(&mut self, stream: &str, speed_milli: u32) {
        let speed_milli = speed_milli.max(1);
        if self.stream != stream || self.clock.speed_milli() != speed_milli {
            self.clock.restart(speed_milli);
            if let Some(view) = &self.view {
                self.clock.heard(view.snapshot.at_ms, self.heard_us);
            }
        } else if self.view.is_some() {
            // Same stream: missing deltas follow, and if there are none the picture is current.
            self.contact = Contact::Live;
        }
        stream.clone_into(&mut self.stream);
        self.trouble = None;
        self.refused = false;
    }

    pub(super) fn replace(&mut self, snapshot: Snapshot, now_us: i64) {
        self.clock.heard(snapshot.at_ms, now_us);
        self.contact = Contact::Live;
        self.view = Some(View::new(snapshot));
    }

    /// Takes a delta in. False: deltas before it are missing, and have to be asked for.
    pub(super) fn advance(&mut self, delta: &Delta, now_us: i64) -> bool {
        self.clock.heard(delta.at_ms, now_us);
        self.view.as_mut().is_none_or(|view| view.apply(delta).is_ok())
    }

    /// The connection is gone. What is shown stays, with its age.
    pub(super) fn lost(&mut self, trouble: String, refused: bool) {
        if self.contact == Contact::Live {
            self.contact = Contact::LostSince(self.heard_us);
        }
        self.trouble = Some(trouble);
        self.refused = refused;
    }
}

/// The latest state, shared between the connection's thread and the frame loop's.
#[derive(Clone)]
pub struct Shared {
    known: Arc<Mutex<Known>>,
    wake: Arc<dyn Fn() + Send + Sync>,
}

impl Shared {
    /// Nothing known yet. `wake` is called after every change, from the connection's thread.
    #[must_use]
    pub fn new(wake: impl Fn() + Send + Sync + 'static) -> Self {
        Self { known: Arc::new(Mutex::new(Known::new())), wake: Arc::new(wake) }
    }

    /// What is known now.
    pub fn lock(&self) -> MutexGuard<'_, Known> {
        // Every change is a few plain assignments: after a panic within one the value is still the best there is.
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Changes what is known and wakes the frame loop.
    pub(super) fn change<T>(&self, change: impl FnOnce(&mut Known) -> T) -> T {
        let changed = change(&mut self.lock());
        (self.wake)();
        changed
    }
}
