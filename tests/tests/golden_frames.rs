//! The board at 1280×720 in every state of the clock, dark and light, and with 20 lanes, and at 640×360 in high contrast,
//! in other languages and scripts, against pictures in the tree. Tolerance:
//! at most 0.1 % of the pixels may differ by more than 2 in a channel (`fivemark_tests::golden`).

use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_display::still::{draw_still, draw_still_on};
use fivemark_engine::command::{Floor, Penalty, RulingKind, StatusRuling};
use fivemark_engine::ids::LaneNo;
use fivemark_engine::time::SpanMs;
use fivemark_scene::{Background, Board, Link, Motion, Screen, Times, View, Words};
use fivemark_tests::golden;
use fivemark_tests::rehearsal::{COUNTDOWN_MS, GO_MS, Rehearsal};
use fivemark_wire::from_feed::Delta;
use fivemark_wire::view::NoRep;

/// Ten lanes, one of them empty: from first to last under the cap, and two that the cap stops.
const TEN: [(u8, i64); 9] =
    [(1, 800), (2, 860), (3, 780), (4, 840), (5, 900), (6, 955), (7, 788), (8, 880), (10, 1_050)];
/// Elapsed 8:30: one lane has finished, two are in the last five.
const LATE_MS: i64 = GO_MS + 510_000;
/// The cap of 10:00.
const CAP_MS: i64 = GO_MS + 600_000;
const SIZE: [u32; 2] = [1280, 720];
const SMALL: [u32; 2] = [640, 360];
/// Late calls have been waited for.
const SETTLED_MS: i64 = CAP_MS + 10_000;

fn ten_lanes() -> Rehearsal {
    Rehearsal::of_heat(7).with_paces(&TEN)
}

fn check(name: &str, rehearsal: &Rehearsal, at_ms: i64) {
    check_view(name, &View::new(rehearsal.snapshot(at_ms)), at_ms);
}

/// The same states in the light theme.
fn check_light(name: &str, rehearsal: &Rehearsal, at_ms: i64) {
    check_theme("light", name, &View::new(rehearsal.snapshot(at_ms)), at_ms);
}

fn check_view(name: &str, view: &View, at_ms: i64) {
    check_theme("dark", name, view, at_ms);
}

fn check_theme(theme: &str, name: &str, view: &View, at_ms: i64) {
    let theme = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
    let pixels = draw_still(view, Some(at_ms), theme, SIZE).expect("software Vulkan draws");
    golden::check(name, pixels.size, &pixels.rgba);
}

/// The states again in the high-contrast theme, small.
fn check_contrast(name: &str, rehearsal: &Rehearsal, at_ms: i64) {
    let theme = Rc::new(fivemark_themes::find("contrast").expect("the theme is bundled"));
    let view = View::new(rehearsal.snapshot(at_ms));
    let pixels = draw_still(&view, Some(at_ms), theme, SMALL).expect("software Vulkan draws");
    golden::check(name, pixels.size, &pixels.rgba);
}

#[test]
fn lanes_set() {
    check("lanes-set", &ten_lanes(), COUNTDOWN_MS - 40_000);
}

#[test]
fn on_deck() {
    check("on-deck", &ten_lanes().floor(COUNTDOWN_MS - 30_000, Floor::OnDeck), COUNTDOWN_MS - 20_000);
}

#[test]
fn countdown() {
    check("countdown", &ten_lanes().started().played_to(COUNTDOWN_MS + 3_400), COUNTDOWN_MS + 3_400);
}

#[test]
fn countdown_last_seconds() {
    check("countdown-last", &ten_lanes().started().played_to(GO_MS - 1_800), GO_MS - 1_800);
}

#[test]
fn running_early() {
    check("running-early", &ten_lanes().started().played_to(GO_MS + 150_000), GO_MS + 150_000);
}

#[test]
fn running_in_the_last_five() {
    check("running-late", &ten_lanes().started().played_to(LATE_MS), LATE_MS);
}

#[test]
fn no_rep_tags() {
    let mut view = View::new(ten_lanes().started().played_to(LATE_MS).snapshot(LATE_MS));
    let no_rep = |lane, fault: &str, partial| NoRep { lane, fault: fault.into(), partial, at_ms: LATE_MS };
    let delta = Delta {
        number: view.snapshot.number + 1,
        at_ms: LATE_MS,
        heat: None,
        lanes: Vec::new(),
        order: Vec::new(),
        no_reps: vec![no_rep(2, "jump", true), no_rep(6, "chin under the bar", false), no_rep(10, "", false)],
        rulings: Vec::new(),
        journal_ok: None,
        shows: None,
    };
    view.apply(&delta).expect("the delta runs on");
    // A still waits until everything is at rest; a no-rep has gone by then.
    let theme = Rc::new(fivemark_themes::find("dark").expect("the theme is bundled"));
    let mut renderer = Renderer::new(Gpu::open().expect("there is an adapter"), SIZE).expect("it draws");
    let mut board = Board::new(theme, SIZE, Motion::Full);
    let feed_us = (LATE_MS + 500) * 1_000;
    for frame_us in [0, 500_000] {
        board.frame(Some(&view), Link::Live, Times { feed_us, frame_us, speed_milli: 1_000 });
    }
    let (list, fonts) = board.parts();
    renderer.draw(list, fonts).expect("it is drawn");
    let pixels = renderer.pixels().expect("it is read");
    golden::check("no-rep-tags", pixels.size, &pixels.rgba);
}

