//! No more than three flashes in any second, general or of saturated red, by the thresholds of WCAG 2.2 (2.3.1), in
//! pictures of whole stretches of heats at their real pace, in every theme: the countdown and the start, a lead that
//! changes eight times a second, a field that finishes within seconds, judges who call and take back as fast as they can,
//! holds, the cap and what follows it; on wide, tall and strip boards and on the overlay, upright too, whose parts and cards
//! an operator shows and hides as fast as can be.

use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_engine::command::{Call, Floor, RulingKind, StatusRuling};
use fivemark_scene::{Board, Link, Motion, Overlay, Screen, Times, View};
use fivemark_tests::flash_count::FlashCount;
use fivemark_tests::rehearsal::{COUNTDOWN_MS, GO_MS, Rehearsal};
use fivemark_wire::from_feed::{Delta, Snapshot};
use fivemark_wire::shows::{Card, Duel, OverlayShows, Program, Shows, Step};
use fivemark_wire::view::NoRep;

const WIDE: [u32; 2] = [512, 288];
const TALL: [u32; 2] = [216, 384];
/// 32:9.
const STRIP: [u32; 2] = [512, 144];
const THEMES: [&str; 3] = ["dark", "light", "contrast"];
const FPS: u32 = 30;
/// The field of twenty is about to finish.
const NEARLY_MS: i64 = GO_MS + 508_000;

/// A picture that is looked at from frame to frame.
struct Watched {
    screen: Box<dyn Screen>,
    renderer: Renderer,
    count: FlashCount,
    number: u64,
    frame: i64,
    pixels: Vec<u8>,
}

impl Watched {
    fn board(theme: &str, size: [u32; 2]) -> Watched {
        Watched::of(Box::new(Board::new(find(theme), size, Motion::Full)), size)
    }

    /// On black: over a picture it differs less.
    fn overlay(theme: &str, size: [u32; 2]) -> Watched {
        Watched::of(Box::new(Overlay::new(find(theme), size, Motion::Full)), size)
    }

    fn of(screen: Box<dyn Screen>, size: [u32; 2]) -> Watched {
        let gpu = Gpu::open().expect("there is an adapter");
        Watched {
            screen,
            renderer: Renderer::new(gpu, size).expect("it draws"),
            count: FlashCount::new(size, FPS),
            number: 0,
            frame: 0,
            pixels: Vec::new(),
        }
    }

    /// Plays on to a moment of feed time; `no_reps` says which lanes have one at a frame, `shows` what screens are asked to
    /// show.
    fn watch(
        &mut self,
        mut heat: Rehearsal,
        from_ms: i64,
        to_ms: i64,
        no_reps: impl Fn(i64) -> Vec<u8>,
        shows: impl Fn(i64) -> Shows,
    ) -> Rehearsal {
        let step = |frame: i64| from_ms + frame * 1_000 / i64::from(FPS);
        let mut view = None;
        for at_ms in (0..).map(step).take_while(|at_ms| *at_ms < to_ms) {
            heat = heat.played_to(at_ms);
            self.number += 1;
            let shows = Box::new(shows(at_ms));
            let snapshot = Snapshot { number: self.number, shows, ..heat.snapshot(at_ms) };
            let view = view.get_or_insert_with(|| View::new(snapshot.clone()));
            view.snapshot = snapshot;
            for lane in no_reps(at_ms) {
                self.number += 1;
                let no_rep = NoRep { lane, fault: "depth".into(), partial: false, at_ms };
                let delta: Delta = serde_json::from_value(serde_json::json!({
                    "number": self.number, "at_ms": at_ms, "no_reps": [no_rep],
                }))
                .expect("a delta");
                view.apply(&delta).expect("it runs on");
            }
            self.draw(view, at_ms);
        }
        heat
    }

    fn draw(&mut self, view: &View, at_ms: i64) {
        self.frame += 1;
        let frame_us = self.frame * 1_000_000 / i64::from(FPS);
        let times = Times { feed_us: at_ms * 1_000, frame_us, speed_milli: 1_000 };
        self.screen.frame(Some(view), Link::Live, times);
        let (list, fonts) = self.screen.parts();
        if self.renderer.draw(list, fonts).expect("it is drawn").rects > 0 {
            self.pixels = self.renderer.pixels().expect("it is read").rgba;
        }
        self.count.take(&self.pixels, 4);
    }

