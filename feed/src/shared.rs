//! What every connection and page of one running feed shares: clock, keys, stream, counters.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use fivemark_wire::from_client::Role;
use fivemark_wire::from_feed::{Reason, ReasonCode};
use tokio::sync::{mpsc, watch};

use crate::access::{Access, OnFloor, reason};
use crate::actor::Input;
use crate::hub::Hub;
use crate::metrics::Metrics;
use crate::pins::PinDoor;
use crate::restart::PageClocks;
use crate::timeline::FeedClock;

/// Most spectators at once: they share one core's worth of work.
pub const MAX_SPECTATORS: usize = 1_500;
/// Most clients with an access key at once: judges, shadow judges and screens of a large floor, twice over.
pub const MAX_KEYED: usize = 300;

/// Most WebSockets at once, joined or not.
pub const MAX_SOCKETS: usize = MAX_SPECTATORS + MAX_KEYED + 200;

/// How long the feed waits for a client.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Patience {
    /// From the handshake to the join.
    pub join: Duration,
    /// For a client to take what is written to it.
    pub write: Duration,
    /// Between pings.
    pub ping: Duration,
    /// Without a word or a pong.
    pub silence: Duration,
    /// After a reboot with a heat under way: for the first page that knows the time.
    pub first_clock: Duration,
    /// And for the others after it.
    pub more_clocks: Duration,
}

impl Default for Patience {
    fn default() -> Self {
        Self {
            join: Duration::from_secs(10),
            write: Duration::from_secs(10),
            ping: Duration::from_secs(10),
            silence: Duration::from_secs(35),
            first_clock: Duration::from_secs(10),
            more_clocks: Duration::from_secs(2),
        }
    }
}

/// Shared by all of one feed.
#[derive(Debug)]
pub struct Shared {
    /// Feed time.
    pub clock: FeedClock,
    /// Who may join.
    pub access: Access,
    /// Holds back who guesses PINs.
    pub pin_door: PinDoor,
    /// The stream of deltas.
    pub hub: Hub,
    /// Counters.
    pub metrics: Metrics,
    /// Name of the stream; new at each start.
    pub stream: String,
    /// How long to wait for clients.
    pub patience: Patience,
    /// To the actor.
    pub actor: mpsc::Sender<Input>,
    /// What pages say of feed time in their joins.
    pub page_clocks: PageClocks,
    on_floor: Mutex<Arc<OnFloor>>,
    journal_ok: AtomicBool,
    spectators: AtomicUsize,
    keyed: AtomicUsize,
    sockets: watch::Sender<usize>,
    stopped: watch::Sender<bool>,
}

impl Shared {
    /// Puts the parts together.
    #[must_use]
    pub fn new(
        clock: FeedClock,
        access: Access,
        hub: Hub,
        patience: Patience,
        stream: String,
        actor: mpsc::Sender<Input>,
    ) -> Self {
        let metrics = Metrics::new();
        metrics.journal_ok.set(1);
        Self {
            clock,
            access,
            pin_door: PinDoor::default(),
            hub,
            metrics,
            stream,
            patience,
            actor,
            page_clocks: PageClocks::default(),
            on_floor: Mutex::default(),
            journal_ok: AtomicBool::new(true),
            spectators: AtomicUsize::new(0),
            keyed: AtomicUsize::new(0),
            sockets: watch::Sender::new(0),
            stopped: watch::Sender::new(false),
        }
    }

    /// Lets every connection say goodbye.
    pub fn stop(&self) {
        self.stopped.send_replace(true);
    }

    /// Waits until connections have to say goodbye.
    pub async fn stopped(&self) {
        // The sender lives as long as this, so the wait ends only with the stop.
        drop(self.stopped.subscribe().wait_for(|stopped| *stopped).await);
    }

    /// Waits until no WebSocket is open.
    pub async fn all_left(&self) {
        drop(self.sockets.subscribe().wait_for(|sockets| *sockets == 0).await);
    }

    /// Counts a WebSocket in, joined or not; none when there are too many.
    #[must_use]
    pub fn socket(self: &Arc<Self>) -> Option<SocketGuard> {
        let counted = self.sockets.send_if_modified(|sockets| {
            let room = *sockets < MAX_SOCKETS;
            *sockets += usize::from(room);
            room
        });
        counted.then(|| SocketGuard(Arc::clone(self)))
    }

    /// What is on the floor, for those who join.
    #[must_use]
    pub fn on_floor(&self) -> Arc<OnFloor> {
        // It is only ever replaced whole.
        Arc::clone(&self.on_floor.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Notes what is on the floor.
    pub fn set_on_floor(&self, on_floor: OnFloor) {
        *self.on_floor.lock().unwrap_or_else(PoisonError::into_inner) = Arc::new(on_floor);
    }

    /// Whether the journal can be written.
    #[must_use]
    pub fn journal_ok(&self) -> bool {
        self.journal_ok.load(Ordering::Relaxed)
    }

    /// Notes whether the journal can be written.
    pub fn set_journal_ok(&self, ok: bool) {
        self.journal_ok.store(ok, Ordering::Relaxed);
        self.metrics.journal_ok.set(i64::from(ok));
    }

    /// A place for a client; it is free again when the guard is dropped.
    ///
    /// # Errors
    /// When there are too many.
    pub fn place(&self, role: Role) -> Result<Place<'_>, Reason> {
        let (taken, most) = match role {
            Role::Spectator => (&self.spectators, MAX_SPECTATORS),
            _ => (&self.keyed, MAX_KEYED),
        };
        let place = Place(taken);
        if taken.fetch_add(1, Ordering::Relaxed) >= most {
            return Err(reason(
                ReasonCode::TooManyClients,
                format!("{most} clients of this kind are here already. Try again later."),
            ));
        }
        Ok(place)
    }
}

/// A client's place.
#[derive(Debug)]
pub struct Place<'a>(&'a AtomicUsize);

impl Drop for Place<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

/// Counts a WebSocket out when dropped.
#[derive(Debug)]
pub struct SocketGuard(Arc<Shared>);

impl Drop for SocketGuard {
    fn drop(&mut self) {
        self.0.sockets.send_modify(|sockets| *sockets = sockets.saturating_sub(1));
    }
}
