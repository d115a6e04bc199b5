//! What a page has after each frame, and what it costs.

use fivemark_display::canvas::PATIENCE;
use fivemark_display::excerpt::{Excerpt, Show, Turn};
use fivemark_display::gpu::damage::PxRect;
use fivemark_display::gpu::{Pixels, Renderer};
use fivemark_scene::draw::DrawList;

use super::page::Page;
use super::stage::{KEY, Stage, scene};
use crate::support::{SIZE, box_item, gpu, list, plain, rect};
use fivemark_scene::draw::Rgba;

#[test]
fn a_page_shows_the_canvas_pixel_by_pixel_with_its_alpha() {
    let mut stage = Stage::new(SIZE);
    let mut page = Page::join(stage.feed.address(), Some(KEY));
    for number in 0..40 {
        stage.show(&scene(SIZE, number));
        let told = page.frame();
        assert_eq!((told.number, told.whole), (u64::from(number) + 1, number == 0));
        assert_eq!(page.pixels, stage.straight(), "frame {number}");
    }
    let alphas: std::collections::BTreeSet<u8> =
        page.pixels.rgba.chunks_exact(4).map(|pixel| pixel[3]).collect();
    assert!(alphas.contains(&0) && alphas.len() > 10, "the scene has every kind of alpha: {alphas:?}");
}

#[test]
fn only_what_changed_is_sent() {
    let mut stage = Stage::new(SIZE);
    let mut page = Page::join(stage.feed.address(), Some(KEY));
    let with = |x: f32, color: Rgba| -> DrawList {
        let ground = box_item(0, plain(rect(0.0, 0.0, 240.0, 160.0), Rgba([9, 20, 30, 255])));
        list(Rgba([0; 4]), vec![ground, box_item(1, plain(rect(x, 40.0, 10.0, 12.0), color))])
    };
    stage.show(&with(20.0, Rgba([255, 0, 0, 255])));
    assert_eq!(page.frame().area, 240 * 160);
    stage.show(&with(20.0, Rgba([0, 255, 0, 255])));
    let told = page.frame();
    assert_eq!((told.whole, told.area), (false, 120), "{told:?}");
    assert!(told.bytes < 200, "{told:?}");
    // Repainted, but the same pixels: no frame at all.
    stage.renderer.repaint();
    stage.show(&with(20.0, Rgba([0, 255, 0, 255])));
    stage.show(&with(21.0, Rgba([0, 255, 0, 255])));
    let told = page.frame();
    assert_eq!((told.number, told.area), (3, 132), "what was left and what was reached: {told:?}");
    assert_eq!(page.pixels, stage.straight());
}

#[test]
fn a_slow_page_skips_frames_and_lacks_nothing() {
    let mut stage = Stage::new(SIZE);
    let (mut slow, mut quick) =
        (Page::join(stage.feed.address(), Some(KEY)), Page::join(stage.feed.address(), Some(KEY)));
    stage.show(&scene(SIZE, 0));
    slow.take_frame();
    quick.frame();
    for number in 1..30 {
        stage.show(&scene(SIZE, number));
        assert_eq!(quick.frame().number, u64::from(number) + 1);
    }
    assert_eq!(slow.number, 1);
    slow.confirm();
    let told = slow.frame();
    assert_eq!((told.number, told.whole), (30, false));
    assert_eq!(slow.pixels, stage.straight());
    assert_eq!(quick.pixels, slow.pixels);
}

#[test]
fn pages_at_the_same_frame_share_one_encoding() {
    let mut stage = Stage::new(SIZE);
    let mut pages: Vec<Page> = (0..20).map(|_| Page::join(stage.feed.address(), Some(KEY))).collect();
    for number in 0..5 {
        stage.show(&scene(SIZE, number));
        for page in &mut pages {
            page.frame();
        }
    }
    let figures = stage.feed.figures();
    assert_eq!((figures.frames, figures.wholes.count, figures.changes.count), (5, 1, 4), "{figures}");
    assert!(figures.changes.bytes_median > 32 && figures.wholes.bytes_p99 > 32, "{figures}");
    assert!(pages.iter().all(|page| page.pixels == stage.straight()));
}