    fn passes(&self, what: &str) {
        let (general, red) = (self.count.general(), self.count.red());
        assert!(general.passes(), "{what}: {general:?}");
        assert!(red.passes(), "{what}, red: {red:?}");
    }
}

fn find(theme: &str) -> Rc<fivemark_themes::LoadedTheme> {
    Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"))
}

/// Everything that an overlay has.
fn everything() -> Shows {
    let duel = Some(Duel { left: 3, right: 7 });
    let overlay = OverlayShows { ribbon: true, rail: true, corner: true, duel, card: false };
    Shows { overlay, ..Shows::default() }
}

/// Parts that come and go eight times in a second, and cards that take turns as often.
fn restless(at_ms: i64) -> Shows {
    let on = at_ms / 66 % 2 == 0;
    let words = |title: &str| Card::Words { title: title.into(), text: "Doors open at nine.".into() };
    let steps =
        ["Welcome", "Please keep the floor clear"].map(|title| Step { for_ms: 60, card: words(title) });
    let heat = Step { for_ms: 60, card: Card::Heat };
    let board = Program { since_ms: 0, again: true, steps: steps.into_iter().chain([heat]).collect() };
    let all = everything().overlay;
    let overlay =
        OverlayShows { ribbon: on, rail: !on, corner: on, duel: all.duel.filter(|_| on), card: !on };
    Shows { board, overlay, ..Shows::default() }
}

/// Twenty lanes that finish within seconds of one another.
fn field() -> Rehearsal {
    let paces: Vec<(u8, i64)> = (1..=20).map(|lane| (lane, 800 + i64::from(lane * 7 % 20))).collect();
    Rehearsal::of_heat(8).with_paces(&paces).started()
}

/// Ten lanes whose judges, from this moment on, call ten times a second.
fn hostile(from_ms: i64) -> Rehearsal {
    let mut heat = Rehearsal::of_heat(7);
    let calls = |lane: u8| {
        let kinds: &[Call] = match lane % 3 {
            0 => &[Call::Good, Call::Undo],
            1 => &[Call::Good, Call::LastWasNoRep, Call::Good, Call::Undo],
            _ => &[Call::Good, Call::Good, Call::Undo, Call::Undo],
        };
        let every = |(index, call): (i64, &Call)| (from_ms + index * 100 + i64::from(lane) * 7, *call);
        (0..).zip(kinds.iter().cycle().take(100)).map(every).collect::<Vec<_>>()
    };
    let lanes: Vec<u8> = heat
        .snapshot(0)
        .entries
        .iter()
        .filter(|entry| !entry.bib.is_empty())
        .map(|entry| entry.lane)
        .collect();
    for lane in &lanes {
        heat = heat.with_calls(*lane, calls(*lane));
    }
    heat = heat.started();
    let units = heat.snapshot(0).courses[0].units;
    for lane in lanes {
        // One short of the end, or two, or at the door of the last five.
        let done = units - [1, 2, 6][usize::from(lane / 3 % 3)];
        heat = heat.ruled(GO_MS + 1_000, lane, RulingKind::SetCount { done, finish: None });
    }
    heat
}

/// Ten lanes of which five take turns with the other five to lead, eight times in a second.
fn rivals() -> Rehearsal {
    let mut heat = Rehearsal::of_heat(7);
    for lane in 1..=10 {
        // After a first one, two calls at a time: each pair of calls passes the rival's.
        let (first, later_ms) = if lane % 2 == 1 { (1, 0) } else { (0, 125) };
        let calls = (0..80).map(|index| (GO_MS + 1_000 + later_ms + (index + first) / 2 * 250, Call::Good));
        heat = heat.with_calls(lane, calls);
    }
    heat.started()
}

fn nobody(_: i64) -> Vec<u8> {
    Vec::new()
}

