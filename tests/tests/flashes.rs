//! No more than three flashes in any second, general or of saturated red, by the thresholds of WCAG 2.2 (2.3.1), in
//! pictures of whole stretches of heats at their real pace, in every theme: the countdown and the start, a field that
//! finishes within seconds, judges who call and take back as fast as they can, holds, the cap and what follows it; on boards
//! and on the overlay, whose parts and cards an operator shows and hides as fast as can be.

use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_engine::command::{Call, Floor, RulingKind, StatusRuling};
use fivemark_scene::{Board, Link, Motion, Overlay, Screen, Times, View};
use fivemark_tests::flash_count::FlashCount;
use fivemark_tests::rehearsal::{COUNTDOWN_MS, GO_MS, Rehearsal};
use fivemark_wire::from_feed::{Delta, Snapshot};
use fivemark_wire::shows::{Card, Duel, OverlayShows, Program, Shows, Step};
use fivemark_wire::view::NoRep;

const SIZE: [u32; 2] = [512, 288];
const FPS: u32 = 30;

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
    fn board(theme: &str) -> Watched {
        Watched::of(Box::new(Board::new(find(theme), SIZE, Motion::Full)))
    }

    /// On black: over a picture it differs less.
    fn overlay(theme: &str) -> Watched {
        Watched::of(Box::new(Overlay::new(find(theme), SIZE, Motion::Full)))
    }

    fn of(screen: Box<dyn Screen>) -> Watched {
        let gpu = Gpu::open().expect("there is an adapter");
        Watched {
            screen,
            renderer: Renderer::new(gpu, SIZE).expect("it draws"),
            count: FlashCount::new(SIZE, FPS),
            number: 0,
            frame: 0,
            pixels: Vec::new(),
        }
    }

    /// Plays on to a moment of feed time; `no_reps` says which lanes have one at a frame.
    fn watch(
        &mut self,
        heat: Rehearsal,
        from_ms: i64,
        to_ms: i64,
        no_reps: impl Fn(i64) -> Vec<u8>,
    ) -> Rehearsal {
        self.watch_shows(heat, from_ms, to_ms, no_reps, |_| Shows::default())
    }

    /// The same; `shows` says what screens are asked to show at a frame.
    fn watch_shows(
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

fn nobody(_: i64) -> Vec<u8> {
    Vec::new()
}

fn holds_in(theme: &str) {
    let mut watched = Watched::board(theme);
    watched.watch(field(), COUNTDOWN_MS - 1_000, GO_MS + 4_000, nobody);
    watched.passes("countdown and start");

    let mut watched = Watched::board(theme);
    let nearly_ms = GO_MS + 508_000;
    let heat = watched.watch(field(), nearly_ms, nearly_ms + 30_000, |at_ms| {
        // No-reps on every lane in turn, eight in a second.
        if at_ms / 33 % 4 == 0 {
            vec![u8::try_from(at_ms / 132 % 20 + 1).expect("under 21")]
        } else {
            Vec::new()
        }
    });
    let finished = heat.snapshot(nearly_ms + 30_000).heat.finished;
    assert!(finished >= 15, "a field finishes: {finished}");
    watched.passes("a field that finishes");

    let mut watched = Watched::board(theme);
    let from_ms = GO_MS + 5_000;
    let all = |at_ms: i64| if at_ms / 33 % 5 == 0 { (1..=10).collect() } else { Vec::new() };
    watched.watch(hostile(from_ms), from_ms - 1_000, from_ms + 11_000, all);
    watched.passes("judges who call and take back");

    let mut watched = Watched::board(theme);
    let cap_ms = GO_MS + 600_000;
    let mut heat = Rehearsal::of_heat(7).with_paces(&[(1, 900), (2, 1_100), (4, 1_200), (7, 970)]).started();
    let mut at_ms = cap_ms - 8_000;
    // Halts and goes on, reviews and reinstates, twice in a second.
    for round in 0..6 {
        let floor = if round % 2 == 0 { Floor::Hold } else { Floor::Resume };
        let status = if round % 2 == 0 { StatusRuling::UnderReview } else { StatusRuling::Reinstated };
        heat = heat.floor(at_ms, floor);
        for lane in 1..=8 {
            heat = heat.ruled(at_ms, lane, RulingKind::Status(status));
        }
        heat = watched.watch(heat, at_ms, at_ms + 500, nobody);
        at_ms += 500;
    }
    watched.watch(heat, at_ms, at_ms + 25_000, nobody);
    watched.passes("holds and the cap");

    for mut watched in [Watched::board(theme), Watched::overlay(theme)] {
        watched.watch_shows(field(), nearly_ms, nearly_ms + 5_000, nobody, restless);
        watched.passes("a restless operator");
    }

    let mut watched = Watched::overlay(theme);
    watched.watch_shows(field(), nearly_ms, nearly_ms + 25_000, nobody, |_| everything());
    watched.passes("a field that finishes, on the overlay");
    let mut watched = Watched::overlay(theme);
    watched.watch_shows(hostile(from_ms), from_ms - 1_000, from_ms + 11_000, all, |_| everything());
    watched.passes("judges who call and take back, on the overlay");
}

#[test]
fn dark_never_flashes() {
    holds_in("dark");
}

#[test]
fn light_never_flashes() {
    holds_in("light");
}

#[test]
fn contrast_never_flashes() {
    holds_in("contrast");
}