#[test]
fn running_with_twenty_lanes_of_two_divisions() {
    let paces: Vec<(u8, i64)> = (1..=20).map(|lane| (lane, 770 + i64::from(lane * 7 % 20) * 17)).collect();
    let heat = Rehearsal::of_heat(8).with_paces(&paces).started().played_to(LATE_MS);
    check("running-twenty", &heat, LATE_MS);
}

#[test]
fn held() {
    let held = ten_lanes().started().floor(LATE_MS, Floor::Hold).played_to(LATE_MS + 5_000);
    check("held", &held, LATE_MS + 5_000);
}

#[test]
fn time_called() {
    check("time-called", &ten_lanes().started().played_to(CAP_MS + 1_000), CAP_MS + 1_000);
}

#[test]
fn provisional_with_rulings() {
    let ruled = ten_lanes()
        .started()
        .played_to(SETTLED_MS)
        .ruled(SETTLED_MS + 1_000, 1, RulingKind::Penalty(Penalty::Time(SpanMs(10_000))))
        .ruled(SETTLED_MS + 2_000, 8, RulingKind::Status(StatusRuling::UnderReview))
        .ruled(SETTLED_MS + 3_000, 10, RulingKind::Status(StatusRuling::DidNotFinish));
    check("provisional", &ruled, SETTLED_MS + 4_000);
}

#[test]
fn signed() {
    let signed = ten_lanes()
        .started()
        .played_to(SETTLED_MS)
        .floor(SETTLED_MS + 5_000, Floor::Sign { initials: false });
    check("signed", &signed, SETTLED_MS + 6_000);
}

#[test]
fn cancelled() {
    let cancelled = ten_lanes().started().floor(LATE_MS, Floor::Cancel);
    check("cancelled", &cancelled, LATE_MS + 1_000);
}

#[test]
fn light_before_the_start() {
    check_light(
        "light-on-deck",
        &ten_lanes().floor(COUNTDOWN_MS - 30_000, Floor::OnDeck),
        COUNTDOWN_MS - 20_000,
    );
    let counting = ten_lanes().started().played_to(GO_MS - 1_800);
    check_light("light-countdown-last", &counting, GO_MS - 1_800);
}

#[test]
fn light_running() {
    check_light("light-running-early", &ten_lanes().started().played_to(GO_MS + 150_000), GO_MS + 150_000);
    check_light("light-running-late", &ten_lanes().started().played_to(LATE_MS), LATE_MS);
    let held = ten_lanes().started().floor(LATE_MS, Floor::Hold).played_to(LATE_MS + 5_000);
    check_light("light-held", &held, LATE_MS + 5_000);
}

#[test]
fn light_after_the_cap() {
    check_light("light-time-called", &ten_lanes().started().played_to(CAP_MS + 1_000), CAP_MS + 1_000);
    let signed = ten_lanes()
        .started()
        .played_to(SETTLED_MS)
        .floor(SETTLED_MS + 5_000, Floor::Sign { initials: false });
    check_light("light-signed", &signed, SETTLED_MS + 6_000);
}

/// Eight lanes of as many rounds as possible; lanes 2 and 5 do the same work, and a tie-break time parts them.
const ROUNDS: [(u8, i64); 8] =
    [(1, 870), (2, 1_000), (3, 760), (4, 915), (5, 1_001), (6, 1_190), (7, 780), (8, 2_600)];

fn rounds(at_ms: i64) -> Rehearsal {
    Rehearsal::of_heat(9).with_paces(&ROUNDS).started().played_to(at_ms)
}

#[test]
fn rounds_before_the_start() {
    let on_deck = Rehearsal::of_heat(9).floor(COUNTDOWN_MS - 30_000, Floor::OnDeck);
    check("rounds-on-deck", &on_deck, COUNTDOWN_MS - 20_000);
}

#[test]
fn rounds_under_way() {
    check("rounds-running", &rounds(GO_MS + 160_000), GO_MS + 160_000);
    check_light("light-rounds-running", &rounds(GO_MS + 160_000), GO_MS + 160_000);
}

#[test]
fn rounds_in_the_last_minute() {
    check("rounds-last-minute", &rounds(GO_MS + 441_700), GO_MS + 441_700);
    check_light("light-rounds-last-minute", &rounds(GO_MS + 441_700), GO_MS + 441_700);
}

