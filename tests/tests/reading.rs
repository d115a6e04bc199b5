//! What is written on screens can be read from the seats that it is promised to: texts are taken from the draw list, and
//! Tesseract has to find them in the picture as that seat sees it, on boards of every shape, on cards between heats and on
//! the stream's overlay, in every theme. `foreign/reading.py` says how.

use std::path::Path;
use std::rc::Rc;

use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_scene::{Board, Link, Motion, Overlay, Screen, Times, View};
use fivemark_tests::between::{countdown, next_heat, results, standings};
use fivemark_tests::foreign;
use fivemark_tests::rehearsal::{GO_MS, Rehearsal};
use fivemark_tests::seats::{Seats, to_read};
use fivemark_themes::LoadedTheme;
use fivemark_wire::shows::{Card, Duel, OverlayShows, Program, Step};
use serde_json::{Value, json};

const THEMES: [&str; 3] = ["dark", "light", "contrast"];
const WIDE: [u32; 2] = [1920, 1080];
const TALL: [u32; 2] = [1080, 1920];
/// 32:9.
const STRIP: [u32; 2] = [1920, 540];
const SQUARE: [u32; 2] = [1080, 1080];
/// The shorter side of the smallest stream that the overlay is made for, pixels.
const SMALL_STREAM: u32 = 360;
/// Moments of a heat, seconds from go: early, near the end of the work, with lanes in the last five and finished, and
/// after the cap.
const MOMENTS: [i64; 6] = [71, 158, 366, 487, 512, 620];

/// Invented names, with letters of many languages. A name for a lane is one of each. None begins with a Ț, which Tesseract
/// takes for a J or for two letters in perfect print.
const GIVEN: [&str; 16] = [
    "Ilse", "Marit", "Thandeka", "Rosa", "Leïla", "Søren", "Zoë", "Björk", "Ana", "Žofia", "Mateusz",
    "Gülay", "Owen", "Yara", "Péter", "Quinn",
];
const FAMILY: [&str; 19] = [
    "Varkonyi",
    "Okonjo",
    "Moyo",
    "Villaseñor",
    "Haddouche",
    "van der Zwaluw",
    "Ísfeld",
    "Dobrović",
    "Miyasaka",
    "Brătuleș",
    "Brannigan",
    "Wójcik",
    "Kettleby",
    "Åkerhielm",
    "Ferreira",
    "Quispe",
    "Jürgensen",
    "Ngata",
    "Ó Faoláin",
];

/// Somebody, another one for each number for long.
fn person(number: usize) -> (&'static str, &'static str) {
    (GIVEN[number % GIVEN.len()], FAMILY[number % FAMILY.len()])
}

/// A heat of ten or twenty lanes at a moment of it; `round` gives it other names.
fn heat(lanes: u8, seconds: i64, round: usize) -> (View, i64) {
    let at_ms = GO_MS + seconds * 1_000 + 340;
    let (number, step) = if lanes == 10 { (7, 31) } else { (8, 17) };
    let pace = |lane: u8| (lane, 770 + i64::from(lane) * 7 % i64::from(lanes) * step);
    let paces: Vec<(u8, i64)> = (1..=lanes).map(pace).collect();
    let rehearsal = Rehearsal::of_heat(number).with_paces(&paces).started().played_to(at_ms);
    let mut view = View::new(rehearsal.snapshot(at_ms));
    for (number, entry) in (round * 20..).zip(&mut view.snapshot.entries) {
        if !entry.name.is_empty() {
            let (given, family) = person(number);
            (entry.given, entry.family) = (given.into(), family.into());
            entry.name = format!("{given} {family}");
        }
    }
    (view, at_ms)
}

/// Keeps pictures of screens for the reader.
struct Reading {
    folder: tempfile::TempDir,
    kept: Vec<Value>,
}

impl Reading {
    fn new() -> Reading {
        Reading { folder: tempfile::tempdir().expect("a folder can be made"), kept: Vec::new() }
    }

    /// Has Tesseract read everything.
    fn read(&self) {
        foreign::run("reading.py", &[self.folder.path().to_str().expect("test folders have names in UTF-8")]);
    }

    /// How many texts there are to read of each role, in all themes: clocks, counts, places, names.
    fn found(&self) -> [usize; 4] {
        let of = |role: &str| {
            let texts = self.kept.iter().filter_map(|screen| screen["texts"].as_array()).flatten();
            texts.filter(|text| text["role"] == role).count()
        };
        ["clock", "count", "place", "name"].map(of)
    }
}

/// Draws screens of one kind, theme and size.
struct Stage<'a> {
    reading: &'a mut Reading,
    screen: &'static str,
    theme: Rc<LoadedTheme>,
    size: [u32; 2],
    renderer: Renderer,
}

