//! Every two states of a lane, of a heat and of a row on a card look different on every kind of screen in every theme: in
//! rendered pixels, by shape in light alone, or by colour for every common kind of eyes, and without the words and figures
//! that are read beside them. Where words alone tell two states, that is said here (`fivemark_tests::apart` says how).

use std::fmt::Debug;
use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::draw::{DrawList, Rect, Shape};
use fivemark_scene::{Board, Link, Motion, Overlay, Screen, Times, View};
use fivemark_tests::apart::Patch;
use fivemark_tests::between::{PEOPLE, results, standings};
use fivemark_tests::states::{LATE_MS, every};
use fivemark_themes::LoadedTheme;
use fivemark_wire::shows::{Card, Duel, OverlayShows, Program, Step};
use fivemark_wire::view::{Clock, LaneResult, State, Status};

const THEMES: [&str; 3] = ["dark", "light", "contrast"];
const BOARDS: [(&str, [u32; 2]); 4] =
    [("wide", [960, 540]), ("tall", [540, 960]), ("strip", [1280, 360]), ("square", [600, 600])];
const OVERLAY: [u32; 2] = [1280, 720];
/// The lane that is looked at, and the one beside it in a duel.
const LANE: u8 = 4;
const OTHER: u8 = 5;
/// Units of the course that are left on it: two of five blocks are full.
const LEFT: u32 = 3;

/// States of a lane, each of one that has done the same work.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Lane {
    Racing,
    Leading,
    LastFive,
    LeadingLastFive,
    Finished,
    Capped,
    Out,
    UnderReview,
    Empty,
}

const LANES: [Lane; 9] = [
    Lane::Racing,
    Lane::Leading,
    Lane::LastFive,
    Lane::LeadingLastFive,
    Lane::Finished,
    Lane::Capped,
    Lane::Out,
    Lane::UnderReview,
    Lane::Empty,
];

/// Rows of one line have no track: there a lane that is out says so in words alone.
const WORDS_ALONE: [(&str, Lane, Lane); 2] =
    [("Rail", Lane::Racing, Lane::Out), ("Corner", Lane::Racing, Lane::Out)];

/// States of a heat that the clock's cell of the overlay tells by words alone, and of which boards have more to show.
const ALIKE: [State; 3] = [State::Running, State::TimeCalled, State::Cancelled];

impl Lane {
    /// A heat that runs, with the lane in this state at first place; `alone` stops all other lanes, so that the overlay's
    /// parts show this one first in every state.
    fn view(self, alone: bool) -> View {
        let late = every().into_iter().find(|state| state.name == "running-late").expect("a state");
        let mut view = View::new(late.snapshot);
        let snapshot = &mut view.snapshot;
        let leads = matches!(self, Lane::Leading | Lane::LeadingLastFive);
        snapshot.heat.first_on_floor = if leads {
            LANE
        } else if alone {
            0
        } else {
            OTHER
        };
        let before = snapshot.order.iter().find(|row| row.lane == LANE).map_or(0, |row| row.place);
        for row in &mut snapshot.order {
            if row.place == 1 {
                row.place = before;
            }
            if row.lane == LANE {
                (row.place, row.gap_units, row.gap_ms) = (1, None, None);
            }
        }
        let units = snapshot.courses[0].units;
        for lane in &mut snapshot.lanes {
            if lane.lane == LANE {
                lane.done = units - LEFT;
                (lane.status, lane.result, lane.to_go) = (self.status(), self.result(), None);
                lane.to_go = matches!(self, Lane::LastFive | Lane::LeadingLastFive).then_some(LEFT);
            } else if alone && lane.status != Status::Empty {
                (lane.status, lane.result, lane.to_go) = (Status::Capped, Lane::Capped.result(), None);
            }
        }
        if self == Lane::Empty {
            let entries = snapshot.entries.iter_mut().filter(|entry| entry.lane == LANE);
            entries.for_each(|entry| (entry.name, entry.bib) = (String::new(), String::new()));
        }
        view
    }

    fn status(self) -> Status {
        match self {
            Lane::Racing | Lane::Leading | Lane::LastFive | Lane::LeadingLastFive => Status::Racing,
            Lane::Finished => Status::Finished,
            Lane::Capped => Status::Capped,
            Lane::Out => Status::DidNotFinish,
            Lane::UnderReview => Status::UnderReview,
            Lane::Empty => Status::Empty,
        }
    }

    fn result(self) -> Option<LaneResult> {
        let text = match self {
            Lane::Finished => "8:21.4",
            Lane::Capped => "131 of 134",
            Lane::Out => "DNF",
            _ => return None,
        };
        let text = text.to_owned();
        Some(LaneResult { text, official_ms: None, penalty_ms: None, credit_ms: None })
    }
}

/// Draws screens of one theme and size.
struct Stage {
    theme: Rc<LoadedTheme>,
    size: [u32; 2],
    renderer: Renderer,
}

