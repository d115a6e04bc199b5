//! Raw frames as a reader gets them: every order of bytes, fill and key, readers that are slow, gone and back again,
//! and what a mixer makes of half-transparent patches.

use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use fivemark_display::clock::MonoClock;
use fivemark_display::excerpt::{Excerpt, Show, Turn};
use fivemark_display::frames::{FrameFigures, Frames};
use fivemark_display::gpu::damage::PxRect;
use fivemark_display::gpu::{Pixels, Renderer};
use fivemark_display::plan::{Alpha, Fps, FramesPlan, Output, Pipe, PixelOrder, To};
use fivemark_display::readback::Readback;
use fivemark_scene::draw::{DrawList, Rgba};

use crate::canvas::{LONG, scene};
use crate::support::{CLEAR, Over, SIZE, box_item, fonts, list, plain, rect, renderer, source_over};

/// A picture whose frames go into a pipe, drawn by the test.
struct Play {
    renderer: Renderer,
    readback: Readback,
    frames: Frames,
    pipe: PathBuf,
    size: [u32; 2],
    _folder: tempfile::TempDir,
}

impl Play {
    fn new(excerpt: Excerpt, pixels: PixelOrder, alpha: Alpha) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let pipe = folder.path().join("frames");
        let plan = FramesPlan { pipe: Pipe::Named(pipe.clone()), pixels, alpha };
        let to = To::Frames(plan.clone());
        let fps = Fps::new(100, 1).expect("a rate");
        let output = Output { name: "raw".into(), picture: 0, excerpt, fps, to };
        let frames = Frames::start(&output, &plan, MonoClock::start(), || ()).expect("a pipe");
        let mut readback = Readback::default();
        readback.add(frames.tap());
        let size = excerpt.of(SIZE).size();
        Self { renderer: renderer(SIZE), readback, frames, pipe, size, _folder: folder }
    }

    fn show(&mut self, list: &DrawList) {
        self.renderer.draw(list, fonts().system_mut()).expect("a frame");
        self.readback.drawn(&self.renderer);
        self.step();
    }

    fn step(&mut self) {
        self.readback.step(&self.renderer, PxRect::of_size(SIZE));
    }

    fn bytes(&self) -> usize {
        (self.size[0] * self.size[1] * 4) as usize
    }

    /// A reader that reads so many frames and hands them over with its end of the pipe.
    fn reader(&self, frames: usize) -> thread::JoinHandle<(File, Vec<Vec<u8>>)> {
        let (pipe, bytes) = (self.pipe.clone(), self.bytes());
        thread::spawn(move || {
            let mut file = File::open(pipe).expect("the pipe");
            let frames = (0..frames).map(|_| read(&mut file, bytes)).collect();
            (file, frames)
        })
    }

    /// Plays until somebody is done.
    #[track_caller]
    fn until<T>(&mut self, mut done: impl FnMut(&mut Self) -> Option<T>) -> T {
        let until = Instant::now() + LONG;
        loop {
            self.step();
            if let Some(found) = done(self) {
                return found;
            }
            assert!(Instant::now() < until, "not in time");
            thread::sleep(Duration::from_millis(1));
        }
    }

    fn wait_for<T>(&mut self, reader: thread::JoinHandle<T>) -> T {
        self.until(|_| reader.is_finished().then_some(()));
        reader.join().expect("a reader")
    }

    fn figures(&self) -> FrameFigures {
        self.frames.figures()
    }
}

fn read(file: &mut File, bytes: usize) -> Vec<u8> {
    let mut frame = vec![0; bytes];
    file.read_exact(&mut frame).expect("a frame");
    frame
}

