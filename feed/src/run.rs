//! Starts a feed, runs it and stops it: competition file, access keys, journal, clock, actor, in that order. Every
//! way in which a start can fail is a sentence for people.

use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use thiserror::Error;
use tokio::net::TcpListener;
use tokio::sync::mpsc;
use tokio::task::JoinHandle;

use crate::access::Access;
use crate::access_file::{self, AccessError};
use crate::actor::{Input, MAX_INPUTS, OpenHeatError};
use crate::competition::{self, Competition, LoadError};
use crate::http;
use crate::http::crowd::Crowd;
use crate::http::doors::{self, Doors};
use crate::http::trust::Offer;
use crate::hub::Hub;
use crate::journal::{Journal, SqliteJournal, WriteError};
use crate::machine::{Machine, ThisMachine};
use crate::opening::Opening;
use crate::replay::{ReplayError, replay};
use crate::shared::{Patience, Shared};
use crate::timeline::FeedClock;
use crate::tls::{Certificate, PemFiles, TlsError};

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
    /// How to let people in there.
    pub doors: DoorConfig,
    /// Whether spectators are let in; if not told, only when listening on loopback.
    pub spectators: Option<bool>,
    /// How fast heat time runs, in thousandths.
    pub speed_milli: u32,
    /// How long to wait for clients.
    pub patience: Patience,
}

