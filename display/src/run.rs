//! The program: reads its options, sets up the log, and runs what was asked for.

use std::path::Path;
use std::process::ExitCode;
use std::rc::Rc;

use anyhow::Context;
use clap::Parser;
use fivemark_scene::{Motion, Overlay, Screen as _, Words, legibility};

use crate::cli::{
    Cli, Command, CommonArgs, FitArgs, OneArgs, ReplayArgs, ScreensArgs, ShowArgs, StillArgs, StillScreen,
    ThemeCommand,
};
use crate::clock::MonoClock;
use crate::connection::{Connection, FeedAddress, Identity, Shared, Showing, Source};
use crate::excerpt::Excerpt;
use crate::fit_table::fit_table;
use crate::pictures::write_png;
use crate::plan::{self, FramesPlan, Kind, Output, Picture, Pipe, Plan, Shift, To, USUAL_SIZE, WindowPlan};
use crate::replay::Film;
use crate::sound::{Bell, Speaker};
use crate::stage::{Cast, Wake, find_theme, set_up};
use crate::still::{draw_screen, draw_still_on, read_saved};
use crate::theme_table::theme_table;
use crate::voice::Voice;
use crate::window::{Desktop, Practice, Woken};

/// Runs the program with the process's own arguments.
#[must_use]
pub fn main() -> ExitCode {
    let cli = Cli::parse();
    log_to_stderr();
    let done = match cli.command {
        Command::Board(args) => one(Kind::Board, &args),
        Command::Overlay(args) => one(Kind::Overlay, &args),
        Command::TestCard(args) => one(Kind::TestCard, &args),
        Command::Screens(args) => screens(&args),
        Command::Replay(args) => replay(&args),
        Command::Still(args) => still(&args),
        Command::Fit(args) => fit(&args),
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

/// Shows one picture of a feed on one output.
fn one(kind: Kind, args: &OneArgs) -> anyhow::Result<()> {
    follow(
        &plan_of(kind, &args.show)?,
        &address(&args.follow.feed, args.follow.trust.as_deref())?,
        &args.follow.common,
    )
}

/// One picture on one output: the plan that the options make.
fn plan_of(kind: Kind, args: &ShowArgs) -> anyhow::Result<Plan> {
    let to = match (&args.frames, args.canvas) {
        (Some(_), Some(_)) => {
            anyhow::bail!("--frames and --canvas are two outputs; write a screens file for both")
        }
        (Some(pipe), None) => {
            let (pixels, alpha) = (args.pixels, args.alpha);
            Some(To::Frames(FramesPlan { pipe: Pipe::read(pipe), pixels, alpha }))
        }
        (None, Some(address)) => Some(To::Pages(address)),
        (None, None) if args.headless => None,
        (None, None) => {
            let full_screen = !args.windowed && args.size.is_none();
            Some(To::Window(WindowPlan { full_screen, size: args.size, ..WindowPlan::default() }))
        }
    };
    let size = match to {
        Some(To::Window(_)) => None,
        _ => Some(args.size.unwrap_or(USUAL_SIZE)),
    };
    let name = kind.name().to_owned();
    let picture = Picture {
        name: name.clone(),
        kind,
        size,
        theme: args.theme.clone(),
        language: args.language,
        ground: kind.ground(args.background),
        reduced_motion: args.reduced_motion,
        shift: Shift::of_ms(args.ahead_ms, args.delay_ms)?,
        moments: args.pictures.clone(),
    };
    let excerpt = Excerpt::default();
    let outputs = to.map(|to| Output { name, picture: 0, excerpt, fps: args.fps, to });
    Ok(Plan { pictures: vec![picture], outputs: outputs.into_iter().collect() })
}

fn screens(args: &ScreensArgs) -> anyhow::Result<()> {
    if args.monitors {
        let monitors = Desktop::connect()?.monitors()?;
        anyhow::ensure!(!monitors.is_empty(), "the desktop tells of no monitors");
        monitors.iter().for_each(|monitor| println!("{monitor}"));
        return Ok(());
    }
    // Both are required unless the monitors are listed.
    let (Some(file), Some(feed)) = (&args.file, &args.feed) else { return Ok(()) };
    follow(&plan::read(file)?.only(&args.only)?, &address(feed, args.trust.as_deref())?, &args.common)
}

/// Shows what a feed tells.
fn follow(plan: &Plan, address: &FeedAddress, args: &CommonArgs) -> anyhow::Result<()> {
    let seed = random_number()?;
    let access_key = args.access_key.clone();
    let identity = Identity { device: format!("display-{seed:016x}"), access_key };
    show(plan, args, &address.to_string(), Source::Feed { address: address.clone(), identity, seed })
}

fn address(feed: &str, trust: Option<&Path>) -> anyhow::Result<FeedAddress> {
    Ok(FeedAddress::read(feed)?.trusting(trust)?)
}

/// Shows a heat again.
fn replay(args: &ReplayArgs) -> anyhow::Result<()> {
    let film = Film::read(&args.film, args.lane)?;
    let from_ms = match args.at {
        Some(at_ms) => film.moment_ms(at_ms, args.run)?,
        None => film.begins_ms(args.run)?,
    };
    let until_ms = args.until.map(|at_ms| film.moment_ms(at_ms, args.run)).transpose()?;
    let showing = Showing { film, from_ms, until_ms, speed_milli: args.speed };
    let plan = plan_of(Kind::Board, &args.show)?;
    show(&plan, &args.common, &args.film.display().to_string(), Source::Film(Box::new(showing)))
}

/// Shows a plan until it is left or over.
fn show(plan: &Plan, args: &CommonArgs, named: &str, source: Source) -> anyhow::Result<()> {
    let clock = MonoClock::start();
    let voice = if plan.takes_standard_output() { Voice::Errors } else { Voice::Output };
    let bell = Bell::default();
    let wants_windows = plan.outputs.iter().any(|output| matches!(output.to, To::Window(_)));
    let desktop = wants_windows.then(Desktop::connect).transpose()?;
    let cast = Cast {
        feed: named,
        access_key: args.access_key.as_deref(),
        clock,
        wake: wake(desktop.as_ref(), bell.clone()),
        until_provisional: args.until_provisional,
        voice,
    };
    let (mut stage, windows, known) = set_up(plan, &cast)?;
    // What is heard belongs to what is shown first.
    let _speaker = known.first().map(|shared| speaker(args, shared, clock, bell)).transpose()?;
    if desktop.is_none() {
        stage.open()?;
    }
    let connection = Connection::start(source, known, clock)?;
    match desktop {
        Some(desktop) => {
            let practise = || Practice::from_input(move || cast.wake.ring());
            let practice = args.practise_faults.then(practise).transpose()?;
            desktop.run(&mut stage, windows, &connection, practice)?;
        }
        None => stage.run_offscreen(&connection)?,
    }
    stage.figures().iter().for_each(|line| voice.say(line));
    Ok(())
}

/// Wakes the thread that draws, by the desktop's events if there is one, and the sound with it.
fn wake(desktop: Option<&Desktop>, bell: Bell) -> Wake {
    let this = std::thread::current();
    let waker = desktop.map(Desktop::waker);
    Wake::new(move || {
        match &waker {
            // It fails when the windows are gone, and then there is nobody left to wake.
            Some(waker) => drop(waker.send_event(Woken)),
            None => this.unpark(),
        }
        bell.ring();
    })
}

/// The sound, if it is asked for.
fn speaker(
    args: &CommonArgs,
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

fn fit(args: &FitArgs) -> anyhow::Result<()> {
    let theme = find_theme(&args.theme)?;
    let lanes = usize::from(args.lanes);
    let rows = legibility::fit_table(args.size, lanes, &theme, args.height, args.seat);
    print!("{}", fit_table(args.size, args.lanes, &rows, (args.height, args.seat)));
    Ok(())
}

fn check_theme(name: &str) -> anyhow::Result<()> {
    let theme = find_theme(name)?;
    print!("{}", theme_table(&theme));
    Ok(())
}