/// What a frame should be, worked out here from the canvas by the rule.
fn expected(canvas: &Pixels, pixels: PixelOrder, alpha: Alpha) -> Vec<u8> {
    let one = |pixel: &[u8]| {
        let opacity = f64::from(pixel[3]);
        let straight = |channel: u8| {
            let value = if opacity > 0.0 { f64::from(channel) * 255.0 / opacity } else { 0.0 };
            (value + 0.5).floor().min(255.0) as u8
        };
        let [red, green, blue] = [pixel[0], pixel[1], pixel[2]].map(|channel| match alpha {
            Alpha::Straight => straight(channel),
            Alpha::Premultiplied => channel,
        });
        match pixels {
            PixelOrder::Rgba => [red, green, blue, pixel[3]],
            PixelOrder::Bgra => [blue, green, red, pixel[3]],
        }
    };
    canvas.rgba.chunks_exact(4).flat_map(one).collect()
}

#[test]
fn every_order_of_bytes_and_kind_of_alpha_is_sent_bit_for_bit() {
    for pixels in [PixelOrder::Rgba, PixelOrder::Bgra] {
        for alpha in [Alpha::Straight, Alpha::Premultiplied] {
            let mut play = Play::new(Excerpt::default(), pixels, alpha);
            let reader = play.reader(5);
            play.show(&scene(SIZE, 3));
            let (mut file, frames) = play.wait_for(reader);
            let still = expected(&play.renderer.pixels().expect("pixels"), pixels, alpha);
            assert!(frames.iter().all(|frame| *frame == still), "{pixels:?} {alpha:?}");
            assert_eq!(play.figures().drawn, 1, "what stands is sent again without being drawn");
            // What changes is changed in what is sent.
            play.show(&scene(SIZE, 4));
            let moved = expected(&play.renderer.pixels().expect("pixels"), pixels, alpha);
            let bytes = play.bytes();
            play.until(|_| (read(&mut file, bytes) == moved).then_some(()));
        }
    }
}

#[test]
fn a_turned_part_is_sent_as_fill_and_as_key() {
    let part = PxRect { left: 10, top: 5, right: 210, bottom: 125 };
    for show in [Show::Fill, Show::Key] {
        let excerpt = Excerpt { part: Some(part), turn: Turn::ThreeQuarters, show };
        let mut play = Play::new(excerpt, PixelOrder::Rgba, Alpha::Straight);
        assert_eq!(play.size, [120, 200]);
        let reader = play.reader(1);
        play.show(&scene(SIZE, 9));
        let (_, frames) = play.wait_for(reader);
        let canvas = play.renderer.pixels().expect("pixels");
        for (at, pixel) in frames[0].chunks_exact(4).enumerate() {
            let (x, y) = (at as u32 % 120, at as u32 / 120);
            // Turned so that the part's top is at the left: its right column is the top row.
            let [red, green, blue, alpha] = canvas.at(209 - y, 5 + x);
            let wanted =
                if show == Show::Fill { [red, green, blue, 255] } else { [alpha, alpha, alpha, 255] };
            assert_eq!(pixel, wanted, "{show:?} at {x}, {y}");
        }
    }
}

#[test]
fn a_slow_reader_loses_frames_and_holds_up_nobody() {
    let mut play = Play::new(Excerpt::default(), PixelOrder::Rgba, Alpha::Premultiplied);
    let reader = play.reader(1);
    play.show(&scene(SIZE, 0));
    let (mut file, _) = play.wait_for(reader);
    // It does not read for a while; the picture goes on, and what is drawn is still taken in.
    let stopped = Instant::now();
    let mut number = 1;
    while stopped.elapsed() < Duration::from_millis(900) {
        play.show(&scene(SIZE, number));
        number += 1;
        thread::sleep(Duration::from_millis(2));
    }
    let before = play.figures();
    assert!(before.drawn > 20, "{before}");
    let last = play.renderer.pixels().expect("pixels").rgba;
    let bytes = play.bytes();
    play.until(|_| (read(&mut file, bytes) == last).then_some(()));
    play.until(|play| {
        read(&mut file, bytes);
        (play.figures().dropped > 20).then_some(())
    });
    let sent = play.figures().sent;
    assert!(sent < 90, "a second's frames were not kept for it: {sent}");
}

