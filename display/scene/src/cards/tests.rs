//! Cards as a board shows them: nothing meets and nothing is cut off, whatever stands on them and however large the
//! screen is; they come and go quietly, and a card that does not change draws nothing.

use std::collections::BTreeSet;
use std::rc::Rc;

use fivemark_wire::bounds::PAGE_MS;
use fivemark_wire::shows::{Program, Shows, StandingRow, Standings, Step};
use fivemark_wire::view::{Clock, State};

use super::*;
use crate::board::{Board, paint};
use crate::draw::{DrawList, TextShape};
use crate::sample;
use crate::screen::{Motion, Screen};
use crate::view::View;

mod logo;

const FEED_MS: i64 = 5_000_000;
const SIZES: [[u32; 2]; 9] = [
    [1920, 1080],
    [1280, 720],
    [640, 360],
    [1080, 1920],
    [1024, 1024],
    [640, 160],
    [1920, 240],
    [3840, 360],
    [2560, 720],
];

fn times(feed_ms: i64, frame_us: i64) -> Times {
    Times { feed_us: feed_ms * 1000, frame_us, speed_milli: 1000 }
}

fn board(size: [u32; 2], motion: Motion) -> Board {
    Board::new(Rc::new(fivemark_themes::find("dark").unwrap()), size, motion)
}

/// A view whose board shows steps of these lengths and cards since [`FEED_MS`].
fn showing(again: bool, steps: impl IntoIterator<Item = (i64, Card)>) -> View {
    let heat = sample::snapshot(sample::course(sample::PARTS, 5), &[], State::LanesSet, Clock::Idle);
    let steps = steps.into_iter().map(|(for_ms, card)| Step { for_ms, card }).collect();
    let board = Program { since_ms: FEED_MS, again, steps };
    let mut view = View::new(heat);
    view.snapshot.shows = Box::new(Shows { board, ..Shows::default() });
    view
}

fn words(title: &str) -> Card {
    Card::Words { title: title.to_owned(), text: "and a text".to_owned() }
}

/// Standings of people named after their places: N1, N2 and so on.
fn standings(rows: u16) -> Card {
    let row = |place: u16| StandingRow {
        place,
        bib: place.to_string(),
        name: format!("N{place}"),
        given: String::new(),
        family: String::new(),
        heat_name: "Heat 1".into(),
        result: "7:08.4".into(),
        finished: true,
        provisional: false,
    };
    let (workout, division) = ("Breakwater".into(), "Open women".into());
    let rows = (1..=rows).map(row).collect();
    Card::Standings(Standings { workout, division, rows, heats_done: 1, heats_of: 1 })
}

fn texts(list: &DrawList) -> impl Iterator<Item = (&Item, &TextShape)> {
    list.items.iter().filter_map(|item| match &item.shape {
        Shape::Text(text) if text.text.width > 0.0 => Some((item, text)),
        _ => None,
    })
}

fn ink(text: &TextShape) -> Rect {
    let baseline = text.top + text.text.baseline;
    Rect { x: text.left, y: baseline - text.text.cap_height, w: text.text.width, h: text.text.cap_height }
}

fn meet(a: Rect, b: Rect) -> bool {
    let slack = 1.0;
    a.x + slack < b.x + b.w && b.x + slack < a.x + a.w && a.y + slack < b.y + b.h && b.y + slack < a.y + a.h
}

/// Names on the picture that stand as they were written.
fn names(list: &DrawList) -> BTreeSet<String> {
    texts(list)
        .map(|(_, text)| format!("{:?}", text.text))
        .filter_map(|text| text.split('"').nth(1).filter(|text| text.starts_with('N')).map(str::to_owned))
        .collect()
}

