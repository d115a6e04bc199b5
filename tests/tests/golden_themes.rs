//! Themes with pictures of their own, small: a logo wherever it has room, and what lies behind boards and cards and never
//! behind an overlay. The two themes stand in `tests/themes`: one covers all with an SVG, the other repeats a PNG.
//! Tolerance as for all golden frames (`fivemark_tests::golden`).

use std::path::Path;
use std::rc::Rc;

use fivemark_display::still::draw_screen;
use fivemark_scene::{Board, Motion, Overlay, Screen, View};
use fivemark_tests::golden;
use fivemark_tests::rehearsal::{GO_MS, Rehearsal};
use fivemark_themes::LoadedTheme;
use fivemark_wire::shows::{
    Card, CardLane, NextHeat, OverlayShows, Program, ResultRow, Results, Shows, Step,
};

const TEN: [(u8, i64); 9] =
    [(1, 800), (2, 860), (3, 780), (4, 840), (5, 900), (6, 955), (7, 788), (8, 880), (10, 1_050)];
/// Elapsed 8:30: one lane has finished, two are in the last five.
const LATE_MS: i64 = GO_MS + 510_000;
const WIDE: [u32; 2] = [640, 360];
const TALL: [u32; 2] = [360, 640];
const SQUARE: [u32; 2] = [480, 480];
const STRIP: [u32; 2] = [1280, 128];

fn theme(name: &str) -> Rc<LoadedTheme> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("themes").join(name);
    let found = fivemark_themes::load(&folder);
    Rc::new(found.unwrap_or_else(|faults| panic!("{name}: {faults:?}")))
}

fn late() -> View {
    View::new(Rehearsal::of_heat(7).with_paces(&TEN).started().played_to(LATE_MS).snapshot(LATE_MS))
}

/// The heat over which a card is shown, on the board and on the overlay.
fn showing(card: Card) -> View {
    let mut view = late();
    let board = Program { since_ms: LATE_MS - 1_000, again: false, steps: vec![Step { for_ms: 0, card }] };
    let overlay = OverlayShows { corner: true, card: true, ..OverlayShows::default() };
    *view.snapshot.shows = Shows { board, overlay, ..Shows::default() };
    view
}

fn check(name: &str, screen: &mut dyn Screen, view: &View, size: [u32; 2]) {
    let pixels = draw_screen(screen, view, Some(LATE_MS), size).expect("software Vulkan draws");
    golden::check(&format!("theme-{name}"), pixels.size, &pixels.rgba);
}

fn board(name: &str, of: &str, view: &View, size: [u32; 2]) {
    check(name, &mut Board::new(theme(of), size, Motion::Full), view, size);
}

fn event() -> Card {
    let text = str::to_owned;
    Card::Event {
        name: text("Brackwater Trials"),
        place: text("Lantern Quay Hall, Ostrel"),
        date: text("2031-06-14"),
    }
}

fn results() -> Card {
    let row = |(place, lane, name, result): (u16, u8, &str, &str)| ResultRow {
        place,
        lane,
        bib: (100 + u16::from(lane)).to_string(),
        name: name.to_owned(),
        given: String::new(),
        family: String::new(),
        division: 0,
        result: result.to_owned(),
        finished: result.contains(':'),
    };
    let rows = [
        (1, 3, "Thandeka Moyo", "8:27.8"),
        (2, 7, "Anneke van der Zwaluw", "8:41.2"),
        (3, 1, "Ilse Varkonyi", "9:02.5"),
        (4, 4, "Yuna Arakida", "138 of 141"),
        (5, 2, "Marit Okonjo-Lindqvist", "131 of 141"),
        (0, 6, "Leïla Haddouche", "DNF"),
    ];
    Card::Results(Results {
        heat_name: "Heat 7".to_owned(),
        workout: "Breakwater".to_owned(),
        official: false,
        divisions: vec!["Open women".to_owned()],
        rows: rows.map(row).into(),
    })
}

fn next_heat() -> Card {
    let lane = |(lane, name): (u8, &str)| CardLane {
        lane,
        bib: lane.to_string(),
        name: name.to_owned(),
        given: String::new(),
        family: String::new(),
        say: String::new(),
        division: 0,
        club: "Seven Ropes".to_owned(),
        members: Vec::new(),
    };
    let lanes = [(1, "Ilva Brandt-Osei"), (2, "Tomasz Wielgórecki"), (3, "Bo Ryx"), (4, "Noor Ashdale")];
    Card::NextHeat(NextHeat {
        heat_name: "Heat 8".to_owned(),
        workout: "Harbour Bell".to_owned(),
        divisions: vec!["Open women".to_owned(), "Open men".to_owned()],
        starts_at_ms: Some(LATE_MS + 252_000),
        lanes: lanes.map(lane).into(),
    })
}

fn words() -> Card {
    Card::Words { title: "Lunch until 13:30".to_owned(), text: "The warm-up yard stays open.".to_owned() }
}

fn countdown() -> Card {
    Card::Countdown { title: "Finals begin".to_owned(), to_ms: LATE_MS + 754_200 }
}

#[test]
fn a_picture_lies_behind_boards_of_every_shape_and_a_logo_stands_where_it_has_room() {
    for (name, size) in [("wide", WIDE), ("tall", TALL), ("square", SQUARE), ("strip", STRIP)] {
        board(&format!("mooring-{name}"), "mooring", &late(), size);
    }
    board("sailcloth-wide", "sailcloth", &late(), WIDE);
    board("sailcloth-square", "sailcloth", &late(), SQUARE);
}

#[test]
fn cards_have_both() {
    for (name, card) in [
        ("event", event()),
        ("results", results()),
        ("next-heat", next_heat()),
        ("words", words()),
        ("countdown", countdown()),
    ] {
        board(&format!("mooring-{name}"), "mooring", &showing(card), WIDE);
    }
    board("sailcloth-event", "sailcloth", &showing(event()), WIDE);
    board("sailcloth-results", "sailcloth", &showing(results()), TALL);
    board("mooring-strip-event", "mooring", &showing(event()), STRIP);
    board("mooring-strip-results", "mooring", &showing(results()), STRIP);
}

#[test]
fn the_overlay_has_the_logo_alone() {
    for (name, of, card) in [("event", "mooring", event()), ("results", "sailcloth", results())] {
        let mut overlay = Overlay::new(theme(of), WIDE, Motion::Full);
        check(&format!("{of}-overlay-{name}"), &mut overlay, &showing(card), WIDE);
    }
}
