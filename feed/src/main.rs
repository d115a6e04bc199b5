//! The command line of the feed.

use std::io::{BufWriter, IsTerminal, Write};
use std::net::{SocketAddr, ToSocketAddrs};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use anyhow::{Context, bail};
use clap::{Parser, Subcommand, ValueEnum};
use fivemark_feed::competition::{self, LoadError};
use fivemark_feed::retell::retell;
use fivemark_feed::run::{Config, run};
use fivemark_feed::shared::Patience;
use fivemark_feed::timeline::{MAX_SPEED_MILLI, REAL_SPEED_MILLI};
use tokio::signal::unix::{SignalKind, signal};

/// Keeps the record of a competition and tells everybody what happens.
#[derive(Debug, Parser)]
#[command(name = "fivemark-feed", version)]
struct Args {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Run a competition.
    Serve(Serve),
    /// Name every fault of a competition file.
    Check {
        /// The competition file.
        file: PathBuf,
    },
    /// Print the messages that boards were sent during a heat, one to a line, for `fivemark-display replay`.
    Retell {
        /// The competition file.
        #[arg(long, value_name = "FILE")]
        competition: PathBuf,
        /// The journal. No feed may have it open: stop that one, or give a copy of the file and of those beside it.
        #[arg(long, value_name = "FILE")]
        journal: PathBuf,
        /// Number of the heat.
        #[arg(long, value_name = "N")]
        heat: u32,
    },
    /// Print the JSON Schema of all messages.
    Schema,
}

#[derive(Debug, clap::Args)]
struct Serve {
    /// The competition file.
    #[arg(long, value_name = "FILE")]
    competition: PathBuf,
    /// Where the record is kept; made if it is not there.
    #[arg(long, value_name = "FILE")]
    journal: PathBuf,
    /// Address and port; port 0 takes a free one.
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1:7333")]
    listen: String,
    /// The access keys; made beside the journal if not told.
    #[arg(long, value_name = "FILE")]
    access: Option<PathBuf>,
    /// Let spectators in without an access key; on when listening on loopback, otherwise off.
    #[arg(long, value_enum)]
    spectators: Option<Switch>,
    /// For rehearsals: run heat time this many times faster.
    #[arg(long, value_name = "TIMES", default_value = "1", value_parser = speed_milli)]
    speed: u32,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Switch {
    On,
    Off,
}

fn main() -> ExitCode {
    let args = Args::parse();
    let done = match args.command {
        Command::Serve(serve) => start(serve),
        Command::Check { file } => return check(&file),
        Command::Retell { competition, journal, heat } => tell_again(&competition, &journal, heat),
        Command::Schema => {
            print!("{}", fivemark_wire::schema::schema_json());
            Ok(())
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("fivemark-feed: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn check(file: &Path) -> ExitCode {
    match competition::load(file) {
        Ok(found) => {
            let (heats, athletes) = (found.heats.len(), found.athletes.len());
            println!("{}: no faults; {heats} heats, {athletes} athletes", file.display());
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{error}");
            if let LoadError::Faults(faults) = &error {
                eprintln!("{} {} found", faults.len(), if faults.len() == 1 { "fault" } else { "faults" });
            }
            ExitCode::FAILURE
        }
    }
}

fn tell_again(competition: &Path, journal: &Path, heat: u32) -> anyhow::Result<()> {
    let competition = Arc::new(competition::load(competition)?);
    let mut out = BufWriter::new(std::io::stdout().lock());
    retell(journal, competition, heat, |message| {
        serde_json::to_writer(&mut out, message)?;
        out.write_all(b"\n")
    })?;
    out.flush().context("what the journal tells could not be written")
}

fn start(serve: Serve) -> anyhow::Result<()> {
    let filter = tracing_subscriber::EnvFilter::try_from_default_env()
        .unwrap_or_else(|_| tracing_subscriber::EnvFilter::new("info"));
    tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_ansi(std::io::stderr().is_terminal())
        .with_writer(std::io::stderr)
        .init();
    raise_open_files();
    let config = Config {
        listen: address(&serve.listen)?,
        competition: serve.competition,
        journal: serve.journal,
        access: serve.access,
        spectators: serve.spectators.map(|switch| matches!(switch, Switch::On)),
        speed_milli: serve.speed,
        patience: Patience::default(),
    };
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .context("the system gives no threads")?;
    runtime.block_on(async {
        let mut interrupt = signal(SignalKind::interrupt()).context("cannot listen for Ctrl-C")?;
        let mut terminate = signal(SignalKind::terminate()).context("cannot listen for the end")?;
        let shutdown = async move {
            tokio::select! {
                _ = interrupt.recv() => {}
                _ = terminate.recv() => {}
            }
        };
        run(config, shutdown, |address| println!("listening on http://{address}")).await?;
        Ok(())
    })
}

fn address(text: &str) -> anyhow::Result<SocketAddr> {
    let example = "write an address and a port like 127.0.0.1:7333";
    match text.to_socket_addrs() {
        Ok(mut found) => found.next().with_context(|| format!("\"{text}\" names no address; {example}")),
        Err(_) => bail!("\"{text}\" is not an address to listen on; {example}"),
    }
}

/// A factor such as `10` or `2.5`, in thousandths.
fn speed_milli(text: &str) -> Result<u32, String> {
    let (whole, rest) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let milli = if digits(whole) && digits(rest) && rest.len() <= 3 {
        format!("{whole}{rest:0<3}").parse::<u32>().ok()
    } else {
        None
    };
    match milli {
        Some(milli) if (1..=MAX_SPEED_MILLI).contains(&milli) => Ok(milli),
        _ => Err(format!("give a factor up to {}, like 10 or 2.5", MAX_SPEED_MILLI / REAL_SPEED_MILLI)),
    }
}

/// A thousand spectators need more files than most systems give at first.
fn raise_open_files() {
    use rustix::process::{Resource, getrlimit, setrlimit};

    let mut limit = getrlimit(Resource::Nofile);
    limit.current = limit.maximum;
    if let Err(error) = setrlimit(Resource::Nofile, limit) {
        tracing::debug!(%error, "the number of open files stays as it is");
    }
}
