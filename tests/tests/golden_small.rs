//! Every shape of board and every part of the overlay in every theme, small, in the states that look most different; and
//! what is under way while places change. Tolerance as for all golden frames (`fivemark_tests::golden`). Other states
//! and languages are kept as draw lists (`golden_lists.rs`).

use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::{Board, Link, Motion, Overlay, Screen, Times, View};
use fivemark_tests::between::{PEOPLE, standings};
use fivemark_tests::golden;
use fivemark_tests::states::{LATE_MS, State, every};
use fivemark_themes::LoadedTheme;
use fivemark_wire::shows::{Duel, OverlayShows, Program, Step};
use fivemark_wire::view::OrderRow;

const THEMES: [&str; 3] = ["dark", "light", "contrast"];
/// Wide boards have pictures of their own in every theme (`golden_frames.rs`).
const SHAPES: [(&str, [u32; 2]); 3] = [("tall", [216, 384]), ("strip", [768, 96]), ("square", [256, 256])];
const WIDE: [u32; 2] = [384, 216];
/// Of boards; the others differ from one of these in words and numbers only.
const SHOWN: [&str; 7] = [
    "on-deck",
    "countdown-last",
    "running-late",
    "held",
    "provisional",
    "rounds-last-minute",
    "lifts-running",
];
/// Of wide boards, which have no picture of their own.
const WIDE_SHOWN: [&str; 2] = ["lifts-running", "holds-running"];
const OVERLAY: [u32; 2] = [480, 270];
/// Of the overlay, with everything on.
const OVERLAY_SHOWN: [&str; 5] = ["countdown-last", "held", "provisional", "rounds-running", "lifts-running"];
const NONE: OverlayShows =
    OverlayShows { ribbon: false, rail: false, corner: false, duel: None, card: false };
const DUEL: Option<Duel> = Some(Duel { left: 2, right: 4 });
const ALL: OverlayShows = OverlayShows { ribbon: true, rail: true, corner: true, duel: DUEL, card: false };
/// Everything has come to rest, microseconds after the first frame.
const AT_REST_US: i64 = 10_000_000;

/// Draws pictures of one theme and size, one after the other.
struct Stage {
    theme: Rc<LoadedTheme>,
    size: [u32; 2],
    renderer: Renderer,
}

impl Stage {
    fn new(theme: &str, size: [u32; 2]) -> Stage {
        let theme = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
        let renderer = Renderer::new(Gpu::open().expect("there is an adapter"), size).expect("it draws");
        Stage { theme, size, renderer }
    }

    fn board(&self) -> Board {
        Board::new(Rc::clone(&self.theme), self.size, Motion::Full)
    }

    fn overlay(&self) -> Overlay {
        Overlay::new(Rc::clone(&self.theme), self.size, Motion::Full)
    }

    /// Checks a screen as its last frame left it.
    fn check(&mut self, name: &str, screen: &mut dyn Screen) {
        let (list, fonts) = screen.parts();
        self.renderer.draw(list, fonts).expect("it is drawn");
        let pixels = self.renderer.pixels().expect("it is read");
        golden::check(&format!("small/{name}"), pixels.size, &pixels.rgba);
    }

    fn check_state(&mut self, name: &str, screen: &mut dyn Screen, state: &State, shows: OverlayShows) {
        let mut view = View::new(state.snapshot.clone());
        view.snapshot.shows.overlay = shows;
        rest(screen, &view, state.at_ms);
        self.check(name, screen);
    }
}

fn frame(screen: &mut dyn Screen, view: &View, at_ms: i64, frame_us: i64) {
    screen.frame(Some(view), Link::Live, Times { feed_us: at_ms * 1_000, frame_us, speed_milli: 1_000 });
}

/// Shows a view until everything is at rest.
fn rest(screen: &mut dyn Screen, view: &View, at_ms: i64) {
    [0, AT_REST_US].into_iter().for_each(|frame_us| frame(screen, view, at_ms, frame_us));
}

#[test]
fn boards_of_every_shape_and_theme() {
    let states = every();
    for theme in THEMES {
        for (shape, size) in SHAPES {
            let mut stage = Stage::new(theme, size);
            for state in states.iter().filter(|state| SHOWN.contains(&state.name)) {
                let mut board = stage.board();
                let name = format!("{shape}-{}-{theme}", state.name);
                stage.check_state(&name, &mut board, state, NONE);
            }
        }
    }
}

