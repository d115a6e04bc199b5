//! What holds for every board: nothing overlaps, nothing is too small, nothing moves that should not, and the
//! picture changes exactly when it says.

use std::rc::Rc;

use fivemark_themes::{Color, contrast};
use fivemark_wire::from_feed::Delta;
use fivemark_wire::view::{Clock, LaneEntry, State, Status};

use super::*;
use crate::draw::{Item, Layer, Rect, Shape, TextShape};
use crate::layouts::{Content, Layout};
use crate::paint::Kind;
use crate::sample;
use fivemark_wire::from_feed::Snapshot;

mod backdrop;
pub(crate) mod logo;
mod moving;
pub(crate) mod pairs;
mod restyled;
mod rounds;
mod shapes;
mod tries;

const SIZES: [[u32; 2]; 16] = [
    [1920, 1080],
    [1280, 720],
    [3840, 2160],
    [640, 360],
    [1024, 768],
    [2560, 1080],
    [1080, 1920],
    [540, 1920],
    [3840, 360],
    [2560, 256],
    [1920, 192],
    [640, 160],
    [1000, 1000],
    [1280, 480],
    [7680, 4320],
    [900, 1100],
];

fn board(size: [u32; 2], motion: Motion) -> Board {
    let theme = Rc::new(fivemark_themes::find("dark").expect("the bundled theme passes"));
    Board::new(theme, size, motion)
}

pub(crate) fn times(feed_ms: i64, frame_us: i64) -> Times {
    Times { feed_us: feed_ms * 1000, frame_us, speed_milli: 1000 }
}

fn kind_of(item: &Item) -> u64 {
    item.key.0 >> 16 & 0xFFFF
}

pub(crate) fn is(item: &Item, kind: Kind) -> bool {
    kind_of(item) == u64::from(kind as u16)
}

fn lane_of(item: &Item) -> u64 {
    item.key.0 >> 32
}

/// Where a text's ink lies, from its baseline to the height of its capitals.
pub(crate) fn ink(text: &TextShape) -> Rect {
    let baseline = text.top + text.text.baseline;
    Rect { x: text.left, y: baseline - text.text.cap_height, w: text.text.width, h: text.text.cap_height }
}

pub(crate) fn texts(list: &DrawList) -> impl Iterator<Item = (&Item, &TextShape)> {
    list.items.iter().filter_map(|item| match &item.shape {
        Shape::Text(text) if text.text.width > 0.0 => Some((item, text)),
        _ => None,
    })
}

pub(crate) fn meet(a: Rect, b: Rect) -> bool {
    let slack = 1.0;
    a.x + slack < b.x + b.w && b.x + slack < a.x + a.w && a.y + slack < b.y + b.h && b.y + slack < a.y + a.h
}

/// A random heat of any kind.
pub(crate) fn heat(seed: u64) -> (View, i64) {
    sample::any(seed)
}

/// Boards of random heats in every size, theme and language.
fn boards() -> impl Iterator<Item = (u64, [u32; 2], Board)> {
    (0..320u64).map(|seed| {
        let size = SIZES[usize::try_from(seed % 16).unwrap_or(0)];
        let (view, feed_ms) = heat(seed);
        let themes: Vec<_> = fivemark_themes::names().collect();
        let theme = themes[usize::try_from(seed / 16 % 3).unwrap_or(0)];
        let theme = Rc::new(fivemark_themes::find(theme).expect("the bundled theme passes"));
        let mut board = Board::new(theme, size, Motion::Full);
        let languages: Vec<_> = Words::codes().collect();
        let language = languages[usize::try_from(seed / 48 % 3).unwrap_or(0)];
        board.set_words(Rc::new(Words::of(language).expect("the language is there")));
        board.frame(Some(&view), Link::Live, times(feed_ms, 0));
        (seed, size, board)
    })
}

#[test]
fn no_text_meets_another_and_no_plate_hides_one() {
    for (seed, size, board) in boards() {
        let texts: Vec<_> = texts(&board.list).collect();
        for (index, (item, text)) in texts.iter().enumerate() {
            for (other, other_text) in &texts[index + 1..] {
                let overlap = item.layer == other.layer && meet(ink(text), ink(other_text));
                let words = |text: &TextShape| text.text.buffer.lines[0].text().to_owned();
                assert!(!overlap, "seed {seed} {size:?}: {} on {}", words(text), words(other_text));
            }
            for plate in board.list.items.iter().filter(|plate| plate.layer == Layer::Tags) {
                if let Shape::Box(plate) = plate.shape {
                    let hidden = item.layer == Layer::Ground && meet(ink(text), plate.rect);
                    assert!(!hidden, "seed {seed} {size:?}: a plate over {:?}", item.key);
                }
            }
        }
    }
}

