//! The colours that really meet on boards, held against the lists by which themes are checked.

use std::collections::BTreeSet;
use std::rc::Rc;

use fivemark_themes::check::{SHAPES, TEXTS};
use fivemark_themes::{Color, LoadedTheme, Role};
use fivemark_wire::from_feed::Delta;
use fivemark_wire::shows::Step;

use super::super::*;
use super::{heat, ink, is, scrimmed, times};
use crate::draw::{BoxShape, Item, LAYERS, Layer, Shape};
use crate::paint::Kind;
use crate::sample;

pub(crate) type Pairs = BTreeSet<(&'static str, &'static str)>;

/// A theme in which no two roles have one colour, and bars are as light at their top as below.
pub(crate) fn told_apart() -> Rc<LoadedTheme> {
    let mut theme = fivemark_themes::find("dark").unwrap();
    for (role, number) in Role::ALL.iter().zip(1u8..) {
        theme.colors.set(*role, Color([number * 8, 255 - number * 4, number, 255]));
    }
    theme.form.sheen = 0;
    Rc::new(theme)
}

fn role(theme: &LoadedTheme, color: Rgba) -> Option<&'static str> {
    Role::ALL.iter().find(|role| theme.colors.get(**role).0 == color.0).map(|role| role.name())
}

/// Boxes from the back to the front, as they are painted.
fn boxes(list: &DrawList) -> impl DoubleEndedIterator<Item = (&Item, &BoxShape)> {
    LAYERS.into_iter().flat_map(|layer| {
        list.items.iter().filter(move |item| item.layer == layer).filter_map(|item| match &item.shape {
            Shape::Box(shape) => Some((item, shape)),
            _ => None,
        })
    })
}

/// What is seen at a point of the boxes that come before `end` in the order of painting.
fn ground<'a>(
    boxes: impl DoubleEndedIterator<Item = (&'a Item, &'a BoxShape)>,
    [x, y]: [f32; 2],
) -> Option<Rgba> {
    boxes.rev().find_map(|(_, shape)| {
        let r = shape.rect;
        let inside = (r.x..=r.x + r.w).contains(&x) && (r.y..=r.y + r.h).contains(&y);
        (inside && shape.fill.0[3] == 255).then_some(shape.fill)
    })
}

pub(crate) fn text_pairs(theme: &LoadedTheme, list: &DrawList, pairs: &mut Pairs) {
    for item in &list.items {
        let Shape::Text(text) = &item.shape else { continue };
        let ink = ink(text);
        let (x, y) = (ink.x + ink.w / 2.0, ink.y + ink.h / 2.0);
        // What lies under a scrim is meant to step back, and what lies on one is checked by itself.
        if scrimmed(list, y) && (item.layer != Layer::Over || is(item, Kind::BigFigure)) {
            continue;
        }
        let under: Vec<_> = boxes(list).filter(|(below, _)| below.layer <= item.layer).collect();
        let back = ground(under.into_iter(), [x, y]).unwrap_or(list.clear);
        let (Some(front), Some(back)) = (role(theme, text.color), role(theme, back)) else {
            panic!("{:?} {:?} on {back:?} is no pair of roles", text.text, text.color);
        };
        pairs.insert((front, back));
    }
}

/// Shapes that mean something: their outline if they have one, else what they are filled with.
const MEANINGFUL: [Kind; 11] = [
    Kind::Cell,
    Kind::CellFill,
    Kind::Block,
    Kind::BlockFill,
    Kind::Sweep,
    Kind::Edge,
    Kind::CapLeft,
    Kind::CapGone,
    Kind::Mark,
    Kind::Notice,
    Kind::Notch,
];

pub(crate) fn shape_pairs(theme: &LoadedTheme, list: &DrawList, pairs: &mut Pairs) {
    for item in &list.items {
        if !MEANINGFUL.iter().any(|kind| is(item, *kind))
            || scrimmed(list, item.bounds.y) && item.layer != Layer::Over
        {
            continue;
        }
        let (r, front) = match &item.shape {
            Shape::Box(shape) if shape.border.width > 0.0 => (shape.rect, shape.border.color),
            Shape::Box(shape) => (shape.rect, shape.fill),
            Shape::Path(path) => (item.bounds, path.fill),
            Shape::Text(_) | Shape::Image(_) => continue,
        };
        let under: Vec<_> = boxes(list).take_while(|(below, _)| below.key != item.key).collect();
        let inside = if is(item, Kind::Notice) { Some(theme.colors.notice.0) } else { None };
        let back = inside.map(Rgba).or_else(|| ground(under.into_iter(), [r.x + r.w / 2.0, r.y + r.h / 2.0]));
        let back = back.unwrap_or(list.clear);
        let (Some(front), Some(back)) = (role(theme, front), role(theme, back)) else {
            panic!("{:?}: {front:?} on {back:?} is no pair of roles", item.key);
        };
        pairs.insert((front, back));
    }
}

#[test]
fn themes_are_checked_for_every_pair_that_meets_and_for_no_other() {
    let theme = told_apart();
    let (mut texts, mut shapes) = (Pairs::new(), Pairs::new());
    for seed in 0..400 {
        let (mut view, feed_ms) = heat(seed);
        view.snapshot.journal_ok = seed % 7 > 0;
        let link = if seed % 5 == 0 { Link::Lost { age_ms: 3_000 } } else { Link::Live };
        let mut board = Board::new(Rc::clone(&theme), [1920, 1080], Motion::Reduced);
        board.frame(Some(&view), link, times(feed_ms, 0));
        let lanes: Vec<u8> = view.snapshot.entries.iter().map(|entry| entry.lane).collect();
        let no_reps = lanes.iter().filter(|lane| (u64::from(**lane) + seed) % 6 == 0);
        let no_reps = no_reps.map(|lane| sample::no_rep(*lane, feed_ms)).collect();
        view.apply(&Delta { no_reps, ..sample::delta(11) }).unwrap();
        if seed % 4 == 3 {
            let card = sample::cards::random(seed / 4, feed_ms);
            view.snapshot.shows.board.steps = vec![Step { for_ms: 0, card }];
        }
        let shown = (seed % 50 > 0).then_some(&view);
        let list = board.frame(shown, link, times(feed_ms, 1_000_000)).clone();
        text_pairs(&theme, &list, &mut texts);
        shape_pairs(&theme, &list, &mut shapes);
    }
    let named = |pairs: &[(Role, Role)]| pairs.iter().map(|(a, b)| (a.name(), b.name())).collect::<Pairs>();
    let differ = |found: &Pairs, listed: Pairs| {
        let not_listed: Vec<_> = found.difference(&listed).copied().collect();
        let not_found: Vec<_> = listed.difference(found).copied().collect();
        (not_listed, not_found)
    };
    let none = (Vec::new(), Vec::new());
    assert_eq!((differ(&texts, named(TEXTS)), differ(&shapes, named(SHAPES))), (none.clone(), none));
}
