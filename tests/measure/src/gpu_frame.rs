//! A frame's time on the GPU, by the GPU's own clock, and on our thread beside it.

use anyhow::Context;
use fivemark_display::gpu::TIMESTAMPS;
use fivemark_scene::Screen;
use rustix::time::{ClockId, clock_gettime};
use wgpu::{
    BufferDescriptor, BufferUsages, CommandEncoderDescriptor, MapMode, PollType, QuerySetDescriptor,
    QueryType,
};

use crate::frame::{Busy, HD, Redraw, Stage};
use crate::machine::Machine;
use crate::report::{Figure, Goal};
use crate::samples::Samples;

const NAME: &str = "gpu";
/// 4K.
const UHD: [u32; 2] = [3840, 2160];
/// The other layouts, each with as many pixels as 4K.
const OTHERS: [(&str, [u32; 2]); 3] = [
    ("tower of 2160×3840", [2160, 3840]),
    ("strip of 7680×1080", [7680, 1080]),
    ("square of 2880×2880", [2880, 2880]),
];
const FRAMES: u32 = 300;
const WARM_UP: u32 = 100;
/// Bytes of a time stamp.
const STAMP_BYTES: u64 = 8;

/// Measures.
///
/// # Errors
/// The adapter has no clock of its own, or nothing can be drawn.
pub fn measure(machine: &mut Machine) -> anyhow::Result<Vec<Figure>> {
    let figure = |what: &str, samples: &Samples, goal| Figure::of(NAME, what, "ms", samples, goal);
    let changed = play(UHD, Redraw::Changed, machine)?;
    let all = play(UHD, Redraw::All, machine)?;
    let small = play(HD, Redraw::Changed, machine)?;
    let mut figures = vec![
        figure("GPU time of a frame, 20 lanes, 3840×2160", &changed.gpu, Goal::Median(0.5)),
        figure("GPU time of a frame, redrawing all, 3840×2160", &all.gpu, Goal::Yardstick),
        figure("GPU time of a frame, 1920×1080", &small.gpu, Goal::Yardstick),
        figure("display thread's CPU per frame, 3840×2160", &changed.thread, Goal::Median(0.35)),
        figure("display thread's CPU per frame, 1920×1080", &small.thread, Goal::Median(0.35)),
    ];
    for (name, size) in OTHERS {
        let played = play(size, Redraw::Changed, machine)?;
        figures.push(figure(&format!("GPU time of a frame, {name}"), &played.gpu, Goal::Median(0.5)));
        figures.push(figure(
            &format!("display thread's CPU per frame, {name}"),
            &played.thread,
            Goal::Median(0.35),
        ));
    }
    Ok(figures)
}

#[derive(Default)]
struct Played {
    gpu: Samples,
    thread: Samples,
}

fn play(size: [u32; 2], redraw: Redraw, machine: &mut Machine) -> anyhow::Result<Played> {
    let Stage { mut board, mut renderer } = Stage::new(size)?;
    machine.adapter = renderer.gpu().name.clone();
    let (device, queue) = (renderer.gpu().device.clone(), renderer.gpu().queue.clone());
    anyhow::ensure!(
        device.features().contains(TIMESTAMPS),
        "{} has no clock that a frame could be timed with",
        machine.adapter
    );
    let stamps =
        device.create_query_set(&QuerySetDescriptor { label: None, ty: QueryType::Timestamp, count: 2 });
    let buffer = |usage| {
        device.create_buffer(&BufferDescriptor {
            label: None,
            size: 2 * STAMP_BYTES,
            usage,
            mapped_at_creation: false,
        })
    };
    let resolved = buffer(BufferUsages::QUERY_RESOLVE | BufferUsages::COPY_SRC);
    let readable = buffer(BufferUsages::MAP_READ | BufferUsages::COPY_DST);
    let tick_ns = f64::from(queue.get_timestamp_period());
    let mut busy = Busy::new();
    let mut played = Played::default();
    for frame in 0..WARM_UP + FRAMES {
        let (view, times) = busy.next();
        if redraw == Redraw::All {
            renderer.repaint();
        }
        let began = thread_ms();
        board.frame(Some(view), fivemark_scene::Link::Live, times);
        let (list, fonts) = board.parts();
        renderer.prepare(list, fonts)?;
        let mut encoder = device.create_command_encoder(&CommandEncoderDescriptor::default());
        encoder.write_timestamp(&stamps, 0);
        renderer.record(&mut encoder);
        encoder.write_timestamp(&stamps, 1);
        encoder.resolve_query_set(&stamps, 0..2, &resolved, 0);
        encoder.copy_buffer_to_buffer(&resolved, 0, &readable, 0, Some(2 * STAMP_BYTES));
        queue.submit([encoder.finish()]);
        let thread = thread_ms() - began;

        readable.map_async(MapMode::Read, .., |_| {});
        device.poll(PollType::wait_indefinitely())?;
        let ticks = {
            let mapped = readable.get_mapped_range(..)?;
            let stamp = |at: usize| -> anyhow::Result<u64> {
                let bytes = mapped.get(at..at + 8).context("the stamps are too short")?;
                Ok(u64::from_le_bytes(bytes.try_into()?))
            };
            stamp(8)?.saturating_sub(stamp(0)?)
        };
        readable.unmap();
        if frame >= WARM_UP {
            played.gpu.push(ticks as f64 * tick_ns / 1e6);
            played.thread.push(thread);
        }
    }
    Ok(played)
}

fn thread_ms() -> f64 {
    let time = clock_gettime(ClockId::ThreadCPUTime);
    time.tv_sec as f64 * 1e3 + time.tv_nsec as f64 / 1e6
}
