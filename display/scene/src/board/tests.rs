//! What holds for every board: nothing overlaps, nothing is too small, nothing moves that should not, and the
//! picture changes exactly when it says.

use std::rc::Rc;

use fivemark_themes::{Color, contrast};
use fivemark_wire::from_feed::Delta;
use fivemark_wire::view::{Clock, LaneEntry, State, Status};

use super::*;
use crate::draw::{Item, Layer, Rect, Shape, TextShape};
use crate::paint::Kind;
use crate::sample;

const SIZES: [[u32; 2]; 6] = [[1920, 1080], [1280, 720], [3840, 2160], [640, 360], [1024, 768], [2560, 1080]];

fn board(size: [u32; 2], motion: Motion) -> Board {
    let theme = Rc::new(fivemark_themes::find("dark").expect("the bundled theme passes"));
    Board::new(theme, size, motion)
}

fn times(feed_ms: i64, frame_us: i64) -> Times {
    Times { feed_us: feed_ms * 1000, frame_us, speed_milli: 1000 }
}

fn kind_of(item: &Item) -> u64 {
    item.key.0 >> 16 & 0xFFFF
}

fn is(item: &Item, kind: Kind) -> bool {
    kind_of(item) == u64::from(kind as u16)
}

fn lane_of(item: &Item) -> u64 {
    item.key.0 >> 32
}

/// Where a text's ink lies, from its baseline to the height of its capitals.
fn ink(text: &TextShape) -> Rect {
    let baseline = text.top + text.text.baseline;
    Rect { x: text.left, y: baseline - text.text.cap_height, w: text.text.width, h: text.text.cap_height }
}

fn texts(list: &DrawList) -> impl Iterator<Item = (&Item, &TextShape)> {
    list.items.iter().filter_map(|item| match &item.shape {
        Shape::Text(text) if text.text.width > 0.0 => Some((item, text)),
        _ => None,
    })
}

fn meet(a: Rect, b: Rect) -> bool {
    let slack = 1.0;
    a.x + slack < b.x + b.w && b.x + slack < a.x + a.w && a.y + slack < b.y + b.h && b.y + slack < a.y + a.h
}

