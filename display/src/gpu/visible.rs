//! Which parts of which items lie in damaged rectangles. Most items of a frame lie in none and most of the others in
//! one, so each looks its rectangles up in a coarse grid instead of trying all of them.

use fivemark_scene::draw::{Item, LAYERS, Shape};

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
    }
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
