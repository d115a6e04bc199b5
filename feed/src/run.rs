//! Starts a feed, runs it and stops it: competition file, access keys, journal, actor, pages, in that order. Every
//! way in which a start can fail is a sentence for people.

use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use fivemark_engine::time::HeatMs;
use thiserror::Error;
use tokio::net::TcpListener;
use tokio::sync::mpsc;
use tokio::task::JoinHandle;

use crate::access::Access;
use crate::access_file::{self, AccessError};
use crate::actor::{Actor, Changes, Heats, Input, MAX_INPUTS, OpenHeatError};
use crate::competition::{self, Competition, LoadError};
use crate::http;
use crate::hub::Hub;
use crate::journal::{Journal, JournalWriter, OpenError, Opened, SqliteJournal, Start, WriteError};
use crate::shared::{Patience, Shared};
use crate::timeline::{Anchor, FeedClock, LastSeen, Reading};

/// How long connections have to say goodbye.
const GOODBYES: Duration = Duration::from_secs(3);

/// What a feed is started with.
#[derive(Clone, Debug)]
pub struct Config {
    /// The competition file.
    pub competition: PathBuf,
    /// The journal.
    pub journal: PathBuf,
    /// The file of access keys; beside the journal if not told.
    pub access: Option<PathBuf>,
    /// Where to listen.
    pub listen: SocketAddr,
    /// Whether spectators are let in; if not told, only when listening on loopback.
    pub spectators: Option<bool>,
    /// How fast heat time runs, in thousandths.
    pub speed_milli: u32,
    /// How long to wait for clients.
    pub patience: Patience,
}