/// Boards of random heats in every size.
fn boards() -> impl Iterator<Item = (u64, [u32; 2], Board)> {
    (0..150u64).map(|seed| {
        let size = SIZES[usize::try_from(seed % 6).unwrap_or(0)];
        let (view, feed_ms) = sample::random(seed);
        let mut board = board(size, Motion::Full);
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
                Shape::Path(_) => continue,
            };
            let row = match usize::try_from(lane_of(item)).unwrap() {
                0 => Rect { x: 0.0, y: 0.0, w: width, h: height },
                lane => board.wide.rows[lane - 1],
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
        let m = &board.wide.row;
        for (item, text) in texts(&board.list).filter(|(item, _)| lane_of(item) > 0) {
            let row = board.wide.rows[usize::try_from(lane_of(item)).unwrap() - 1];
            let (left, right) = (text.left - row.x, text.left - row.x + text.text.width);
            if is(item, Kind::Name) {
                assert!(
                    left >= m.name_left - 0.6 && right <= m.name_left + m.name_width + 0.6,
                    "seed {seed}"
                );
                assert!(right < m.track_left, "seed {seed} {size:?}: the name touches the track");
            }
            if is(item, Kind::Count) || is(item, Kind::CountWord) {
                assert!(left > m.track_right - 0.6, "seed {seed} {size:?}: the count touches the track");
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
    for lanes in 11..=MAX_LANES {
        let wide = Wide::new([1920, 1080], lanes, 4.0, &form);
        let (m, unit) = (&wide.row, wide.unit);
        let ten = Wide::new([1920, 1080], 10, 4.0, &form).row;
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
        let (view, feed_ms) = sample::random(seed);
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
        let lanes = board.lanes.len();
        let most = 60 + board.list.items.iter().filter(|item| lane_of(item) == 0).count() + 40 * lanes;
        assert!(board.list.items.len() <= most, "seed {seed}: {} for {lanes} lanes", board.list.items.len());
    }
}

#[test]
fn the_picture_changes_when_it_said_and_not_before() {
    for (seed, _, mut board) in boards().take(60) {
        let (view, feed_ms) = sample::random(seed);
        for speed_milli in [1_000, 8_000, 333] {
            let at = |frame_us: i64| Times {
                feed_us: feed_ms * 1000 + frame_us * i64::from(speed_milli) / 1000,
                frame_us,
                speed_milli,
            };
            let first = board.frame(Some(&view), Link::Live, at(0)).clone();
            let Some(next_us) = board.next_change_us() else {
                let still = !matches!(view.snapshot.heat.state, State::Countdown | State::Running);
                assert!(still, "seed {seed}: a running clock must tick");
                assert_eq!(*board.frame(Some(&view), Link::Live, at(3_600_000_000)), first, "seed {seed}");
                continue;
            };
            assert!(next_us > 0, "seed {seed}: nothing moves");
            assert_eq!(
                *board.frame(Some(&view), Link::Live, at(next_us - 1)),
                first,
                "seed {seed}: too soon"
            );
            assert_ne!(*board.frame(Some(&view), Link::Live, at(next_us)), first, "seed {seed}: too late");
        }
    }
}

#[test]
fn a_lost_feed_is_marked_with_its_age() {
    let view = sample::nine();
    let mut board = board([1280, 720], Motion::Full);
    let says = |board: &Board, words: &str| {
        texts(&board.list).any(|(_, text)| text.text.buffer.lines[0].text() == words)
    };
    board.frame(Some(&view), Link::Lost { age_ms: 12_400 }, times(462_300, 0));
    assert!(says(&board, "no feed · 12 s"));
    board.frame(Some(&view), Link::Lost { age_ms: 130_000 }, times(462_300, 0));
    assert!(says(&board, "no feed · 2 min"));
    let mut still = view.clone();
    still.snapshot.heat.clock = Clock::Stopped { elapsed_ms: 5 };
    board.frame(Some(&still), Link::Lost { age_ms: 12_400 }, times(462_300, 0));
    assert_eq!(board.next_change_us(), Some(600_000));
    board.set_feed_address("ws://10.0.0.7:7400/feed");
    board.frame(None, Link::Never, times(0, 0));
    assert!(says(&board, "Waiting for the feed") && says(&board, "ws://10.0.0.7:7400/feed"));
    assert_eq!(board.next_change_us(), None);
}

/// The colours that lie under a point, painted in order up to (not with) texts of a layer.
fn grounds(list: &DrawList, layer: Layer, point: [f32; 2]) -> Vec<Color> {
    let mut grounds = vec![Color(list.clear.0)];
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

#[test]
fn every_text_stands_out_from_whatever_lies_under_it() {
    for (seed, _, board) in boards() {
        let scrim = board.list.items.iter().find(|item| is(item, Kind::Scrim)).map(|item| item.bounds);
        for (item, text) in texts(&board.list) {
            let ink = ink(text);
            let y = ink.y + ink.h / 2.0;
            // What lies under a scrim is meant to step back.
            if item.layer != Layer::Over && scrim.is_some_and(|scrim| y > scrim.y) {
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
fn a_no_rep_is_shown_for_two_seconds_and_names_its_fault() {
    for motion in [Motion::Full, Motion::Reduced] {
        let mut view = sample::nine();
        let mut board = board([1920, 1080], motion);
        board.frame(Some(&view), Link::Live, times(462_300, 0));
        let no_reps = vec![sample::no_rep(6, 462_300), sample::no_rep(99, 0), sample::no_rep(8, 1_000)];
        view.apply(&Delta { no_reps, ..sample::delta(11) }).unwrap();
        let shown = |board: &mut Board, frame_us: i64| {
            let list = board.frame(Some(&view), Link::Live, times(462_300, frame_us));
            let on: Vec<_> = list.items.iter().filter(|item| is(item, Kind::NoRepText)).collect();
            on.iter().map(|item| lane_of(item)).collect::<Vec<_>>()
        };
        assert_eq!(shown(&mut board, 5_000), [6], "not the one that is minutes old");
        assert_eq!(shown(&mut board, 2_004_999), [6]);
        assert_eq!(shown(&mut board, 2_005_000), [0u64; 0]);
    }
}

/// The frames of a finish with a place change, from the call on.
fn finish(motion: Motion) -> (Board, View) {
    let mut view = sample::nine();
    let mut board = board([1920, 1080], motion);
    board.frame(Some(&view), Link::Live, times(462_300, 0));
    let course = view.snapshot.courses[0].clone();
    let heat = fivemark_wire::view::HeatState { first_on_floor: 4, finished: 2, ..view.snapshot.heat };
    let mut order = view.snapshot.order.clone();
    order.swap(7, 8);
    (order[7].lane, order[8].lane) = (8, 9);
    let lanes = vec![
        sample::count(&course, 2, course.units, Status::Finished),
        sample::count(&course, 9, course.units - 440, Status::Racing),
    ];
    view.apply(&Delta { heat: Some(heat), lanes, order, ..sample::delta(11) }).unwrap();
    board.frame(Some(&view), Link::Live, times(462_300, 1_000));
    (board, view)
}

#[test]
fn motion_ends_in_time_and_then_rests() {
    let (mut board, view) = finish(Motion::Full);
    assert_eq!(board.next_change_us(), Some(1_000), "something moves");
    let mut at = |frame_us: i64| board.frame(Some(&view), Link::Live, times(462_300, frame_us)).clone();
    let lane = |list: &DrawList, lane: u64| {
        list.items.iter().filter(|item| lane_of(item) == lane).cloned().collect::<Vec<_>>()
    };
    // Bars, counts and places are at rest long before the finish is.
    let (moving, places_over) = (at(100_000), at(1_000 + 220_000));
    let (playing, over, rest) = (at(900_000), at(1_000 + 1_200_000), at(5_000_000));
    assert_ne!(lane(&moving, 9), lane(&rest, 9));
    assert_eq!(lane(&places_over, 9), lane(&rest, 9));
    assert_ne!(lane(&playing, 2), lane(&rest, 2));
    assert_eq!(over, rest, "a finish is over after 1.2 s");
    assert!(board.next_change_us() > Some(5_000_000));
}

#[test]
fn reduced_motion_is_at_rest_at_once() {
    let (mut still, view) = finish(Motion::Reduced);
    let first = still.list.clone();
    assert!(still.next_change_us() > Some(1_000));
    assert_eq!(*still.frame(Some(&view), Link::Live, times(462_300, 5_000_000)), first);
    let (mut moving, view) = finish(Motion::Full);
    let rest = moving.frame(Some(&view), Link::Live, times(462_300, 5_000_000));
    // Texts are shaped by each board for itself, so items are compared but for them.
    let boxes = |list: &DrawList| {
        let boxes = list.items.iter().filter(|item| !matches!(item.shape, Shape::Text(_)));
        boxes.filter(|item| !matches!(item.shape, Shape::Path(_))).cloned().collect::<Vec<_>>()
    };
    assert_eq!(boxes(rest), boxes(&first));
}

/// WCAG 2.2, 2.3.1 counts a flash as two opposing changes of luminance by a tenth or more; three in a second are
/// the most. Nothing here makes more than one pair in the whole of a finish.
#[test]
fn nothing_flashes() {
    let (mut board, view) = finish(Motion::Full);
    let mut levels: std::collections::HashMap<_, Vec<f64>> = std::collections::HashMap::new();
    for frame in 0..150 {
        let list = board.frame(Some(&view), Link::Live, times(462_300, 1_000 + frame * 10_000));
        for item in &list.items {
            if let Shape::Box(shape) = &item.shape {
                levels.entry(item.key).or_default().push(contrast::luminance(Color(shape.fill.0)));
            }
        }
    }
    for (key, levels) in levels {
        let (mut turns, mut extreme, mut rising) = (0, levels[0], None);
        for level in levels {
            let up = level > extreme;
            if rising == Some(up) || rising.is_none() {
                if (level - extreme).abs() > 1e-6 {
                    (extreme, rising) = (level, Some(up));
                }
            } else if (level - extreme).abs() >= 0.1 {
                turns += 1;
                (extreme, rising) = (level, Some(up));
            }
        }
        assert!(turns <= 1, "{key:?} turns {turns} times");
    }
}

#[test]
fn another_heat_or_run_begins_at_rest() {
    let mut board = board([1920, 1080], Motion::Full);
    let mut view = sample::nine();
    board.frame(Some(&view), Link::Live, times(462_300, 0));
    view.snapshot.heat.run = 2;
    for count in &mut view.snapshot.lanes {
        *count = sample::count(&view.snapshot.courses[0], count.lane, 0, Status::Racing);
    }
    board.frame(Some(&view), Link::Live, times(462_300, 1_000));
    assert!(board.next_change_us() > Some(1_000), "nothing glides back from the run before");
}

#[test]
fn names_from_outside_do_not_reorder_what_stands_beside_them() {
    let mut view = sample::nine();
    view.snapshot.titles.heat_name = "דור 7".into();
    let mut line = String::new();
    crate::words::heat_line(&mut line, &view.snapshot.titles);
    assert_eq!(line, "\u{2068}דור 7\u{2069} · \u{2068}Open women\u{2069}");
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
