//! A feed in a folder of its own, and clients that speak to it over real sockets. Whatever is waited for has a
//! deadline, so that a test fails instead of hanging.

mod authority;
mod client;
mod program;

use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use fivemark_feed::journal::{Journal, SqliteJournal};
use fivemark_feed::machine::Machine;
use fivemark_feed::run::{Config, DoorConfig, Feed, RunError, beside};
use fivemark_feed::shared::Patience;
use fivemark_wire::from_client::{ClientMessage, Join, Role};
use tokio::net::TcpStream;
use tokio::sync::oneshot;

pub use self::authority::{Authority, Pair};
pub use self::client::{Client, resume};
pub use self::program::Program;

/// Nothing in these tests takes so long on a machine that is merely busy.
pub const PATIENCE: Duration = Duration::from_secs(30);
/// Rehearsal speed of most tests: a countdown of 1 s takes 0.1 s.
pub const SPEED: u32 = 10_000;

pub fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}

pub fn config(folder: &Path) -> Config {
    Config {
        competition: data("competition.toml"),
        journal: folder.join("record.journal"),
        access: None,
        listen: SocketAddr::from(([127, 0, 0, 1], 0)),
        spectators: None,
        speed_milli: SPEED,
        patience: Patience::default(),
        doors: DoorConfig::default(),
    }
}

/// A running feed in this process.
pub struct TestFeed {
    pub address: SocketAddr,
    pub keys: toml::Table,
    stop: oneshot::Sender<()>,
    task: tokio::task::JoinHandle<Result<(), RunError>>,
    pub folder: tempfile::TempDir,
}

impl TestFeed {
    pub fn start() -> Self {
        Self::start_with(|_| {}, |journal| Box::new(journal))
    }

    pub fn start_with(
        change: impl FnOnce(&mut Config),
        wrap: impl FnOnce(SqliteJournal) -> Box<dyn Journal> + Send + 'static,
    ) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut config = config(folder.path());
        change(&mut config);
        let feed = Feed::start(config.clone(), wrap).unwrap();
        Self::running(feed, &config, folder)
    }

    /// A feed in a folder that is there already.
    pub fn start_in(folder: tempfile::TempDir, change: impl FnOnce(&mut Config)) -> Self {
        let mut config = config(folder.path());
        change(&mut config);
        let feed = Feed::start(config.clone(), |journal| Box::new(journal)).unwrap();
        Self::running(feed, &config, folder)
    }

    /// A feed on a machine and a folder that outlive it.
    pub fn start_on(machine: Arc<dyn Machine>, config: Config, folder: tempfile::TempDir) -> Self {
        let feed = Feed::start_on(machine, config.clone(), |journal| Box::new(journal)).unwrap();
        Self::running(feed, &config, folder)
    }

    fn running(feed: Feed, config: &Config, folder: tempfile::TempDir) -> Self {
        let address = feed.address();
        let (stop, stopped) = oneshot::channel();
        let task = tokio::spawn(feed.run_until(async {
            stopped.await.ok();
        }));
        Self { address, keys: keys(&config.journal), stop, task, folder }
    }

    pub fn door(&self) -> Door<'_> {
        Door { address: self.address, keys: &self.keys }
    }

    pub async fn stop(self) -> tempfile::TempDir {
        self.stop.send(()).unwrap();
        tokio::time::timeout(PATIENCE, self.task).await.unwrap().unwrap().unwrap();
        self.folder
    }
}

pub fn keys(journal: &Path) -> toml::Table {
    std::fs::read_to_string(beside(journal)).unwrap().parse().unwrap()
}

/// Where clients go in, whatever runs behind it.
#[derive(Clone, Copy)]
pub struct Door<'a> {
    pub address: SocketAddr,
    pub keys: &'a toml::Table,
}

impl Door<'_> {
    pub fn key(self, role: Role, lane: Option<u8>) -> Option<String> {
        let single = |name: &str| self.keys[name].as_str().map(str::to_owned);
        let of_lane = |name: &str| self.keys[name].get(lane?.to_string())?.as_str().map(str::to_owned);
        match role {
            Role::HeadJudge => single("head_judge"),
            Role::FloorOperator => single("floor_operator"),
            Role::Display => single("display"),
            Role::Announcer => single("announcer"),
            Role::LaneJudge => of_lane("lane_judge"),
            Role::ShadowJudge => of_lane("shadow_judge"),
            Role::Spectator => None,
        }
    }

    pub fn join_message(self, role: Role, lane: Option<u8>, device: &str) -> Join {
        Join { access_key: self.key(role, lane), lane, ..Join::new(role, device) }
    }

    /// Joins with the right key and takes welcome and snapshot.
    pub async fn join(self, role: Role, lane: Option<u8>) -> Client {
        let device = format!("{role:?}-{}", lane.unwrap_or_default());
        self.join_as(self.join_message(role, lane, &device)).await
    }

    pub async fn join_as(self, join: Join) -> Client {
        let mut client = Client::connect(self.address).await;
        client.say(&ClientMessage::Join(join)).await;
        client.take_welcome().await;
        client
    }

    /// A judge that has exchanged clocks.
    pub async fn judge(self, lane: u8) -> Client {
        let mut client = self.join(Role::LaneJudge, Some(lane)).await;
        client.exchange_clocks().await;
        client
    }
}

/// Sends raw bytes and reads until the feed closes or `enough` says so.
pub async fn raw(address: SocketAddr, bytes: &[u8], enough: impl Fn(&[u8]) -> bool) -> Vec<u8> {
    use tokio::io::{AsyncReadExt, AsyncWriteExt};

    let mut stream = TcpStream::connect(address).await.unwrap();
    stream.write_all(bytes).await.unwrap();
    let mut heard = Vec::new();
    let mut buffer = [0; 4_096];
    while !enough(&heard) {
        let read = tokio::time::timeout(PATIENCE, stream.read(&mut buffer)).await.expect("no answer");
        match read {
            Ok(0) | Err(_) => break,
            Ok(count) => heard.extend_from_slice(&buffer[..count]),
        }
    }
    heard
}

/// A page of the feed: its status line and all that follows.
pub async fn get(address: SocketAddr, path: &str) -> String {
    let request = format!("GET {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n");
    String::from_utf8(raw(address, request.as_bytes(), |_| false).await).unwrap()
}
