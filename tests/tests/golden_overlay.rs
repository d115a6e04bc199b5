//! The overlay's parts in the states of a heat, in every theme, over nothing, against pictures in the tree. Tolerance: at
//! most 0.1 % of the pixels may differ by more than 2 in a channel (`fivemark_tests::golden`).

use std::rc::Rc;

use fivemark_display::still::draw_screen;
use fivemark_engine::command::Floor;
use fivemark_scene::{Motion, Overlay, View};
use fivemark_tests::golden;
use fivemark_tests::rehearsal::{COUNTDOWN_MS, GO_MS, Rehearsal};
use fivemark_wire::shows::{Duel, OverlayShows};

const TEN: [(u8, i64); 9] =
    [(1, 800), (2, 860), (3, 780), (4, 840), (5, 900), (6, 955), (7, 788), (8, 880), (10, 1_050)];
const ROUNDS: [(u8, i64); 8] =
    [(1, 870), (2, 1_000), (3, 760), (4, 915), (5, 1_001), (6, 1_190), (7, 780), (8, 2_600)];
const WIDE: [u32; 2] = [640, 360];
const TALL: [u32; 2] = [360, 640];
const LATE_MS: i64 = GO_MS + 510_000;
const SETTLED_MS: i64 = GO_MS + 611_000;
const NONE: OverlayShows =
    OverlayShows { ribbon: false, rail: false, corner: false, duel: None, card: false };
const RIBBON: OverlayShows = OverlayShows { ribbon: true, ..NONE };
const ALL: OverlayShows =
    OverlayShows { ribbon: true, rail: true, corner: true, duel: Some(Duel { left: 2, right: 4 }), ..NONE };

fn ten_lanes() -> Rehearsal {
    Rehearsal::of_heat(7).with_paces(&TEN)
}

fn check(
    name: &str,
    theme: &str,
    (rehearsal, at_ms): (&Rehearsal, i64),
    shows: OverlayShows,
    size: [u32; 2],
) {
    let mut view = View::new(rehearsal.snapshot(at_ms));
    view.snapshot.shows.overlay = shows;
    let theme = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
    let mut overlay = Overlay::new(theme, size, Motion::Full);
    let pixels = draw_screen(&mut overlay, &view, Some(at_ms), size).expect("software Vulkan draws");
    golden::check(name, pixels.size, &pixels.rgba);
}

#[test]
fn everything_at_once_in_the_last_five() {
    let late = ten_lanes().started().played_to(LATE_MS);
    check("overlay-all", "dark", (&late, LATE_MS), ALL, WIDE);
    check("overlay-all-light", "light", (&late, LATE_MS), ALL, WIDE);
    check("overlay-all-contrast", "contrast", (&late, LATE_MS), ALL, WIDE);
    check("overlay-all-tall", "dark", (&late, LATE_MS), ALL, TALL);
}

#[test]
fn the_ribbon_before_the_start() {
    let on_deck = ten_lanes().floor(COUNTDOWN_MS - 30_000, Floor::OnDeck);
    check("overlay-on-deck", "dark", (&on_deck, COUNTDOWN_MS - 20_000), RIBBON, WIDE);
    let countdown = ten_lanes().started().played_to(COUNTDOWN_MS + 3_400);
    check("overlay-countdown", "dark", (&countdown, COUNTDOWN_MS + 3_400), RIBBON, WIDE);
}

#[test]
fn the_ribbon_while_the_heat_runs() {
    for (name, ms) in [("overlay-early", 150_000), ("overlay-last-minute", 575_000)] {
        let running = ten_lanes().started().played_to(GO_MS + ms);
        check(name, "dark", (&running, GO_MS + ms), RIBBON, WIDE);
    }
    let held = ten_lanes().started().floor(LATE_MS, Floor::Hold).played_to(LATE_MS + 5_000);
    check("overlay-held", "light", (&held, LATE_MS + 5_000), RIBBON, WIDE);
}

#[test]
fn everything_after_the_heat() {
    let settled = ten_lanes().started().played_to(SETTLED_MS);
    check("overlay-provisional", "dark", (&settled, SETTLED_MS), ALL, WIDE);
    check("overlay-provisional-light", "light", (&settled, SETTLED_MS), ALL, WIDE);
}

#[test]
fn rounds() {
    let at_ms = GO_MS + 160_000;
    let rounds = Rehearsal::of_heat(9).with_paces(&ROUNDS).started().played_to(at_ms);
    check("overlay-rounds", "dark", (&rounds, at_ms), ALL, WIDE);
}

#[test]
fn twenty_lanes_of_two_divisions() {
    let paces: Vec<(u8, i64)> = (1..=20).map(|lane| (lane, 770 + i64::from(lane * 7 % 20) * 17)).collect();
    let twenty = Rehearsal::of_heat(8).with_paces(&paces).started().played_to(LATE_MS);
    check("overlay-twenty", "dark", (&twenty, LATE_MS), ALL, WIDE);
    check("overlay-twenty-tall", "light", (&twenty, LATE_MS), ALL, TALL);
}
