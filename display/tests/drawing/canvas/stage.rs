//! A renderer with a canvas feed behind it, drawn by the test.

use std::net::SocketAddr;
use std::thread;
use std::time::{Duration, Instant};

use fivemark_display::canvas::{CanvasFeed, CanvasOptions, PATIENCE};
use fivemark_display::excerpt::Excerpt;
use fivemark_display::gpu::damage::PxRect;
use fivemark_display::gpu::{Pixels, Renderer};
use fivemark_display::readback::Readback;
use fivemark_scene::Fonts;
use fivemark_scene::draw::{DrawList, Rgba};

use crate::support::{CLEAR, box_item, fonts, list, plain, rect, renderer};

pub const KEY: &str = "the display's own key";
pub const LOCAL: ([u8; 4], u16) = ([127, 0, 0, 1], 0);
/// Enough for a loaded machine of two cores; nothing is measured with it.
pub const LONG: Duration = Duration::from_secs(60);

pub struct Stage {
    pub feed: CanvasFeed,
    pub renderer: Renderer,
    pub readback: Readback,
    /// Where the picture is painted at all.
    pub extent: PxRect,
    fonts: Fonts,
}

impl Stage {
    pub fn new(size: [u32; 2]) -> Self {
        Self::with(size, Some(KEY), PATIENCE)
    }

    pub fn with(size: [u32; 2], access_key: Option<&str>, patience: Duration) -> Self {
        Self::showing(size, Excerpt::default(), access_key, patience)
    }

    /// Pages see this of the picture.
    pub fn showing(size: [u32; 2], excerpt: Excerpt, access_key: Option<&str>, patience: Duration) -> Self {
        let options = CanvasOptions { address: SocketAddr::from(LOCAL), access_key, size, excerpt, patience };
        let feed = CanvasFeed::start(options, || ()).expect("a free port");
        let mut readback = Readback::default();
        readback.add(feed.tap());
        let extent = PxRect { left: 0, top: 0, right: i32::MAX, bottom: i32::MAX };
        Self { feed, renderer: renderer(size), readback, extent, fonts: fonts() }
    }

    /// Draws a frame and hands it over.
    pub fn show(&mut self, list: &DrawList) {
        self.draw(list);
        self.settle();
    }

    /// Draws a frame as the program does, without a wait for anybody. Gives whether a copy of it is under way.
    fn draw(&mut self, list: &DrawList) -> bool {
        self.renderer.draw(list, self.fonts.system_mut()).expect("a frame");
        self.readback.drawn(&self.renderer);
        self.readback.step(&self.renderer, self.extent)
    }

    /// Draws a frame, and gives whether it was copied for anybody.
    pub fn is_read_back(&mut self, list: &DrawList) -> bool {
        let copied = self.draw(list);
        self.settle();
        copied
    }

    /// Until nothing is on its way out of the card.
    #[track_caller]
    pub fn settle(&mut self) {
        let until = Instant::now() + LONG;
        while self.readback.step(&self.renderer, self.extent) {
            assert!(Instant::now() < until, "the pixels do not come out of the card");
            thread::sleep(Duration::from_millis(1));
        }
    }

    /// What the canvas shows, straight: worked out here from the rule, and not by the code under test.
    pub fn straight(&self) -> Pixels {
        let mut pixels = self.renderer.pixels().expect("its pixels");
        for pixel in pixels.rgba.chunks_exact_mut(4) {
            let alpha = f64::from(pixel[3]);
            for channel in &mut pixel[..3] {
                let value = if alpha > 0.0 { f64::from(*channel) * 255.0 / alpha } else { 0.0 };
                *channel = (value + 0.5).floor().min(255.0) as u8;
            }
        }
        pixels
    }
}

/// Boxes with colours and alpha that depend on `number`, at places that overlap; some stand still.
pub fn scene(size: [u32; 2], number: u32) -> DrawList {
    let [width, height] = size.map(|side| side as f32);
    let mut items = vec![box_item(0, plain(rect(0.0, 0.0, width / 3.0, height), Rgba([40, 90, 160, 77])))];
    for key in 1..=12u32 {
        let moves = key % 3 != 0;
        let phase = if moves { number * (key + 2) } else { key * 11 };
        let (x, y) = ((phase * 13 + key * 17) % size[0], (phase * 7 + key * 23) % size[1]);
        let channel = |step: u32| (phase.wrapping_mul(step) % 256) as u8;
        let color = Rgba([channel(31), channel(57), channel(91), channel(43)]);
        items.push(box_item(u64::from(key), plain(rect(x as f32, y as f32, 30.5, 17.0), color)));
    }
    DrawList { size, ..list(CLEAR, items) }
}
