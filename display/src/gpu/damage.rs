//! Which pixels differ between two frames: the keyed items of one draw list compared with those of the last one,
//! as few disjoint rectangles of whole pixels. Paints nothing.

use std::rc::Rc;

use fivemark_scene::draw::{DrawList, Item, ItemKey, Rect, Shape};

/// Most rectangles in one frame. Each costs a pass over the items; past this many, neighbours are joined.
pub const MAX_RECTS: usize = 32;

/// Two rectangles are joined when the joint one covers at most this many pixels more than both: repainting a few
/// pixels too many is cheaper than a rectangle more.
const JOIN_SLACK_PX: i64 = 2_048;

/// A rectangle of whole pixels: right and bottom are the first column and row outside.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct PxRect {
    pub left: i32,
    pub top: i32,
    pub right: i32,
    pub bottom: i32,
}

impl PxRect {
    /// The whole of a target.
    #[must_use]
    pub fn of_size(size: [u32; 2]) -> Self {
        let to_px = |side: u32| i32::try_from(side).unwrap_or(i32::MAX);
        Self { left: 0, top: 0, right: to_px(size[0]), bottom: to_px(size[1]) }
    }

    /// The smallest rectangle of whole pixels around `rect`.
    #[must_use]
    pub fn around(rect: Rect) -> Self {
        Self {
            left: floor_px(rect.x),
            top: floor_px(rect.y),
            right: ceil_px(rect.x + rect.w),
            bottom: ceil_px(rect.y + rect.h),
        }
    }

    /// What both cover.
    #[must_use]
    pub fn intersect(self, other: Self) -> Self {
        Self {
            left: self.left.max(other.left),
            top: self.top.max(other.top),
            right: self.right.min(other.right),
            bottom: self.bottom.min(other.bottom),
        }
    }

    /// Whether both cover a pixel, if neither is empty.
    #[must_use]
    pub fn meets(self, other: Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// The smallest rectangle over both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// Width and height in pixels; 0 where it is empty.
    #[must_use]
    pub fn size(self) -> [u32; 2] {
        [self.right - self.left, self.bottom - self.top].map(|side| u32::try_from(side).unwrap_or(0))
    }

    /// Covers no pixel.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.right <= self.left || self.bottom <= self.top
    }

    /// Pixels covered.
    #[must_use]
    pub fn area(self) -> i64 {
        if self.is_empty() {
            return 0;
        }
        (i64::from(self.right) - i64::from(self.left)) * (i64::from(self.bottom) - i64::from(self.top))
    }
}

/// The whole pixel at or below. Without the call into the mathematics library that a plain processor needs for
/// `floor`; thousands of these are made in a frame.
#[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // a float beyond i32 saturates, as a clip wants
pub(super) fn floor_px(at: f32) -> i32 {
    let toward_zero = at as i32;
    toward_zero.saturating_sub(i32::from((toward_zero as f32) > at))
}

/// The whole pixel at or above.
#[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)] // as above
pub(super) fn ceil_px(at: f32) -> i32 {
    let toward_zero = at as i32;
    toward_zero.saturating_add(i32::from((toward_zero as f32) < at))
}

/// Where an item may paint: its bounds and its clip, in whole pixels.
#[must_use]
pub fn reach(item: &Item) -> PxRect {
    let bounds = PxRect::around(item.bounds);
    item.clip.map_or(bounds, |clip| bounds.intersect(PxRect::around(clip)))
}

/// A few disjoint rectangles that cover everything added to them.
#[derive(Debug, Default)]
pub struct Region {
    rects: Vec<PxRect>,
}

impl Region {
    /// The rectangles: disjoint, none empty, at most [`MAX_RECTS`].
    #[must_use]
    pub fn rects(&self) -> &[PxRect] {
        &self.rects
    }

    /// Covers nothing any more; keeps its memory.
    pub fn clear(&mut self) {
        self.rects.clear();
    }

    /// Covers `rect` too.
    pub fn add(&mut self, rect: PxRect) {
        if rect.is_empty() {
            return;
        }
        let mut rect = rect;
        loop {
            let near = self.rects.iter().position(|other| joins(*other, rect)).or_else(|| {
                let full = self.rects.len() >= MAX_RECTS;
                if full { self.nearest(rect) } else { None }
            });
            let Some(index) = near else { break };
            rect = rect.union(self.rects.swap_remove(index));
        }
        self.rects.push(rect);
    }

    fn nearest(&self, rect: PxRect) -> Option<usize> {
        let growth = |other: &PxRect| rect.union(*other).area() - other.area();
        (0..self.rects.len()).min_by_key(|&index| growth(&self.rects[index]))
    }
}