/// Why a feed could not start.
#[derive(Debug, Error)]
pub enum StartError {
    /// The competition file.
    #[error(transparent)]
    Competition(#[from] LoadError),
    /// The access keys.
    #[error(transparent)]
    Access(#[from] AccessError),
    /// The journal.
    #[error(transparent)]
    Journal(#[from] OpenError),
    /// The journal's first entry.
    #[error("cannot begin: {0}; check the free space and the permissions beside the journal")]
    Begin(WriteError),
    /// A heat.
    #[error(transparent)]
    Heat(#[from] OpenHeatError),
    /// The address.
    #[error("cannot listen on {address}: {says}; choose another with --listen")]
    Listen {
        /// The address.
        address: SocketAddr,
        /// What the system says.
        says: String,
    },
    /// Random bits or a thread.
    #[error("the system gives no {0}")]
    System(String),
}

/// A feed that cannot go on: a fault of ours, not of anybody's input.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("the feed cannot go on; start it again on the same journal, everything acknowledged is in it")]
pub struct Broken;

/// Why a feed is over before it was stopped.
#[derive(Debug, Error)]
pub enum RunError {
    /// It could not start.
    #[error(transparent)]
    Start(#[from] StartError),
    /// It could not go on.
    #[error(transparent)]
    Broken(#[from] Broken),
}

/// A feed that listens.
#[derive(Debug)]
pub struct Feed {
    address: SocketAddr,
    listener: TcpListener,
    shared: Arc<Shared>,
    actor: JoinHandle<()>,
}

/// Starts a feed, tells its address, and runs it until `shutdown` is ready.
///
/// # Errors
/// When it cannot start, or cannot go on.
pub async fn run(
    config: Config,
    shutdown: impl Future<Output = ()>,
    ready: impl FnOnce(SocketAddr),
) -> Result<(), RunError> {
    let feed = Feed::start(config, |journal| Box::new(journal))?;
    ready(feed.address());
    Ok(feed.run_until(shutdown).await?)
}

impl Feed {
    /// Starts a feed. `wrap` may put something between the feed and its journal.
    ///
    /// # Errors
    /// When it cannot start.
    pub fn start(
        config: Config,
        wrap: impl FnOnce(SqliteJournal) -> Box<dyn Journal>,
    ) -> Result<Self, StartError> {
        let competition = Arc::new(competition::load(&config.competition)?);
        // The address first: a port in use should not leave files behind.
        let listener = listen(config.listen)?;
        let address = listener.local_addr().unwrap_or(config.listen);
        let (mut journal, opened) = SqliteJournal::open(&config.journal)?;
        let access_file = config.access.clone().unwrap_or_else(|| beside(&config.journal));
        let keys = access_file::load_or_make(&access_file, &lanes(&competition))?;
        let access = Access::new(&keys, config.spectators.unwrap_or(address.ip().is_loopback()));

        let clock = continue_clock(&mut journal, &opened, &competition, config.speed_milli)?;
        let heats = rebuild(Arc::clone(&competition), &opened)?;
        let latest = HeatMs(opened.entries.last().map_or(0, |entry| entry.at_ms));
        tracing::info!(entries = opened.entries.len(), heat = heats.on_floor(), "the record is read");

        let picture = heats.picture(true).ok_or_else(|| OpenHeatError {
            number: heats.on_floor(),
            says: "the competition has no such heat".to_owned(),
        })?;
        let hub = Hub::new(picture, clock.clone());
        let (inputs, receiver) = mpsc::channel(MAX_INPUTS);
        let shared = Arc::new(Shared::new(clock, access, hub, config.patience, stream_name()?, inputs));
        let writer = JournalWriter::start(wrap(journal))
            .map_err(|error| StartError::System(format!("thread for the journal: {error}")))?;
        let actor = Actor::new(heats, latest, Arc::clone(&shared), writer, receiver);
        Ok(Self { address, listener, shared, actor: tokio::spawn(actor.run()) })
    }

    /// Where it listens.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Serves until `shutdown` is ready; then stops in order: no new connections, what came is answered, goodbyes,
    /// the journal tidied up.
    ///
    /// # Errors
    /// When the heats' task has ended by itself.
    pub async fn run_until(self, shutdown: impl Future<Output = ()>) -> Result<(), Broken> {
        let Self { address, listener, shared, mut actor } = self;
        let router = http::router(Arc::clone(&shared), address);
        let early = tokio::select! {
            () = http::accept::accept(listener, router) => false,
            () = shutdown => false,
            _ = &mut actor => true,
        };
        tracing::info!("the feed stops");
        let ended = if early {
            Err(Broken)
        } else {
            // The actor takes nothing after this; one that is gone takes nothing anyway.
            drop(shared.actor.send(Input::Stop).await);
            actor.await.map_err(|_| Broken)
        };
        shared.stop();
        if tokio::time::timeout(GOODBYES, shared.all_left()).await.is_err() {
            tracing::warn!("some clients did not say goodbye in time");
        }
        ended
    }
}

fn listen(address: SocketAddr) -> Result<TcpListener, StartError> {
    http::accept::bind(address).map_err(|error| {
        let says = match error.kind() {
            std::io::ErrorKind::AddrInUse => "the port is in use by another program".to_owned(),
            std::io::ErrorKind::AddrNotAvailable => "this machine has no such address".to_owned(),
            std::io::ErrorKind::PermissionDenied => "this port needs more rights".to_owned(),
            _ => error.to_string(),
        };
        StartError::Listen { address, says }
    })
}

/// The access keys' file beside a journal.
#[must_use]
pub fn beside(journal: &std::path::Path) -> PathBuf {
    let mut name = journal.as_os_str().to_owned();
    name.push(".access.toml");
    PathBuf::from(name)
}

fn lanes(competition: &Competition) -> Vec<u8> {
    let mut lanes: Vec<u8> =
        competition.heats.iter().flat_map(|heat| heat.lanes.iter().map(|lane| lane.lane)).collect();
    lanes.sort_unstable();
    lanes.dedup();
    lanes
}

/// Goes on from the journal's last start, and writes this one down.
fn continue_clock(
    journal: &mut SqliteJournal,
    opened: &Opened,
    competition: &Competition,
    speed_milli: u32,
) -> Result<FeedClock, StartError> {
    let last = opened.entries.last().map(|entry| LastSeen { at_ms: entry.at_ms, wall_ms: entry.wall_ms });
    let anchor = match &opened.last_start {
        None => Anchor::first(Reading::now(), speed_milli),
        Some(start) => {
            if start.competition != competition.digest {
                tracing::warn!("the competition file is not the one that this journal was last used with");
            }
            let continued = start.anchor.continued(last, Reading::now(), speed_milli);
            if continued.in_doubt {
                tracing::warn!(
                    flagged = true,
                    "the machine was restarted; heat time was carried over by the wall clock, check the clock"
                );
            }
            continued.anchor
        }
    };
    let start = Start {
        anchor: anchor.clone(),
        competition: competition.digest.clone(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
    };
    journal.begin(&start).map_err(StartError::Begin)?;
    Ok(FeedClock::new(anchor))
}

/// The heats as the record tells them.
fn rebuild(competition: Arc<Competition>, opened: &Opened) -> Result<Heats, StartError> {
    let mut heats = Heats::new(competition)?;
    let mut changes = Changes::default();
    for entry in &opened.entries {
        heats.apply(entry, &mut changes);
        changes = Changes::default();
    }
    Ok(heats)
}

fn stream_name() -> Result<String, StartError> {
    let bits = getrandom::u64().map_err(|error| StartError::System(format!("random bits: {error}")))?;
    Ok(format!("{bits:016x}"))
}