/// A frame: its pixels with and without what is written, and its draw list.
struct Frame {
    list: DrawList,
    plain: Vec<u8>,
    written: Vec<u8>,
}

impl Stage {
    fn new(theme: &str, size: [u32; 2]) -> Stage {
        let theme = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
        let renderer = Renderer::new(Gpu::open().expect("there is an adapter"), size).expect("it draws");
        Stage { theme, size, renderer }
    }

    fn board(&mut self, view: &View) -> Frame {
        let mut board = Board::new(Rc::clone(&self.theme), self.size, Motion::Full);
        self.draw(&mut board, view)
    }

    fn overlay(&mut self, view: &mut View, shows: OverlayShows) -> Frame {
        view.snapshot.shows.overlay = shows;
        let mut overlay = Overlay::new(Rc::clone(&self.theme), self.size, Motion::Full);
        self.draw(&mut overlay, view)
    }

    /// A screen at rest.
    fn draw(&mut self, screen: &mut dyn Screen, view: &View) -> Frame {
        for frame_us in [0, 10_000_000] {
            let times = Times { feed_us: LATE_MS * 1_000, frame_us, speed_milli: 1_000 };
            screen.frame(Some(view), Link::Live, times);
        }
        let (list, fonts) = screen.parts();
        let mut plain = list.clone();
        plain.items.retain(|item| !matches!(item.shape, Shape::Text(_)));
        let mut pixels = |list: &DrawList| {
            self.renderer.draw(list, fonts).expect("it is drawn");
            self.renderer.pixels().expect("it is read").rgba
        };
        Frame { plain: pixels(&plain), written: pixels(list), list: list.clone() }
    }
}

impl Frame {
    /// Where the row of a lane lies in a part of the screen.
    fn row(&self, part: &str, lane: u8) -> Rect {
        self.item(&format!("{part}/{lane}/Row/0"))
            .unwrap_or_else(|| panic!("{part} has a row for lane {lane}"))
    }

    fn item(&self, key: &str) -> Option<Rect> {
        self.list.items.iter().find(|item| item.key.to_string() == key).map(|item| item.bounds)
    }

    /// What it shows in a rectangle: its shapes alone, and with what is written.
    fn cut(&self, rect: Rect) -> [Patch; 2] {
        let [width, height] = self.list.size.map(|side| usize::try_from(side).expect("a side"));
        let cut = |from: f32, to: f32, most: usize| {
            let from = length(from.max(0.0).floor()).min(most);
            (from, length(to.ceil()).min(most) - from)
        };
        let (left, w) = cut(rect.x, rect.x + rect.w, width);
        let (top, h) = cut(rect.y, rect.y + rect.h, height);
        [&self.plain, &self.written].map(|pixels| Patch::cut(pixels, width, [left, top, w, h]))
    }
}

/// The smallest rectangle around two.
fn around([one, other]: [Rect; 2]) -> Rect {
    let (x, y) = (one.x.min(other.x), one.y.min(other.y));
    let right = (one.x + one.w).max(other.x + other.w);
    let bottom = (one.y + one.h).max(other.y + other.h);
    Rect { x, y, w: right - x, h: bottom - y }
}

/// Pixels of an edge that are as long as a side.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // pixels of a screen
fn length(side: f32) -> usize {
    side as usize
}

/// All pairs.
fn pairs<T>(all: &[T]) -> impl Iterator<Item = (&T, &T)> {
    all.iter().enumerate().flat_map(|(at, one)| all[at + 1..].iter().map(move |other| (one, other)))
}

/// Holds every two states apart: without words, but for those in `alike`, which differ once words are there.
fn differ<S: Copy + Debug>(
    what: &str,
    looks: &[(S, [Patch; 2])],
    length: usize,
    alike: impl Fn(S, S) -> bool,
) {
    for ((one, [plain, written]), (other, [other_plain, other_written])) in pairs(looks) {
        let words = alike(*one, *other);
        let told = plain.is_told_from(other_plain, length);
        assert!(
            told != words,
            "{what} shows {one:?} and {other:?} by words alone: {words}; {:?}",
            plain.told_from(other_plain)
        );
        assert!(written.is_told_from(other_written, length), "{what} shows {one:?} as {other:?}");
    }
}

/// Holds every two states of a lane apart in a part of the screen.
fn lanes_differ(what: &str, part: &str, frames: &[(Lane, Frame)]) {
    let row = frames[0].1.row(part, LANE);
    let cut = |(lane, frame): &(Lane, Frame)| {
        assert_eq!(frame.row(part, LANE), row, "{what}: {part} has {lane:?} elsewhere");
        (*lane, frame.cut(row))
    };
    let looks: Vec<_> = frames.iter().map(cut).collect();
    let alike = |one, other| WORDS_ALONE.contains(&(part, one, other));
    differ(&format!("{what}: {part}"), &looks, length(row.h), alike);
}

