//! Once it is warm, a frame allocates nothing in our own code: neither where it is laid out, nor where it is compared,
//! gathered and submitted. Calls into the libraries that draw and set text are excluded by guards around them.

use std::rc::Rc;
use std::sync::Arc;

use assert_no_alloc::{AllocDisabler, assert_no_alloc, violation_count};
use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::draw::Picture;
use fivemark_scene::view::RecentNoRep;
use fivemark_scene::{Board, Link, Motion, Overlay, Screen, TestCard, Times, View};
use fivemark_themes::{Backdrop, Lies, Logo};
use fivemark_wire::shows::{Card, Duel, OverlayShows, Program, StandingRow, Standings, Step};
use fivemark_wire::view::{LaneResult, NoRep, Status};

#[path = "../program/heat.rs"]
mod heat;

#[global_allocator]
static COUNTING: AllocDisabler = AllocDisabler;

const LANES: u8 = 20;
const SIZE: [u32; 2] = [1280, 720];
const FRAME_US: i64 = 16_667;
/// After this many frames the heat is as it was; only the clock has gone on.
const CYCLE: u32 = 90;
/// Frames until everything that can be on this board has been on it, and every buffer has been as full as it gets.
const WARM_UP: u32 = 8 * CYCLE;

/// The heat at a frame: every lane counts and changes its place, some are in the last five, one has finished, one
/// was stopped by the cap, and no-reps come and go.
fn change(view: &mut View, frame: u32) {
    let snapshot = &mut view.snapshot;
    for lane in 1..=LANES {
        let at = usize::from(lane) - 1;
        let done = (frame + u32::from(lane) * 4) % 90;
        let place = u8::try_from((u32::from(lane) + frame) % u32::from(LANES)).expect("a place") + 1;
        snapshot.lanes[at] = heat::count(lane, done);
        snapshot.lanes[at].ruled = lane == 5;
        snapshot.order[at] = heat::row(lane, place);
        snapshot.order[at].gap_units = Some(u32::from(place) - 1);
    }
    let result = |text: &str| {
        Some(LaneResult { text: text.into(), official_ms: None, penalty_ms: None, credit_ms: None })
    };
    (snapshot.lanes[2].status, snapshot.lanes[2].result) = (Status::Finished, result("5:08.4"));
    (snapshot.lanes[3].status, snapshot.lanes[3].result) = (Status::Capped, result("87 of 90"));
    snapshot.heat.first_on_floor = u8::try_from(frame / 7 % 20).expect("a lane") + 1;
    snapshot.number = 10 + u64::from(frame);
    view.no_reps.clear();
    let no_rep = NoRep { lane: 8, fault: "depth".into(), partial: false, at_ms: 61_000 };
    view.no_reps.push_back(RecentNoRep { number: 10 + u64::from(frame), no_rep });
}

#[test]
fn a_warm_frame_allocates_nothing_of_ours() {
    for motion in [Motion::Full, Motion::Reduced] {
        let theme = || Rc::new(fivemark_themes::find("dark").expect("the bundled theme"));
        warm(&mut Board::new(theme(), SIZE, motion), SIZE, "board", motion, heats_board());
        warm(&mut Overlay::new(theme(), SIZE, motion), SIZE, "overlay", motion, heats_board());
        warm(&mut Board::new(theme(), SIZE, motion), SIZE, "cards", motion, cards());
    }
}

/// The same of boards of other shapes, and of the test card.
#[test]
fn a_warm_frame_of_any_shape_allocates_nothing_of_ours() {
    let theme = || Rc::new(fivemark_themes::find("dark").expect("the bundled theme"));
    for (size, name) in [([360, 640], "tall board"), ([1280, 128], "strip")] {
        warm(&mut Board::new(theme(), size, Motion::Full), size, name, Motion::Full, heats_board());
    }
    warm(&mut TestCard::new(theme(), SIZE), SIZE, "test card", Motion::Full, heats_board());
}

