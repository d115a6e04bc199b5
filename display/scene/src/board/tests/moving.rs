//! When a picture changes, what moves in between, and when it rests.

use fivemark_themes::{Color, contrast, flash};
use fivemark_wire::from_feed::Delta;
use fivemark_wire::view::{Clock, Scoring, State, Status};

use super::super::*;
use super::{board, boards, heat, is, lane_of, texts, times};
use crate::draw::Shape;
use crate::paint::Kind;
use crate::sample;

#[test]
fn the_picture_changes_when_it_said_and_not_before() {
    for (seed, _, mut board) in boards().take(60) {
        let (view, feed_ms) = heat(seed);
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

/// A wall that shows late is drawn ahead: what a message changes is then as far on its way as it will be when seen.
#[test]
fn ahead_of_a_late_wall_motion_is_as_far_as_it_will_be() {
    const AHEAD_US: i64 = 70_000;
    let mut view = sample::nine();
    let bars = |board: &mut Board, view: &View, frame_us: i64| {
        let list = board.frame(Some(view), Link::Live, times(462_300, frame_us));
        let bars = list.items.iter().filter(|item| is(item, Kind::CellFill) || is(item, Kind::Count));
        bars.map(|item| item.bounds).collect::<Vec<_>>()
    };
    let (mut now, mut ahead) = (board([1920, 1080], Motion::Full), board([1920, 1080], Motion::Full));
    ahead.set_ahead_us(AHEAD_US);
    let at_rest = bars(&mut now, &view, 0);
    assert_eq!(bars(&mut ahead, &view, AHEAD_US), at_rest);
    let course = view.snapshot.courses[0].clone();
    let done = view.count(5).unwrap().done + 1;
    let lanes = vec![sample::count(&course, 5, done, Status::Racing)];
    view.apply(&Delta { lanes, ..sample::delta(11) }).unwrap();
    // The change comes to both at the same moment, 10 ms in.
    let first = bars(&mut now, &view, 10_000);
    assert_ne!(bars(&mut ahead, &view, 10_000 + AHEAD_US), first, "one is on its way already");
    for later_us in [20_000, 40_000, 90_000] {
        let seen = bars(&mut now, &view, later_us + AHEAD_US);
        assert_eq!(bars(&mut ahead, &view, later_us + AHEAD_US), seen, "{later_us}");
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

/// WCAG 2.2, 2.3.1: a call that is tapped and taken back again and again, quicker than any judge could, makes neither
/// a row nor a bar nor a badge flash more than three times in a second; nor do rounds of one tap.
#[test]
fn nothing_flashes_however_quickly_calls_are_taken_back() {
    let course = sample::course(sample::PARTS, 5);
    let units = course.units;
    let to_and_fro = [
        [(units - 6, Status::Racing), (units - 5, Status::Racing)],
        [(units - 1, Status::Racing), (units, Status::Finished)],
        [(units, Status::Finished), (units - 30, Status::Capped)],
    ];
    for name in fivemark_themes::names() {
        for pair in to_and_fro {
            for period_ms in [40, 90, 170, 230] {
                let theme = Rc::new(fivemark_themes::find(name).unwrap());
                let mut board = Board::new(theme, [1280, 720], Motion::Reduced);
                let lists = frames(&mut board, period_ms, |step| {
                    let lanes = [pair[step % 2], (10, Status::Racing)];
                    View::new(sample::snapshot(course.clone(), &lanes, State::Running, CLOCK))
                });
                for kind in [Kind::Row, Kind::CellFill, Kind::Badge] {
                    let levels: Vec<_> = lists.iter().filter_map(|list| level(list, kind)).collect();
                    let most = flash::most_transitions(&levels, 100);
                    assert!(most <= 6, "{name}: {kind:?} of {pair:?} every {period_ms} ms: {most}");
                }
            }
        }
    }
}

const CLOCK: Clock = Clock::Running { zero_at_ms: 0 };

/// Three seconds at a hundred frames a second; the view changes every `period_ms`.
fn frames(board: &mut Board, period_ms: i64, view: impl Fn(usize) -> View) -> Vec<DrawList> {
    let at = |frame: i64| {
        let view = view(usize::try_from(frame * 10 / period_ms).unwrap());
        board.frame(Some(&view), Link::Live, times(462_300, frame * 10_000)).clone()
    };
    (0..300).map(at).collect()
}

/// Luminance of the first box of a kind on the first lane.
fn level(list: &DrawList, kind: Kind) -> Option<f64> {
    list.items.iter().filter(|item| is(item, kind) && lane_of(item) == 1).find_map(|item| match &item.shape {
        Shape::Box(shape) => Some(contrast::luminance(Color(shape.fill_bottom.0))),
        _ => None,
    })
}

#[test]
fn rounds_of_one_tap_never_make_the_track_flash() {
    let mut board = board([1280, 720], Motion::Full);
    let lists = frames(&mut board, 60, |step| {
        let lanes = [(u32::try_from(step).unwrap() + 1, 223, Status::Racing)];
        View::new(sample::open_heat(Scoring::AmrapTotal, &lanes, State::Running, CLOCK))
    });
    // Whether the middle of the track is full: each time that it empties and fills is a flash.
    let full = |list: &DrawList| {
        let middle = 1280.0 * 0.45;
        list.items.iter().any(|item| match &item.shape {
            Shape::Box(shape) if is(item, Kind::CellFill) || is(item, Kind::Wrap) => {
                (shape.rect.x..shape.rect.x + shape.rect.w).contains(&middle)
            }
            _ => false,
        })
    };
    let levels: Vec<_> = lists.iter().map(|list| if full(list) { 1.0 } else { 0.0 }).collect();
    let most = flash::most_transitions(&levels, 100);
    assert!(most <= 6, "{most} transitions in a second");
}

#[test]
fn a_lane_whose_count_has_not_come_moves_no_other() {
    let whole = sample::nine();
    let mut view = whole.clone();
    view.snapshot.lanes.retain(|count| count.lane != 2);
    for first in [&whole, &view] {
        let mut board = board([1920, 1080], Motion::Full);
        board.frame(Some(first), Link::Live, times(462_300, 0));
        for frame_us in [1_000_000, 2_000_000] {
            board.frame(Some(&view), Link::Live, times(462_300, frame_us));
            assert!(board.next_change_us().is_some_and(|next_us| next_us > frame_us), "nothing moves");
            let names: Vec<_> = board.list.items.iter().filter(|item| is(item, Kind::Name)).collect();
            let lanes: Vec<_> = names.iter().map(|item| lane_of(item)).collect();
            assert_eq!(lanes, [1, 3, 4, 5, 6, 7, 8, 9]);
            for (name, lane) in names.iter().zip(lanes) {
                let row = board.measures.layout.rows[usize::try_from(lane).unwrap() - 1];
                let middle = name.bounds.y + name.bounds.h / 2.0;
                assert!(middle > row.y && middle < row.y + row.h, "lane {lane} has a row of its own");
            }
        }
    }
}