#[test]
fn nothing_is_read_back_for_nobody() {
    let mut stage = Stage::new(SIZE);
    stage.show(&scene(SIZE, 0));
    stage.show(&scene(SIZE, 1));
    assert_eq!(stage.feed.figures().frames, 0);
    for round in 1..=3 {
        let mut page = Page::join(stage.feed.address(), Some(KEY));
        stage.settle();
        assert!(page.frame().whole);
        assert_eq!(page.pixels, stage.straight());
        drop(page);
        let left = (100 * round..).take(5_000).find(|number| {
            std::thread::sleep(std::time::Duration::from_millis(2));
            !stage.is_read_back(&scene(SIZE, *number))
        });
        assert!(left.is_some(), "round {round}: that the page has left is not noticed");
        assert!(!stage.is_read_back(&scene(SIZE, 7)), "round {round}");
    }
}

#[test]
fn another_size_and_another_device_start_afresh() {
    let mut stage = Stage::new(SIZE);
    let mut page = Page::join(stage.feed.address(), Some(KEY));
    stage.show(&scene(SIZE, 1));
    page.frame();
    for size in [[301, 77], [64, 200]] {
        stage.show(&scene(size, 2));
        assert!(page.frame().whole);
        assert_eq!((page.pixels.size, &page.pixels), (size, &stage.straight()));
    }
    // As after a lost device.
    stage.renderer = Renderer::new(gpu(), [64, 200]).expect("a canvas");
    stage.readback.restart();
    stage.show(&scene([64, 200], 3));
    page.frame();
    assert_eq!(page.pixels, stage.straight());
}

#[test]
fn only_the_extent_is_sent_and_it_stands_where_it_belongs() {
    let mut stage = Stage::new(SIZE);
    stage.extent = PxRect { left: 20, top: 100, right: 220, bottom: 150 };
    let mut page = Page::join(stage.feed.address(), Some(KEY));
    let ribbon = |x: f32, more: bool| {
        let mut items = vec![box_item(1, plain(rect(x, 104.0, 60.0, 40.0), Rgba([200, 40, 20, 128])))];
        if more {
            items.push(box_item(2, plain(rect(10.0, 10.0, 30.0, 20.0), Rgba([0, 90, 20, 255]))));
        }
        list(Rgba([0; 4]), items)
    };
    stage.show(&ribbon(30.0, false));
    let told = page.frame();
    assert_eq!((told.area, page.at, page.whole_size), (200 * 50, [20, 100], [240, 160]));
    assert_eq!(page.pixels, cut(&stage.straight(), 20, 100, [200, 50]));
    stage.show(&ribbon(32.0, false));
    assert!(page.frame().area < 70 * 40);
    assert_eq!(page.pixels, cut(&stage.straight(), 20, 100, [200, 50]));
    // Something comes elsewhere: the page starts afresh with all of it.
    stage.extent = PxRect { left: 10, top: 10, right: 220, bottom: 150 };
    stage.show(&ribbon(32.0, true));
    let told = page.frame();
    assert!(told.whole);
    assert_eq!((told.area, page.at), (210 * 140, [10, 10]));
    assert_eq!(page.pixels, cut(&stage.straight(), 10, 10, [210, 140]));
    // Nothing is on: one clear pixel.
    stage.extent = PxRect { left: 40, top: 0, right: 40, bottom: 160 };
    stage.show(&list(Rgba([0; 4]), Vec::new()));
    assert!(page.frame().whole);
    assert_eq!((page.pixels.size, page.pixels.at(0, 0)), ([1, 1], [0; 4]));
}

fn cut(pixels: &Pixels, x: u32, y: u32, size: [u32; 2]) -> Pixels {
    let rows = (y..y + size[1]).flat_map(|y| (x..x + size[0]).flat_map(move |x| pixels.at(x, y)));
    Pixels { size, rgba: rows.collect() }
}

#[test]
fn a_page_of_a_turned_part_shows_the_key() {
    let part = PxRect { left: 30, top: 20, right: 130, bottom: 90 };
    let excerpt = Excerpt { part: Some(part), turn: Turn::Quarter, show: Show::Key };
    let mut stage = Stage::showing(SIZE, excerpt, Some(KEY), PATIENCE);
    let mut page = Page::join(stage.feed.address(), Some(KEY));
    for number in 0..4 {
        stage.show(&scene(SIZE, number));
        page.frame();
        let canvas = stage.renderer.pixels().expect("its pixels");
        assert_eq!(page.pixels.size, [70, 100]);
        for (x, y) in (0..70).flat_map(|x| (0..100).map(move |y| (x, y))) {
            // Turned clockwise: the part's bottom row is the left column.
            let alpha = canvas.at(30 + y, 89 - x)[3];
            assert_eq!(page.pixels.at(x, y), [alpha, alpha, alpha, 255], "frame {number} at {x}, {y}");
        }
    }
}
