//! A crowd of spectators in a process of its own: joined, reading, and as far from the measured clients as the
//! machine allows. They read bytes and look at none.

use std::io::Write;
use std::path::Path;
use std::process::Stdio;

use anyhow::Context;
use fivemark_wire::from_client::Role;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

use crate::floor;
use crate::process::{Running, on_cores};
use crate::relay;

/// What the crowd joins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Of {
    /// A feed.
    Feed,
    /// The bare relay.
    Relay,
}

/// Starts a crowd and waits until all are in.
///
/// # Errors
/// One of them does not get in.
pub fn start(of: Of, host: &str, count: u32) -> anyhow::Result<Running> {
    // Off the server's core, and only when nobody else wants the others: where cores are few, the crowd waits, as a
    // crowd on machines of its own would not disturb anybody.
    let mut child = on_cores(&crate::floor::client_cores(), Path::new("chrt"))
        .args(["--idle", "0"])
        .arg(std::env::current_exe()?)
        .args([
            "crowd",
            match of {
                Of::Feed => "feed",
                Of::Relay => "relay",
            },
        ])
        .args([host, &count.to_string()])
        .stdout(Stdio::piped())
        .spawn()
        .context("the crowd does not start")?;
    let mut output = child.stdout.take().context("its output is piped")?;
    let crowd = Running(child);
    let mut ready = [0; 6];
    std::io::Read::read_exact(&mut output, &mut ready).context("the crowd did not get in")?;
    Ok(crowd)
}

/// Is the crowd: joins, says `ready`, and reads until it is ended.
///
/// # Errors
/// One does not get in.
pub async fn run(of: Of, host: &str, count: u32) -> anyhow::Result<()> {
    let mut readers = tokio::task::JoinSet::new();
    for _ in 0..count {
        let stream = match of {
            Of::Feed => floor::join(host, Role::Spectator, None, None).await?.into_inner(),
            Of::Relay => {
                let mut stream = TcpStream::connect(host).await?;
                stream.write_all(&[relay::SPECTATOR]).await?;
                stream
            }
        };
        readers.spawn(read(stream));
    }
    std::io::stdout().write_all(b"ready\n")?;
    std::io::stdout().flush()?;
    while readers.join_next().await.is_some() {}
    Ok(())
}

async fn read(mut stream: TcpStream) {
    let mut bytes = [0; 4_096];
    while matches!(stream.read(&mut bytes).await, Ok(count) if count > 0) {}
}
