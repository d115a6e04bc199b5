//! The canvas feed: the frames of a picture, with their alpha, sent to pages in browsers.
//!
//! A frame goes one way. The [readback](crate::readback) copies what changed out of the card, without waiting for it; the encoder's
//! thread keeps the picture and, for every frame that some page is at, what changed since; each page asks for what
//! it lacks when it has shown what it got. So a slow page skips frames, a hundred pages at the same frame cost one
//! encoding, and nothing that a page does reaches the thread that draws.
//!
//! [`format`] describes the messages, for pages that are not ours.

mod accept;
mod access;
mod audience;
mod encoder;
mod figures;
pub mod format;
mod http;
mod picture;
mod session;

use std::io;
use std::net::SocketAddr;
use std::sync::mpsc::{Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::Duration;

use thiserror::Error;
use tokio::sync::{Semaphore, watch};

use access::Access;
use audience::Audience;
use encoder::{Event, encode};
use figures::Samples;
pub use figures::{Figures, Spread};
use http::Server;

use crate::excerpt::Excerpt;
use crate::readback::{Captured, Tap};

/// Most pages at once. A hall has a handful of screens and mixers; this leaves room for everybody who opens the
/// board out of curiosity, and bounds what an encoder of one thread has to answer.
pub const MAX_PAGES: usize = 128;
/// Most sockets at once: the pages, and some that are about to join or to be told that there is no room.
const MAX_SOCKETS: usize = MAX_PAGES + 32;
/// For a page to join, to read a part, to show a frame, or to answer a question. Browsers halt pages out of sight; such
/// a page is dropped and comes back when it is looked at.
pub const PATIENCE: Duration = Duration::from_secs(15);
/// Most pixels of a picture: eight thousand lines of the largest walls, which is 133 MB on our side.
pub const MAX_PIXELS: u64 = 7_680 * 4_320;

/// Why the canvas can't be served.
#[derive(Debug, Error)]
pub enum CanvasError {
    /// A board without an access key, for other machines to see.
    #[error(
        "without an access key a canvas is served on this machine only, and {0} can be reached from others; \
         give the display's key with --access-key or FIVEMARK_ACCESS_KEY, or serve on 127.0.0.1"
    )]
    Open(SocketAddr),
    /// The address can't be used.
    #[error(
        "the canvas can't be served on {address}: {source}; \
         choose another address with --canvas (port 0 takes a free port)"
    )]
    Bind {
        /// Asked for.
        address: SocketAddr,
        /// What the system says.
        source: io::Error,
    },
    /// More pixels than are sent to pages.
    #[error(
        "a canvas of {}x{} pixels is too large to be served; at most as many pixels as 7680x4320 has are, \
         so give a smaller --size",
        .0[0], .0[1]
    )]
    TooLarge([u32; 2]),
    /// The system gives no thread.
    #[error("the canvas can't be served: the system gives no thread: {0}")]
    NoThread(io::Error),
}

/// What is served where, and to whom.
#[derive(Clone, Copy, Debug)]
pub struct CanvasOptions<'a> {
    /// Where to listen; port 0 takes a free one.
    pub address: SocketAddr,
    /// What pages have to know; without it only pages on this machine are served.
    pub access_key: Option<&'a str>,
    /// Of the picture, pixels.
    pub size: [u32; 2],
    /// What of the picture is served.
    pub excerpt: Excerpt,
    /// How long pages may take; see [`PATIENCE`].
    pub patience: Duration,
}

/// The running service. Dropping it closes every page's connection.
pub struct CanvasFeed {
    address: SocketAddr,
    events: Sender<Event>,
    audience: Arc<Audience>,
    samples: Arc<Mutex<Samples>>,
    stop: watch::Sender<bool>,
    threads: Vec<JoinHandle<()>>,
}

impl CanvasFeed {
    /// Starts to listen. `wake` is called when a page comes or goes, for the thread that draws to look.
    ///
    /// # Errors
    /// The address can't be used, or may not be without an access key, or the frames are too large.
    pub fn start(
        options: CanvasOptions<'_>,
        wake: impl Fn() + Send + Sync + 'static,
    ) -> Result<Self, CanvasError> {
        let CanvasOptions { address, access_key, size, excerpt, patience } = options;
        // A variable that is set to nothing is no key.
        let access_key = access_key.filter(|key| !key.is_empty());
        if access_key.is_none() && !address.ip().is_loopback() {
            return Err(CanvasError::Open(address));
        }
        if u64::from(size[0]) * u64::from(size[1]) > MAX_PIXELS {
            return Err(CanvasError::TooLarge(size));
        }
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .map_err(CanvasError::NoThread)?;
        let bound = {
            let _inside = runtime.enter();
            accept::bind(address).and_then(|listener| Ok((listener.local_addr()?, listener)))
        };
        let (address, listener) = bound.map_err(|source| CanvasError::Bind { address, source })?;
        let (events, inbox) = channel();
        let (stop, stopped) = watch::channel(false);
        let audience = Arc::new(Audience::new(wake));
        let samples = Arc::new(Mutex::new(Samples::default()));
        let router = http::router(Server {
            access: Access::new(access_key),
            events: events.clone(),
            audience: Arc::clone(&audience),
            sockets: Arc::new(Semaphore::new(MAX_SOCKETS)),
            pages: Arc::new(Semaphore::new(MAX_PAGES)),
            patience,
            stopped: stopped.clone(),
        });
        let encoded = Arc::clone(&samples);
        let mut feed = Self { address, events, audience, samples, stop, threads: Vec::new() };
        feed.spawn("canvas encoder", move || encode(excerpt, &inbox, &encoded))?;
        feed.spawn("canvas", move || {
            runtime.block_on(accept::until_stopped(listener, router, stopped));
        })?;
        Ok(feed)
    }

    fn spawn(&mut self, name: &str, run: impl FnOnce() + Send + 'static) -> Result<(), CanvasError> {
        let thread = std::thread::Builder::new().name(name.into()).spawn(run);
        self.threads.push(thread.map_err(CanvasError::NoThread)?);
        Ok(())
    }

    /// Where it listens.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Where the pixels go in.
    #[must_use]
    pub fn tap(&self) -> Arc<dyn Tap> {
        Arc::new(Pages { events: self.events.clone(), audience: Arc::clone(&self.audience) })
    }

    /// What encoding has cost so far.
    #[must_use]
    pub fn figures(&self) -> Figures {
        self.samples.lock().unwrap_or_else(PoisonError::into_inner).figures()
    }
}

/// The encoder, as the thread that draws sees it.
struct Pages {
    events: Sender<Event>,
    audience: Arc<Audience>,
}

impl Tap for Pages {
    fn is_watching(&self) -> bool {
        self.audience.is_watching()
    }

    fn take(&self, captured: Arc<Captured>) {
        // The encoder has ended only if the program does.
        let _ = self.events.send(Event::Captured(captured));
    }

    fn unwatched(&self) {
        let _ = self.events.send(Event::Unwatched);
    }
}

impl Drop for CanvasFeed {
    fn drop(&mut self) {
        // Either thread may have ended after a fault; then nobody listens.
        let _ = self.stop.send(true);
        let _ = self.events.send(Event::Stop);
        for thread in self.threads.drain(..) {
            if thread.join().is_err() {
                tracing::error!("a thread of the canvas feed stopped with a fault");
            }
        }
    }
}
