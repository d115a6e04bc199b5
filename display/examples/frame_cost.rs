//! What a frame costs: a board of 20 lanes on which every count changes, drawn into the canvas without a window.
//!
//! `cargo run --release -p fivemark-display --example frame_cost [WIDTHxHEIGHT] [LANES]`
//!
//! Leave RUST_BACKTRACE unset: builds with debug assertions would take backtraces within every frame.
//! Prints the time to the first frame, and for each of three kinds of frames the CPU of our thread in its steps and
//! that of the whole process (with a software adapter the drawing itself is in there).

use std::rc::Rc;
use std::time::Instant;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::{Board, Link, Motion, Times, View};
use rustix::time::{ClockId, clock_gettime};

#[path = "../tests/program/heat.rs"]
mod heat;

const FRAMES: u32 = 200;
const FRAME_US: i64 = 16_667;

/// How the heat changes from one frame to the next.
#[derive(Clone, Copy)]
struct Kind {
    name: &'static str,
    /// Every lane gets a unit every so many frames.
    every: u32,
    motion: Motion,
}

fn main() -> anyhow::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let size = arguments.next().unwrap_or_else(|| "1920x1080".into());
    let (width, height) =
        size.split_once('x').ok_or_else(|| anyhow::anyhow!("write the size like 1920x1080"))?;
    let size = [width.parse()?, height.parse()?];
    let lanes: u8 = arguments.next().map_or(Ok(20), |lanes| lanes.parse())?;
    for kind in [
        Kind { name: "every count in every frame", every: 1, motion: Motion::Reduced },
        Kind { name: "every count in every frame, bars gliding", every: 1, motion: Motion::Full },
        Kind { name: "only the clock", every: u32::MAX, motion: Motion::Full },
    ] {
        measure(kind, size, lanes)?;
    }
    Ok(())
}

fn measure(kind: Kind, size: [u32; 2], lanes: u8) -> anyhow::Result<()> {
    let began = Instant::now();
    let cpu = cpu_us(ClockId::ProcessCPUTime);
    let theme = fivemark_themes::find("dark").map_err(|faults| anyhow::anyhow!("{faults:?}"))?;
    let mut renderer = Renderer::new(Gpu::open()?, size)?;
    let mut board = Board::new(Rc::new(theme), size, kind.motion);
    let mut view = View::new(heat::snapshot(lanes));
    let mut played = Played { steps: [0; 3], process: 0, pixels: 0, drawn: 0 };
    played.frame(&mut board, &mut renderer, &view, 0)?;
    renderer.pixels()?;
    println!(
        "{} ({})\n  first frame {} ms after the start, {} ms of CPU",
        kind.name,
        renderer.gpu().name,
        began.elapsed().as_millis(),
        (cpu_us(ClockId::ProcessCPUTime) - cpu) / 1_000
    );
    for frame in 1..FRAMES {
        change(&mut view, kind, frame, lanes);
        played.frame(&mut board, &mut renderer, &view, frame)?;
        // The caches are warm from here on.
        if frame == FRAMES / 4 {
            played = Played { steps: [0; 3], process: 0, pixels: 0, drawn: 0 };
        }
    }
    played.print();
    Ok(())
}

fn change(view: &mut View, kind: Kind, frame: u32, lanes: u8) {
    if frame.is_multiple_of(kind.every) {
        for lane in 1..=lanes {
            let done = (frame / kind.every + u32::from(lane)) % 84;
            view.snapshot.lanes[usize::from(lane) - 1] = heat::count(lane, done);
            view.snapshot.order[usize::from(lane) - 1] = heat::row(lane, (lane + frame as u8) % lanes + 1);
        }
    }
}

/// Sums over frames, microseconds.
struct Played {
    /// Layout, prepare, submit on our thread.
    steps: [i64; 3],
    process: i64,
    pixels: i64,
    drawn: i64,
}

impl Played {
    fn frame(
        &mut self,
        board: &mut Board,
        renderer: &mut Renderer,
        view: &View,
        frame: u32,
    ) -> anyhow::Result<()> {
        let frame_us = i64::from(frame) * FRAME_US;
        let times = Times { feed_us: 61_000_000 + frame_us, frame_us, speed_milli: 1_000 };
        let process = cpu_us(ClockId::ProcessCPUTime);
        let mut marks = [cpu_us(ClockId::ThreadCPUTime), 0, 0, 0];
        board.frame(Some(view), Link::Live, times);
        marks[1] = cpu_us(ClockId::ThreadCPUTime);
        let (list, fonts) = board.parts();
        let drawn = renderer.prepare(list, fonts)?;
        marks[2] = cpu_us(ClockId::ThreadCPUTime);
        renderer.submit(None);
        marks[3] = cpu_us(ClockId::ThreadCPUTime);
        renderer.wait()?;
        // The display would have slept over a frame in which nothing differs.
        if drawn.rects > 0 {
            for step in 0..3 {
                self.steps[step] += marks[step + 1] - marks[step];
            }
            self.process += cpu_us(ClockId::ProcessCPUTime) - process;
            self.pixels += drawn.pixels;
            self.drawn += 1;
        }
        Ok(())
    }

    fn print(&self) {
        let frames = self.drawn.max(1);
        let [layout, prepare, submit] = self.steps.map(|us| us / frames);
        println!(
            "  {} frames: {} µs on our thread (layout {layout}, prepare {prepare}, submit {submit}), \
             {} µs in the whole process, {} pixels",
            self.drawn,
            layout + prepare + submit,
            self.process / frames,
            self.pixels / frames
        );
    }
}

fn cpu_us(clock: ClockId) -> i64 {
    let time = clock_gettime(clock);
    time.tv_sec * 1_000_000 + time.tv_nsec / 1_000
}