#[test]
fn no_texts_meet_and_none_leaves_the_screen() {
    for size in SIZES {
        for language in ["en", "de", "es"] {
            let mut screen = board(size, Motion::Reduced);
            screen.set_words(Rc::new(crate::Words::of(language).unwrap()));
            for seed in 0..60 {
                let card = sample::cards::random(seed, FEED_MS);
                let what = format!("{size:?} {language} seed {seed}");
                let view = showing(false, [(0, card)]);
                let list = screen.frame(Some(&view), Link::Live, times(FEED_MS + 9_000, 0));
                let all: Vec<_> = texts(list).collect();
                assert!(!list.items.is_empty() || seed % 6 == 3 || seed % 6 == 4, "{what}: nothing is drawn");
                for (index, (item, text)) in all.iter().enumerate() {
                    let r = ink(text);
                    let [w, h] = size.map(|side| side as f32);
                    let inside = r.x >= -1.0 && r.y >= -1.0 && r.x + r.w <= w + 1.0 && r.y + r.h <= h + 1.0;
                    assert!(inside, "{what}: {:?} leaves the screen at {r:?}", text.text);
                    for (other, over) in &all[index + 1..] {
                        let same_number = item.key.0 >> 16 == other.key.0 >> 16;
                        let apart = same_number || !meet(r, ink(over));
                        assert!(apart, "{what}: {:?} meets {:?}", text.text, over.text);
                    }
                }
            }
        }
    }
}

#[test]
fn a_small_card_stays_in_its_rectangle_on_a_plate_of_its_own() {
    let theme = fivemark_themes::find("dark").unwrap();
    let (mut fonts, words) = (crate::Fonts::new(&theme), crate::Words::english());
    for rect in [
        Rect { x: 100.0, y: 600.0, w: 384.0, h: 144.0 },
        Rect { x: 96.0, y: 700.0, w: 900.0, h: 300.0 },
        Rect { x: 10.0, y: 10.0, w: 576.0, h: 216.0 },
    ] {
        for seed in 0..60 {
            let view = showing(false, [(0, sample::cards::random(seed, FEED_MS))]);
            let program = &view.snapshot.shows.board;
            let (mut list, mut kept) = (DrawList { size: [1920, 1080], ..DrawList::default() }, Vec::new());
            let mut memory = CardMemory::new(Motion::Full);
            let now = times(FEED_MS + 100, 0);
            memory.follow(program, now, 0);
            let (link, turn) = (Link::Live, program.at(FEED_MS + 100));
            let frame =
                CardFrame { rect, lower: true, plate: true, turn, link, journal_ok: true, times: now };
            let mut paint = paint(&mut list, (&mut fonts, &words), &theme, &mut kept);
            draw(&mut paint, &mut memory, &frame);
            assert!(matches!(&list.items[0].shape, Shape::Box(plate) if plate.rect == rect));
            for (_, text) in texts(&list) {
                let r = ink(text);
                let inside = r.x >= rect.x
                    && r.y >= rect.y
                    && r.x + r.w <= rect.x + rect.w
                    && r.y + r.h <= rect.y + rect.h;
                assert!(inside, "{rect:?} seed {seed}: {:?} at {r:?}", text.text);
            }
        }
    }
}

/// Each coming is a flash of what stands there, and no more than three may be in a second (WCAG 2.2, 2.3.1).
#[test]
fn cards_that_take_turns_too_fast_come_three_times_in_a_second() {
    let turns = showing(true, [(60, words("One")), (60, words("Two"))]);
    for motion in [Motion::Full, Motion::Reduced] {
        let mut memory = CardMemory::new(motion);
        let (mut comings, mut there) = (Vec::new(), true);
        for at_ms in 0..4_000 {
            memory.follow(&turns.snapshot.shows.board, times(FEED_MS + at_ms, at_ms * 1000), at_ms * 1000);
            let is_there = memory.share_at(at_ms * 1000) > 0.0;
            if is_there && !there {
                comings.push(at_ms);
            }
            there = is_there;
        }
        assert!(comings.len() > 8, "they come: {comings:?}");
        assert!(comings.windows(4).all(|some| some[3] - some[0] >= 1_000), "{motion:?}: {comings:?}");
    }
}

