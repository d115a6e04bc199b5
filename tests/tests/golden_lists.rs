//! Draw lists of the states and languages that no picture shows: what is painted where in the dark theme on every shape
//! of board, and every text in the other languages. They are held line by line (`fivemark_tests::list_text`).

use std::fmt::Write;
use std::rc::Rc;

use fivemark_scene::{Board, Link, Motion, Overlay, Screen, Times, View, Words};
use fivemark_tests::between::{PEOPLE, countdown, event, next_heat, results, standings, words};
use fivemark_tests::golden;
use fivemark_tests::list_text::{list_text, words_text};
use fivemark_tests::states::{State, every};
use fivemark_themes::LoadedTheme;
use fivemark_wire::from_feed::{Delta, Snapshot};
use fivemark_wire::shows::{Card, Duel, OverlayShows, Program, Step};
use fivemark_wire::view::NoRep;

const SHAPES: [(&str, [u32; 2]); 4] =
    [("wide", [1280, 720]), ("tall", [720, 1280]), ("strip", [1280, 160]), ("square", [720, 720])];
const OVERLAY: [u32; 2] = [1280, 720];
const LANGUAGES: [&str; 2] = ["es", "de"];
/// Lanes of these lists: what one lane shows, the others show too.
const LANES: u8 = 4;
/// Feed time of cards, milliseconds.
const AT_MS: i64 = 1_000_000;
/// Everything has come to rest, microseconds after the first frame.
const AT_REST_US: i64 = 10_000_000;

fn dark() -> Rc<LoadedTheme> {
    Rc::new(fivemark_themes::find("dark").expect("the theme is bundled"))
}

fn few_lanes(mut snapshot: Snapshot) -> View {
    snapshot.entries.retain(|entry| entry.lane <= LANES);
    snapshot.lanes.retain(|lane| lane.lane <= LANES);
    snapshot.order.retain(|row| row.lane <= LANES);
    View::new(snapshot)
}

fn times(at_ms: i64, frame_us: i64) -> Times {
    Times { feed_us: at_ms * 1_000, frame_us, speed_milli: 1_000 }
}

/// Shows a view until everything is at rest.
fn rest(screen: &mut dyn Screen, view: &View, at_ms: i64) {
    for frame_us in [0, AT_REST_US] {
        screen.frame(Some(view), Link::Live, times(at_ms, frame_us));
    }
}

/// A chapter of a file: its name and its lines.
fn chapter(text: &mut String, name: &str, lines: &str) {
    // Writing into a string cannot fail.
    let _ = writeln!(text, "== {name}\n{lines}");
}

/// What goes wrong at once: no-reps, no line to the feed, and before that the feed had stopped recording.
fn trouble(screen: &mut dyn Screen, state: &State) {
    let mut view = few_lanes(state.snapshot.clone());
    view.snapshot.journal_ok = false;
    let no_rep = |lane, partial| NoRep { lane, fault: "jump".into(), partial, at_ms: state.at_ms };
    let delta = Delta {
        number: view.snapshot.number + 1,
        at_ms: state.at_ms,
        no_reps: vec![no_rep(2, true), no_rep(4, false)],
        ..Delta::default()
    };
    rest(screen, &view, state.at_ms);
    view.apply(&delta).expect("the delta runs on");
    for later_us in [0, 500_000] {
        let link = Link::Lost { age_ms: 12_000 };
        screen.frame(Some(&view), link, times(state.at_ms, AT_REST_US + later_us));
    }
}

#[test]
fn boards_of_every_shape_in_every_state() {
    let states = every();
    for (shape, size) in SHAPES {
        let mut text = String::new();
        for state in &states {
            let mut board = Board::new(dark(), size, Motion::Full);
            rest(&mut board, &few_lanes(state.snapshot.clone()), state.at_ms);
            chapter(&mut text, state.name, &list_text(board.parts().0));
        }
        let late = states.iter().find(|state| state.name == "running-late").expect("a state");
        let mut board = Board::new(dark(), size, Motion::Full);
        trouble(&mut board, late);
        chapter(&mut text, "trouble", &list_text(board.parts().0));
        let mut board = Board::new(dark(), size, Motion::Full);
        board.set_feed_address("ws://127.0.0.1:7333/feed");
        board.frame(None, Link::Never, times(0, 0));
        chapter(&mut text, "waiting", &list_text(board.parts().0));
        golden::check_text(&format!("lists/board-{shape}"), &text);
    }
}

#[test]
fn boards_in_other_languages() {
    for language in LANGUAGES {
        for (shape, size) in SHAPES {
            let mut text = String::new();
            let board = || {
                let mut board = Board::new(dark(), size, Motion::Full);
                board.set_words(Rc::new(Words::of(language).expect("the language is there")));
                board
            };
            for state in every() {
                let mut board = board();
                rest(&mut board, &few_lanes(state.snapshot.clone()), state.at_ms);
                chapter(&mut text, state.name, &words_text(board.parts().0));
                if state.name == "running-late" {
                    trouble(&mut board, &state);
                    chapter(&mut text, "trouble", &words_text(board.parts().0));
                }
            }
            golden::check_text(&format!("lists/board-{shape}-{language}"), &text);
        }
    }
}

#[test]
fn the_overlay_in_every_state_and_language() {
    let duel = Some(Duel { left: 2, right: 4 });
    for language in ["en", "es", "de"] {
        let mut text = String::new();
        for state in every() {
            let mut overlay = Overlay::new(dark(), OVERLAY, Motion::Full);
            overlay.set_words(Rc::new(Words::of(language).expect("the language is there")));
            let mut view = View::new(state.snapshot);
            view.snapshot.shows.overlay =
                OverlayShows { ribbon: true, rail: true, corner: true, duel, card: false };
            rest(&mut overlay, &view, state.at_ms);
            chapter(&mut text, state.name, &words_text(overlay.parts().0));
        }
        golden::check_text(&format!("lists/overlay-{language}"), &text);
    }
}

#[test]
fn cards_in_every_language() {
    let cards: [(&str, Card); 8] = [
        ("next-heat", next_heat(&PEOPLE, 10, Some(AT_MS + 252_000))),
        ("results", results(&PEOPLE, false)),
        ("results-official", results(&PEOPLE, true)),
        ("standings", standings(&PEOPLE)),
        ("event", event()),
        ("words", words()),
        ("countdown", countdown(AT_MS + 754_200)),
        ("countdown-over", countdown(AT_MS)),
    ];
    let snapshot = every().swap_remove(0).snapshot;
    for language in ["en", "es", "de"] {
        for (shape, size) in SHAPES {
            let mut text = String::new();
            for (name, card) in &cards {
                let mut board = Board::new(dark(), size, Motion::Full);
                board.set_words(Rc::new(Words::of(language).expect("the language is there")));
                let mut view = View::new(snapshot.clone());
                let steps = vec![Step { for_ms: 0, card: card.clone() }];
                view.snapshot.shows.board = Program { since_ms: AT_MS - 1_000, again: false, steps };
                rest(&mut board, &view, AT_MS);
                chapter(&mut text, name, &words_text(board.parts().0));
            }
            golden::check_text(&format!("lists/card-{shape}-{language}"), &text);
        }
    }
}
