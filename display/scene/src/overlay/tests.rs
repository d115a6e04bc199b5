//! What holds for every overlay: all of it lies in the safe area and on plates of its own, nothing overlaps, nothing is
//! too small, and the picture changes exactly when it says.

use std::rc::Rc;

use fivemark_wire::from_feed::Delta;
use fivemark_wire::shows::{Program, Step};
use fivemark_wire::view::State;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::*;
use crate::board::tests::{heat, ink, is, meet, texts, times};
use crate::draw::{Item, Shape, TextShape};
use crate::paint::Kind;
use crate::sample;

mod logo;
mod moving;
mod pairs;
mod saying;

const SIZES: [[u32; 2]; 8] = [
    [1920, 1080],
    [1280, 720],
    [3840, 2160],
    [1080, 1920],
    [1440, 1080],
    [640, 360],
    [1000, 1000],
    [2560, 1080],
];

fn overlay(size: [u32; 2], motion: Motion) -> Overlay {
    let theme = Rc::new(fivemark_themes::find("dark").expect("the bundled theme passes"));
    Overlay::new(theme, size, motion)
}

/// All parts.
fn all(left: u8, right: u8) -> OverlayShows {
    OverlayShows { ribbon: true, rail: true, corner: true, duel: Some(Duel { left, right }), card: false }
}

/// Some parts.
fn some(rng: &mut ChaCha8Rng, lanes: u8) -> OverlayShows {
    let (left, right) = (rng.random_range(1..=lanes), rng.random_range(1..=lanes));
    let duel = rng.random_bool(0.6).then_some(Duel { left, right });
    let mut on = || rng.random_bool(0.6);
    OverlayShows { ribbon: on(), rail: on(), corner: on(), duel, card: false }
}

/// The same heat a moment later: places turned about, somebody finished, no-reps.
fn changed(view: &View, feed_ms: i64, rng: &mut ChaCha8Rng) -> View {
    let mut view = view.clone();
    let mut order = view.snapshot.order.clone();
    let (one, other) = (rng.random_range(0..order.len()), rng.random_range(0..order.len()));
    let places = (order[one].place, order[other].place);
    (order[one].place, order[other].place) = (places.1, places.0);
    let mut lanes = view.snapshot.lanes.clone();
    let course = view.snapshot.courses[0].clone();
    if let Some(lane) = lanes.iter_mut().find(|lane| lane.to_go.is_some()) {
        *lane = sample::count(&course, lane.lane, course.units, fivemark_wire::view::Status::Finished);
    }
    let no_reps = (1..=3).map(|_| sample::no_rep(rng.random_range(1..=40), feed_ms)).collect();
    view.apply(&Delta { order, lanes, no_reps, ..sample::delta(11) }).expect("it runs on");
    view
}

/// What is checked of a frame: seed, size, whether everything rests, the overlay.
type Check<'a> = &'a mut dyn FnMut(u64, [u32; 2], bool, &Overlay);

/// Overlays of random heats in every size and language, dark and light, on their way in, at rest, and while places
/// change and parts leave.
fn overlays(check: Check<'_>) {
    for seed in 0..96u64 {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let size = SIZES[usize::try_from(seed % 8).unwrap_or(0)];
        let (mut view, feed_ms) = heat(seed);
        let lanes = u8::try_from(view.snapshot.entries.len()).expect("at most 40");
        view.snapshot.shows.overlay = if seed % 2 == 0 { all(1, lanes) } else { some(&mut rng, lanes) };
        view.snapshot.journal_ok = seed % 9 > 0;
        if seed % 4 < 2 {
            let card = sample::cards::random(seed / 4, feed_ms);
            let steps = vec![Step { for_ms: 0, card }];
            view.snapshot.shows.board = Program { since_ms: 0, again: false, steps };
            view.snapshot.shows.overlay.card = true;
        }
        let link = if seed % 7 == 0 { Link::Lost { age_ms: 12_400 } } else { Link::Live };
        let theme = if seed / 8 % 2 == 0 { "dark" } else { "light" };
        let theme = Rc::new(fivemark_themes::find(theme).expect("the bundled theme passes"));
        let mut overlay = Overlay::new(theme, size, Motion::Full);
        let languages: Vec<_> = Words::codes().collect();
        let language = languages[usize::try_from(seed / 5 % 3).unwrap_or(0)];
        overlay.set_words(Rc::new(Words::of(language).expect("the language is there")));
        let mut at = |view: &View, ms: i64, rests: bool| {
            overlay.frame(Some(view), link, times(feed_ms + ms, ms * 1000));
            let moves = overlay.next_change_us().is_some_and(|next| next <= ms * 1000);
            check(seed, size, rests && !moves, &overlay);
        };
        for ms in [0, 70, 210] {
            at(&view, ms, false);
        }
        at(&view, 900, false);
        at(&view, 1_000, true);
        let mut later = changed(&view, feed_ms + 1_000, &mut rng);
        for ms in [1_010, 1_040, 1_110, 1_200] {
            at(&later, ms, false);
        }
        at(&later, 6_000, false);
        at(&later, 8_000, true);
        later.snapshot.shows.overlay = some(&mut rng, lanes);
        for ms in [8_010, 8_120, 8_300] {
            at(&later, ms, false);
        }
        at(&later, 10_000, false);
        at(&later, 12_000, true);
    }
}

