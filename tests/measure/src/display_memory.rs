//! The display's memory: the real program, drawing a real feed's heat without a window.

use std::process::{Command, Stdio};
use std::time::Duration;

use anyhow::Context;

use crate::floor::{Feed, competition};
use crate::process::{Running, beside, resident_mb, tree_cpu};
use crate::report::{Figure, Goal};

const LANES: u8 = 20;
/// Until every cache has filled.
const WARM_UP: Duration = Duration::from_secs(10);

/// Measures.
///
/// # Errors
/// Feed or display do not run.
pub fn measure() -> anyhow::Result<Vec<Figure>> {
    let folder = crate::folder()?;
    let feed = Feed::start(folder.path(), &competition(LANES, 1_000))?;
    crate::waiting()?.block_on(feed.go())?;
    let child = Command::new(beside("fivemark-display")?)
        .args(["board", "--headless", "--size", "1920x1080", "--feed"])
        .arg(format!("ws://{}/feed", feed.host))
        .env("FIVEMARK_ACCESS_KEY", &feed.keys.display)
        .env("RUST_LOG", "warn")
        .stdout(Stdio::null())
        .spawn()
        .context("the display does not start")?;
    let display = Running(child);
    std::thread::sleep(WARM_UP);
    let resident = resident_mb(display.id()).context("the display did not stay")?;
    let cpu = tree_cpu(display.id()).as_secs_f64() / WARM_UP.as_secs_f64() * 100.0;
    Ok(vec![
        Figure::once(
            "memory",
            "display's resident memory, 20 lanes, 1920×1080",
            "MB",
            resident,
            Goal::Median(180.0),
        ),
        Figure::once(
            "memory",
            "display's share of a core with only the clock running",
            "%",
            cpu,
            Goal::Yardstick,
        ),
    ])
}
