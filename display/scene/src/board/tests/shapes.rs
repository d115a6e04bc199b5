//! Boards of every shape: what each layout promises, and that the table of texts says what is drawn.

use std::collections::HashMap;

use fivemark_wire::from_feed::Delta;
use fivemark_wire::view::{Clock, Scoring, State, Status, Unit};

use super::super::*;
use super::{board, kind_of, texts, times};
use crate::layouts::{Content, Layout, Shape};
use crate::legibility::{TextRole, fit_table};
use crate::paint::Kind;
use crate::sample;

/// A heat with long names in which every kind of text is on the board: gaps, `4 to go`, a no-rep, a finish.
fn busy(lanes: usize) -> View {
    let course = sample::course(sample::PARTS, 5);
    let units = course.units;
    let counts: Vec<_> = (0..lanes)
        .map(|index| match index % 5 {
            _ if lanes > 1 && index == 1 => (units, Status::Finished),
            0 => (units - 4, Status::Racing),
            2 => (units - 420, Status::Racing),
            3 => (units - 60, Status::Capped),
            _ => (300 + u32::try_from(index).unwrap(), Status::Racing),
        })
        .collect();
    let clock = Clock::Running { zero_at_ms: 0 };
    let mut view = View::new(sample::snapshot(course, &counts, State::Running, clock));
    for entry in &mut view.snapshot.entries {
        entry.name = "Maria Vasconcelos de Albuquerque".into();
        (entry.given, entry.family) = ("Maria".into(), "Vasconcelos de Albuquerque".into());
    }
    view
}

/// Per cent of the height of what is drawn, by kind: the least and the most.
fn drawn(size: [u32; 2], lanes: usize) -> HashMap<u64, (f32, f32)> {
    let mut view = busy(lanes);
    let mut board = board(size, Motion::Full);
    board.frame(Some(&view), Link::Live, times(462_300, 0));
    view.apply(&Delta { no_reps: vec![sample::no_rep(1, 462_300)], ..sample::delta(11) }).unwrap();
    let list = board.frame(Some(&view), Link::Live, times(462_300, 1)).clone();
    let mut heights: HashMap<u64, (f32, f32)> = HashMap::new();
    for (item, text) in texts(&list) {
        let cap = text.text.cap_height;
        let (least, most) = heights.entry(kind_of(item)).or_insert((f32::MAX, 0.0));
        (*least, *most) = (least.min(cap), most.max(cap));
    }
    heights
}

#[test]
fn the_shape_of_a_size_picks_the_layout() {
    for (size, shape) in [
        ([1920, 1080], Shape::Wide),
        ([1024, 768], Shape::Wide),
        ([2560, 1080], Shape::Wide),
        ([1080, 1920], Shape::Tall),
        ([1000, 1000], Shape::Tall),
        ([3840, 1080], Shape::Strip),
        ([640, 160], Shape::Strip),
        ([7680, 240], Shape::Strip),
    ] {
        assert_eq!(Shape::of(size), shape, "{size:?}");
    }
}

/// Least heights in per cent of the screen's height that the heads of the layouts promise for up to ten lanes.
#[test]
fn towers_and_strips_keep_what_they_promise() {
    let tall = [
        (Kind::Clock, 11.0),
        (Kind::Count, 3.0),
        (Kind::Place, 3.2),
        (Kind::Name, 1.8),
        (Kind::TagText, 1.0),
        (Kind::Gap, 1.0),
    ];
    let strip = [
        (Kind::Clock, 40.0),
        (Kind::Count, 16.0),
        (Kind::Place, 14.0),
        (Kind::Name, 6.3),
        (Kind::TagText, 5.8),
        (Kind::Gap, 5.8),
    ];
    let sizes = [
        ([1080, 1920], &tall, 1.7),
        ([720, 1280], &tall, 1.7),
        ([3840, 360], &strip, 6.5),
        ([2560, 256], &strip, 6.5),
        ([1920, 192], &strip, 6.5),
    ];
    for (size, promised, line) in sizes {
        for lanes in 1..=10 {
            let heights = drawn(size, lanes);
            let percent = |cap: f32| cap / f32::from(u16::try_from(size[1]).unwrap()) * 100.0;
            // Sizes are kept to quarters of a pixel.
            let slack = percent(0.13);
            for (kind, least) in promised {
                if let Some((small, large)) = heights.get(&u64::from(*kind as u16)) {
                    // Long results are set smaller than counts.
                    let found = percent(if *kind == Kind::Count { *large } else { *small });
                    assert!(
                        found >= least - slack,
                        "{lanes} lanes at {size:?}: {kind:?} {found} under {least}"
                    );
                }
            }
            for (kind, (found, _)) in &heights {
                let header = [Kind::Cap, Kind::Subtitle].iter().any(|of| u64::from(*of as u16) == *kind);
                let found = percent(*found);
                assert!(!header || found >= line - slack, "{lanes} lanes at {size:?}: a line of {found}");
            }
            assert!(heights.contains_key(&u64::from(Kind::Clock as u16)));
            assert!(heights.contains_key(&u64::from(Kind::NoRepText as u16)));
        }
    }
}

