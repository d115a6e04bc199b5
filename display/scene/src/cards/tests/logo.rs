//! A theme's logo on cards: over nothing, in its shape, and at nobody's cost.

use super::*;
use crate::board::tests::logo::{logo_of, with_logo};
use crate::draw::ItemKey;

/// Texts by their names, with their places and sizes.
fn set(list: &DrawList) -> Vec<(ItemKey, [f32; 4])> {
    texts(list)
        .map(|(item, text)| (item.key, [text.left, text.top, text.text.width, text.text.cap_height]))
        .collect()
}

#[test]
fn a_logo_covers_nothing_on_any_card_and_keeps_its_shape() {
    let mut shown = 0;
    for size in SIZES {
        for seed in 0..72 {
            let sides = [[300, 100], [100, 300], [64, 64]][usize::try_from(seed / 6 % 3).unwrap()];
            let view = showing(false, [(0, sample::cards::random(seed, FEED_MS))]);
            let mut screen = Board::new(with_logo(sides), size, Motion::Reduced);
            let list = screen.frame(Some(&view), Link::Live, times(FEED_MS + 9_000, 0));
            let Some(logo) = logo_of(list) else { continue };
            shown += 1;
            let what = format!("{size:?} seed {seed}");
            let [width, height] = size.map(|side| side as f32);
            let inside =
                logo.x >= 0.0 && logo.y >= 0.0 && logo.x + logo.w <= width && logo.y + logo.h <= height;
            assert!(inside, "{what}: {logo:?}");
            for (item, text) in texts(list) {
                assert!(!meet(ink(text), logo), "{what}: {:?} under the logo at {logo:?}", item.key);
            }
            for item in &list.items {
                let Shape::Box(shape) = &item.shape else { continue };
                assert!(!meet(shape.rect, logo), "{what}: {:?} under the logo at {logo:?}", item.key);
            }
            let [wide, high] = sides.map(|side| side as f32);
            assert!((logo.w * high - logo.h * wide).abs() <= wide.max(high), "{what}: {logo:?}");
        }
    }
    assert!(shown > 300, "it is shown on many cards: {shown}");
}

/// Only the event's own card, full screen, shares its height with the logo; there the logo is three times as large.
#[test]
fn a_logo_makes_no_text_smaller() {
    for size in SIZES {
        for seed in (0..48).filter(|seed| seed % 6 != 3) {
            let view = showing(false, [(0, sample::cards::random(seed, FEED_MS))]);
            let mut plain = board(size, Motion::Reduced);
            let mut with = Board::new(with_logo([300, 100]), size, Motion::Reduced);
            let at = times(FEED_MS + 9_000, 0);
            let wanted = set(plain.frame(Some(&view), Link::Live, at));
            assert_eq!(set(with.frame(Some(&view), Link::Live, at)), wanted, "{size:?} seed {seed}");
        }
    }
    let event = Card::Event { name: "Brackwater Trials".into(), place: "Ostrel".into(), date: String::new() };
    let view = showing(false, [(0, event)]);
    let logo = |size: [u32; 2]| {
        logo_of(Board::new(with_logo([300, 100]), size, Motion::Reduced).frame(
            Some(&view),
            Link::Live,
            times(FEED_MS, 0),
        ))
    };
    // 100 thousandths of the height three times, and 160 of the width.
    assert_eq!(logo([1920, 1080]).map(|rect| (rect.w, rect.h)), Some((921.0, 307.0)));
    assert!(logo([1080, 1920]).is_some() && logo([1920, 240]).is_some());
}
