//! A theme's logo on overlays: beside the corner's clock, in the safe area, and at nobody's cost.

use super::*;
use crate::board::tests::logo::{logo_of, with_logo};
use crate::draw::DrawList;

fn drawn(theme: Rc<LoadedTheme>, size: [u32; 2], view: &View, feed_ms: i64) -> (DrawList, Rect) {
    let mut overlay = Overlay::new(theme, size, Motion::Reduced);
    overlay.frame(Some(view), Link::Live, times(feed_ms, 0));
    let list = overlay.frame(Some(view), Link::Live, times(feed_ms, 1_000_000)).clone();
    let extent = overlay.extent();
    (list, extent)
}

#[test]
fn a_logo_stands_on_its_own_plate_in_the_safe_area_and_moves_nothing() {
    for (seed, size) in (0..).zip(SIZES) {
        for sides in [[300, 100], [64, 64]] {
            let (mut view, feed_ms) = heat(seed);
            view.snapshot.shows.overlay = all(1, 2);
            let theme = Rc::new(fivemark_themes::find("dark").unwrap());
            let (plain, without) = drawn(theme, size, &view, feed_ms);
            let (mut with, extent) = drawn(with_logo(sides), size, &view, feed_ms);
            let Some(logo) = logo_of(&with) else {
                panic!("{size:?} {sides:?}: no logo");
            };
            let safe = Places::new(size).safe;
            let inside = |rect: Rect| settle::meet(rect, safe) == rect;
            let plate = with.items.iter().find(|item| is(item, Kind::LogoPlate)).expect("its plate").clone();
            let Shape::Box(plate) = plate.shape else { panic!("a plate is a box") };
            assert!(
                settle::meet(plate.rect, logo) == logo && inside(plate.rect),
                "{size:?}: {plate:?} {logo:?}"
            );
            assert!(settle::around(extent, plate.rect) == extent, "it is in the extent");
            assert!(settle::around(extent, without) == extent);
            with.items.retain(|item| !is(item, Kind::LogoPlate) && !is(item, Kind::Logo));
            assert_eq!(with.items.len(), plain.items.len());
            for (with, plain) in with.items.iter().zip(&plain.items) {
                // The corner's soft edges are cut off a pixel farther out.
                let [one, other] = [with, plain].map(|item| item.bounds);
                let moved = [one.x - other.x, one.y - other.y, one.w - other.w, one.h - other.h];
                assert!(
                    with.key == plain.key && moved.iter().all(|by| by.abs() <= 2.0),
                    "{size:?}: {moved:?}"
                );
                assert!(!meet(plain.bounds, plate.rect), "{size:?}: {:?} meets the logo's plate", plain.key);
            }
        }
    }
}

#[test]
fn without_the_corner_there_is_no_logo() {
    let (mut view, feed_ms) = heat(1);
    view.snapshot.shows.overlay = OverlayShows { corner: false, ..all(1, 2) };
    assert!(logo_of(&drawn(with_logo([64, 64]), [1920, 1080], &view, feed_ms).0).is_none());
}

#[test]
fn a_new_logo_takes_its_place_at_once() {
    let (mut view, feed_ms) = heat(1);
    view.snapshot.shows.overlay = all(1, 2);
    let mut overlay = overlay([1920, 1080], Motion::Reduced);
    assert!(logo_of(overlay.frame(Some(&view), Link::Live, times(feed_ms, 0))).is_none());
    overlay.set_theme(with_logo([64, 64]));
    assert!(logo_of(overlay.frame(Some(&view), Link::Live, times(feed_ms, 1))).is_some());
}
