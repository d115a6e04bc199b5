//! Another theme or another ground while the board stands: everything follows, and nothing is forgotten.

use std::rc::Rc;

use fivemark_themes::{Color, LoadedTheme, contrast};

use super::super::*;
use super::{board, heat, texts, times};
use crate::draw::{Layer, Shape};
use crate::paint::Kind;
use crate::sample;

/// The dark theme with every colour turned over, and another face for names.
fn other() -> Rc<LoadedTheme> {
    let mut theme = fivemark_themes::find("dark").unwrap();
    let colors = &mut theme.colors;
    for color in [
        &mut colors.background,
        &mut colors.row,
        &mut colors.row_last_five,
        &mut colors.row_finished,
        &mut colors.text,
        &mut colors.text_dim,
        &mut colors.track,
        &mut colors.racing,
        &mut colors.leading,
    ] {
        let [r, g, b, a] = color.0;
        *color = Color([255 - r, 255 - g, 255 - b, a]);
    }
    theme.text.names = theme.text.labels.clone();
    theme.timing.no_rep_ms = 3_000;
    Rc::new(theme)
}

#[test]
fn a_new_theme_is_as_if_it_had_been_there_from_the_start() {
    let view = sample::nine();
    let mut changed = board([1280, 720], Motion::Full);
    changed.frame(Some(&view), Link::Live, times(462_300, 0));
    changed.set_theme(other());
    let mut fresh = Board::new(other(), [1280, 720], Motion::Full);
    let wanted = fresh.frame(Some(&view), Link::Live, times(462_300, 0));
    let found = changed.frame(Some(&view), Link::Live, times(462_300, 1_000));
    assert_eq!(found.clear, wanted.clear);
    assert_eq!(found.items.len(), wanted.items.len());
    for (found, wanted) in found.items.iter().zip(&wanted.items) {
        assert_eq!((found.key, found.bounds), (wanted.key, wanted.bounds));
        match (&found.shape, &wanted.shape) {
            (Shape::Text(found), Shape::Text(wanted)) => {
                assert_eq!((found.left, found.top, found.color), (wanted.left, wanted.top, wanted.color));
            }
            (Shape::Path(found), Shape::Path(wanted)) => assert_eq!(found.fill, wanted.fill),
            (found, wanted) => assert_eq!(found, wanted),
        }
    }
    assert!(changed.next_change_us() > Some(1_000), "and it rests");
}

#[test]
fn what_was_under_way_goes_on_in_the_new_theme() {
    let mut view = sample::nine();
    let mut board = board([1280, 720], Motion::Full);
    board.frame(Some(&view), Link::Lost { age_ms: 5_000 }, times(462_300, 0));
    let no_rep =
        fivemark_wire::from_feed::Delta { no_reps: vec![sample::no_rep(6, 462_300)], ..sample::delta(11) };
    view.apply(&no_rep).unwrap();
    board.frame(Some(&view), Link::Lost { age_ms: 5_000 }, times(462_300, 1_000));
    board.set_theme(other());
    let list = board.frame(Some(&view), Link::Lost { age_ms: 5_000 }, times(462_300, 2_500_000));
    let says = |words: &str| texts(list).any(|(_, text)| text.text.buffer.lines[0].text().contains(words));
    assert!(says("hips not open"), "a no-rep stays for as long as the new theme says");
    assert!(says("no feed"));
}

/// Glyphs are kept by the name of their face: a face that is loaded later must have a name of its own.
#[test]
fn new_fonts_never_take_the_name_of_old_ones() {
    let mut board = board([1280, 720], Motion::Full);
    let ids = |board: &mut Board| board.parts().1.db().faces().map(|face| face.id).collect::<Vec<_>>();
    let before = ids(&mut board);
    board.set_theme(other());
    let after = ids(&mut board);
    assert_eq!(before.len(), after.len());
    assert!(after.iter().all(|id| !before.contains(id)), "{before:?} {after:?}");
    let shaped = board.fonts.shaped_count();
    board.set_theme(other());
    assert_eq!(ids(&mut board), after, "the same fonts stay as they are");
    assert_eq!(board.fonts.shaped_count(), shaped);
}

/// WCAG 2.2 asks for 4.5 between a text and what lies behind it: over a picture that nobody knows, only a plate of
/// the board's own can promise that.
#[test]
fn on_a_clear_ground_every_text_stands_on_a_plate() {
    let mut boards: Vec<Board> = super::boards().map(|(_, _, board)| board).take(60).collect();
    for (seed, board) in (0..).zip(&mut boards) {
        let (view, feed_ms) = heat(seed);
        board.set_background(Background::Clear);
        for shown in [Some(&view), None] {
            let list = board.frame(shown, Link::Live, times(feed_ms, 1)).clone();
            assert_eq!(list.clear, Rgba([0; 4]));
            for (item, text) in texts(&list) {
                let ink = super::ink(text);
                let (x, y) = (ink.x + ink.w / 2.0, ink.y + ink.h / 2.0);
                // Whatever the picture is, it lies between black and white.
                for under in [Color([0, 0, 0, 255]), Color([255, 255, 255, 255])] {
                    for ground in super::grounds_over(&list, under, item.layer, [x, y]) {
                        let found = contrast::ratio(Color(text.color.0), ground);
                        let needed = if super::is(item, Kind::BigFigure) { 3.0 } else { 4.5 };
                        let stepped_back = item.layer != Layer::Over && super::scrimmed(&list, y);
                        assert!(found >= needed || stepped_back, "seed {seed}: {:?} {found}", text.text);
                    }
                }
            }
        }
    }
    let theme = boards[0].theme.colors.background;
    boards[0].set_background(Background::Theme);
    assert_eq!(boards[0].frame(None, Link::Never, times(0, 2)).clear, Rgba(theme.0));
    assert!(boards[0].list.items.iter().all(|item| item.layer == Layer::Ground));
}