fn inside(inner: Rect, outer: Rect, slack: f32) -> bool {
    inner.x >= outer.x - slack
        && inner.y >= outer.y - slack
        && inner.x + inner.w <= outer.x + outer.w + slack
        && inner.y + inner.h <= outer.y + outer.h + slack
}

/// EBU R 95, ITU-R BT.1848-1: 90 per cent of width and height.
fn safe([width, height]: [u32; 2]) -> Rect {
    let [w, h] = [width, height].map(|side| f32::from(u16::try_from(side).expect("a small picture")));
    Rect { x: w * 0.05, y: h * 0.05, w: w * 0.9, h: h * 0.9 }
}

#[test]
fn everything_lies_in_the_safe_area_and_in_the_extent() {
    let mut seen = 0;
    overlays(&mut |seed, size, _, overlay| {
        let extent = overlay.extent();
        assert!(extent.w <= 0.0 || inside(extent, safe(size), 0.01), "seed {seed} {size:?}: {extent:?}");
        for item in &overlay.list.items {
            let bounds = item.bounds;
            assert!(inside(bounds, safe(size), 0.01), "seed {seed} {size:?}: {bounds:?} {:?}", item.key);
            assert!(inside(bounds, extent, 0.01), "seed {seed} {size:?}: {bounds:?} outside {extent:?}");
            seen += 1;
        }
    });
    assert!(seen > 10_000);
}

/// What is seen of a text.
fn seen_ink(item: &Item, text: &TextShape) -> Rect {
    item.clip.map_or(ink(text), |clip| settle::meet(ink(text), clip))
}

fn says(text: &TextShape) -> &str {
    text.text.buffer.lines[0].text()
}

#[test]
fn no_text_meets_another_even_on_the_way() {
    overlays(&mut |seed, size, _, overlay| {
        let texts: Vec<_> = texts(&overlay.list).collect();
        for (index, (item, text)) in texts.iter().enumerate() {
            let one = seen_ink(item, text);
            for (other, other_text) in &texts[index + 1..] {
                let two = seen_ink(other, other_text);
                // Figures that roll past each other are cut to one window.
                let roll = [Kind::Count, Kind::CountBefore];
                if roll.iter().any(|kind| is(item, *kind)) && roll.iter().any(|kind| is(other, *kind)) {
                    continue;
                }
                let (a, b) = (says(text), says(other_text));
                let overlap = one.w > 0.0 && two.w > 0.0 && meet(one, two);
                assert!(!overlap, "seed {seed} {size:?}: `{a}` {one:?} on `{b}` {two:?}");
            }
        }
    });
}

#[test]
fn nothing_that_rests_is_cut_or_too_small() {
    let mut rested = 0;
    overlays(&mut |seed, size, rests, overlay| {
        if !rests {
            return;
        }
        rested += 1;
        let unit = overlay.places.unit;
        // What stands on a card, and how large, is the cards' own.
        let own = texts(&overlay.list).filter(|(item, _)| item.key.0 >> 48 != settle::Group::Between as u64);
        for (item, text) in own {
            let whole = ink(text);
            let seen = seen_ink(item, text);
            // The round ends of letters and the last pixel of an advance may pass an edge.
            let cut = (whole.w - seen.w).max(whole.h - seen.h);
            assert!(cut <= 1.5, "seed {seed} {size:?}: `{}` {whole:?} in {:?}", says(text), item.clip);
            let least = match item {
                item if is(item, Kind::Clock) => 40.0,
                item if is(item, Kind::Name) => card::LEAST_NAME,
                item if is(item, Kind::Place) => 23.9,
                _ => 18.9,
            };
            // Sizes are kept to quarters of a pixel.
            let found = (text.text.cap_height + 0.13) / unit;
            assert!(found >= least, "seed {seed} {size:?}: `{}` {found} under {least}", says(text));
        }
    });
    assert!(rested > 200, "{rested}");
}