#[test]
fn a_card_that_stands_draws_nothing_and_waits_for_nothing() {
    for card in [
        words("Stay"),
        Card::Event { name: "E".into(), place: String::new(), date: String::new() },
        standings(5),
    ] {
        let view = showing(false, [(0, card)]);
        let mut screen = board([1280, 720], Motion::Full);
        let first = screen.frame(Some(&view), Link::Live, times(FEED_MS, 0)).clone();
        assert_eq!(screen.next_change_us(), None);
        let later = screen.frame(Some(&view), Link::Live, times(FEED_MS + 60_000, 60_000_000));
        assert_eq!(first.items, later.items);
    }
}

#[test]
fn a_countdown_waits_for_its_next_second_and_ends_at_zero() {
    let view = showing(false, [(0, Card::Countdown { title: "Go".into(), to_ms: FEED_MS + 2_500 })]);
    let mut screen = board([1280, 720], Motion::Full);
    let mut frame_us = 0;
    let mut seen = Vec::new();
    while let Some(next_us) = {
        let list = screen.frame(Some(&view), Link::Live, times(FEED_MS + frame_us / 1000, frame_us));
        seen.push((frame_us, list.items.clone()));
        screen.next_change_us()
    } {
        assert!(next_us > frame_us);
        frame_us = next_us;
    }
    let at: Vec<i64> = seen.iter().map(|(at, _)| *at).collect();
    assert_eq!(at, [0, 500_000, 1_500_000, 2_500_000], "0:03, 0:02, 0:01, 0:00");
    assert!(seen.windows(2).all(|pair| pair[0].1 != pair[1].1));
}

#[test]
fn a_long_list_turns_its_pages_and_shows_every_row() {
    for size in SIZES {
        for rows in [1, 11, 40, 97, 400] {
            let view = showing(false, [(0, standings(rows))]);
            let mut screen = board(size, Motion::Reduced);
            let mut found = BTreeSet::new();
            let mut frame_us = 0;
            for _ in 0..400 {
                let list = screen.frame(Some(&view), Link::Live, times(FEED_MS + frame_us / 1000, frame_us));
                found.extend(names(list));
                let Some(next_us) = screen.next_change_us() else { break };
                assert_eq!(next_us, frame_us + PAGE_MS * 1000, "{size:?}: a page every eight seconds");
                frame_us = next_us;
                if found.len() == usize::from(rows) {
                    break;
                }
            }
            assert_eq!(found.len(), usize::from(rows), "{size:?}: every row has been shown");
        }
    }
}

#[test]
fn what_a_short_step_has_no_time_for_comes_with_its_next_turn() {
    let view = showing(true, [(16_000, standings(100)), (8_000, words("Between"))]);
    let mut screen = board([1280, 720], Motion::Reduced);
    let mut found = BTreeSet::new();
    for second in 0..24 * 5 {
        let list = screen.frame(Some(&view), Link::Live, times(FEED_MS + second * 1000, second * 1_000_000));
        found.extend(names(list));
    }
    assert_eq!(found.len(), 100);
}

/// The strongest alpha on a picture.
fn strongest(list: &DrawList) -> u8 {
    texts(list).map(|(_, text)| text.color.0[3]).max().unwrap_or(0)
}

#[test]
fn cards_come_and_go_quietly_and_at_once_where_nothing_may_move() {
    let view = showing(true, [(10_000, words("One")), (10_000, words("Two"))]);
    let look = |screen: &mut Board, ms: i64| {
        let list = screen.frame(Some(&view), Link::Live, times(FEED_MS + ms, ms * 1000));
        (strongest(list), screen.next_change_us())
    };
    let mut screen = board([1280, 720], Motion::Full);
    assert_eq!(
        look(&mut screen, 0),
        (255, Some(9_860_000)),
        "the first is there at once; it begins to go before its end"
    );
    let (alpha, next) = look(&mut screen, 9_930);
    assert!((1..255).contains(&alpha) && next == Some(9_930_000), "{alpha} {next:?}");
    let (alpha, _) = look(&mut screen, 10_000);
    assert_eq!(alpha, 0, "the second begins from nothing");
    let (alpha, next) = look(&mut screen, 10_070);
    assert!((1..255).contains(&alpha) && next == Some(10_070_000), "{alpha} {next:?}");
    assert_eq!(look(&mut screen, 10_140), (255, Some(19_860_000)));

    let mut still = board([1280, 720], Motion::Reduced);
    assert_eq!(look(&mut still, 0), (255, Some(10_000_000)));
    assert_eq!(look(&mut still, 9_999).0, 255);
    assert_eq!(look(&mut still, 10_000), (255, Some(20_000_000)));
}