#[test]
fn every_number_of_lanes_has_a_row_for_each_that_lies_on_the_board() {
    let form = fivemark_themes::find("dark").unwrap().form;
    for size in super::SIZES {
        for lanes in 1..=crate::layouts::MAX_LANES {
            let layout = Layout::new(size, Content { lanes, ..Content::default() }, &form);
            assert_eq!(layout.rows.len(), lanes, "{size:?}");
            for (index, row) in layout.rows.iter().enumerate() {
                let inside = row.x >= layout.rows_area.x - 0.5
                    && row.y >= layout.rows_area.y - 0.5
                    && row.x + row.w <= layout.rows_area.x + layout.rows_area.w + 0.5
                    && row.y + row.h <= layout.rows_area.y + layout.rows_area.h + 1.5;
                assert!(inside, "{lanes} lanes at {size:?}: {row:?} leaves {:?}", layout.rows_area);
                let met = layout.rows[..index].iter().any(|other| super::meet(*row, *other));
                assert!(!met, "{lanes} lanes at {size:?}: {row:?} lies on another");
            }
            let m = &layout.row;
            let track = m.track_right - m.track_left;
            assert!(track > 0.14 * m.width, "{lanes} lanes at {size:?}: the track stays a track");
            assert!(m.count_cap >= m.name_cap, "{lanes} lanes at {size:?}: a count is read before a name");
        }
    }
}

#[test]
fn a_count_of_seven_figures_stands_on_every_board() {
    const UNITS: u32 = 1_000_000;
    let for_time = |lanes: usize| {
        let mut course = sample::course(&[(UNITS, Unit::Rep, 1, 1_000)], 5);
        course.score_units = UNITS;
        let counts = vec![(UNITS - 6, Status::Racing); lanes];
        sample::snapshot(course, &counts, State::Running, Clock::Running { zero_at_ms: 0 })
    };
    let open = |lanes: usize| {
        let counts = vec![(UNITS / 24, 9, Status::Racing); lanes];
        let clock = Clock::Running { zero_at_ms: 0 };
        let mut snapshot = sample::open_heat(Scoring::AmrapTotal, &counts, State::Running, clock);
        snapshot.courses[0].score_units = UNITS;
        snapshot
    };
    let mut board = board(super::SIZES[0], Motion::Reduced);
    for lanes in 1..=crate::layouts::MAX_LANES {
        for view in [View::new(for_time(lanes)), View::new(open(lanes))] {
            for size in super::SIZES {
                board.resize(size);
                let list = board.frame(Some(&view), Link::Live, times(462_300, 0));
                let rows = list.items.iter().filter(|item| super::is(item, Kind::Row)).count();
                assert_eq!(rows, lanes, "{size:?}");
            }
        }
    }
}

/// Whoever rents a wall by the table of texts gets what it says: the heights are those of the texts that are drawn.
#[test]
fn the_table_of_texts_says_what_is_drawn() {
    let theme = fivemark_themes::find("dark").unwrap();
    let kinds = |role: TextRole| match role {
        TextRole::Clock => vec![Kind::Clock],
        TextRole::Count => vec![Kind::Count],
        TextRole::Place => vec![Kind::Place],
        TextRole::Name | TextRole::LongName => vec![Kind::Name],
        TextRole::LaneNumber => vec![Kind::LaneNumber],
        TextRole::Tag => vec![Kind::Gap, Kind::NoRepText],
        TextRole::Title => vec![Kind::Title, Kind::Left],
        TextRole::HeaderLine => vec![Kind::Subtitle, Kind::Cap],
    };
    for size in super::SIZES {
        for lanes in [1, 3, 5, 10, 13, 20, 30, 40] {
            let heights = drawn(size, lanes);
            for row in fit_table(size, lanes, &theme, 3000.0, 40_000.0) {
                for kind in kinds(row.role) {
                    let Some((least, most)) = heights.get(&u64::from(kind as u16)) else { continue };
                    #[allow(clippy::cast_possible_truncation)] // pixels
                    let told = row.cap_px as f32;
                    let (least, most) = (*least, *most);
                    let words = format!("{lanes} lanes at {size:?}: {kind:?} {least} to {most}, told {told}");
                    match row.role {
                        // What is told is the least that a name is set at before it is shortened.
                        TextRole::LongName => assert!(least >= told - 0.13, "{words}"),
                        // Long names are set smaller, long results too; none is larger than told.
                        TextRole::Name => assert!(most <= told + 0.13, "{words}"),
                        _ => assert!((most - told).abs() <= 0.13, "{words}"),
                    }
                }
            }
        }
    }
}