#[test]
fn equal_frames_are_equal_and_shape_nothing() {
    for seed in 0..24 {
        let (mut view, feed_ms) = heat(seed);
        view.snapshot.shows.overlay = all(1, 2);
        let mut overlay = overlay([1920, 1080], Motion::Full);
        overlay.frame(Some(&view), Link::Live, times(feed_ms, 0));
        let first = overlay.frame(Some(&view), Link::Live, times(feed_ms, 1_000_000)).clone();
        let shaped = overlay.fonts.shaped_count();
        assert_eq!(*overlay.frame(Some(&view), Link::Live, times(feed_ms, 1_016_000)), first, "seed {seed}");
        assert_eq!(overlay.fonts.shaped_count(), shaped, "seed {seed}");
        let mut keys: Vec<_> = first.items.iter().map(|item| item.key).collect();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), first.items.len(), "seed {seed}: a key is there twice");
    }
}

/// Boxes that are not plates for words are the tracks'; all else stands on something opaque.
#[test]
fn every_text_stands_on_an_opaque_plate() {
    overlays(&mut |seed, size, _, overlay| {
        assert_eq!(overlay.list.clear.0, [0; 4]);
        for (item, text) in texts(&overlay.list) {
            let seen = seen_ink(item, text);
            if seen.w < 1.0 || seen.h < 1.0 {
                continue;
            }
            let on = overlay.list.items.iter().any(|plate| match &plate.shape {
                Shape::Box(shape) => {
                    let cut = plate.clip.map_or(shape.rect, |clip| settle::meet(shape.rect, clip));
                    shape.fill.0[3] == 255 && inside(seen, cut, 1.5)
                }
                _ => false,
            });
            assert!(on, "seed {seed} {size:?}: `{}` {seen:?} stands on nothing", says(text));
        }
    });
}

#[test]
fn hostile_views_break_nothing() {
    let base = sample::nine();
    let changes: [fn(&mut View); 8] = [
        |view| view.snapshot.entries.clear(),
        |view| view.snapshot.lanes.clear(),
        |view| view.snapshot.order.clear(),
        |view| view.snapshot.courses.clear(),
        |view| view.snapshot.heat.cap_ms = i64::MAX,
        |view| view.snapshot.lanes.iter_mut().for_each(|lane| (lane.done, lane.score) = (u32::MAX, u32::MAX)),
        |view| {
            view.snapshot.order.iter_mut().for_each(|row| (row.place, row.gap_units) = (255, Some(u32::MAX)))
        },
        |view| {
            let entry = view.snapshot.entries[0].clone();
            view.snapshot.entries =
                (1..=60).map(|lane| fivemark_wire::view::LaneEntry { lane, ..entry.clone() }).collect();
            view.snapshot.entries.iter_mut().for_each(|entry| entry.family = "N\u{0301}".repeat(3_000));
        },
    ];
    for (index, change) in changes.iter().enumerate() {
        for size in [[1920, 1080], [16, 16], [1, 1], [16_384, 64], [64, 16_384]] {
            let mut view = base.clone();
            change(&mut view);
            view.snapshot.shows.overlay = all(4, 200);
            for (left, right) in [(1, 9), (4, 200), (0, 0)] {
                view.snapshot.shows.overlay = all(left, right);
                let mut overlay = overlay(size, Motion::Full);
                for frame_us in [0, 100_000, 2_000_000] {
                    let list = overlay.frame(Some(&view), Link::Live, times(462_300, frame_us));
                    let finite = |item: &Item| item.bounds.x.is_finite() && item.bounds.w.is_finite();
                    assert!(list.items.iter().all(finite), "change {index} at {size:?}");
                }
            }
        }
    }
}
