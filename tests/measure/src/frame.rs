//! What a frame costs the processor: a board of 20 lanes on which every count changes, drawn into the canvas. The
//! copy to a window or a file is not in it.

use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::{Board, Link, Motion, Screen, Times, View};
use rustix::time::{ClockId, clock_gettime};

use crate::machine::Machine;
use crate::report::{Figure, Goal};
use crate::samples::Samples;

#[path = "../../../display/tests/program/heat.rs"]
pub mod heat;

/// Full HD.
pub const HD: [u32; 2] = [1920, 1080];
/// Lanes of the measured board.
pub const LANES: u8 = 20;

const NAME: &str = "frame";
const FRAMES: u32 = 300;
/// Frames until shapes, digits and buffers are cached.
const WARM_UP: u32 = 100;
const FRAME_US: i64 = 16_667;

/// Measures.
///
/// # Errors
/// Nothing can be drawn.
pub fn measure(machine: &mut Machine) -> anyhow::Result<Vec<Figure>> {
    let changed = play(HD, Redraw::Changed)?;
    let all = play(HD, Redraw::All)?;
    machine.adapter = changed.adapter;
    let figure = |what: &str, samples: &Samples, goal| Figure::of(NAME, what, "ms", samples, goal);
    Ok(vec![
        figure("display thread's CPU per frame, 20 lanes, 1920×1080", &changed.thread, Goal::Median(0.35)),
        figure("of that, layout and shaping", &changed.steps[0], Goal::Yardstick),
        figure("of that, comparing and uploading", &changed.steps[1], Goal::Yardstick),
        figure("of that, encoding and submitting", &changed.steps[2], Goal::Yardstick),
        figure("whole process's CPU per frame", &changed.process, Goal::Median(8.0)),
        figure("whole process's CPU per frame, redrawing all", &all.process, Goal::Yardstick),
    ])
}

/// How much of the canvas a frame paints.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Redraw {
    /// What differs from the frame before.
    Changed,
    /// Everything.
    All,
}

/// A moment of the measured heat, by its frame.
pub fn times(frame: u32) -> Times {
    let frame_us = i64::from(frame) * FRAME_US;
    Times { feed_us: 61_000_000 + frame_us, frame_us, speed_milli: 1_000 }
}

/// A heat on which every lane counts and changes its place in every frame.
pub struct Busy {
    view: View,
    frame: u32,
}

impl Busy {
    /// Before its first frame.
    pub fn new() -> Self {
        Self { view: View::new(heat::snapshot(LANES)), frame: 0 }
    }

    /// Goes on by one frame.
    pub fn next(&mut self) -> (&View, Times) {
        self.frame += 1;
        for lane in 1..=LANES {
            let done = (self.frame + u32::from(lane)) % 84;
            let place = ((u32::from(lane) + self.frame) % u32::from(LANES)) as u8 + 1;
            self.view.snapshot.lanes[usize::from(lane) - 1] = heat::count(lane, done);
            self.view.snapshot.order[usize::from(lane) - 1] = heat::row(lane, place);
        }
        (&self.view, times(self.frame))
    }
}

/// A board and its renderer.
pub struct Stage {
    /// Lays out.
    pub board: Board,
    /// Paints.
    pub renderer: Renderer,
}

impl Stage {
    /// With the dark theme; motion is reduced, so that every frame is as busy as the others.
    ///
    /// # Errors
    /// Nothing can be drawn.
    pub fn new(size: [u32; 2]) -> anyhow::Result<Self> {
        let theme = fivemark_themes::find("dark").map_err(|faults| anyhow::anyhow!("{faults:?}"))?;
        let renderer = Renderer::new(Gpu::open()?, size)?;
        Ok(Self { board: Board::new(Rc::new(theme), size, Motion::Reduced), renderer })
    }
}

struct Played {
    thread: Samples,
    /// Layout, prepare, submit.
    steps: [Samples; 3],
    process: Samples,
    adapter: String,
}

fn play(size: [u32; 2], redraw: Redraw) -> anyhow::Result<Played> {
    let Stage { mut board, mut renderer } = Stage::new(size)?;
    let mut busy = Busy::new();
    let mut played = Played {
        thread: Samples::default(),
        steps: Default::default(),
        process: Samples::default(),
        adapter: renderer.gpu().name.clone(),
    };
    for frame in 0..WARM_UP + FRAMES {
        let (view, times) = busy.next();
        if redraw == Redraw::All {
            renderer.repaint();
        }
        let process = cpu_ms(ClockId::ProcessCPUTime);
        let mut marks = [cpu_ms(ClockId::ThreadCPUTime); 4];
        board.frame(Some(view), Link::Live, times);
        marks[1] = cpu_ms(ClockId::ThreadCPUTime);
        let (list, fonts) = board.parts();
        let drawn = renderer.prepare(list, fonts)?;
        marks[2] = cpu_ms(ClockId::ThreadCPUTime);
        renderer.submit(None);
        marks[3] = cpu_ms(ClockId::ThreadCPUTime);
        renderer.wait()?;
        anyhow::ensure!(drawn.rects > 0, "frame {frame} changed nothing");
        if frame >= WARM_UP {
            played.process.push(cpu_ms(ClockId::ProcessCPUTime) - process);
            played.thread.push(marks[3] - marks[0]);
            for (step, samples) in played.steps.iter_mut().enumerate() {
                samples.push(marks[step + 1] - marks[step]);
            }
        }
    }
    Ok(played)
}

fn cpu_ms(clock: ClockId) -> f64 {
    let time = clock_gettime(clock);
    time.tv_sec as f64 * 1e3 + time.tv_nsec as f64 / 1e6
}