/// Every stretch of a heat, each on a screen of its own that `screen` makes and that is asked for `shows`.
fn heats_hold(what: &str, screen: impl Fn() -> Watched, shows: impl Fn(i64) -> Shows + Copy) {
    let passes = |watched: &Watched, stretch: &str| watched.passes(&format!("{what}: {stretch}"));
    let mut watched = screen();
    watched.watch(field(), COUNTDOWN_MS - 1_000, GO_MS + 4_000, nobody, shows);
    passes(&watched, "countdown and start");

    let mut watched = screen();
    let heat = watched.watch(rivals(), GO_MS, GO_MS + 11_000, nobody, shows);
    let most = heat.snapshot(GO_MS + 11_000).lanes.iter().map(|lane| lane.done).max();
    assert!(most > Some(500), "they work: {most:?}");
    passes(&watched, "a lead that changes");

    let mut watched = screen();
    let heat = watched.watch(field(), NEARLY_MS, NEARLY_MS + 30_000, no_reps_in_turn, shows);
    let finished = heat.snapshot(NEARLY_MS + 30_000).heat.finished;
    assert!(finished >= 15, "a field finishes: {finished}");
    passes(&watched, "a field that finishes");

    let mut watched = screen();
    let from_ms = GO_MS + 5_000;
    let all = |at_ms: i64| if at_ms / 33 % 5 == 0 { (1..=10).collect() } else { Vec::new() };
    watched.watch(hostile(from_ms), from_ms - 1_000, from_ms + 11_000, all, shows);
    passes(&watched, "judges who call and take back");

    let mut watched = screen();
    holds_and_cap(&mut watched, shows);
    passes(&watched, "holds and the cap");

    let mut watched = screen();
    watched.watch(field(), NEARLY_MS, NEARLY_MS + 5_000, nobody, restless);
    passes(&watched, "a restless operator");
}

/// No-reps on every lane in turn, eight in a second.
fn no_reps_in_turn(at_ms: i64) -> Vec<u8> {
    if at_ms / 33 % 4 == 0 { vec![u8::try_from(at_ms / 132 % 20 + 1).expect("under 21")] } else { Vec::new() }
}

/// Halts and goes on, reviews and reinstates, twice in a second, and then the cap and what follows it.
fn holds_and_cap(watched: &mut Watched, shows: impl Fn(i64) -> Shows + Copy) {
    let cap_ms = GO_MS + 600_000;
    let mut heat = Rehearsal::of_heat(7).with_paces(&[(1, 900), (2, 1_100), (4, 1_200), (7, 970)]).started();
    let mut at_ms = cap_ms - 8_000;
    for round in 0..6 {
        let floor = if round % 2 == 0 { Floor::Hold } else { Floor::Resume };
        let status = if round % 2 == 0 { StatusRuling::UnderReview } else { StatusRuling::Reinstated };
        heat = heat.floor(at_ms, floor);
        for lane in 1..=8 {
            heat = heat.ruled(at_ms, lane, RulingKind::Status(status));
        }
        heat = watched.watch(heat, at_ms, at_ms + 500, nobody, shows);
        at_ms += 500;
    }
    watched.watch(heat, at_ms, at_ms + 25_000, nobody, shows);
}

fn board_holds(theme: &str, size: [u32; 2]) {
    heats_hold(&format!("{theme} board of {size:?}"), || Watched::board(theme, size), |_| Shows::default());
}

fn overlay_holds(theme: &str, size: [u32; 2]) {
    heats_hold(&format!("{theme} overlay of {size:?}"), || Watched::overlay(theme, size), |_| everything());
}

#[test]
fn wide_boards_never_flash() {
    THEMES.into_iter().for_each(|theme| board_holds(theme, WIDE));
}

#[test]
fn towers_never_flash() {
    THEMES.into_iter().for_each(|theme| board_holds(theme, TALL));
}

#[test]
fn strips_never_flash() {
    THEMES.into_iter().for_each(|theme| board_holds(theme, STRIP));
}

#[test]
fn overlays_never_flash() {
    THEMES.into_iter().for_each(|theme| overlay_holds(theme, WIDE));
}

#[test]
fn upright_overlays_never_flash() {
    THEMES.into_iter().for_each(|theme| overlay_holds(theme, TALL));
}