#[test]
fn rounds_after_the_window() {
    let settled_ms = GO_MS + 490_000;
    check("rounds-provisional", &rounds(settled_ms), settled_ms + 1_000);
}

#[test]
fn three_lanes_that_start_one_after_the_other() {
    let three = || Rehearsal::of_heat(10).with_paces(&[(1, 800), (2, 820), (3, 790)]).started();
    check("starts-apart", &three().played_to(GO_MS + 41_500), GO_MS + 41_500);
    check_light("light-three", &three().played_to(LATE_MS), LATE_MS);
}

#[test]
fn one_lane_that_runs_again() {
    let again_ms = SETTLED_MS + 60_000;
    let reason = "the rower's monitor failed".to_owned();
    let again = ten_lanes()
        .started()
        .played_to(SETTLED_MS)
        .floor(again_ms, Floor::RerunLane { lane: LaneNo(4), reason })
        .floor(again_ms + 10_000, Floor::StartCountdown)
        .with_run(4, 800, 2, again_ms + 20_000);
    check("lane-again", &again.played_to(again_ms + 220_000), again_ms + 220_000);
}

#[test]
fn a_clock_in_doubt_and_credited_time() {
    let ruled = ten_lanes()
        .started()
        .played_to(SETTLED_MS)
        .floor(SETTLED_MS + 500, Floor::DoubtClock)
        .ruled(SETTLED_MS + 1_000, 2, RulingKind::Credit(SpanMs(12_500)))
        .ruled(SETTLED_MS + 2_000, 6, RulingKind::Credit(SpanMs(20_000)));
    check("clock-in-doubt", &ruled, SETTLED_MS + 4_000);
}

#[test]
fn contrast_before_the_start() {
    let set_ms = COUNTDOWN_MS - 40_000;
    check_contrast("contrast-lanes-set", &ten_lanes(), set_ms);
    let on_deck = ten_lanes().floor(COUNTDOWN_MS - 30_000, Floor::OnDeck);
    check_contrast("contrast-on-deck", &on_deck, COUNTDOWN_MS - 20_000);
    let counting = |at_ms| ten_lanes().started().played_to(at_ms);
    check_contrast("contrast-countdown", &counting(COUNTDOWN_MS + 3_400), COUNTDOWN_MS + 3_400);
    check_contrast("contrast-countdown-last", &counting(GO_MS - 1_800), GO_MS - 1_800);
}

#[test]
fn contrast_running() {
    let running = |at_ms| ten_lanes().started().played_to(at_ms);
    check_contrast("contrast-running-early", &running(GO_MS + 150_000), GO_MS + 150_000);
    check_contrast("contrast-running-late", &running(LATE_MS), LATE_MS);
    check_contrast("contrast-rounds-last-minute", &rounds(GO_MS + 441_700), GO_MS + 441_700);
    let held = ten_lanes().started().floor(LATE_MS, Floor::Hold).played_to(LATE_MS + 5_000);
    check_contrast("contrast-held", &held, LATE_MS + 5_000);
    let cancelled = ten_lanes().started().floor(LATE_MS, Floor::Cancel);
    check_contrast("contrast-cancelled", &cancelled, LATE_MS + 1_000);
}

#[test]
fn contrast_after_the_cap() {
    check_contrast("contrast-time-called", &ten_lanes().started().played_to(CAP_MS + 1_000), CAP_MS + 1_000);
    let settled = || ten_lanes().started().played_to(SETTLED_MS);
    let ruled = settled().ruled(SETTLED_MS + 2_000, 8, RulingKind::Status(StatusRuling::UnderReview));
    check_contrast("contrast-provisional", &ruled, SETTLED_MS + 4_000);
    let signed = settled().floor(SETTLED_MS + 5_000, Floor::Sign { initials: false });
    check_contrast("contrast-signed", &signed, SETTLED_MS + 6_000);
}

#[test]
fn other_languages_and_scripts() {
    let mut view = View::new(ten_lanes().started().played_to(SETTLED_MS).snapshot(SETTLED_MS + 4_000));
    for (entry, (given, family)) in
        view.snapshot.entries.iter_mut().zip([("דנה", "אלון"), ("ليلى", "حداد"), ("Ελένη", "Βάρδα")])
    {
        (entry.given, entry.family) = (given.into(), family.into());
        entry.name = format!("{given} {family}");
    }
    for language in ["es", "de"] {
        let theme = Rc::new(fivemark_themes::find("light").expect("the theme is bundled"));
        let ground = (Background::Theme, Words::of(language).expect("the language is there"));
        let pixels = draw_still_on(ground, &view, None, theme, SMALL).expect("software Vulkan draws");
        golden::check(&format!("language-{language}"), pixels.size, &pixels.rgba);
    }
}