/// How people are let in.
#[derive(Clone, Debug, Default)]
pub struct DoorConfig {
    /// The certificate and its key; without them plain HTTP is spoken.
    pub tls: Option<PemFiles>,
    /// The certificate of the authority that phones are offered.
    pub authority: Option<PathBuf>,
    /// Where plain HTTP is spoken as well, to show the way to the encrypted address.
    pub http: Option<SocketAddr>,
    /// Most connections of one address; see [`Crowd::new`].
    pub per_address: Option<usize>,
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
    Journal(#[from] ReplayError),
    /// The journal's first entry.
    #[error("cannot begin: {0}; check the free space and the permissions beside the journal")]
    Begin(WriteError),
    /// A heat.
    #[error(transparent)]
    Heat(#[from] OpenHeatError),
    /// The address.
    #[error("cannot listen on {address}: {says}; choose another with {option}")]
    Listen {
        /// The address.
        address: SocketAddr,
        /// The option that says where.
        option: &'static str,
        /// What the system says.
        says: String,
    },
    /// The certificate.
    #[error(transparent)]
    Tls(#[from] TlsError),
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
    doors: Doors,
    shared: Arc<Shared>,
    actor: JoinHandle<Result<(), StartError>>,
}

/// Starts a feed, shows it when it listens, and runs it until `shutdown` is ready.
///
/// # Errors
/// When it cannot start, or cannot go on.
pub async fn run(
    config: Config,
    shutdown: impl Future<Output = ()>,
    ready: impl FnOnce(&Feed),
) -> Result<(), RunError> {
    let feed = Feed::start(config, |journal| Box::new(journal))?;
    ready(&feed);
    feed.run_until(shutdown).await
}

impl Feed {
    /// Starts a feed. `wrap` may put something between the feed and its journal.
    ///
    /// # Errors
    /// When it cannot start.
    pub fn start(
        config: Config,
        wrap: impl FnOnce(SqliteJournal) -> Box<dyn Journal> + Send + 'static,
    ) -> Result<Self, StartError> {
        Self::start_on(Arc::new(ThisMachine), config, wrap)
    }

    /// Starts a feed by the clocks of a machine.
    ///
    /// # Errors
    /// When it cannot start.
    pub fn start_on(
        machine: Arc<dyn Machine>,
        config: Config,
        wrap: impl FnOnce(SqliteJournal) -> Box<dyn Journal> + Send + 'static,
    ) -> Result<Self, StartError> {
        let competition = Arc::new(competition::load(&config.competition)?);
        // The addresses and the certificate first: what is wrong with them should not leave files behind.
        let doors = open(&config, Arc::clone(&machine))?;
        let address = doors.main.local_addr().unwrap_or(config.listen);
        let mut replayed = replay(&config.journal, Arc::clone(&competition))?;
        let access_file = config.access.clone().unwrap_or_else(|| beside(&config.journal));
        let keys = access_file::load_or_make(&access_file, &lanes(&competition))?;
        let access = Access::new(&keys, config.spectators.unwrap_or(address.ip().is_loopback()));

        let heats = &mut replayed.heats;
        heats.refresh_shows();
        tracing::info!(entries = replayed.entries, heat = heats.on_floor(), "the record is read");
        let picture = heats.picture(true).ok_or_else(|| OpenHeatError {
            number: heats.on_floor(),
            says: "the competition has no such heat".to_owned(),
        })?;
        let clock = FeedClock::new(machine, config.speed_milli);
        let hub = Hub::new(picture, clock.clone());
        let (inputs, receiver) = mpsc::channel(MAX_INPUTS);
        let shared = Arc::new(Shared::new(clock, access, hub, config.patience, stream_name()?, inputs));
        let mut opening = Opening::new(replayed, &competition, Arc::clone(&shared));
        let ask = opening.begin_if_known()?;
        let actor = tokio::spawn(async move {
            if let Some(by_wall) = ask {
                opening.ask_pages(by_wall).await?;
            }
            opening.actor(wrap, receiver)?.run().await;
            Ok(())
        });
        Ok(Self { address, doors, shared, actor })
    }

    /// Where it listens.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// The scheme of its address: `https` if it speaks TLS.
    #[must_use]
    pub fn scheme(&self) -> &'static str {
        if self.doors.certificate.is_some() { "https" } else { "http" }
    }

    /// Addresses for phones, each with what it is for.
    #[must_use]
    pub fn invitations(&self) -> Vec<(&'static str, String)> {
        self.doors.invitations()
    }

    /// Serves until `shutdown` is ready; then stops in order: no new connections, what came is answered, goodbyes,
    /// the journal tidied up.
    ///
    /// # Errors
    /// When the heats' task has ended by itself.
    pub async fn run_until(self, shutdown: impl Future<Output = ()>) -> Result<(), RunError> {
        let Self { doors, shared, mut actor, .. } = self;
        let router = http::router(Arc::clone(&shared), doors.offer.as_ref());
        let early = tokio::select! {
            () = doors::serve(doors, router) => None,
            () = shutdown => None,
            ended = &mut actor => Some(ended),
        };
        tracing::info!("the feed stops");
        let ended = match early {
            Some(Ok(Err(error))) => Err(RunError::Start(error)),
            Some(Ok(Ok(())) | Err(_)) => Err(RunError::Broken(Broken)),
            None => stop(&shared, actor).await,
        };
        shared.stop();
        if tokio::time::timeout(GOODBYES, shared.all_left()).await.is_err() {
            tracing::warn!("some clients did not say goodbye in time");
        }
        ended
    }
}

/// Stops the heats' task and waits for it.
async fn stop(shared: &Shared, actor: JoinHandle<Result<(), StartError>>) -> Result<(), RunError> {
    if !shared.clock.is_known() {
        // Nothing was taken yet, and the next start asks the pages again.
        actor.abort();
        return Ok(());
    }
    // The actor takes nothing after this; one that is gone takes nothing anyway.
    drop(shared.actor.send(Input::Stop).await);
    Ok(actor.await.map_err(|_| Broken)??)
}

/// Opens the ways in.
fn open(config: &Config, machine: Arc<dyn Machine>) -> Result<Doors, StartError> {
    let DoorConfig { tls, authority, http, per_address } = &config.doors;
    let certificate = tls.clone().map(|files| Certificate::load(files, machine)).transpose()?.map(Arc::new);
    let main = listen(config.listen, "--listen")?;
    let port = main.local_addr().unwrap_or(config.listen).port();
    let offer = match (authority, &certificate) {
        (Some(file), Some(certificate)) => Some(Offer::read(file, Arc::clone(certificate), port)?),
        _ => None,
    };
    let beside = http.map(|address| listen(address, "--http")).transpose()?;
    Ok(Doors { main, certificate, offer: offer.map(Arc::new), beside, crowd: Crowd::new(*per_address) })
}

fn listen(address: SocketAddr, option: &'static str) -> Result<TcpListener, StartError> {
    http::accept::bind(address).map_err(|error| {
        let says = match error.kind() {
            std::io::ErrorKind::AddrInUse => "the port is in use by another program".to_owned(),
            std::io::ErrorKind::AddrNotAvailable => "this machine has no such address".to_owned(),
            std::io::ErrorKind::PermissionDenied => "this port needs more rights".to_owned(),
            _ => error.to_string(),
        };
        StartError::Listen { address, option, says }
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

fn stream_name() -> Result<String, StartError> {
    let bits = getrandom::u64().map_err(|error| StartError::System(format!("random bits: {error}")))?;
    Ok(format!("{bits:016x}"))
}