#[test]
fn everything_stays_on_the_board_and_in_its_row() {
    for (seed, size, board) in boards() {
        let [width, height] = size.map(|side| f32::from(u16::try_from(side).unwrap()));
        for item in &board.list.items {
            let rect = match &item.shape {
                Shape::Box(shape) => shape.rect,
                Shape::Text(text) => ink(text),
                Shape::Image(image) => image.rect,
                Shape::Path(_) => continue,
            };
            let row = match usize::try_from(lane_of(item)).unwrap() {
                0 => Rect { x: 0.0, y: 0.0, w: width, h: height },
                lane => board.measures.layout.rows[lane - 1],
            };
            let inside = rect.x >= row.x - 0.6
                && rect.y >= row.y - 0.6
                && rect.x + rect.w <= row.x + row.w + 0.6
                && rect.y + rect.h <= row.y + row.h + 0.6;
            assert!(inside, "seed {seed} {size:?}: {rect:?} leaves {row:?} ({:?})", item.key);
            let ends = |a: f32, b: f32| a + b + 0.6;
            let bounded = item.bounds.x <= rect.x
                && item.bounds.y <= rect.y
                && ends(item.bounds.x, item.bounds.w) >= rect.x + rect.w
                && ends(item.bounds.y, item.bounds.h) >= rect.y + rect.h;
            assert!(bounded, "seed {seed}: bounds {:?} of {rect:?}", item.bounds);
        }
    }
}

#[test]
fn names_keep_to_their_cell_and_counts_to_theirs() {
    for (seed, size, board) in boards() {
        let m = &board.measures.layout.row;
        for (item, text) in texts(&board.list).filter(|(item, _)| lane_of(item) > 0) {
            let row = board.measures.layout.rows[usize::try_from(lane_of(item)).unwrap() - 1];
            let (left, right) = (text.left - row.x, text.left - row.x + text.text.width);
            if is(item, Kind::Name) {
                assert!(
                    left >= m.name_left - 0.6 && right <= m.name_left + m.name_width + 0.6,
                    "seed {seed}"
                );
                let above = m.name_middle + m.name_cap / 2.0 < m.track_top - m.notch;
                assert!(right < m.track_left || above, "seed {seed} {size:?}: the name touches the track");
            }
            if is(item, Kind::Count) || is(item, Kind::CountWord) {
                let above = m.count_middle + m.count_cap / 2.0 < m.track_top - m.notch;
                let beside = left > m.track_right - 0.6;
                assert!(beside || above, "seed {seed} {size:?}: the count touches the track");
                assert!(right <= m.count_right + 1.6, "seed {seed} {size:?}: {right} past {}", m.count_right);
            }
        }
    }
}

/// Least heights of capitals and figures in per cent of the board's height, up to ten lanes.
#[test]
fn far_seats_can_read_what_is_promised() {
    for lanes in 1..=10 {
        for size in [[1920, 1080], [1280, 720], [3840, 2160]] {
            let course = sample::course(sample::PARTS, 5);
            let units = course.units;
            let done = [units - 3, units - 50, units, units - 60, 30, units - 9, 0, 400, 21, 5];
            let status = |index: usize| if index == 2 { Status::Finished } else { Status::Racing };
            let counts: Vec<_> = (0..lanes).map(|index| (done[index], status(index))).collect();
            let clock = Clock::Running { zero_at_ms: 0 };
            let mut view = View::new(sample::snapshot(course, &counts, State::Running, clock));
            let mut board = board(size, Motion::Full);
            board.frame(Some(&view), Link::Live, times(462_300, 0));
            let delta = Delta { no_reps: vec![sample::no_rep(1, 462_300)], ..sample::delta(11) };
            view.apply(&delta).unwrap();
            board.frame(Some(&view), Link::Live, times(462_300, 1));
            let height = f32::from(u16::try_from(size[1]).unwrap());
            let mut seen = std::collections::HashSet::new();
            for (item, text) in texts(&board.list) {
                let least = match item {
                    item if is(item, Kind::Clock) => 12.0,
                    item if is(item, Kind::Count) => 5.5,
                    item if is(item, Kind::Place) => 5.0,
                    item if is(item, Kind::Name) => 3.5,
                    _ => 2.2,
                };
                seen.insert(kind_of(item));
                let percent = text.text.cap_height / height * 100.0;
                // Sizes are kept to quarters of a pixel.
                let slack = 0.13 / height * 100.0;
                let words = text.text.buffer.lines[0].text();
                assert!(
                    percent >= least - slack,
                    "{lanes} lanes at {size:?}: `{words}` {percent} under {least}"
                );
            }
            let kinds = [Kind::Clock, Kind::Count, Kind::Place, Kind::Name, Kind::NoRepText];
            assert!(kinds.iter().all(|kind| seen.contains(&u64::from(*kind as u16))), "all were looked at");
        }
    }
}