fn joins(a: PxRect, b: PxRect) -> bool {
    a.meets(b) || a.union(b).area() <= a.area() + b.area() + JOIN_SLACK_PX
}

/// Remembers the last frame and says what differs from it.
#[derive(Debug, Default)]
pub struct Damage {
    last: DrawList,
    region: Region,
    old_keys: Vec<(ItemKey, u32)>,
    new_keys: Vec<(ItemKey, u32)>,
    old_of_new: Vec<Option<u32>>,
    paired: Vec<bool>,
}

impl Damage {
    /// Forgets the last frame: the next one is damaged all over.
    pub fn forget(&mut self) {
        self.last.size = [0, 0];
    }

    /// The rectangles that the last call of [`Damage::next`] gave.
    pub fn rects(&self) -> &[PxRect] {
        self.region.rects()
    }

    /// Compares `list` with the list of the last call, keeps it, and gives the rectangles to repaint.
    pub fn next(&mut self, list: &DrawList) -> &[PxRect] {
        self.region.clear();
        let target = PxRect::of_size(list.size);
        if list.size != self.last.size || list.clear != self.last.clear {
            self.region.add(target);
        } else if same_keys(&self.last.items, &list.items) {
            for (old, new) in self.last.items.iter_mut().zip(&list.items) {
                if !same_pixels(old, new) {
                    self.region.add(reach(old).intersect(target));
                    self.region.add(reach(new).intersect(target));
                    old.clone_from(new);
                }
            }
            return self.region.rects();
        } else {
            self.pair_up(list);
            self.compare_pairs(list, target);
        }
        self.last.size = list.size;
        self.last.clear = list.clear;
        self.last.items.clone_from(&list.items);
        self.region.rects()
    }

    /// Finds, for each new item, the old item with its key. Equal keys are paired in their order.
    fn pair_up(&mut self, list: &DrawList) {
        sort_keys(&mut self.old_keys, &self.last.items);
        sort_keys(&mut self.new_keys, &list.items);
        self.old_of_new.clear();
        self.old_of_new.resize(list.items.len(), None);
        self.paired.clear();
        self.paired.resize(self.last.items.len(), false);
        let mut old_keys = self.old_keys.iter().peekable();
        for &(key, new) in &self.new_keys {
            while old_keys.next_if(|(old_key, _)| *old_key < key).is_some() {}
            if let Some(&(_, old)) = old_keys.next_if(|(old_key, _)| *old_key == key) {
                self.old_of_new[new as usize] = Some(old);
                self.paired[old as usize] = true;
            }
        }
    }

    fn compare_pairs(&mut self, list: &DrawList, target: PxRect) {
        // Within one depth the order of pushing decides who covers whom: an item that now comes after one that it
        // used to come before is damaged although it is the same itself.
        let mut furthest = [0; DEPTHS];
        for (new, old) in list.items.iter().zip(&self.old_of_new) {
            let Some(old) = *old else {
                self.region.add(reach(new).intersect(target));
                continue;
            };
            let before = &self.last.items[old as usize];
            let front = &mut furthest[depth(new)];
            let overtaken = *front > old;
            *front = (*front).max(old);
            if overtaken || !same_pixels(before, new) {
                self.region.add(reach(before).intersect(target));
                self.region.add(reach(new).intersect(target));
            }
        }
        for (old, paired) in self.last.items.iter().zip(&self.paired) {
            if !paired {
                self.region.add(reach(old).intersect(target));
            }
        }
    }
}

/// Layers times kinds of shapes.
const DEPTHS: usize = 12;

fn depth(item: &Item) -> usize {
    let kind = match item.shape {
        Shape::Image(_) => 0,
        Shape::Box(_) => 1,
        Shape::Path(_) => 2,
        Shape::Text(_) => 3,
    };
    item.layer as usize * 4 + kind
}

fn same_keys(old: &[Item], new: &[Item]) -> bool {
    old.len() == new.len() && old.iter().zip(new).all(|(old, new)| old.key == new.key)
}

fn sort_keys(keys: &mut Vec<(ItemKey, u32)>, items: &[Item]) {
    keys.clear();
    keys.extend(items.iter().map(|item| item.key).zip(0..));
    keys.sort_unstable();
}

/// Equality without walking shared outlines.
fn same_pixels(old: &Item, new: &Item) -> bool {
    match (&old.shape, &new.shape) {
        (Shape::Path(a), Shape::Path(b)) if Rc::ptr_eq(&a.outline, &b.outline) => {
            (old.layer, old.bounds, old.clip) == (new.layer, new.bounds, new.clip)
                && (a.at, a.scale, a.fill) == (b.at, b.scale, b.fill)
        }
        _ => old == new,
    }
}
