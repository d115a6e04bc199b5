//! A theme's logo on boards: where there is room, over nothing.

use std::sync::Arc;

use fivemark_themes::{Logo, Picture};

use super::*;

pub(crate) fn with_logo(size: [u32; 2]) -> Rc<fivemark_themes::LoadedTheme> {
    let mut theme = fivemark_themes::find("dark").expect("the bundled theme passes");
    let pixels = usize::try_from(size[0] * size[1] * 4).unwrap();
    let picture = Picture::new(size, vec![200; pixels]).expect("as many pixels as it says");
    theme.logo = Some(Logo { name: "logo.png".into(), picture: Arc::new(picture), height: 100, width: 160 });
    Rc::new(theme)
}

pub(crate) fn logo_of(list: &DrawList) -> Option<Rect> {
    list.items.iter().find_map(|item| match &item.shape {
        Shape::Image(image) => Some(image.rect),
        _ => None,
    })
}

#[test]
fn a_logo_stands_where_it_covers_nothing_and_keeps_its_shape() {
    let mut shown = 0;
    for (seed, size, mut board) in boards() {
        let (view, feed_ms) = heat(seed);
        let sides = [[300, 100], [100, 300], [64, 64]][usize::try_from(seed % 3).unwrap()];
        board.set_theme(with_logo(sides));
        board.frame(Some(&view), Link::Live, times(feed_ms, 1));
        let Some(logo) = logo_of(&board.list) else { continue };
        shown += 1;
        for (item, text) in texts(&board.list) {
            assert!(!meet(ink(text), logo), "seed {seed} {size:?}: {:?} under the logo", item.key);
        }
        let boxes = board.list.items.iter().filter_map(|item| match &item.shape {
            Shape::Box(shape) if !is(item, Kind::Plate) && !is(item, Kind::Scrim) => Some((item, shape.rect)),
            _ => None,
        });
        for (item, rect) in boxes {
            assert!(!meet(rect, logo), "seed {seed} {size:?}: {:?} under the logo", item.key);
        }
        #[allow(clippy::cast_precision_loss)] // hundreds
        let [width, height] = sides.map(|side| side as f32);
        // Whole pixels.
        assert!((logo.w * height - logo.h * width).abs() <= width.max(height), "seed {seed}: {logo:?}");
    }
    assert!(shown > 60, "it is shown on many boards: {shown}");
}

#[test]
fn a_long_title_takes_the_logo_s_room() {
    let mut view = sample::nine();
    let mut board = Board::new(with_logo([300, 100]), [1920, 1080], Motion::Full);
    view.snapshot.titles.workout = "Tideline".into();
    view.snapshot.titles.divisions.clear();
    assert!(logo_of(board.frame(Some(&view), Link::Live, times(462_300, 0))).is_some());
    view.snapshot.titles.workout = "A workout with a name that is as long as there is room".into();
    assert!(logo_of(board.frame(Some(&view), Link::Live, times(462_300, 1))).is_none());
}

/// On a tower or a square it stands beside the clock, and there it stays while the clock gets longer.
#[test]
fn a_logo_beside_the_clock_does_not_move_while_the_heat_runs() {
    let mut view = sample::nine();
    for (size, shown) in [([1000, 1000], true), ([1080, 1920], false), ([2560, 256], false)] {
        let mut board = Board::new(with_logo([64, 64]), size, Motion::Full);
        let places: Vec<_> = [5_000, 599_900, 600_100]
            .map(|elapsed_ms| {
                view.snapshot.heat.clock = Clock::Stopped { elapsed_ms };
                logo_of(board.frame(Some(&view), Link::Live, times(462_300, 0)))
            })
            .into();
        assert!(places.iter().all(|place| *place == places[0]), "{size:?}: {places:?}");
        assert_eq!(places[0].is_some(), shown, "{size:?}: {places:?}");
    }
}
