//! The feed's program: options, signals and exit status around the feed itself.

use std::io::{BufWriter, IsTerminal, Write};
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;

use anyhow::Context;
use clap::Parser;
use fivemark_feed::authority::{self, Name};
use fivemark_feed::cli::{Args, Command, Serve};
use fivemark_feed::code;
use fivemark_feed::competition::{self, LoadError};
use fivemark_feed::digest::Link;
use fivemark_feed::machine::{Machine as _, ThisMachine};
use fivemark_feed::retell::retell;
use fivemark_feed::run::{Feed, run};
use fivemark_feed::verify::verify;
use tokio::signal::unix::{SignalKind, signal};

fn main() -> ExitCode {
    let args = Args::parse();
    let done = match args.command {
        Command::Serve(serve) => start(serve),
        Command::Check { file } => return check(&file),
        Command::Retell { competition, journal, heat } => tell_again(&competition, &journal, heat),
        Command::Verify { competition, journal, heat, digest } => {
            return check_sheet(&competition, &journal, heat, digest);
        }
        Command::Authority { folder, name } => make_authority(&folder, &name),
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

/// Whether a printed sheet is that of the signed record.
fn check_sheet(competition: &Path, journal: &Path, heat: u32, digest: Link) -> ExitCode {
    let done = competition::load(competition).map_err(anyhow::Error::from).and_then(|competition| {
        let verified = verify(journal, Arc::new(competition), heat, digest)?;
        let mut out = std::io::stdout().lock();
        writeln!(out, "{}", verified.told()).context("what was found could not be written")?;
        Ok(verified.holds())
    });
    match done {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(1),
        Err(error) => {
            eprintln!("fivemark-feed: {error:#}");
            ExitCode::from(2)
        }
    }
}

fn make_authority(folder: &Path, names: &[Name]) -> anyhow::Result<()> {
    let made = authority::make(folder, names, ThisMachine.wall_ms())?;
    let folder = folder.display();
    if made.is_new {
        println!(
            "made an authority in {folder}; keep {folder}/authority.key to yourself, the feed does not need it"
        );
    } else {
        println!("kept the authority in {folder}");
    }
    println!("its fingerprint (SHA-256): {}", made.fingerprint);
    let names: Vec<String> = names.iter().map(ToString::to_string).collect();
    println!("made the feed's certificate for {}, good until {}", names.join(", "), made.until);
    println!("start the feed with --authority {folder}");
    Ok(())
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
    let config = serve.config()?;
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
        run(config, shutdown, greet).await?;
        Ok(())
    })
}

/// Says where the feed listens, and on a terminal how phones come to it.
fn greet(feed: &Feed) {
    let mut out = std::io::stdout().lock();
    let mut said = format!("listening on {}://{}\n", feed.scheme(), feed.address());
    for (what, address) in feed.invitations() {
        if out.is_terminal() {
            said.push_str(&format!("\n{what}: {address}\n{}", code::blocks(&address).unwrap_or_default()));
        } else {
            tracing::info!("{what}: {address}");
        }
    }
    // A reader that takes the first line and goes does not end the feed.
    if let Err(error) = out.write_all(said.as_bytes()).and_then(|()| out.flush()) {
        tracing::debug!(%error, "nobody hears where the feed listens");
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
