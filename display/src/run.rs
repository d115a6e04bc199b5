//! The program: reads its options, sets up the log, and runs what was asked for.

use std::process::ExitCode;
use std::rc::Rc;

use anyhow::Context;
use clap::Parser;
use fivemark_themes::LoadedTheme;

use crate::cli::{Cli, Command, StillArgs};
use crate::pictures::write_png;
use crate::still::{draw_still, read_saved};

/// Runs the program with the process's own arguments.
#[must_use]
pub fn main() -> ExitCode {
    let cli = Cli::parse();
    log_to_stderr();
    let done = match cli.command {
        Command::Board(_args) => Ok(()),
        Command::Still(args) => still(&args),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// Logs from `info` on, and from `warn` on for the libraries below; `RUST_LOG` says otherwise.
fn log_to_stderr() {
    use tracing_subscriber::EnvFilter;
    let filter =
        EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("warn,fivemark_display=info"));
    // A log that is set up already stays as it is.
    let _ = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr).try_init();
}

fn still(args: &StillArgs) -> anyhow::Result<()> {
    let theme = find_theme(&args.theme)?;
    let view = read_saved(&args.snapshot)?;
    let pixels = draw_still(&view, args.at_ms, theme, args.size)?;
    write_png(&args.out, &pixels)?;
    println!("{}", args.out.display());
    Ok(())
}

fn find_theme(name: &str) -> anyhow::Result<Rc<LoadedTheme>> {
    let found = fivemark_themes::find(name).map_err(|faults| {
        let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
        anyhow::Error::msg(lines.join("\n"))
    });
    Ok(Rc::new(found.with_context(|| format!("the theme `{name}` can't be used"))?))
}