impl<'a> Stage<'a> {
    fn new(reading: &'a mut Reading, screen: &'static str, theme: &str, size: [u32; 2]) -> Stage<'a> {
        let theme = Rc::new(fivemark_themes::find(theme).expect("the theme is bundled"));
        let renderer = Renderer::new(Gpu::open().expect("there is an adapter"), size).expect("it draws");
        Stage { reading, screen, theme, size, renderer }
    }

    fn board(&mut self, (view, at_ms): &(View, i64)) {
        let seats = Seats::of_board(self.size, view.snapshot.entries.len(), &self.theme);
        let mut board = Board::new(Rc::clone(&self.theme), self.size, Motion::Full);
        self.keep(&mut board, view, *at_ms, Some(seats), None);
    }

    fn card(&mut self, card: Card) {
        let (mut view, at_ms) = heat(10, MOMENTS[0], 0);
        let steps = vec![Step { for_ms: 0, card }];
        view.snapshot.shows.board = Program { since_ms: at_ms - 1_000, again: false, steps };
        let mut board = Board::new(Rc::clone(&self.theme), self.size, Motion::Full);
        self.keep(&mut board, &view, at_ms, None, None);
    }

    fn overlay(&mut self, (view, at_ms): &(View, i64), side: Option<u32>) {
        let mut view = view.clone();
        let duel = Some(Duel { left: 3, right: 7 });
        view.snapshot.shows.overlay =
            OverlayShows { ribbon: true, rail: true, corner: true, duel, card: false };
        let mut overlay = Overlay::new(Rc::clone(&self.theme), self.size, Motion::Full);
        self.keep(&mut overlay, &view, *at_ms, Some(Seats::of_overlay(self.size)), side);
    }

    /// Keeps a screen at rest: as its farthest seats see it, or, where nobody promises one, those that can just read it;
    /// watched on a picture whose shorter side is `side`, or as it is.
    fn keep(
        &mut self,
        screen: &mut dyn Screen,
        view: &View,
        at_ms: i64,
        seats: Option<Seats>,
        side: Option<u32>,
    ) {
        for frame_us in [0, 10_000_000] {
            let times = Times { feed_us: at_ms * 1_000, frame_us, speed_milli: 1_000 };
            screen.frame(Some(view), Link::Live, times);
        }
        let (list, fonts) = screen.parts();
        self.renderer.draw(list, fonts).expect("it is drawn");
        let texts = to_read(list, &view.snapshot);
        let seats = seats.unwrap_or_else(|| Seats::of_lowest(&texts));
        let texts: Vec<Value> = texts.iter().map(|text| text.described(seats.cap_of(text))).collect();
        let described =
            json!({ "screen": self.screen, "theme": self.theme.name, "side": side, "texts": texts });
        let stem = format!("{}-{}-{}", self.theme.name, self.screen, self.reading.kept.len());
        let file = |ending: &str| self.reading.folder.path().join(format!("{stem}.{ending}"));
        write(&file("png"), &mut self.renderer);
        std::fs::write(file("json"), serde_json::to_vec(&described).expect("JSON"))
            .expect("a file is written");
        self.reading.kept.push(described);
    }
}

fn write(file: &Path, renderer: &mut Renderer) {
    let pixels = renderer.pixels().expect("it is read");
    fivemark_display::pictures::write_png(file, &pixels).expect("a picture is written");
}

#[test]
fn a_wide_board_is_read_from_its_seats() {
    let mut reading = Reading::new();
    for theme in THEMES {
        let mut stage = Stage::new(&mut reading, "wide", theme, WIDE);
        for lanes in [10, 20] {
            for (round, seconds) in MOMENTS.into_iter().enumerate() {
                stage.board(&heat(lanes, seconds, round));
            }
        }
    }
    let found = reading.found();
    assert!(found[0] == 36 && found[1..].iter().all(|count| *count >= 3 * 140), "{found:?}");
    reading.read();
}

#[test]
fn towers_strips_and_squares_are_read_from_their_seats() {
    let mut reading = Reading::new();
    for theme in THEMES {
        for (screen, size) in [("tall", TALL), ("strip", STRIP), ("square", SQUARE)] {
            let mut stage = Stage::new(&mut reading, screen, theme, size);
            for (round, (lanes, seconds)) in
                [(10, 158), (10, 487), (20, 512), (10, 620)].into_iter().enumerate()
            {
                stage.board(&heat(lanes, seconds, round));
            }
        }
    }
    let found = reading.found();
    assert!(found[0] == 36 && found[1..].iter().all(|count| *count >= 9 * 45), "{found:?}");
    reading.read();
}

#[test]
fn cards_between_heats_are_read_where_their_texts_are_large_enough() {
    let mut reading = Reading::new();
    let people: Vec<(&str, &str)> = (0..40).map(person).collect();
    for theme in THEMES {
        for (screen, size) in [("wide card", WIDE), ("tall card", TALL), ("strip card", STRIP)] {
            let mut stage = Stage::new(&mut reading, screen, theme, size);
            stage.card(next_heat(&people[20..], 10, Some(GO_MS + 3_000_000)));
            stage.card(results(&people, true));
            stage.card(standings(&people[7..]));
            stage.card(countdown(GO_MS + 754_200));
        }
    }
    let found = reading.found();
    assert!(found[0] == 9 && found[1..].iter().all(|count| *count >= 9 * 15), "{found:?}");
    reading.read();
}

#[test]
fn the_overlay_is_read_on_a_viewers_screen() {
    let mut reading = Reading::new();
    for theme in THEMES {
        for (screen, side) in [("overlay", None), ("small overlay", Some(SMALL_STREAM))] {
            let mut stage = Stage::new(&mut reading, screen, theme, WIDE);
            for (round, (lanes, seconds)) in [(10, 158), (10, 512), (20, 366)].into_iter().enumerate() {
                stage.overlay(&heat(lanes, seconds, round), side);
            }
        }
    }
    let found = reading.found();
    assert!(found[0] == 36 && found[1..].iter().all(|count| *count >= 6 * 20), "{found:?}");
    reading.read();
}
