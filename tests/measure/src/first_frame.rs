//! From the start of a process to its first finished frame: what the hall waits for when a display is started anew.
//! The process is this program itself, which does what a display does before and at its first frame.

use std::process::Command;
use std::rc::Rc;

use anyhow::Context;
use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::{Board, Link, Motion, Screen, View};
use rustix::time::{ClockId, clock_gettime};

use crate::frame::{HD, LANES, heat, times};
use crate::report::{Figure, Goal};
use crate::samples::Samples;

const TIMES: u32 = 20;

/// Measures.
///
/// # Errors
/// The process does not draw.
pub fn measure() -> anyhow::Result<Vec<Figure>> {
    let mut samples = Samples::default();
    for time in 0..=TIMES {
        let output =
            Command::new(std::env::current_exe()?).args(["one-frame", &now_ns().to_string()]).output()?;
        anyhow::ensure!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr).trim());
        let ms =
            String::from_utf8_lossy(&output.stdout).trim().parse().context("it did not tell its time")?;
        // The first one warms the caches.
        if time > 0 {
            samples.push(ms);
        }
    }
    Ok(vec![Figure::of(
        "first-frame",
        "process start → first frame, 1920×1080",
        "ms",
        &samples,
        Goal::Median(250.0),
    )])
}

/// Draws one frame and prints the milliseconds since `began_ns` on the monotonic clock.
///
/// # Errors
/// Nothing can be drawn.
pub fn draw_one(began_ns: i64) -> anyhow::Result<()> {
    let theme = fivemark_themes::find("dark").map_err(|faults| anyhow::anyhow!("{faults:?}"))?;
    let mut renderer = Renderer::new(Gpu::open()?, HD)?;
    let mut board = Board::new(Rc::new(theme), HD, Motion::Full);
    let view = View::new(heat::snapshot(LANES));
    board.frame(Some(&view), Link::Live, times(0));
    let (list, fonts) = board.parts();
    renderer.draw(list, fonts)?;
    renderer.wait()?;
    println!("{}", (now_ns() - began_ns) as f64 / 1e6);
    Ok(())
}

fn now_ns() -> i64 {
    let now = clock_gettime(ClockId::Monotonic);
    now.tv_sec * 1_000_000_000 + now.tv_nsec
}
