//! Putting a group of items that was drawn at rest where it is on its way: shifted, cut to a rectangle, mirrored, and
//! told apart from other groups about the same lane.

use crate::draw::{Item, ItemKey, Rect, Shape};

pub(crate) use crate::keys::Group;

/// Gives items keys of their group.
pub(crate) fn name(items: &mut [Item], group: Group) {
    for item in items {
        item.key = ItemKey(item.key.0 | (group as u64) << 48);
    }
}

/// Shifts items by whole pixels and cuts them to a rectangle. What is cut off whole keeps bounds without width.
pub(crate) fn shift_and_cut(items: &mut [Item], [x, y]: [f32; 2], cut: Rect) {
    for item in items {
        shift(item, [x, y]);
        item.bounds = meet(item.bounds, item.clip.map_or(cut, |clip| meet(clip, cut)));
        item.clip = Some(item.clip.map_or(cut, |clip| meet(clip, cut)));
    }
}

/// Turns boxes and outlines over, left for right, within a stretch of the picture. Texts keep their way.
pub(crate) fn mirror(items: &mut [Item], within: Rect) {
    let turned = |rect: Rect| Rect { x: 2.0 * within.x + within.w - rect.x - rect.w, ..rect };
    for item in items {
        item.bounds = turned(item.bounds);
        item.clip = item.clip.map(turned);
        match &mut item.shape {
            Shape::Box(shape) => {
                shape.rect = turned(shape.rect);
                let [top_left, top_right, bottom_right, bottom_left] = shape.radii;
                shape.radii = [top_right, top_left, bottom_left, bottom_right];
            }
            Shape::Path(path) => {
                path.at[0] = 2.0 * within.x + within.w - path.at[0] - path.scale;
            }
            Shape::Image(image) => image.rect = turned(image.rect),
            Shape::Text(_) => {}
        }
    }
}

/// What both cover; without width or height if nothing.
pub(crate) fn meet(one: Rect, other: Rect) -> Rect {
    let (x, y) = (one.x.max(other.x), one.y.max(other.y));
    let right = (one.x + one.w).min(other.x + other.w);
    let bottom = (one.y + one.h).min(other.y + other.h);
    Rect { x, y, w: (right - x).max(0.0), h: (bottom - y).max(0.0) }
}

/// The smallest rectangle over both; one without width adds nothing.
pub(crate) fn around(one: Rect, other: Rect) -> Rect {
    if one.w <= 0.0 {
        return other;
    }
    if other.w <= 0.0 {
        return one;
    }
    let (x, y) = (one.x.min(other.x), one.y.min(other.y));
    let right = (one.x + one.w).max(other.x + other.w);
    let bottom = (one.y + one.h).max(other.y + other.h);
    Rect { x, y, w: right - x, h: bottom - y }
}

fn shift(item: &mut Item, [x, y]: [f32; 2]) {
    let moved = |rect: Rect| Rect { x: rect.x + x, y: rect.y + y, ..rect };
    item.bounds = moved(item.bounds);
    item.clip = item.clip.map(moved);
    match &mut item.shape {
        Shape::Box(shape) => shape.rect = moved(shape.rect),
        Shape::Image(image) => image.rect = moved(image.rect),
        Shape::Path(path) => path.at = [path.at[0] + x, path.at[1] + y],
        Shape::Text(text) => (text.left, text.top) = (text.left + x, text.top + y),
    }
}
