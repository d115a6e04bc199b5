//! Boards on walls of every shape, small: towers, strips, squares and 40 lanes, in the states that differ most, dark
//! and light; and the test card. Tolerance as for all golden frames (`fivemark_tests::golden`).

use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_display::still::draw_still;
use fivemark_engine::command::Floor;
use fivemark_scene::{Board, Link, Motion, Screen, TestCard, Times, View};
use fivemark_tests::golden;
use fivemark_tests::rehearsal::{COUNTDOWN_MS, GO_MS, Rehearsal};
use fivemark_wire::from_feed::{Delta, Snapshot};
use fivemark_wire::view::{LaneCount, NoRep, OrderRow};

const TEN: [(u8, i64); 9] =
    [(1, 800), (2, 860), (3, 780), (4, 840), (5, 900), (6, 955), (7, 788), (8, 880), (10, 1_050)];
const ROUNDS: [(u8, i64); 8] =
    [(1, 870), (2, 1_000), (3, 760), (4, 915), (5, 1_001), (6, 1_190), (7, 780), (8, 2_600)];
/// Elapsed 8:30: one lane has finished, two are in the last five.
const LATE_MS: i64 = GO_MS + 510_000;
/// The cap of 10:00.
const CAP_MS: i64 = GO_MS + 600_000;
/// The last minute of the rounds' window.
const LAST_MINUTE_MS: i64 = GO_MS + 441_700;

const TALL: [u32; 2] = [360, 640];
const STRIP: [u32; 2] = [1280, 128];
const SQUARE: [u32; 2] = [480, 480];
const WIDE: [u32; 2] = [640, 360];

fn ten() -> Rehearsal {
    Rehearsal::of_heat(7).with_paces(&TEN)
}

fn late() -> Rehearsal {
    ten().started().played_to(LATE_MS)
}

/// Twenty lanes of two divisions, taken twice where more are wanted.
fn lanes(lanes: u8, at_ms: i64) -> Snapshot {
    let paces: Vec<(u8, i64)> = (1..=20).map(|lane| (lane, 770 + i64::from(lane * 7 % 20) * 17)).collect();
    let heat = Rehearsal::of_heat(8).with_paces(&paces).started().played_to(at_ms);
    let mut snapshot = heat.snapshot(at_ms);
    for lane in 21..=lanes.max(20) {
        let at = usize::from(lane) - 21;
        let entry = fivemark_wire::view::LaneEntry { lane, ..snapshot.entries[at].clone() };
        snapshot.entries.push(entry);
        snapshot.lanes.push(LaneCount { lane, ..snapshot.lanes[at].clone() });
        let row = snapshot.order[at];
        snapshot.order.push(OrderRow {
            lane,
            place: row.place + 20,
            division_place: row.division_place + 10,
            ..row
        });
    }
    let most = usize::from(lanes);
    snapshot.entries.truncate(most);
    snapshot.lanes.truncate(most);
    snapshot.order.truncate(most);
    snapshot
}

fn check(name: &str, size: [u32; 2], theme: &str, snapshot: Snapshot, at_ms: i64) {
    let theme = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
    let pixels = draw_still(&View::new(snapshot), Some(at_ms), theme, size).expect("software Vulkan draws");
    golden::check(name, pixels.size, &pixels.rgba);
}

/// Draws a picture as it stands after frames at these times, milliseconds.
fn check_screen(
    name: &str,
    screen: &mut dyn Screen,
    size: [u32; 2],
    view: Option<&View>,
    link: Link,
    at_ms: i64,
) {
    for frame_us in [0, 500_000] {
        let feed_us = at_ms * 1_000 + frame_us;
        screen.frame(view, link, Times { feed_us, frame_us, speed_milli: 1_000 });
    }
    let mut renderer = Renderer::new(Gpu::open().expect("there is an adapter"), size).expect("it draws");
    let (list, fonts) = screen.parts();
    renderer.draw(list, fonts).expect("it is drawn");
    let pixels = renderer.pixels().expect("it is read");
    golden::check(name, pixels.size, &pixels.rgba);
}

/// What goes wrong at once: no-reps, and then nothing more from the feed, which had stopped recording.
fn trouble(name: &str, size: [u32; 2]) {
    let mut snapshot = late().snapshot(LATE_MS);
    snapshot.journal_ok = false;
    let mut view = View::new(snapshot);
    let no_rep = |lane, fault: &str| NoRep { lane, fault: fault.into(), partial: false, at_ms: LATE_MS };
    let delta = Delta {
        number: view.snapshot.number + 1,
        at_ms: LATE_MS,
        heat: None,
        lanes: Vec::new(),
        order: Vec::new(),
        no_reps: vec![no_rep(2, "jump"), no_rep(6, "chin under the bar"), no_rep(10, "")],
        rulings: Vec::new(),
        journal_ok: None,
        shows: None,
    };
    let theme = Rc::new(fivemark_themes::find("dark").expect("the theme is bundled"));
    let mut board = Board::new(theme, size, Motion::Full);
    let link = Link::Lost { age_ms: 12_000 };
    board.frame(Some(&view), link, Times { feed_us: LATE_MS * 1_000, frame_us: -1, speed_milli: 1_000 });
    view.apply(&delta).expect("the delta runs on");
    check_screen(name, &mut board, size, Some(&view), link, LATE_MS);
}

