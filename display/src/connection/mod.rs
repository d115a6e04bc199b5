//! The display's link to the feed, on a thread of its own: joins, keeps what is known current, notices a dead
//! link, and comes back by itself. A film of a heat may stand in for the feed. Draws nothing.

mod backoff;
mod film;
mod known;
mod session;
mod waiting;

use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::JoinHandle;

use futures_util::future::join_all;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use tokio::sync::watch;

pub use backoff::{Backoff, FIRST_MS, LONGEST_MS, REFUSED_MS};
pub use film::Showing;
pub use fivemark_dial::{AddressError, FeedAddress};
pub use known::{Contact, Known, Shared};
pub use session::{Identity, SILENCE};

use crate::clock::MonoClock;
use session::{End, follow};

/// Where what is shown comes from.
pub enum Source {
    /// A feed, which is never given up. `seed` spreads the attempts.
    Feed {
        /// Where it is.
        address: FeedAddress,
        /// Who joins.
        identity: Identity,
        /// Any number.
        seed: u64,
    },
    /// A film of a heat, which ends.
    Film(Box<Showing>),
}

/// The running link. Dropping it ends the connection and its thread.
pub struct Connection {
    stop: watch::Sender<bool>,
    interrupted: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Connection {
    /// Starts following. What is known stays in `followers`, which hear the same and differ only in how late they show
    /// it.
    ///
    /// # Errors
    /// The system gives no thread or no socket.
    pub fn start(source: Source, followers: Vec<Shared>, clock: MonoClock) -> io::Result<Self> {
        let (stop, stopped) = watch::channel(false);
        let interrupted = Arc::new(AtomicBool::new(false));
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
        let signalled = interrupted.clone();
        let run = move || {
            let over = || {
                signalled.store(true, Ordering::Release);
                followers.iter().for_each(Shared::wake);
            };
            let ended = async {
                tokio::select! {
                    () = hear(&source, &followers, clock) => over(),
                    _ = join_all(followers.iter().map(|shared| show_when_due(shared, clock))) => {}
                    () = interrupts() => over(),
                    () = told_to_stop(stopped) => {}
                }
            };
            runtime.block_on(ended);
        };
        let thread = std::thread::Builder::new().name("connection".into()).spawn(run)?;
        Ok(Self { stop, interrupted, thread: Some(thread) })
    }

    /// Whether the program was asked to end (Ctrl-C, or a signal to terminate), or its film is over. The loop is woken
    /// when it is.
    #[must_use]
    pub fn interrupted(&self) -> bool {
        self.interrupted.load(Ordering::Acquire)
    }
}

impl Drop for Connection {
    fn drop(&mut self) {
        // The thread may have ended after a signal; then nobody listens.
        let _ = self.stop.send(true);
        if let Some(thread) = self.thread.take()
            && thread.join().is_err()
        {
            tracing::error!("the connection's thread stopped with a fault");
        }
    }
}

/// Hears what there is to hear, for a feed without an end.
async fn hear(source: &Source, followers: &[Shared], clock: MonoClock) {
    match source {
        Source::Feed { address, identity, seed } => {
            keep_following(address, identity, followers, clock, *seed).await;
        }
        Source::Film(showing) => showing.play(followers, clock).await,
    }
}

async fn keep_following(
    address: &FeedAddress,
    identity: &Identity,
    followers: &[Shared],
    clock: MonoClock,
    seed: u64,
) {
    let mut backoff = Backoff::new(ChaCha8Rng::seed_from_u64(seed));
    let mut told = String::new();
    loop {
        let joined = || {
            backoff.reset();
            told.clear();
        };
        let end = follow(address, identity, followers, clock, joined).await;
        let trouble = end.to_string();
        let refused = matches!(end, End::Refused(_));
        let wait = if refused { backoff.after_refusal() } else { backoff.after_failure() };
        // The same trouble at every attempt is told once.
        if trouble != told {
            tracing::warn!("{trouble}; trying again by itself");
        }
        told.clone_from(&trouble);
        for shared in followers {
            shared.change(|known| known.lost(trouble.clone(), refused, clock.now_us()));
        }
        tokio::time::sleep(wait).await;
    }
}

/// Lets what waits for a delayed stream be shown at its time; without a delay nothing ever waits.
async fn show_when_due(shared: &Shared, clock: MonoClock) {
    loop {
        let due_us = shared.lock().due_us();
        match due_us {
            None => shared.changed().await,
            Some(due_us) => {
                tokio::time::sleep_until(clock.instant_at(due_us).into()).await;
                shared.change(|known| known.catch_up(clock.now_us()));
            }
        }
    }
}

async fn told_to_stop(mut stopped: watch::Receiver<bool>) {
    // An error means that the handle is gone, which is the same.
    let _ = stopped.wait_for(|stop| *stop).await;
}

#[cfg(unix)]
async fn interrupts() {
    use tokio::signal::unix::{SignalKind, signal};
    let (interrupt, terminate) = (signal(SignalKind::interrupt()), signal(SignalKind::terminate()));
    let (Ok(mut interrupt), Ok(mut terminate)) = (interrupt, terminate) else {
        tracing::warn!("signals can't be listened to; end the program with Esc or by killing it");
        return std::future::pending().await;
    };
    tokio::select! {
        _ = interrupt.recv() => {}
        _ = terminate.recv() => {}
    }
}

#[cfg(not(unix))]
async fn interrupts() {
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending().await
    }
}
