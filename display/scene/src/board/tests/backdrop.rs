//! A picture behind boards and cards: behind all of it, the same in every frame, and where nothing stands on it but what
//! themes are checked for.

use std::sync::Arc;

use fivemark_themes::backdrop::{SHAPES_ON_IT, TEXTS_ON_IT};
use fivemark_themes::{Backdrop, Lies, LoadedTheme, Picture, Role};
use fivemark_wire::shows::Step;

use super::pairs::{Pairs, shape_pairs, text_pairs, told_apart};
use super::*;
use crate::draw::{ImageShape, LAYERS};
use crate::{Overlay, TestCard};

fn with_picture(theme: &LoadedTheme, size: [u32; 2], lies: Lies) -> Rc<LoadedTheme> {
    let pixels = usize::try_from(size[0] * size[1] * 4).unwrap();
    let picture = Arc::new(Picture::new(size, vec![9; pixels]).expect("as many pixels as it says"));
    let mut theme = theme.clone();
    theme.backdrop = Some(Backdrop { name: "hall.png".into(), picture, lies, opacity: 600 });
    Rc::new(theme)
}

fn dark(size: [u32; 2], lies: Lies) -> Rc<LoadedTheme> {
    with_picture(&fivemark_themes::find("dark").unwrap(), size, lies)
}

fn picture_of(list: &DrawList) -> Option<&ImageShape> {
    let item = list.items.first()?;
    match &item.shape {
        Shape::Image(image) if is(item, Kind::Backdrop) && item.layer == LAYERS[0] => Some(image),
        _ => None,
    }
}

#[test]
fn a_picture_covers_all_of_every_board_and_keeps_its_shape() {
    let (view, feed_ms) = heat(1);
    for size in SIZES {
        let screen = whole(size);
        for sides in [[300, 100], [16, 9], [100, 700]] {
            let mut board = Board::new(dark(sides, Lies::Cover), size, Motion::Full);
            let list = board.frame(Some(&view), Link::Live, times(feed_ms, 0));
            let image = picture_of(list).expect("it is there");
            let (rect, [width, height]) =
                (image.rect, sides.map(|side| f32::from(u16::try_from(side).unwrap())));
            assert!(rect.x <= 0.0 && rect.y <= 0.0, "{size:?}: {rect:?}");
            assert!(rect.x + rect.w >= screen.w && rect.y + rect.h >= screen.h, "{size:?}: {rect:?}");
            let scale = (screen.w / width).max(screen.h / height);
            assert!(
                (rect.w - width * scale).abs() <= 1.0 && (rect.h - height * scale).abs() <= 1.0,
                "{rect:?}"
            );
            assert_eq!((image.copy, image.opacity), ([rect.w, rect.h], 153));

            board.set_theme(dark(sides, Lies::Tile { height: 200 }));
            let image =
                picture_of(board.frame(Some(&view), Link::Live, times(feed_ms, 1))).expect("it is there");
            let side = screen.w.min(screen.h) * 0.2;
            assert_eq!(image.rect, screen);
            assert!((image.copy[1] - side).abs() <= 0.5, "{size:?}: {:?}", image.copy);
            assert!(
                (image.copy[0] - image.copy[1] * width / height).abs() <= 0.5,
                "{size:?}: {:?}",
                image.copy
            );
        }
    }
}

#[test]
fn it_is_the_same_item_while_cards_come_and_go_and_never_fades() {
    let (mut view, feed_ms) = heat(2);
    let mut board = Board::new(dark([16, 9], Lies::Cover), [1280, 720], Motion::Full);
    let first = board.frame(None, Link::Never, times(0, 0)).items[0].clone();
    let cards = (0..6).map(|seed| Step { for_ms: 1_000, card: sample::cards::random(seed, feed_ms) });
    view.snapshot.shows.board.steps = cards.collect();
    view.snapshot.shows.board.since_ms = feed_ms;
    view.snapshot.shows.board.again = true;
    for frame in 0..140 {
        let list = board.frame(Some(&view), Link::Live, times(feed_ms + frame * 50, frame * 50_000));
        assert_eq!(list.items[0], first, "frame {frame}");
    }
}

#[test]
fn it_lies_on_no_clear_ground_under_no_overlay_and_on_no_test_card() {
    let (mut view, feed_ms) = heat(3);
    view.snapshot.shows.overlay.corner = true;
    view.snapshot.shows.overlay.ribbon = true;
    let (theme, size) = (dark([16, 9], Lies::Cover), [1280, 720]);
    let mut board = Board::new(Rc::clone(&theme), size, Motion::Full);
    board.set_background(Background::Clear);
    let mut screens: [&mut dyn Screen; 3] = [
        &mut board,
        &mut Overlay::new(Rc::clone(&theme), size, Motion::Reduced),
        &mut TestCard::new(Rc::clone(&theme), size),
    ];
    for screen in &mut screens {
        let list = screen.frame(Some(&view), Link::Live, times(feed_ms, 0));
        let images = list.items.iter().filter(|item| matches!(item.shape, Shape::Image(_))).count();
        assert!(images == 0 && !list.items.is_empty());
    }
}

/// A ground of a colour that is none, so that what stands on it and on no plate stands on the picture.
#[test]
fn nothing_stands_on_it_but_what_themes_are_checked_for() {
    let theme = with_picture(&told_apart(), [16, 9], Lies::Cover);
    let nothing = Role::capped_stripe;
    let (mut texts, mut shapes) = (Pairs::new(), Pairs::new());
    for seed in 0..200 {
        let (mut view, feed_ms) = heat(seed);
        view.snapshot.journal_ok = seed % 7 > 0;
        view.snapshot.heat.clock_in_doubt = seed % 6 == 0;
        let link = if seed % 5 == 0 { Link::Lost { age_ms: 3_000 } } else { Link::Live };
        let size = SIZES[usize::try_from(seed % 16).unwrap()];
        let mut board = Board::new(Rc::clone(&theme), size, Motion::Reduced);
        if seed % 4 == 3 {
            let card = sample::cards::random(seed / 4, feed_ms);
            view.snapshot.shows.board.steps = vec![Step { for_ms: 0, card }];
        }
        let shown = (seed % 50 > 0).then_some(&view);
        let mut list = board.frame(shown, link, times(feed_ms, 0)).clone();
        list.clear = Rgba(theme.colors.get(nothing).0);
        text_pairs(&theme, &list, &mut texts);
        shape_pairs(&theme, &list, &mut shapes);
    }
    let on_it = |pairs: &Pairs| -> std::collections::BTreeSet<&'static str> {
        pairs.iter().filter(|(_, back)| *back == nothing.name()).map(|(front, _)| *front).collect()
    };
    let named = |roles: &[Role]| roles.iter().map(|role| role.name()).collect();
    assert_eq!((on_it(&texts), on_it(&shapes)), (named(TEXTS_ON_IT), named(SHAPES_ON_IT)));
}
