//! Cuts a rounded box into what its edge, outline or corners touch, and the plain rest.

use fivemark_scene::draw::BoxShape;

use super::damage::{PxRect, ceil_px, floor_px};

/// A smaller inside than this is not worth a piece of its own.
const MIN_INSIDE_PX: i64 = 1_024;

/// How a box falls into pieces: `full` is where the edge and the outline no longer matter, `straight` where the
/// corners no longer matter either.
pub(super) struct Cut {
    full: PxRect,
    straight: PxRect,
}

impl Cut {
    pub fn of(shape: &BoxShape) -> Self {
        let radius = shape.radii.into_iter().fold(0.0, f32::max);
        let full = inset(shape, shape.border.width);
        Self { full, straight: inset(shape, shape.border.width.max(radius)) }
    }

    /// Whether the box has a plain inside large enough for a piece of its own.
    pub fn is_worth_it(&self, shape: &BoxShape, whole: PxRect) -> bool {
        let plain = shape.hatch.is_none() && shape.fill == shape.fill_bottom;
        plain && self.inside_area() >= MIN_INSIDE_PX.min(whole.area())
    }

    fn band(&self, columns: PxRect, top: i32, bottom: i32) -> PxRect {
        PxRect { top, bottom, left: columns.left, right: columns.right }
    }

    /// Above the lower corners, between them, below them. Empty ones where a box is small.
    pub fn insides(&self) -> [PxRect; 3] {
        [
            self.band(self.straight, self.full.top, self.straight.top),
            self.band(self.full, self.straight.top, self.straight.bottom),
            self.band(self.straight, self.straight.bottom, self.full.bottom),
        ]
    }

    /// Whether all of these pixels lie in the insides.
    pub fn covers(&self, pixels: PxRect) -> bool {
        let covered =
            || self.insides().into_iter().map(|inside| inside.intersect(pixels).area()).sum::<i64>();
        // They lie apart, so that what they cover adds up; but not where corners leave nothing between them.
        !self.straight.is_empty() && covered() == pixels.area()
    }

    fn inside_area(&self) -> i64 {
        if self.straight.is_empty() { 0 } else { self.insides().into_iter().map(PxRect::area).sum() }
    }

    /// What the insides leave of the whole.
    pub fn edges(&self, whole: PxRect) -> [PxRect; 8] {
        let (full, straight) = (self.full, self.straight);
        let left = |right| PxRect { left: whole.left, right, ..whole };
        let right = |left| PxRect { left, right: whole.right, ..whole };
        [
            self.band(whole, whole.top, full.top),
            self.band(left(straight.left), full.top, straight.top),
            self.band(right(straight.right), full.top, straight.top),
            self.band(left(full.left), straight.top, straight.bottom),
            self.band(right(full.right), straight.top, straight.bottom),
            self.band(left(straight.left), straight.bottom, full.bottom),
            self.band(right(straight.right), straight.bottom, full.bottom),
            self.band(whole, full.bottom, whole.bottom),
        ]
    }
}

/// The pixels that lie `by` or more inside of the box on every side.
fn inset(shape: &BoxShape, by: f32) -> PxRect {
    let rect = shape.rect;
    PxRect {
        left: ceil_px(rect.x + by),
        top: ceil_px(rect.y + by),
        right: floor_px(rect.x + rect.w - by),
        bottom: floor_px(rect.y + rect.h - by),
    }
}
