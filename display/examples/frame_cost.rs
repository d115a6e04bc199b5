//! What a frame costs: a board of 20 lanes on which every count changes, drawn into the canvas without a window.
//!
//! `cargo run --release -p fivemark-display --example frame_cost [WIDTHxHEIGHT] [LANES] [FRAMES]`
//!
//! Leave RUST_BACKTRACE unset: builds with debug assertions would take backtraces within every frame.
//! Prints the time to the first frame, and for each of three kinds of frames the medians (and the 99th hundredths) of
//! the CPU of our thread in its steps and of that of the whole process (with a software adapter the drawing itself is
//! in there); at last the most memory that was resident.

use std::rc::Rc;
use std::time::Instant;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::{Board, Link, Motion, Times, View};
use rustix::time::{ClockId, clock_gettime};

#[path = "../tests/program/heat.rs"]
mod heat;

/// Frames of each kind, if none are told; the first quarter warms the caches and is not counted.
const FRAMES: u32 = 400;
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
    let frames: u32 = arguments.next().map_or(Ok(FRAMES), |frames| frames.parse())?;
    for kind in [
        Kind { name: "every count in every frame", every: 1, motion: Motion::Reduced },
        Kind { name: "every count in every frame, bars gliding", every: 1, motion: Motion::Full },
        Kind { name: "only the clock", every: u32::MAX, motion: Motion::Full },
    ] {
        measure(kind, size, lanes, frames)?;
    }
    println!("at most {} MB resident", most_resident_mb()?);
    Ok(())
}

fn measure(kind: Kind, size: [u32; 2], lanes: u8, frames: u32) -> anyhow::Result<()> {
    let began = Instant::now();
    let cpu = cpu_ns(ClockId::ProcessCPUTime);
    let theme = fivemark_themes::find("dark").map_err(|faults| anyhow::anyhow!("{faults:?}"))?;
    let mut renderer = Renderer::new(Gpu::open()?, size)?;
    let mut board = Board::new(Rc::new(theme), size, kind.motion);
    let mut view = View::new(heat::snapshot(lanes));
    let mut played = Played::default();
    played.frame(&mut board, &mut renderer, &view, 0)?;
    renderer.pixels()?;
    println!(
        "{} ({})\n  first frame {} ms after the start, {} ms of CPU",
        kind.name,
        renderer.gpu().name,
        began.elapsed().as_millis(),
        (cpu_ns(ClockId::ProcessCPUTime) - cpu) / 1_000_000
    );
    for frame in 1..frames {
        change(&mut view, kind, frame, lanes);
        played.frame(&mut board, &mut renderer, &view, frame)?;
        // The caches are warm from here on.
        if frame == frames / 4 {
            played = Played::default();
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

/// One value a frame, CPU in nanoseconds.
#[derive(Default)]
struct Played {
    /// Layout, prepare, submit on our thread.
    steps: [Vec<i64>; 3],
    thread: Vec<i64>,
    /// What the library spends on our thread when the frame is waited for, as it is without a window.
    waited: Vec<i64>,
    process: Vec<i64>,
    pixels: Vec<i64>,
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
        let process = cpu_ns(ClockId::ProcessCPUTime);
        let mut marks = [cpu_ns(ClockId::ThreadCPUTime), 0, 0, 0];
        board.frame(Some(view), Link::Live, times);
        marks[1] = cpu_ns(ClockId::ThreadCPUTime);
        let (list, fonts) = board.parts();
        let drawn = renderer.prepare(list, fonts)?;
        marks[2] = cpu_ns(ClockId::ThreadCPUTime);
        renderer.submit(None);
        marks[3] = cpu_ns(ClockId::ThreadCPUTime);
        renderer.wait()?;
        let waited = cpu_ns(ClockId::ThreadCPUTime) - marks[3];
        // The display would have slept over a frame in which nothing differs.
        if drawn.rects > 0 {
            for (step, ns) in self.steps.iter_mut().enumerate() {
                ns.push(marks[step + 1] - marks[step]);
            }
            self.thread.push(marks[3] - marks[0]);
            self.waited.push(waited);
            self.process.push(cpu_ns(ClockId::ProcessCPUTime) - process);
            self.pixels.push(drawn.pixels);
        }
        Ok(())
    }

    fn print(&mut self) {
        let us = |(median, p99): (i64, i64)| format!("{} ({})", median / 1_000, p99 / 1_000);
        let [layout, prepare, submit] = self.steps.each_mut().map(|step| us(median_and_p99(step)));
        println!(
            "  {} frames: {} µs on our thread (layout {layout}, prepare {prepare}, submit {submit}), \
             {} µs more where it waits, {} µs in the whole process, {} pixels",
            self.thread.len(),
            us(median_and_p99(&mut self.thread)),
            us(median_and_p99(&mut self.waited)),
            us(median_and_p99(&mut self.process)),
            median_and_p99(&mut self.pixels).0
        );
    }
}

/// Both 0 if there is nothing.
fn median_and_p99(values: &mut [i64]) -> (i64, i64) {
    values.sort_unstable();
    let at = |hundredths: usize| values.get(values.len() * hundredths / 100).copied().unwrap_or(0);
    (at(50), at(99))
}

fn cpu_ns(clock: ClockId) -> i64 {
    let time = clock_gettime(clock);
    time.tv_sec * 1_000_000_000 + time.tv_nsec
}

/// The peak of the resident set, which the kernel tells in kB; 0 where it does not.
fn most_resident_mb() -> anyhow::Result<u64> {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kb = line.map_or(Ok(0), |text| text.trim().trim_end_matches(" kB").parse::<u64>())?;
    Ok(kb / 1_000)
}
