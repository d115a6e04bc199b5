//! The picture that a theme lays behind boards and cards. It is one item, the same in every frame, so that only what
//! changes over it is painted anew; what stands on it is the layouts' to say, and whether it can be read there the
//! theme's.

use std::sync::Arc;

use fivemark_themes::{Backdrop, Lies, LoadedTheme};

use crate::board::whole;
use crate::draw::{DrawList, ImageShape, Item, Layer, Rect, Shape};
use crate::paint::{Kind, key};
use crate::screen::Background;

/// What lies behind a board, if its theme has a picture and it stands on the theme's own ground.
pub(crate) fn of(theme: &LoadedTheme, background: Background) -> Option<&Backdrop> {
    theme.backdrop.as_ref().filter(|_| background == Background::Theme)
}

/// Lays it behind everything that is pushed after it.
pub(crate) fn push(list: &mut DrawList, backdrop: &Backdrop) {
    let screen = whole(list.size);
    #[allow(clippy::cast_precision_loss)] // pictures have thousands of pixels on a side
    let [width, height] = backdrop.picture.size().map(|side| side as f32);
    let (rect, copy) = match backdrop.lies {
        Lies::Cover => {
            let scale = (screen.w / width).max(screen.h / height);
            let (w, h) = ((width * scale).ceil(), (height * scale).ceil());
            let (x, y) = (((screen.w - w) / 2.0).floor(), ((screen.h - h) / 2.0).floor());
            (Rect { x, y, w, h }, [w, h])
        }
        Lies::Tile { height: thousandths } => {
            #[allow(clippy::cast_precision_loss)] // at most a thousand
            let wanted = screen.w.min(screen.h) * thousandths as f32 / 1000.0;
            // Whole pixels, so that all copies look alike.
            let h = wanted.round().max(1.0);
            (screen, [(h * width / height).round().max(1.0), h])
        }
    };
    let picture = Arc::clone(&backdrop.picture);
    let shape = Shape::Image(ImageShape { picture, rect, copy, opacity: backdrop.alpha() });
    let (key, layer) = (key(0, Kind::Backdrop, 0), Layer::Ground);
    list.items.push(Item { key, layer, bounds: screen, clip: None, shape });
}
