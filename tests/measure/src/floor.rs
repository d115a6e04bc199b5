//! A feed with a floor of 24 lanes for the benchmarks: its competition, its process, and clients that join it.

use std::fmt::Write;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::Stdio;

use anyhow::Context;
use fivemark_demo::keys::{AccessKeys, read_keys};
use fivemark_wire::from_client::{ClientMessage, Floor, FloorCommand, Role};
use fivemark_wire::from_feed::FeedMessage;
use futures_util::{SinkExt, StreamExt};
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::client::IntoClientRequest;
use tokio_tungstenite::{WebSocketStream, client_async};

use crate::process::{Running, beside, on_cores};

/// A joined client.
pub type Socket = WebSocketStream<TcpStream>;

/// Core of whatever serves; clients get the others.
pub const SERVER_CORE: &str = "0";

/// Cores of the clients: all but the server's.
pub fn client_cores() -> String {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    format!("1-{}", cores.saturating_sub(1).max(1))
}

/// A competition with one heat: `lanes` lanes on `reps` repetitions, and a cap that nothing here reaches.
pub fn competition(lanes: u8, reps: u32) -> String {
    let mut file = String::from("[event]\nname = \"Measured\"\ndate = 2031-01-01\nplace = \"Nowhere\"\n");
    file.push_str("[[division]]\nid = \"all\"\nname = \"All\"\n");
    for lane in 1..=lanes {
        // Writing into a string cannot fail.
        let _ = write!(
            file,
            "[[athlete]]\nbib = \"{lane}\"\nname = \"Athlete Number {lane}\"\ndivision = \"all\"\n"
        );
    }
    file.push_str("[[movement]]\nid = \"step\"\nname = \"Step-up\"\nseconds_per_unit = 0.5\n");
    let _ = write!(
        file,
        "[[workout]]\nid = \"long\"\nname = \"Long\"\nscoring = \"for time\"\ncap = \"120:00\"\ncountdown = \"1\"\n\
         parts = [{{ movement = \"step\", amount = {reps} }}]\n"
    );
    file.push_str("[[heat]]\nnumber = 1\nname = \"Heat 1\"\nworkout = \"long\"\nlanes = [\n");
    for lane in 1..=lanes {
        let _ = writeln!(file, "  {{ lane = {lane}, athlete = \"{lane}\" }},");
    }
    file.push_str("]\n");
    file
}

/// A feed in a process of its own, on one core.
#[derive(Debug)]
pub struct Feed {
    /// The process.
    pub process: Running,
    /// `HOST:PORT`.
    pub host: String,
    /// Its access keys.
    pub keys: AccessKeys,
    /// The file that has them.
    pub access: PathBuf,
}

impl Feed {
    /// Starts the feed that is built beside this program, with its files in `folder`.
    ///
    /// # Errors
    /// It does not start.
    pub fn start(folder: &Path, competition: &str) -> anyhow::Result<Self> {
        let files = Files::write(folder, competition)?;
        let mut child = on_cores(SERVER_CORE, &beside("fivemark-feed")?)
            .args(["serve", "--listen", "127.0.0.1:0", "--spectators", "on", "--competition"])
            .arg(&files.competition)
            .arg("--journal")
            .arg(&files.journal)
            .arg("--access")
            .arg(&files.access)
            .env("RUST_LOG", "warn")
            .stdout(Stdio::piped())
            .spawn()
            .context("the feed does not start")?;
        let output = child.stdout.take().context("its output is piped")?;
        let process = Running(child);
        let host = BufReader::new(output)
            .lines()
            .map_while(Result::ok)
            .find_map(|line| line.strip_prefix("listening on http://").map(|host| host.trim().to_owned()))
            .context("the feed ended before it listened")?;
        Ok(Self { process, host, keys: read_keys(&files.access)?, access: files.access })
    }

    /// Joins. The answers up to the snapshot are read.
    ///
    /// # Errors
    /// The feed does not let it in.
    pub async fn join(&self, role: Role, lane: Option<u8>) -> anyhow::Result<Socket> {
        let key = match role {
            Role::HeadJudge => Some(&self.keys.head_judge),
            Role::Display => Some(&self.keys.display),
            Role::LaneJudge => lane.and_then(|lane| self.keys.lane_judges.get(&lane)),
            _ => None,
        };
        join(&self.host, role, lane, key.cloned()).await
    }

    /// Starts the heat and waits for go.
    ///
    /// # Errors
    /// The feed refuses.
    pub async fn go(&self) -> anyhow::Result<()> {
        let mut head = self.join(Role::HeadJudge, None).await?;
        for (id, command) in [(1, FloorCommand::OnDeck), (2, FloorCommand::StartCountdown)] {
            say(&mut head, &ClientMessage::Floor(Floor { id, heat: 1, command })).await?;
        }
        loop {
            match hear(&mut head).await? {
                FeedMessage::Refusal(refusal) => {
                    anyhow::bail!("the heat does not start: {}", refusal.why.says)
                }
                FeedMessage::Delta(delta)
                    if delta.heat.is_some_and(|heat| heat.state == fivemark_wire::view::State::Running) =>
                {
                    return Ok(());
                }
                _ => {}
            }
        }
    }
}

/// The files of a feed.
#[derive(Debug)]
pub struct Files {
    /// The competition.
    pub competition: PathBuf,
    /// The journal; not there yet.
    pub journal: PathBuf,
    /// The access keys; not there yet.
    pub access: PathBuf,
}

impl Files {
    /// Writes the competition file.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn write(folder: &Path, competition: &str) -> anyhow::Result<Self> {
        let file = folder.join("competition.toml");
        std::fs::write(&file, competition).with_context(|| format!("cannot write {}", file.display()))?;
        let (journal, access) = (folder.join("heat.journal"), folder.join("access.toml"));
        Ok(Self { competition: file, journal, access })
    }
}

/// Joins a feed at `HOST:PORT`.
///
/// # Errors
/// It does not let the client in.
pub async fn join(
    host: &str,
    role: Role,
    lane: Option<u8>,
    access_key: Option<String>,
) -> anyhow::Result<Socket> {
    let mut request = format!("ws://{host}/feed").into_client_request()?;
    request.headers_mut().insert("Sec-WebSocket-Protocol", "fivemark.v1".parse()?);
    let stream = TcpStream::connect(host).await?;
    stream.set_nodelay(true)?;
    let (mut socket, _) = client_async(request, stream).await?;
    let device = format!("bench-{role:?}-{}", lane.unwrap_or(0));
    let join = serde_json::json!({
        "type": "join", "role": role, "lane": lane, "access_key": access_key, "device": device
    });
    socket.send(Message::text(join.to_string())).await?;
    loop {
        match hear(&mut socket).await? {
            FeedMessage::Snapshot(_) => return Ok(socket),
            FeedMessage::Refusal(refusal) => anyhow::bail!("the feed refuses a join: {}", refusal.why.says),
            _ => {}
        }
    }
}

/// Says something.
///
/// # Errors
/// The connection is lost.
pub async fn say(socket: &mut Socket, message: &ClientMessage) -> anyhow::Result<()> {
    Ok(socket.send(Message::text(serde_json::to_string(message)?)).await?)
}

async fn hear(socket: &mut Socket) -> anyhow::Result<FeedMessage> {
    loop {
        let message = socket.next().await.context("the feed closed the connection")??;
        if let Message::Text(text) = message {
            return Ok(serde_json::from_str(&text)?);
        }
    }
}
