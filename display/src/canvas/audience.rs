//! How many pages are watching: what the thread that draws looks at before it copies anything.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Counts the pages.
pub(super) struct Audience {
    pages: AtomicUsize,
    wake: Box<dyn Fn() + Send + Sync>,
}

impl Audience {
    /// `wake` is called whenever the number changes.
    pub fn new(wake: impl Fn() + Send + Sync + 'static) -> Self {
        Self { pages: AtomicUsize::new(0), wake: Box::new(wake) }
    }

    pub fn is_watching(&self) -> bool {
        self.pages.load(Ordering::Acquire) > 0
    }

    /// A page is there until the seat is dropped.
    pub fn enter(self: &Arc<Self>) -> Seat {
        self.pages.fetch_add(1, Ordering::AcqRel);
        (self.wake)();
        Seat { audience: Arc::clone(self) }
    }
}

/// A page's presence.
pub(super) struct Seat {
    audience: Arc<Audience>,
}

impl Drop for Seat {
    fn drop(&mut self) {
        self.audience.pages.fetch_sub(1, Ordering::AcqRel);
        (self.audience.wake)();
    }
}
