//! Not one pixel of an overlay outside the graphics-safe area, whatever moves.

use std::rc::Rc;

use fivemark_display::gpu::Renderer;
use fivemark_scene::{Link, Motion, Overlay, Screen, Times, View};
use fivemark_wire::shows::{Duel, OverlayShows};

use crate::heat;
use crate::support::gpu;

/// EBU R 95 and ITU-R BT.1848-1: graphics lie in 90 per cent of the width and of the height.
const FREE_SHARE: f64 = 0.05;

fn has_alpha_outside([width, height]: [u32; 2], rgba: &[u8]) -> Option<(u32, u32)> {
    let free = [width, height].map(|side| f64::from(side) * FREE_SHARE);
    let outside = |at: u32, side: u32, free: f64| {
        f64::from(at) + 0.5 < free || f64::from(at) + 0.5 > f64::from(side) - free
    };
    let pixels = rgba.chunks_exact(4).zip(0..);
    pixels
        .filter(|(pixel, _)| pixel[3] > 0)
        .map(|(_, at)| (at % width, at / width))
        .find(|(x, y)| outside(*x, width, free[0]) || outside(*y, height, free[1]))
}

#[test]
fn no_pixel_outside_the_safe_area_has_alpha() {
    for size in [[640, 360], [360, 640], [480, 360], [641, 363]] {
        let theme = Rc::new(fivemark_themes::find("light").expect("the bundled theme"));
        let mut renderer = Renderer::new(gpu(), size).expect("a small canvas");
        let mut overlay = Overlay::new(theme, size, Motion::Full);
        let mut view = View::new(heat::snapshot(20));
        for lane in 1..=20u8 {
            let done = u32::from(lane) * 4;
            view.snapshot.lanes[usize::from(lane) - 1] = heat::count(lane, done);
            view.snapshot.order[usize::from(lane) - 1] = heat::row(lane, 21 - lane);
        }
        let duel = Some(Duel { left: 20, right: 3 });
        let all = OverlayShows { ribbon: true, rail: true, corner: true, duel, card: false };
        let mut painted = 0;
        for frame in 0..60i64 {
            view.snapshot.shows.overlay = if frame < 40 { all } else { OverlayShows::default() };
            if frame == 20 {
                view.snapshot.order = (1..=20u8).map(|lane| heat::row(lane, lane)).collect();
            }
            let frame_us = frame * 33_000;
            let times = Times { feed_us: 61_000_000 + frame_us, frame_us, speed_milli: 1_000 };
            overlay.frame(Some(&view), Link::Live, times);
            let (list, fonts) = overlay.parts();
            renderer.draw(list, fonts).expect("a frame");
            let pixels = renderer.pixels().expect("its pixels");
            painted += usize::from(pixels.rgba.chunks_exact(4).any(|pixel| pixel[3] > 0));
            assert_eq!(has_alpha_outside(size, &pixels.rgba), None, "{size:?}, frame {frame}");
        }
        assert!((45..60).contains(&painted), "it came and went: {painted} frames");
    }
}
