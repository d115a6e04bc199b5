//! The program: reads its options, sets up the log, and runs what was asked for.

use std::net::SocketAddr;
use std::process::ExitCode;
use std::rc::Rc;

use anyhow::Context;
use clap::Parser;
use fivemark_scene::{Motion, Overlay, Screen as _, Words};
use fivemark_themes::LoadedTheme;

use crate::canvas::{CanvasFeed, CanvasOptions, PATIENCE};
use crate::cli::{BoardArgs, Cli, Command, StillArgs, StillScreen, ThemeCommand};
use crate::clock::MonoClock;
use crate::connection::{Connection, FeedAddress, Identity, Shared};
use crate::headless::Offscreen;
use crate::live::{Followed, LiveBoard};
use crate::pictures::{PictureWriter, write_png};
use crate::sound::{Bell, Speaker};

use crate::still::{draw_screen, draw_still_on, read_saved};
use crate::theme_table::theme_table;
use crate::theme_watch::ThemeWatch;
use crate::window::{Desktop, Practice, Wake, WindowOptions};

/// Size without a window, if none is told.
const HEADLESS_SIZE: [u32; 2] = [1920, 1080];

/// Runs the program with the process's own arguments.
#[must_use]
pub fn main() -> ExitCode {
    let cli = Cli::parse();
    log_to_stderr();
    let done = match cli.command {
        Command::Board(args) => board(&args),
        Command::Still(args) => still(&args),
        Command::Theme(ThemeCommand::Check { theme }) => check_theme(&theme),
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

fn board(args: &BoardArgs) -> anyhow::Result<()> {
    let clock = MonoClock::start();
    let shift = args.shift()?;
    let address = FeedAddress::read(&args.feed)?;
    let theme = find_theme(&args.theme)?;
    let words = Rc::new(Words::of(args.language)?);
    let seed = random_number()?;
    let identity = Identity { device: format!("display-{seed:016x}"), access_key: args.access_key.clone() };
    let pictures = args.pictures.as_deref().map(PictureWriter::start).transpose()?;
    let motion = if args.reduced_motion { Motion::Reduced } else { Motion::Full };
    let feed = address.to_string();
    let live_board = |shared: &Shared, size| -> anyhow::Result<LiveBoard> {
        let waking = shared.clone();
        let watch = ThemeWatch::start(&theme, move || waking.wake());
        let followed = Followed { shared: shared.clone(), clock, feed: &feed };
        let mut live = LiveBoard::new(theme, size, motion, followed, pictures);
        live.set_ahead_us(shift.ahead_us);
        live.set_background(args.background.into());
        live.set_words(words);
        live.follow_theme(watch.context("the theme's files can't be watched")?);
        Ok(live)
    };
    let bell = Bell::default();
    let rings = bell.clone();
    if args.headless || args.canvas.is_some() {
        let size = args.size.unwrap_or(HEADLESS_SIZE);
        let canvas = args.canvas.map(|address| serve_canvas(address, args, size)).transpose()?;
        let this = std::thread::current();
        let wake = move || {
            this.unpark();
            rings.ring();
        };
        let shared = Shared::delayed(wake, shift.delay_us);
        let _speaker = speaker(args, &shared, clock, bell)?;
        let mut live = live_board(&shared, size)?;
        let connection = Connection::start(address, identity, shared, clock, seed)?;
        let mut output = Offscreen::open(size)?;
        if let Some(canvas) = &canvas {
            output.serve(canvas);
        }
        output.run(&mut live, &connection, clock, args.fps, args.until_provisional)?;
        if let Some(canvas) = &canvas {
            println!("canvas: {}", canvas.figures());
        }
        return Ok(());
    }
    let desktop = Desktop::connect()?;
    let waker = desktop.waker();
    let wake = move || {
        // It fails when the window is gone, and then there is nobody left to wake.
        let _ = waker.send_event(Wake);
        rings.ring();
    };
    let shared = Shared::delayed(wake, shift.delay_us);
    let _speaker = speaker(args, &shared, clock, bell)?;
    let waking = shared.clone();
    let practise = || Practice::from_input(move || waking.wake());
    let live = live_board(&shared, args.size.unwrap_or(HEADLESS_SIZE))?;
    let connection = Connection::start(address, identity, shared, clock, seed)?;
    let options = WindowOptions {
        windowed: args.windowed,
        size: args.size,
        fps: args.fps,
        until_provisional: args.until_provisional,
        practice: args.practise_faults.then(practise).transpose()?,
    };
    Ok(desktop.run(live, &connection, clock, options)?)
}

/// Starts the canvas feed and prints where it is, in one line.
fn serve_canvas(address: SocketAddr, args: &BoardArgs, size: [u32; 2]) -> anyhow::Result<CanvasFeed> {
    let this = std::thread::current();
    let options = CanvasOptions { address, access_key: args.access_key.as_deref(), size, patience: PATIENCE };
    let canvas = CanvasFeed::start(options, move || this.unpark())?;
    println!("canvas on http://{}/", canvas.address());
    Ok(canvas)
}

/// The sound, if it is asked for.
fn speaker(
    args: &BoardArgs,
    shared: &Shared,
    clock: MonoClock,
    bell: Bell,
) -> anyhow::Result<Option<Speaker>> {
    let latency_us = i64::from(args.sound_latency_ms) * 1_000;
    let start = || Speaker::start(shared.clone(), clock, bell, latency_us).context("no sound can be played");
    args.sound.then(start).transpose()
}

/// Tells this display from others and spreads its attempts to connect.
fn random_number() -> anyhow::Result<u64> {
    getrandom::u64().map_err(|error| anyhow::anyhow!("the system gives no random numbers: {error}"))
}

fn still(args: &StillArgs) -> anyhow::Result<()> {
    let theme = find_theme(&args.theme)?;
    let mut view = read_saved(&args.snapshot)?;
    let words = Words::of(args.language)?;
    let pixels = match args.screen {
        StillScreen::Board => {
            draw_still_on((args.background.into(), words), &view, args.at_ms, theme, args.size)?
        }
        StillScreen::Overlay => {
            let mut overlay = Overlay::new(theme, args.size, Motion::Full);
            overlay.set_words(Rc::new(words));
            view.snapshot.shows.overlay = args.show.unwrap_or(view.snapshot.shows.overlay);
            draw_screen(&mut overlay, &view, args.at_ms, args.size)?
        }
    };
    write_png(&args.out, &pixels)?;
    println!("{}", args.out.display());
    Ok(())
}

fn check_theme(name: &str) -> anyhow::Result<()> {
    let theme = find_theme(name)?;
    print!("{}", theme_table(&theme));
    Ok(())
}

fn find_theme(name: &str) -> anyhow::Result<Rc<LoadedTheme>> {
    let found = fivemark_themes::find(name).map_err(|faults| {
        let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
        anyhow::Error::msg(lines.join("\n"))
    });
    Ok(Rc::new(found.with_context(|| format!("the theme `{name}` can't be used"))?))
}