/// The same with pictures: a logo, and one behind everything.
#[test]
fn a_warm_frame_with_pictures_allocates_nothing_of_ours() {
    let picture = |size: [u32; 2]| {
        let pixels = usize::try_from(size[0] * size[1]).expect("a small picture");
        Arc::new(Picture::new(size, [9, 9, 12, 255].repeat(pixels)).expect("as many pixels as it says"))
    };
    let mut theme = fivemark_themes::find("dark").expect("the bundled theme");
    theme.logo = Some(Logo { name: "mark.png".into(), picture: picture([64, 32]), height: 90, width: 180 });
    let (lies, picture) = (Lies::Tile { height: 100 }, picture([320, 180]));
    theme.backdrop = Some(Backdrop { name: "hall.png".into(), picture, lies, opacity: 800 });
    let theme = Rc::new(theme);
    let full = Motion::Full;
    warm(&mut Board::new(Rc::clone(&theme), SIZE, full), SIZE, "pictures, board", full, heats_board());
    warm(&mut Board::new(Rc::clone(&theme), SIZE, full), SIZE, "pictures, cards", full, cards());
    warm(&mut Overlay::new(theme, SIZE, full), SIZE, "pictures, overlay", full, heats_board());
}

/// The heat's board and nothing else.
fn heats_board() -> Program {
    Program::default()
}

/// A running order of cards, shorter than the warm-up.
fn cards() -> Program {
    let person = |place: u16| StandingRow {
        place,
        bib: place.to_string(),
        name: format!("Imke Vandersteen {place}"),
        given: "Imke".into(),
        family: format!("Vandersteen {place}"),
        heat_name: "Heat 3".into(),
        result: "87 of 90".into(),
        finished: false,
        provisional: place.is_multiple_of(2),
    };
    let (workout, division) = ("Ebb and Flow".into(), "Open".into());
    let rows = (1..=50).map(person).collect();
    let cards = [
        Card::Standings(Standings { workout, division, rows, heats_done: 2, heats_of: 3 }),
        Card::Event { name: "Lighthouse Games".into(), place: "The old pier".into(), date: String::new() },
        Card::Words { title: "Lunch".into(), text: "Back at one.\nThe yard stays open.".into() },
        Card::Countdown { title: "Finals".into(), to_ms: 3_600_000 },
    ];
    let steps = cards.into_iter().map(|card| Step { for_ms: 1_500, card }).collect();
    Program { since_ms: 0, again: true, steps }
}

fn warm(screen: &mut dyn Screen, size: [u32; 2], name: &str, motion: Motion, board: Program) {
    let mut renderer = Renderer::new(Gpu::open().expect("an adapter"), size).expect("a canvas");
    let mut view = View::new(heat::snapshot(LANES));
    view.snapshot.shows.board = board;
    let duel = Some(Duel { left: 3, right: 7 });
    view.snapshot.shows.overlay = OverlayShows { ribbon: true, rail: true, corner: true, duel, card: false };
    let mut drawn = 0;
    for frame in 0..WARM_UP + 2 * CYCLE {
        change(&mut view, frame % CYCLE);
        let frame_us = i64::from(frame) * FRAME_US;
        // Three times as fast, so that every figure has been on the clock by the end of the warm-up.
        let times = Times { feed_us: 61_000_000 + 3 * frame_us, frame_us, speed_milli: 3_000 };
        let link = Link::Live;
        let before = violation_count();
        let mut paint = || {
            screen.frame(Some(&view), link, times);
            let (list, fonts) = screen.parts();
            let rects = renderer.prepare(list, fonts).expect("a frame").rects;
            renderer.submit(None);
            renderer.wait().expect("the device");
            rects
        };
        if frame < WARM_UP {
            paint();
            continue;
        }
        drawn += assert_no_alloc(paint);
        let allocated = violation_count() - before;
        assert_eq!(allocated, 0, "{name}, {motion:?}: allocations or releases in frame {frame}");
    }
    assert!(drawn > 0, "there was something to draw");
}

#[test]
fn the_counting_counts() {
    let before = violation_count();
    let kept = assert_no_alloc(|| Vec::<u8>::with_capacity(std::hint::black_box(100)));
    assert_eq!(violation_count() - before, 1);
    assert_no_alloc(|| drop(kept));
    assert_eq!(violation_count() - before, 2);
}