/// With more lanes, everything shrinks with its row, and tags only once the track is lower than they need.
#[test]
fn more_lanes_give_way_in_the_documented_order() {
    let form = fivemark_themes::find("dark").unwrap().form;
    for lanes in 11..=24 {
        let of = |lanes| Layout::new([1920, 1080], Content { lanes, ..Content::default() }, &form);
        let wide = of(lanes);
        let (m, unit) = (&wide.row, wide.unit);
        let ten = of(10).row;
        for (now, of_ten) in
            [(m.count_cap, ten.count_cap), (m.place_cap, ten.place_cap), (m.name_cap, ten.name_cap)]
        {
            let (share, all) = (now / of_ten, m.count_cap / ten.count_cap);
            assert!((share - all).abs() < 0.01, "{lanes} lanes: place, count and name shrink as one");
        }
        assert!(m.tag_cap >= 22.0 * unit || m.tag_cap >= m.track_height * 0.55, "{lanes} lanes");
        assert!(m.track_right - m.track_left > 0.14 * m.width, "{lanes} lanes: the track stays a track");
        assert_eq!(wide.rows.len(), lanes);
    }
}

#[test]
fn a_count_keeps_its_right_edge() {
    let right_of = |done: u32| {
        let course = sample::course(sample::PARTS, 5);
        let clock = Clock::Running { zero_at_ms: 0 };
        let lanes = [(done, Status::Racing), (500, Status::Racing)];
        let view = View::new(sample::snapshot(course, &lanes, State::Running, clock));
        let mut board = board([1920, 1080], Motion::Full);
        board.frame(Some(&view), Link::Live, times(1_000, 0));
        let slot = texts(&board.list).filter(|(item, _)| is(item, Kind::Count) && lane_of(item) == 1);
        slot.map(|(_, text)| text.left + text.text.width).fold(0.0, f32::max)
    };
    let wanted = right_of(7);
    for done in [1, 10, 88, 400, 897] {
        assert!((right_of(done) - wanted).abs() <= 1.0, "{done}: {} and {wanted}", right_of(done));
    }
}

#[test]
fn equal_frames_are_equal_and_shape_nothing() {
    for (seed, _, mut board) in boards() {
        let (view, feed_ms) = heat(seed);
        let first = board.list.clone();
        let shaped = board.fonts.shaped_count();
        assert_eq!(*board.frame(Some(&view), Link::Live, times(feed_ms, 16_000)), first, "seed {seed}");
        assert_eq!(board.fonts.shaped_count(), shaped, "seed {seed}");
        let mut keys: Vec<_> = first.items.iter().map(|item| item.key).collect();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), first.items.len(), "seed {seed}: a key is there twice");
    }
}

#[test]
fn a_board_has_a_modest_number_of_items() {
    for (seed, _, board) in boards() {
        let lanes = board.lanes.list.len();
        let most = 60 + board.list.items.iter().filter(|item| lane_of(item) == 0).count() + 40 * lanes;
        assert!(board.list.items.len() <= most, "seed {seed}: {} for {lanes} lanes", board.list.items.len());
    }
}

/// The colours that lie under a point, painted in order up to (not with) texts of a layer.
fn grounds(list: &DrawList, layer: Layer, point: [f32; 2]) -> Vec<Color> {
    grounds_over(list, Color(list.clear.0), layer, point)
}

fn grounds_over(list: &DrawList, under: Color, layer: Layer, point: [f32; 2]) -> Vec<Color> {
    let mut grounds = vec![under];
    for under in crate::draw::LAYERS.into_iter().filter(|under| *under <= layer) {
        for item in list.items.iter().filter(|item| item.layer == under) {
            let Shape::Box(shape) = &item.shape else { continue };
            let r = shape.rect;
            let [x, y] = point;
            if x < r.x || y < r.y || x > r.x + r.w || y > r.y + r.h {
                continue;
            }
            let mut fills = vec![Color(shape.fill.0), Color(shape.fill_bottom.0)];
            fills.extend(shape.hatch.map(|hatch| Color(hatch.color.0)));
            let over = |under: &Color| fills.iter().map(|fill| fill.over(*under)).collect::<Vec<_>>();
            grounds = grounds.iter().flat_map(over).collect();
            grounds.dedup();
        }
    }
    grounds
}