#[test]
fn towers() {
    check("tall-running", TALL, "dark", late().snapshot(LATE_MS), LATE_MS);
    check("tall-light-running", TALL, "light", late().snapshot(LATE_MS), LATE_MS);
    let on_deck = ten().floor(COUNTDOWN_MS - 30_000, Floor::OnDeck);
    check("tall-on-deck", TALL, "dark", on_deck.snapshot(COUNTDOWN_MS), COUNTDOWN_MS);
    let counting = ten().started().played_to(GO_MS - 1_800);
    check("tall-countdown", TALL, "dark", counting.snapshot(GO_MS - 1_800), GO_MS - 1_800);
    let held = ten().started().floor(LATE_MS, Floor::Hold).played_to(LATE_MS + 5_000);
    check("tall-held", TALL, "light", held.snapshot(LATE_MS + 5_000), LATE_MS + 5_000);
    let called = ten().started().played_to(CAP_MS + 1_000);
    check("tall-time-called", TALL, "dark", called.snapshot(CAP_MS + 1_000), CAP_MS + 1_000);
    check("tall-twenty", TALL, "dark", lanes(20, LATE_MS), LATE_MS);
    check("tall-forty", TALL, "light", lanes(40, LATE_MS), LATE_MS);
    let rounds = Rehearsal::of_heat(9).with_paces(&ROUNDS).started().played_to(LAST_MINUTE_MS);
    check("tall-rounds", TALL, "dark", rounds.snapshot(LAST_MINUTE_MS), LAST_MINUTE_MS);
    trouble("tall-trouble", TALL);
}

#[test]
fn strips() {
    check("strip-running", STRIP, "dark", late().snapshot(LATE_MS), LATE_MS);
    check("strip-light-running", STRIP, "light", late().snapshot(LATE_MS), LATE_MS);
    let counting = ten().started().played_to(GO_MS - 1_800);
    check("strip-countdown", STRIP, "dark", counting.snapshot(GO_MS - 1_800), GO_MS - 1_800);
    let held = ten().started().floor(LATE_MS, Floor::Hold).played_to(LATE_MS + 5_000);
    check("strip-held", STRIP, "light", held.snapshot(LATE_MS + 5_000), LATE_MS + 5_000);
    let called = ten().started().played_to(CAP_MS + 1_000);
    check("strip-time-called", STRIP, "dark", called.snapshot(CAP_MS + 1_000), CAP_MS + 1_000);
    check("strip-twenty", STRIP, "dark", lanes(20, LATE_MS), LATE_MS);
    check("strip-forty", STRIP, "light", lanes(40, LATE_MS), LATE_MS);
    let rounds = Rehearsal::of_heat(9).with_paces(&ROUNDS).started().played_to(LAST_MINUTE_MS);
    check("strip-rounds", STRIP, "light", rounds.snapshot(LAST_MINUTE_MS), LAST_MINUTE_MS);
    trouble("strip-trouble", STRIP);
}

#[test]
fn squares_and_short_strips() {
    check("square-running", SQUARE, "dark", late().snapshot(LATE_MS), LATE_MS);
    check("square-forty", SQUARE, "dark", lanes(40, LATE_MS), LATE_MS);
    check(
        "square-held",
        SQUARE,
        "light",
        {
            let held = ten().started().floor(LATE_MS, Floor::Hold).played_to(LATE_MS + 5_000);
            held.snapshot(LATE_MS + 5_000)
        },
        LATE_MS + 5_000,
    );
    check("short-strip-running", [640, 160], "dark", late().snapshot(LATE_MS), LATE_MS);
}

#[test]
fn many_lanes_on_a_wide_wall() {
    check("wide-forty", [1280, 720], "dark", lanes(40, LATE_MS), LATE_MS);
    check("wide-forty-light", WIDE, "light", lanes(40, CAP_MS + 1_000), CAP_MS + 1_000);
    check("wide-thirty", WIDE, "dark", lanes(30, LATE_MS), LATE_MS);
}

/// Teams on few lanes, with their members.
#[test]
fn teams_with_their_members() {
    let mut snapshot = lanes(4, LATE_MS);
    let teams = [
        ("Tidewall", ["Ada Falkenried", "Marit Okonjo-Lindqvist", "Bo Li"]),
        ("North Pier", ["Leïla Haddouche", "Yuna Arakida", "Rosa Villaseñor"]),
        ("Kestrel Yard", ["Petra Novoměstská", "Ελένη Δρακοπούλου", "Tove Sandgrav"]),
        ("Saltern", ["Runa Ísfeld", "Anneke van der Zwaluw", "Inés Echeberría"]),
    ];
    for (entry, (team, members)) in snapshot.entries.iter_mut().zip(teams) {
        entry.name = team.into();
        (entry.given, entry.family) = (String::new(), String::new());
        entry.members = members.map(str::to_owned).to_vec();
    }
    check("teams-wide", WIDE, "dark", snapshot.clone(), LATE_MS);
    check("teams-tall", TALL, "light", snapshot.clone(), LATE_MS);
    check("teams-strip", STRIP, "dark", snapshot, LATE_MS);
}

#[test]
fn the_test_card() {
    let card = |name: &str, theme: &str, size: [u32; 2]| {
        let theme = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
        let mut card = TestCard::new(theme, size);
        card.set_name("south wall");
        check_screen(name, &mut card, size, None, Link::Live, 4_521_300);
    };
    card("test-card", "dark", [1280, 720]);
    card("test-card-light", "light", WIDE);
    card("test-card-tall", "dark", TALL);
    card("test-card-strip", "light", [1280, 160]);
}
