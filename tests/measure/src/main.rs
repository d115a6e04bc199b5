//! Measures Fivemark: from tap to screen, memory, frames, start and replay, each beside what a user would pick
//! instead. Prints one table. Measures time and judges nothing: the tests do that.

mod disk;
mod display_memory;
mod feed_path;
mod first_frame;
mod floor;
mod frame;
mod gpu_frame;
mod machine;
mod outputs;
mod pages;
mod phones;
mod playing;
mod process;
mod relay;
mod replay;
mod report;
mod samples;
mod spectators;

use std::path::PathBuf;

use anyhow::Context;
use clap::{Parser, Subcommand, ValueEnum};

use crate::machine::Machine;
use crate::report::Figure;

/// Measures Fivemark and prints one table.
#[derive(Debug, Parser)]
#[command(name = "fivemark-bench")]
struct Cli {
    /// Writes the figures as JSON as well
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Only what a GPU is needed for; needs nothing but this program and a Vulkan driver
    #[arg(long)]
    gpu: bool,
    /// How long the calls of the feed's benchmark last, in seconds
    #[arg(long, default_value_t = 30, value_parser = clap::value_parser!(u32).range(1..=600))]
    seconds: u32,
    /// Which benchmarks; all but the GPU's if none is named
    names: Vec<Name>,
    #[command(subcommand)]
    part: Option<Part>,
}

/// The benchmarks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Name {
    /// From a judge's call to the board's socket, under a crowd; the feed's memory; raw TCP beside it
    Feed,
    /// Rebuilding a heat from a long journal
    Replay,
    /// A frame's CPU on the display's thread and in the whole process
    Frame,
    /// The same board as an HTML page and as a canvas page in a browser
    Pages,
    /// Judges' phones in a browser, to their own number and to the board; their memory
    Phones,
    /// The overlay's CPU and its page's, with the bytes that go to it
    Overlay,
    /// Raw frames to a reader
    RawFrames,
    /// Five outputs of one process beside one
    FiveOutputs,
    /// Frames drawn while nothing changes
    Idle,
    /// From the start of a process to its first frame
    FirstFrame,
    /// The display's memory
    Memory,
    /// A frame's time on the GPU
    Gpu,
}

/// What this program is when it starts itself.
#[derive(Debug, Subcommand)]
#[command(hide = true)]
enum Part {
    /// A crowd of spectators.
    #[command(hide = true)]
    Crowd { of: spectators::Of, host: String, count: u32 },
    /// The bare relay.
    #[command(hide = true)]
    Relay,
    /// A process that draws one frame. The starter's monotonic clock, in nanoseconds.
    #[command(hide = true)]
    OneFrame { began_ns: i64 },
}

fn main() -> anyhow::Result<()> {
    let cli = Cli::parse();
    match cli.part {
        Some(Part::Crowd { of, host, count }) => {
            return waiting()?.block_on(spectators::run(of, &host, count));
        }
        Some(Part::Relay) => return waiting()?.block_on(relay::run()),
        Some(Part::OneFrame { began_ns }) => return first_frame::draw_one(began_ns),
        None => {}
    }
    let names = match (cli.gpu, cli.names.is_empty()) {
        (true, _) => vec![Name::Gpu],
        (false, true) => Name::value_variants().iter().copied().filter(|name| *name != Name::Gpu).collect(),
        (false, false) => cli.names,
    };
    let mut machine = Machine::this();
    let mut figures: Vec<Figure> = Vec::new();
    for name in names {
        eprintln!(
            "measuring {}…",
            name.to_possible_value().map_or_else(String::new, |name| name.get_name().to_owned())
        );
        match name {
            Name::Feed => figures.extend(feed_path::measure(cli.seconds)?),
            Name::Replay => figures.extend(replay::measure()?),
            Name::Frame => figures.extend(frame::measure(&mut machine)?),
            Name::Pages => figures.extend(pages::measure()?),
            Name::Phones => figures.extend(phones::measure()?),
            Name::Overlay => figures.extend(outputs::overlay()?),
            Name::RawFrames => figures.extend(outputs::raw_frames()?),
            Name::FiveOutputs => figures.extend(outputs::five_outputs()?),
            Name::Idle => figures.extend(outputs::idle()?),
            Name::FirstFrame => figures.extend(first_frame::measure()?),
            Name::Memory => figures.extend(display_memory::measure()?),
            Name::Gpu => figures.extend(gpu_frame::measure(&mut machine)?),
        }
    }
    report::print(&figures, &machine);
    match &cli.json {
        Some(file) => report::write_json(file, &figures, &machine),
        None => Ok(()),
    }
}

/// A runtime on this thread, for what mostly waits.
fn waiting() -> anyhow::Result<tokio::runtime::Runtime> {
    tokio::runtime::Builder::new_current_thread().enable_all().build().context("the system gives no runtime")
}

/// A folder for one benchmark's files, on the disk that holds the build; removed afterwards.
fn folder() -> anyhow::Result<tempfile::TempDir> {
    let own = std::env::current_exe()?;
    let beside = own.parent().context("this program lies in no folder")?;
    tempfile::tempdir_in(beside).context("cannot make a folder beside this program")
}