/// Texts of a picture.
fn written(list: &DrawList) -> Vec<String> {
    texts(list).map(|(_, text)| format!("{:?}", text.text)).collect()
}

#[test]
fn a_step_whose_card_is_like_the_one_before_comes_in_its_time() {
    let countdown = |to_ms| Card::Countdown { title: "Go".into(), to_ms: FEED_MS + to_ms };
    for (view, length_ms) in [
        // Its rows go on with the second page in the second round.
        (showing(true, [(5_000, standings(30))]), 5_000),
        (showing(false, [(5_200, countdown(60_000)), (0, countdown(600_000))]), 5_200),
    ] {
        let mut screen = board([1280, 720], Motion::Full);
        let mut frame_us = 0;
        screen.frame(Some(&view), Link::Live, times(FEED_MS, 0));
        while frame_us < length_ms * 1000 {
            frame_us = screen.next_change_us().expect("another step comes");
            let before = written(screen.parts().0);
            let now = Times { feed_us: FEED_MS * 1000 + frame_us, frame_us, speed_milli: 1000 };
            assert_ne!(written(screen.frame(Some(&view), Link::Live, now)), before, "at {frame_us}");
        }
        assert_eq!(frame_us, length_ms * 1000);
    }
}

#[test]
fn a_correction_on_a_card_does_not_make_it_come_anew() {
    let mut view = showing(false, [(0, standings(5))]);
    let mut screen = board([1280, 720], Motion::Full);
    screen.frame(Some(&view), Link::Live, times(FEED_MS, 0));
    view.snapshot.shows.board.steps[0].card = standings(6);
    let list = screen.frame(Some(&view), Link::Live, times(FEED_MS + 20, 20_000));
    assert_eq!(strongest(list), 255);
}

#[test]
fn all_of_the_operators_words_are_shown_and_none_twice() {
    let text =
        "The warm-up yard behind the hall stays open.\nJudges of heats 5 to 8 meet at the table at 13:10.";
    for size in SIZES {
        let card = Card::Words { title: "Lunch until 13:30".into(), text: text.into() };
        let view = showing(false, [(0, card)]);
        let mut screen = board(size, Motion::Full);
        let list = screen.frame(Some(&view), Link::Live, times(FEED_MS, 0));
        let shown: Vec<String> = texts(list)
            .filter_map(|(_, text)| format!("{:?}", text.text).split('"').nth(1).map(str::to_owned))
            .collect();
        let whole = shown.join(" ");
        let wanted = format!("Lunch until 13:30 {}", text.replace('\n', " "));
        assert_eq!(whole, wanted, "{size:?}");
    }
}

#[test]
fn a_broken_link_is_marked_on_cards_too() {
    let mut view = showing(false, [(0, words("Stay"))]);
    view.snapshot.journal_ok = false;
    let mut screen = board([1280, 720], Motion::Full);
    let list = screen.frame(Some(&view), Link::Lost { age_ms: 3_000 }, times(FEED_MS, 0));
    let marks = list.items.iter().filter(|item| item.key.0 >> 16 & 0xFFFF == Kind::Mark as u64).count();
    assert_eq!(marks, 2);
    assert_eq!(screen.next_change_us(), Some(1_000_000), "its age goes on");
}