#[test]
fn a_reader_that_goes_is_followed_by_the_next_and_the_pipe_goes_with_the_program() {
    let mut play = Play::new(Excerpt::default(), PixelOrder::Rgba, Alpha::Premultiplied);
    for number in 0..3 {
        play.show(&scene(SIZE, number));
        let reader = play.reader(2);
        let (file, frames) = play.wait_for(reader);
        let now = play.renderer.pixels().expect("pixels").rgba;
        assert!(frames.iter().all(|frame| *frame == now), "reader {number} gets whole frames of now");
        drop(file);
        // What is drawn while nobody reads is not lost for the next one.
        play.show(&scene(SIZE, number + 50));
        let sent = play.figures().sent;
        thread::sleep(Duration::from_millis(150));
        play.step();
        assert!(play.figures().sent <= sent + 10, "nothing is sent to nobody");
    }
    let pipe = play.pipe.clone();
    assert!(pipe.exists());
    drop(play.frames);
    assert!(!pipe.exists(), "the pipe that was made is taken away again");
}

#[test]
fn a_reader_that_reads_no_more_keeps_neither_the_program_nor_the_pipe() {
    let mut play = Play::new(Excerpt::default(), PixelOrder::Rgba, Alpha::Premultiplied);
    let reader = play.reader(1);
    play.show(&scene(SIZE, 0));
    let (_file, _) = play.wait_for(reader);
    // Once nothing has been sent for a while, the pipe is full and a write is under way.
    let full = 4 * 1024 * 1024 / play.bytes();
    let mut sent = (0, Instant::now());
    play.until(|play| {
        if play.figures().sent != sent.0 {
            sent = (play.figures().sent, Instant::now());
        }
        assert!(sent.0 < full as u64, "the pipe never fills");
        (sent.1.elapsed() > Duration::from_millis(300)).then_some(())
    });
    let pipe = play.pipe.clone();
    drop(play.frames);
    assert!(!pipe.exists());
}

#[test]
fn the_last_picture_is_sent_however_soon_the_end_comes_after_it() {
    for number in 0..8 {
        let mut play = Play::new(Excerpt::default(), PixelOrder::Rgba, Alpha::Premultiplied);
        let reader = play.reader(1);
        play.show(&scene(SIZE, number));
        let (mut file, _) = play.wait_for(reader);
        play.show(&scene(SIZE, number + 1));
        while play.readback.step(&play.renderer, PxRect::of_size(SIZE)) {
            thread::sleep(Duration::from_millis(1));
        }
        let last = play.renderer.pixels().expect("pixels").rgba;
        drop(play.frames);
        let mut rest = Vec::new();
        file.read_to_end(&mut rest).expect("the rest");
        assert!(rest.ends_with(&last), "the last frame is the last picture");
    }
}

#[test]
fn a_file_is_no_pipe() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("movie.rgba");
    std::fs::write(&path, "mine").expect("a file");
    let plan =
        FramesPlan { pipe: Pipe::Named(path.clone()), pixels: PixelOrder::Rgba, alpha: Alpha::Straight };
    let to = To::Frames(plan.clone());
    let output = Output { name: "raw".into(), picture: 0, excerpt: Excerpt::default(), fps: Fps::USUAL, to };
    let error = Frames::start(&output, &plan, MonoClock::start(), || ()).map(|_| ()).expect_err("a file");
    assert!(error.to_string().contains("movie.rgba is not a pipe"), "{error}");
    assert_eq!(std::fs::read_to_string(&path).expect("the file"), "mine");
}

/// What the table has over an opaque picture, as a camera's is.
fn over_a_camera() -> impl Iterator<Item = (u32, Over)> {
    (0..).zip(source_over().into_iter().filter(|case| case.backdrop[3] == 255))
}

/// One step for the canvas, which keeps multiplied colours in eight bits, and one for the mixer.
const TOLERANCE: u8 = 2;
const PATCH_PX: u32 = 16;

