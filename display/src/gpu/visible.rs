//! Which parts of which items lie in damaged rectangles. Most items of a frame lie in none and most of the others in
//! one, so each looks its rectangles up in a coarse grid instead of trying all of them. A picture that a box hides there
//! is left out.

use fivemark_scene::draw::{Item, LAYERS, Shape};

use super::cut::Cut;
use super::damage::{MAX_RECTS, PxRect, reach};

/// Stripes of the grid in each direction: about half a row of a full board.
const STRIPES: usize = 64;

/// Rectangles as bits: the first is bit 0.
type Mask = u32;

const _: () = assert!(MAX_RECTS <= Mask::BITS as usize);

/// What of an item lies in one damaged rectangle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Part {
    /// Index of the item.
    pub item: usize,
    /// Index of the rectangle.
    pub rect: usize,
    /// Never empty.
    pub within: PxRect,
}

/// The parts of one layer, each kind in the order in which it is painted.
#[derive(Debug, Default)]
pub(super) struct LayerParts {
    pub images: Vec<Part>,
    pub boxes: Vec<Part>,
    pub paths: Vec<Part>,
    pub texts: Vec<Part>,
}

/// The parts of a frame.
#[derive(Debug, Default)]
pub(super) struct Visible {
    pub layers: [LayerParts; LAYERS.len()],
}

impl Visible {
    /// Finds the parts of these items in these rectangles of a target.
    pub fn find(&mut self, size: [u32; 2], items: &[Item], rects: &[PxRect]) {
        for layer in &mut self.layers {
            layer.images.clear();
            layer.boxes.clear();
            layer.paths.clear();
            layer.texts.clear();
        }
        let grid = Grid::new(size, rects);
        for (index, item) in items.iter().enumerate() {
            let reach = reach(item);
            let layer = &mut self.layers[item.layer as usize];
            let parts = match item.shape {
                Shape::Image(_) => &mut layer.images,
                Shape::Box(_) => &mut layer.boxes,
                Shape::Path(_) => &mut layer.paths,
                Shape::Text(_) => &mut layer.texts,
            };
            let mut near = grid.near(reach);
            while near != 0 {
                let rect = near.trailing_zeros() as usize;
                near &= near - 1;
                let within = rects[rect].intersect(reach);
                if !within.is_empty() {
                    parts.push(Part { item: index, rect, within });
                }
            }
        }
        for layer in &mut self.layers {
            layer.leave_out_what_is_hidden(items);
        }
    }
}

impl LayerParts {
    /// Leaves out pictures of which nothing is seen, because one plain box of the layer lies over all that is to be
    /// painted of them: what changes on a row costs nothing of what lies behind the board.
    fn leave_out_what_is_hidden(&mut self, items: &[Item]) {
        let Self { images, boxes, .. } = self;
        let hidden =
            |image: &Part, over: &Part| over.rect == image.rect && hides(&items[over.item], image.within);
        images.retain(|image| !boxes.iter().any(|over| hidden(image, over)));
    }
}

/// Whether an item is one opaque colour on all of these pixels, its soft edge and its outline not among them.
fn hides(item: &Item, pixels: PxRect) -> bool {
    let Shape::Box(shape) = &item.shape else { return false };
    let opaque = shape.fill.0[3] == u8::MAX && shape.fill_bottom.0[3] == u8::MAX;
    opaque && reach(item).intersect(pixels) == pixels && Cut::of(shape).covers(pixels)
}

/// For each stripe of columns and of rows, the rectangles that touch it.
struct Grid {
    target: PxRect,
    columns: [Mask; STRIPES],
    rows: [Mask; STRIPES],
}

impl Grid {
    fn new(size: [u32; 2], rects: &[PxRect]) -> Self {
        let target = PxRect::of_size(size);
        let mut grid = Self { target, columns: [0; STRIPES], rows: [0; STRIPES] };
        for (rect, bit) in rects.iter().zip(0..) {
            for column in &mut grid.columns[stripes(rect.left, rect.right, target.right)] {
                *column |= 1 << bit;
            }
            for row in &mut grid.rows[stripes(rect.top, rect.bottom, target.bottom)] {
                *row |= 1 << bit;
            }
        }
        grid
    }

    /// The rectangles that may meet `reach`.
    fn near(&self, reach: PxRect) -> Mask {
        let reach = reach.intersect(self.target);
        if reach.is_empty() {
            return 0;
        }
        let all = |stripes: &[Mask]| stripes.iter().fold(0, |all, mask| all | mask);
        all(&self.columns[stripes(reach.left, reach.right, self.target.right)])
            & all(&self.rows[stripes(reach.top, reach.bottom, self.target.bottom)])
    }
}

/// The stripes that the pixels from `from` up to but not including `to` of a side of `side` pixels lie in. They lie
/// within the side, and there is at least one.
#[allow(clippy::cast_sign_loss)] // within a target
fn stripes(from: i32, to: i32, side: i32) -> std::ops::RangeInclusive<usize> {
    let stripe = |px: i32| px as usize * STRIPES / side.max(1) as usize;
    stripe(from)..=stripe(to - 1)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use fivemark_scene::draw::{Border, BoxShape, ImageShape, ItemKey, Picture, Rect, Rgba};

    use super::*;

    const WHOLE: Rect = Rect { x: 0.0, y: 0.0, w: 400.0, h: 300.0 };
    const ROW: Rect = Rect { x: 20.0, y: 100.0, w: 360.0, h: 60.0 };

    fn item(key: u64, bounds: Rect, shape: Shape) -> Item {
        Item { key: ItemKey(key), layer: LAYERS[0], bounds, clip: None, shape }
    }

    /// A picture behind a row of this colour, with round corners.
    fn behind_a_row(fill: Rgba) -> [Item; 2] {
        let picture = Arc::new(Picture::new([1, 1], vec![9; 4]).expect("a pixel"));
        let image = ImageShape { picture, rect: WHOLE, copy: [400.0, 300.0], opacity: 255 };
        let (radii, border) = ([8.0; 4], Border::default());
        let row = BoxShape { rect: ROW, radii, fill, fill_bottom: fill, border, hatch: None };
        [item(1, WHOLE, Shape::Image(image)), item(2, ROW, Shape::Box(row))]
    }

    fn images(items: &[Item], [left, top, right, bottom]: [i32; 4]) -> usize {
        let mut visible = Visible::default();
        visible.find([400, 300], items, &[PxRect { left, top, right, bottom }]);
        visible.layers[0].images.len()
    }

    #[test]
    fn what_changes_on_a_row_leaves_out_what_lies_behind_it() {
        let items = behind_a_row(Rgba([1, 2, 3, 255]));
        assert_eq!(images(&items, [200, 100, 260, 160]), 0, "from edge to edge");
        assert_eq!(images(&items, [20, 110, 40, 140]), 0, "between the corners");
        assert_eq!(images(&items, [20, 100, 40, 140]), 1, "a corner is round");
        assert_eq!(images(&items, [200, 99, 260, 160]), 1, "a pixel beside the row");
        assert_eq!(images(&behind_a_row(Rgba([1, 2, 3, 254])), [200, 110, 260, 150]), 1, "it shows through");
    }
}
