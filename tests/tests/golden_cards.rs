//! Every card between heats, in small, in each theme on a wide screen and in one on a tower and a strip, against
//! pictures in the tree. Tolerance as for boards (`fivemark_tests::golden`).

use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::{Board, Link, Motion, Screen, Times, View};
use fivemark_tests::between::{PEOPLE, countdown, event, next_heat, results, standings, words};
use fivemark_tests::golden;
use fivemark_tests::rehearsal::Rehearsal;
use fivemark_wire::shows::{Card, Program, Shows, Step};

const WIDE: [u32; 2] = [640, 360];
const TALL: [u32; 2] = [360, 640];
const STRIP: [u32; 2] = [960, 150];
/// Feed time of every picture, milliseconds.
const AT_MS: i64 = 1_000_000;

/// Draws cards of one size and theme, one after the other, on one renderer.
struct Stage {
    board: Board,
    renderer: Renderer,
    view: View,
    frame_us: i64,
    name: &'static str,
}

impl Stage {
    fn new(name: &'static str, theme: &str, size: [u32; 2]) -> Self {
        let theme = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
        let renderer = Renderer::new(Gpu::open().expect("there is an adapter"), size).expect("it draws");
        let view = View::new(Rehearsal::of_heat(7).snapshot(AT_MS));
        Self { board: Board::new(theme, size, Motion::Full), renderer, view, frame_us: 0, name }
    }

    /// Checks a card that has been shown for `within_ms`.
    fn check(&mut self, card: &str, shown: Card, within_ms: i64) {
        let steps = vec![Step { for_ms: 0, card: shown }];
        let board = Program { since_ms: AT_MS - within_ms, again: false, steps };
        *self.view.snapshot.shows = Shows { board, ..Shows::default() };
        // Once as it comes, and once when it has come to rest.
        for after_us in [0, 1_000_000] {
            self.frame_us += after_us;
            let times = Times { feed_us: AT_MS * 1_000, frame_us: self.frame_us, speed_milli: 1_000 };
            self.board.frame(Some(&self.view), Link::Live, times);
        }
        let (list, fonts) = self.board.parts();
        self.renderer.draw(list, fonts).expect("it is drawn");
        let pixels = self.renderer.pixels().expect("it is read");
        golden::check(&format!("card-{}-{card}", self.name), pixels.size, &pixels.rgba);
    }

    /// Every card.
    fn check_all(mut self) {
        self.check("next-heat", next_heat(&PEOPLE, 10, Some(AT_MS + 252_000)), 1_000);
        self.check("next-heat-twenty", next_heat(&PEOPLE, 20, None), 1_000);
        self.check("results", results(&PEOPLE, false), 1_000);
        self.check("results-official", results(&PEOPLE, true), 1_000);
        self.check("standings", standings(&PEOPLE), 1_000);
        self.check("standings-second-page", standings(&PEOPLE), 9_000);
        self.check("event", event(), 1_000);
        self.check("words", words(), 1_000);
        self.check("countdown", countdown(AT_MS + 754_200), 1_000);
    }
}

#[test]
fn cards_on_a_wide_screen() {
    Stage::new("dark", "dark", WIDE).check_all();
    Stage::new("light", "light", WIDE).check_all();
    Stage::new("contrast", "contrast", WIDE).check_all();
}

#[test]
fn cards_on_a_tower() {
    let mut tall = Stage::new("tall", "dark", TALL);
    tall.check("next-heat", next_heat(&PEOPLE, 10, None), 1_000);
    tall.check("standings", standings(&PEOPLE), 1_000);
    tall.check("event", event(), 1_000);
    tall.check("words", words(), 1_000);
    tall.check("countdown", countdown(AT_MS + 5_025_000), 1_000);
}

#[test]
fn cards_on_a_strip() {
    let mut strip = Stage::new("strip", "dark", STRIP);
    strip.check("next-heat", next_heat(&PEOPLE, 10, Some(AT_MS + 252_000)), 1_000);
    strip.check("results", results(&PEOPLE, false), 1_000);
    strip.check("standings", standings(&PEOPLE), 1_000);
    strip.check("event", event(), 1_000);
    strip.check("words", words(), 1_000);
    strip.check("countdown", countdown(AT_MS), 1_000);
}