#[test]
fn states_of_a_lane_differ_on_every_board() {
    for theme in THEMES {
        for (shape, size) in BOARDS {
            let mut stage = Stage::new(theme, size);
            let frames: Vec<_> = LANES.map(|lane| (lane, stage.board(&lane.view(false)))).into();
            lanes_differ(&format!("{theme} {shape}"), "Board", &frames);
        }
    }
}

#[test]
fn states_of_a_lane_differ_in_every_part_of_the_overlay() {
    let duel = Some(Duel { left: LANE, right: OTHER });
    let all = OverlayShows { ribbon: true, rail: true, corner: true, duel, card: false };
    for theme in THEMES {
        let mut stage = Stage::new(theme, OVERLAY);
        // An empty lane is in no part.
        let lanes = LANES.into_iter().filter(|lane| *lane != Lane::Empty);
        let frames: Vec<_> = lanes.map(|lane| (lane, stage.overlay(&mut lane.view(true), all))).collect();
        for part in ["Card", "Rail", "Corner", "Duel"] {
            lanes_differ(&format!("{theme} overlay"), part, &frames);
        }
    }
}

/// Holds states of a heat apart in a rectangle of the screen.
fn heats_differ(what: &str, frames: &[(State, Frame)], rect: Rect, alike: &[State]) {
    let looks: Vec<_> = frames.iter().map(|(state, frame)| (*state, frame.cut(rect))).collect();
    let alike = |one, other| alike.contains(&one) && alike.contains(&other);
    differ(what, &looks, length(rect.w.min(rect.h) / 10.0), alike);
}

/// The same moment in each state; the clock stands where it stands.
fn heats() -> [(State, View); 6] {
    use State::{Cancelled, Held, Provisional, Running, Signed, TimeCalled};
    [Running, Held, TimeCalled, Provisional, Signed, Cancelled].map(|state| {
        let mut view = Lane::Racing.view(false);
        view.snapshot.heat.state = state;
        view.snapshot.heat.clock = Clock::Stopped { elapsed_ms: 510_000 };
        (state, view)
    })
}

#[test]
fn states_of_a_heat_differ_on_every_screen() {
    let corner = OverlayShows { ribbon: false, rail: false, corner: true, duel: None, card: false };
    for theme in THEMES {
        for (shape, size) in BOARDS {
            let mut stage = Stage::new(theme, size);
            let frames: Vec<_> = heats().map(|(state, view)| (state, stage.board(&view))).into();
            let [w, h] = size.map(|side| f32::from(u16::try_from(side).expect("a small screen")));
            heats_differ(&format!("{theme} {shape}"), &frames, Rect { x: 0.0, y: 0.0, w, h }, &[]);
        }
        let mut stage = Stage::new(theme, OVERLAY);
        let frames: Vec<_> =
            heats().map(|(state, mut view)| (state, stage.overlay(&mut view, corner))).into();
        let cell = frames[0].1.item("CornerClock/0/Plate/0").expect("a cell");
        heats_differ(&format!("{theme} overlay"), &frames, cell, &ALIKE);
    }
}

/// A board that shows a card.
fn card(stage: &mut Stage, card: Card) -> Frame {
    let mut view = Lane::Racing.view(false);
    let steps = vec![Step { for_ms: 0, card }];
    view.snapshot.shows.board = Program { since_ms: LATE_MS - 1_000, again: false, steps };
    stage.board(&view)
}

#[test]
fn rows_and_heads_of_cards_differ() {
    for theme in THEMES {
        for (shape, size) in BOARDS {
            let what = format!("{theme} {shape} card");
            let mut stage = Stage::new(theme, size);
            let [provisional, official] =
                [false, true].map(|official| card(&mut stage, results(&PEOPLE, official)));
            let plates =
                [&provisional, &official].map(|frame| frame.item("Board/240/StatePlate/0").expect("a plate"));
            let plate = around(plates);
            let told = provisional.cut(plate)[0].told_from(&official.cut(plate)[0]);
            assert!(told.by_shape(length(plate.h)) && told.by_color(), "{what}: official {told:?}");

            let changed = |stage: &mut Stage, change: fn(&mut Card)| {
                let mut changed = standings(&PEOPLE);
                change(&mut changed);
                card(stage, changed)
            };
            let as_it_is = changed(&mut stage, |_| {});
            let row = as_it_is.row("Board", 128);
            let stopped = changed(&mut stage, |card| first(card, |row| row.finished = false));
            let told = as_it_is.cut(row)[0].told_from(&stopped.cut(row)[0]);
            assert!(told.by_shape(length(row.h)) || told.by_color(), "{what}: not finished {told:?}");
            let unsigned = changed(&mut stage, |card| first(card, |row| row.provisional = true));
            let told = as_it_is.cut(row)[0].told_from(&unsigned.cut(row)[0]);
            assert!(told.by_shape(length(row.h)), "{what}: provisional {told:?}");
        }
    }
}

/// Changes the first row of a standing.
fn first(card: &mut Card, change: impl Fn(&mut fivemark_wire::shows::StandingRow)) {
    if let Card::Standings(standings) = card {
        standings.rows.iter_mut().take(1).for_each(change);
    }
}