fn patches() -> DrawList {
    let items = over_a_camera().map(|(at, case)| {
        let area = rect((at * PATCH_PX) as f32, 0.0, PATCH_PX as f32, SIZE[1] as f32);
        box_item(u64::from(at), plain(area, Rgba(case.source)))
    });
    list(CLEAR, items.collect())
}

/// A still of a camera that sees the backdrops.
fn camera(folder: &Path) -> PathBuf {
    let backdrops: Vec<[u8; 4]> = over_a_camera().map(|(_, case)| case.backdrop).collect();
    let mut bytes = Vec::new();
    for _ in 0..SIZE[1] {
        for x in 0..SIZE[0] {
            let seen = backdrops.get((x / PATCH_PX) as usize).unwrap_or(&[90, 90, 90, 255]);
            bytes.extend_from_slice(&seen[..3]);
        }
    }
    let path = folder.join("camera.rgb");
    File::create(&path).and_then(|mut file| file.write_all(&bytes)).expect("a file");
    path
}

/// Has ffmpeg mix one frame: the camera first, then the raw inputs.
fn mixed(camera: &Path, inputs: &[Vec<u8>], folder: &Path, filter: &str) -> Vec<u8> {
    let size = format!("{}x{}", SIZE[0], SIZE[1]);
    let mut command = Command::new("ffmpeg");
    command.args(["-v", "error", "-f", "rawvideo", "-pixel_format", "rgb24", "-video_size", &size, "-i"]);
    command.arg(camera);
    for (frame, at) in inputs.iter().zip(0..) {
        let file = folder.join(format!("input-{at}.rgba"));
        std::fs::write(&file, frame).expect("a file");
        command.args(["-f", "rawvideo", "-pixel_format", "rgba", "-video_size", &size, "-i"]).arg(file);
    }
    command.args(["-filter_complex", filter, "-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "rgb24", "-"]);
    let output = command
        .stdin(Stdio::null())
        .stderr(Stdio::inherit())
        .output()
        .expect("ffmpeg; tests/run installs it");
    assert!(output.status.success(), "{filter}");
    output.stdout
}

#[track_caller]
fn is_source_over(mixed: &[u8], what: &str) {
    assert_eq!(mixed.len(), (SIZE[0] * SIZE[1] * 3) as usize);
    for (at, case) in over_a_camera() {
        let (x, y) = (at * PATCH_PX + PATCH_PX / 2, 80);
        let found = &mixed[((y * SIZE[0] + x) * 3) as usize..][..3];
        let near = found.iter().zip(case.over).all(|(found, wanted)| found.abs_diff(wanted) <= TOLERANCE);
        assert!(near, "{what}: {case:?} is {found:?}");
    }
}

#[test]
fn half_transparent_patches_are_source_over_in_a_mixer_whichever_way_they_come() {
    let folder = tempfile::tempdir().expect("a folder");
    let camera = camera(folder.path());
    let one = |show, alpha| {
        let excerpt = Excerpt { show, ..Excerpt::default() };
        let mut play = Play::new(excerpt, PixelOrder::Rgba, alpha);
        let reader = play.reader(1);
        play.show(&patches());
        play.wait_for(reader).1.remove(0)
    };
    for (alpha, word) in [(Alpha::Straight, "straight"), (Alpha::Premultiplied, "premultiplied")] {
        let filter = format!("[0][1]overlay=format=rgb:alpha={word}");
        let mixed = mixed(&camera, &[one(Show::Picture, alpha)], folder.path(), &filter);
        is_source_over(&mixed, word);
    }
    let fill_and_key = [one(Show::Fill, Alpha::Straight), one(Show::Key, Alpha::Straight)];
    let filter = "[0]format=gbrp[camera];[1]format=gbrp[fill];[2]format=gbrp,negate[hole];\
                  [camera][hole]blend=all_mode=multiply[dimmed];[dimmed][fill]blend=all_mode=addition";
    is_source_over(&mixed(&camera, &fill_and_key, folder.path(), filter), "fill and key");
}
