//! The program `fivemark-demo`: options, signals and exit status around the demo itself.
//!
//! Exit status: 0 when the heat is over, or the demo was stopped after it; 130 when it was stopped before; 1 when
//! anything failed; 2 for options that can't be.

use std::process::ExitCode;

use anyhow::Context;
use clap::Parser;
use fivemark_demo::cli::Args;
use fivemark_demo::competition::competition_toml;
use fivemark_demo::show::{Ending, Stage};
use tokio::signal::unix::{Signal, SignalKind, signal};

/// As shells count an interrupted program: 128 and the number of SIGINT.
const INTERRUPTED: u8 = 130;

fn main() -> ExitCode {
    let args = Args::parse();
    if args.print_competition {
        print!("{}", competition_toml(args.seed, args.lanes));
        return ExitCode::SUCCESS;
    }
    match run(&args) {
        Ok(code) => code,
        Err(error) => {
            eprintln!("fivemark-demo: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(args: &Args) -> anyhow::Result<ExitCode> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .context("the system gives no threads")?;
    runtime.block_on(async {
        let mut signals = Signals::new().context("cannot listen for Ctrl-C")?;
        let mut stage = Stage::default();
        let ended = tokio::select! {
            ended = stage.run(args) => Some(ended),
            () = signals.next() => None,
        };
        let heat_over = stage.heat_over();
        if let Some(Ok(Ending::BoardClosed { .. })) = ended {
            println!("\nThe board was closed; everything stops.");
        }
        // Whoever asks a second time does not want to wait.
        tokio::select! {
            () = stage.close() => {}
            () = signals.next() => {}
        }
        match ended.transpose()? {
            Some(Ending::HeatOver) => Ok(ExitCode::SUCCESS),
            Some(Ending::BoardClosed { heat_over }) if heat_over || !args.once => Ok(ExitCode::SUCCESS),
            Some(Ending::BoardClosed { .. }) => {
                anyhow::bail!("the board was closed before the heat was over")
            }
            None if heat_over => Ok(ExitCode::SUCCESS),
            None => Ok(ExitCode::from(INTERRUPTED)),
        }
    })
}

/// The signals that ask a program to end.
struct Signals {
    interrupt: Signal,
    terminate: Signal,
    hang_up: Signal,
}

impl Signals {
    fn new() -> std::io::Result<Self> {
        Ok(Self {
            interrupt: signal(SignalKind::interrupt())?,
            terminate: signal(SignalKind::terminate())?,
            hang_up: signal(SignalKind::hangup())?,
        })
    }

    async fn next(&mut self) {
        tokio::select! {
            _ = self.interrupt.recv() => {}
            _ = self.terminate.recv() => {}
            _ = self.hang_up.recv() => {}
        }
    }
}
