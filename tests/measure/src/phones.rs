//! Judges' phones as pages in a browser: from a touch to the page's own number and to the board's frame, a minute
//! without a link, and a whole heat of 24 of them. The browser is driven by `tests/foreign/phones_measure.py`.

use std::path::Path;
use std::process::{Command, Stdio};

use anyhow::Context;
use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::floor::{Feed, competition};
use crate::process::{Running, beside, first_line};
use crate::report::{Figure, Goal};
use crate::samples::Samples;

const NAME: &str = "phones";
const LANES: u8 = 24;
/// Of each lane: thirty with the link, and sixty without.
const REPS: u32 = 90;

#[derive(Debug, Deserialize)]
struct One {
    touch_up_ms: Vec<f64>,
    touch_down_ms: Vec<f64>,
    to_board_ms: Vec<f64>,
    waited: f64,
    counted_late: f64,
    stamps_off_ms: Vec<f64>,
    first_in_first: bool,
}

#[derive(Debug, Deserialize)]
struct Many {
    calls: f64,
    counted: f64,
    pss_mb_a_page: f64,
}

/// One phone, and then many.
///
/// # Errors
/// There is no browser or no Python for it, or a program does not start.
pub fn measure() -> anyhow::Result<Vec<Figure>> {
    let one = one()?;
    let many = many()?;
    let of = |what: &str, unit, values: Vec<f64>, goal| {
        Figure::of(NAME, what, unit, &values.into_iter().collect::<Samples>(), goal)
    };
    let within = Goal::Both(50.0, 50.0);
    let first = if one.first_in_first { 0.0 } else { 1.0 };
    Ok(vec![
        of("touch to the page's number, with a link", "ms", one.touch_up_ms, within),
        of("touch to the page's number, without a link", "ms", one.touch_down_ms, within),
        of("touch to the board's frame in a program", "ms", one.to_board_ms, Goal::Both(60.0, 120.0)),
        Figure::once(NAME, "calls without a link", "calls", one.waited, Goal::Yardstick),
        Figure::once(NAME, "of them not counted", "calls", one.waited - one.counted_late, Goal::Median(0.0)),
        of("their time in the record from that of the touch", "ms", one.stamps_off_ms, Goal::Yardstick),
        Figure::once(NAME, "lanes in a wrong order for it", "lanes", first, Goal::Median(0.0)),
        Figure::once(NAME, "a heat of 24 pages: calls", "calls", many.calls, Goal::Yardstick),
        Figure::once(NAME, "of them lost", "calls", many.calls - many.counted, Goal::Median(0.0)),
        Figure::once(NAME, "memory of the browser for a page", "MB", many.pss_mb_a_page, Goal::Median(60.0)),
    ])
}

fn one() -> anyhow::Result<One> {
    let folder = crate::folder()?;
    let feed = Feed::start(folder.path(), &competition(LANES, REPS))?;
    let mut board = Command::new(beside("fivemark-display")?)
        .args(["board", "--headless", "--size", "1280x720", "--canvas", "127.0.0.1:0", "--feed", &feed.host])
        .env("FIVEMARK_ACCESS_KEY", &feed.keys.display)
        .env("RUST_LOG", "error")
        .stdout(Stdio::piped())
        .spawn()
        .map(Running)?;
    let mut said = board.0.stdout.take().context("it says nothing")?;
    let url = first_line(&mut said)?.replace("canvas on ", "");
    ask("one", &feed, &[&url, &feed.keys.display])
}

fn many() -> anyhow::Result<Many> {
    let folder = crate::folder()?;
    let feed = Feed::start(folder.path(), &competition(LANES, REPS))?;
    ask("many", &feed, &[&LANES.to_string()])
}

/// Has the script measure, and reads its last line.
fn ask<T: DeserializeOwned>(what: &str, feed: &Feed, more: &[&str]) -> anyhow::Result<T> {
    let python =
        std::env::var_os("FIVEMARK_PYTHON").context("FIVEMARK_PYTHON is not set; use ./tests/bench")?;
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../foreign/phones_measure.py");
    let output = Command::new(python)
        .arg(script)
        .args([what, &format!("http://{}", feed.host)])
        .arg(&feed.access)
        .arg(REPS.to_string())
        .args(more)
        .stderr(Stdio::inherit())
        .output()?;
    anyhow::ensure!(output.status.success(), "the pages were not measured");
    let said = String::from_utf8(output.stdout)?;
    serde_json::from_str(said.lines().last().unwrap_or_default()).context("the script told no figures")
}