#[test]
fn attempts_and_holds_on_wide_boards() {
    let states = every();
    for theme in THEMES {
        let mut stage = Stage::new(theme, WIDE);
        for state in states.iter().filter(|state| WIDE_SHOWN.contains(&state.name)) {
            let mut board = stage.board();
            stage.check_state(&format!("wide-{}-{theme}", state.name), &mut board, state, NONE);
        }
    }
}

#[test]
fn parts_of_the_overlay_in_every_theme() {
    let states = every();
    let late = states.iter().find(|state| state.name == "running-late").expect("a state");
    for theme in THEMES {
        let mut stage = Stage::new(theme, OVERLAY);
        for (part, shows) in [
            ("ribbon", OverlayShows { ribbon: true, ..NONE }),
            ("rail", OverlayShows { rail: true, ..NONE }),
            ("corner", OverlayShows { corner: true, ..NONE }),
            ("duel", OverlayShows { duel: DUEL, ..NONE }),
        ] {
            let mut overlay = stage.overlay();
            stage.check_state(&format!("overlay-{part}-{theme}"), &mut overlay, late, shows);
        }
        for state in states.iter().filter(|state| OVERLAY_SHOWN.contains(&state.name)) {
            let mut overlay = stage.overlay();
            stage.check_state(&format!("overlay-{}-{theme}", state.name), &mut overlay, state, ALL);
        }
        let mut view = View::new(late.snapshot.clone());
        let steps = vec![Step { for_ms: 0, card: standings(&PEOPLE) }];
        view.snapshot.shows.board = Program { since_ms: LATE_MS - 1_000, again: false, steps };
        view.snapshot.shows.overlay = OverlayShows { card: true, ..NONE };
        let mut overlay = stage.overlay();
        rest(&mut overlay, &view, LATE_MS);
        stage.check(&format!("overlay-card-{theme}"), &mut overlay);
    }
}

/// Exchanges the places of the lanes that are second and third.
fn swapped(order: &mut [OrderRow]) {
    let lanes = order.iter().enumerate().filter(|(_, row)| row.place == 2 || row.place == 3);
    let [first, second] = lanes.map(|(at, _)| at).collect::<Vec<_>>()[..] else { panic!("two lanes") };
    let (one, two) = (order[first], order[second]);
    (order[first].place, order[second].place) = (two.place, one.place);
    (order[first].division_place, order[second].division_place) = (two.division_place, one.division_place);
}

/// A tenth of a second after two lanes have changed places.
#[test]
fn a_swap_of_places_under_way() {
    let State { at_ms, snapshot, .. } =
        every().into_iter().find(|state| state.name == "running-early").expect("a state");
    let mut view = View::new(snapshot);
    view.snapshot.shows.overlay = ALL;
    let mut after = view.clone();
    swapped(&mut after.snapshot.order);
    for theme in THEMES {
        let under_way = |name: &str, stage: &mut Stage, screen: &mut dyn Screen| {
            rest(screen, &view, at_ms);
            for later_us in [16_000, 116_000] {
                frame(screen, &after, at_ms, AT_REST_US + later_us);
            }
            stage.check(&format!("{name}-swap-{theme}"), screen);
        };
        let mut stage = Stage::new(theme, OVERLAY);
        let mut overlay = stage.overlay();
        under_way("overlay", &mut stage, &mut overlay);
        let mut stage = Stage::new(theme, WIDE);
        let mut board = stage.board();
        under_way("wide", &mut stage, &mut board);
    }
}

/// The overlay's parts on their way in, and on their way out.
#[test]
fn parts_that_come_and_go() {
    let late = every().into_iter().find(|state| state.name == "running-late").expect("a state");
    let mut view = View::new(late.snapshot);
    let mut stage = Stage::new("dark", OVERLAY);
    let mut overlay = stage.overlay();
    rest(&mut overlay, &view, LATE_MS);
    view.snapshot.shows.overlay = ALL;
    for later_us in [0, 120_000] {
        frame(&mut overlay, &view, LATE_MS, AT_REST_US + later_us);
    }
    stage.check("overlay-coming-dark", &mut overlay);
    frame(&mut overlay, &view, LATE_MS, 2 * AT_REST_US);
    view.snapshot.shows.overlay = NONE;
    for later_us in [0, 120_000] {
        frame(&mut overlay, &view, LATE_MS, 2 * AT_REST_US + later_us);
    }
    stage.check("overlay-going-dark", &mut overlay);
}