/// Whether a scrim lies over this height.
fn scrimmed(list: &DrawList, y: f32) -> bool {
    list.items.iter().any(|item| is(item, Kind::Scrim) && y > item.bounds.y)
}

#[test]
fn every_text_stands_out_from_whatever_lies_under_it() {
    for (seed, _, board) in boards() {
        for (item, text) in texts(&board.list) {
            let ink = ink(text);
            let y = ink.y + ink.h / 2.0;
            // What lies under a scrim is meant to step back.
            if item.layer != Layer::Over && scrimmed(&board.list, y) {
                continue;
            }
            for x in [ink.x + 1.0, ink.x + ink.w / 2.0, ink.x + ink.w - 1.0] {
                for ground in grounds(&board.list, item.layer, [x, y]) {
                    let found = contrast::ratio(Color(text.color.0), ground);
                    let words = text.text.buffer.lines[0].text();
                    assert!(found >= 4.5, "seed {seed}: `{words}` {:?} on {ground}: {found}", text.color);
                }
            }
        }
    }
}

#[test]
fn names_from_outside_do_not_reorder_what_stands_beside_them() {
    let mut view = sample::nine();
    view.snapshot.titles.heat_name = "דור 7".into();
    let mut line = String::new();
    let heat = &mut view.snapshot.heat;
    Words::english().heat_line(&mut line, &view.snapshot.titles, heat, &[]);
    assert_eq!(line, "\u{2068}דור 7\u{2069} · \u{2068}Open women\u{2069}");
    heat.alone = Some(4);
    Words::english().heat_line(&mut line, &view.snapshot.titles, heat, &[]);
    assert_eq!(line, "Lane 4 runs again · \u{2068}דור 7\u{2069}");
}

#[test]
fn hostile_views_draw_something_and_break_nothing() {
    let mut views = Vec::new();
    let base = sample::nine();
    let mut change = |of: fn(&mut Snapshot)| {
        let mut view = base.clone();
        of(&mut view.snapshot);
        views.push(view);
    };
    change(|s| s.entries.clear());
    change(|s| s.lanes.clear());
    change(|s| s.order.clear());
    change(|s| s.courses.clear());
    change(|s| s.entries.iter_mut().for_each(|entry| entry.course = 255));
    change(|s| {
        let entry = s.entries[0].clone();
        s.entries = (1..=60).map(|lane| LaneEntry { lane, ..entry.clone() }).collect();
    });
    change(|s| s.heat.cap_ms = i64::MAX);
    change(|s| s.heat.cap_ms = -5);
    change(|s| s.heat.clock = Clock::Running { zero_at_ms: i64::MIN });
    change(|s| s.lanes.iter_mut().for_each(|lane| (lane.done, lane.score) = (u32::MAX, u32::MAX)));
    change(|s| s.lanes.iter_mut().for_each(|lane| lane.part = u32::MAX));
    change(|s| s.order.iter_mut().for_each(|row| (row.place, row.gap_units) = (255, Some(u32::MAX))));
    change(|s| {
        let course = &mut s.courses[0];
        (course.closing_blocks, course.closing_step, course.units) = (255, u32::MAX, u32::MAX);
        course.parts.iter_mut().for_each(|part| part.track_len_ppm = u32::MAX);
    });
    change(|s| {
        s.titles.workout = "long ".repeat(2_000);
        s.titles.divisions = vec!["division".into(); 300];
        s.entries.iter_mut().for_each(|entry| entry.name = "N\u{0301}\u{202E}".repeat(3_000));
    });
    change(|s| s.entries.iter_mut().for_each(|entry| entry.name.clear()));
    for (index, view) in views.iter().enumerate() {
        for size in [[1920, 1080], [16, 16], [1, 1], [16_384, 64], [64, 16_384]] {
            let mut board = board(size, Motion::Full);
            let list = board.frame(Some(view), Link::Live, times(462_300, 0));
            let finite = list.items.iter().all(|item| {
                [item.bounds.x, item.bounds.y, item.bounds.w, item.bounds.h]
                    .iter()
                    .all(|side| side.is_finite())
            });
            assert!(finite && !list.items.is_empty(), "view {index} at {size:?}");
        }
    }
}
