//! Where the parts of a test card stand: the safe areas, and inside of them the header, the texts, the signs, and the
//! square of the time code.

use std::rc::Rc;

use super::code;
use crate::draw::{Rect, Segment};
use crate::layouts::{Shape, pixels};

/// What of width and height is action-safe, and what graphics-safe, thousandths (EBU R 95; ITU-R BT.1848-1).
pub(super) const ACTION_SAFE: u32 = 930;
pub(super) const GRAPHICS_SAFE: u32 = 900;

/// Places, pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Plan {
    pub(super) size: [u32; 2],
    /// Height of the capitals of the card's own texts.
    pub(super) text: f32,
    pub(super) action: Rect,
    pub(super) graphics: Rect,
    /// Side of the grid's squares.
    pub(super) square: f32,
    pub(super) header: Rect,
    pub(super) samples: Rect,
    pub(super) signs: Rect,
    /// The time code.
    pub(super) code: Rect,
}

impl Plan {
    pub(super) fn new(size: [u32; 2]) -> Plan {
        let [width, height] = size.map(pixels);
        let text = (height * 0.05).min(width * 0.016).max(1.0);
        let graphics = safe(size, GRAPHICS_SAFE);
        let pad = (text * 0.8).round();
        let inner = Rect {
            x: graphics.x + pad,
            y: graphics.y + pad,
            w: (graphics.w - 2.0 * pad).max(1.0),
            h: (graphics.h - 2.0 * pad).max(1.0),
        };
        let (head, gap) = ((text * 4.2).round(), (text * 0.9).round());
        let strip = Shape::of(size) == Shape::Strip;
        // A strip has its signs beside the texts, for these need its whole height.
        let info = if strip { Rect { w: (inner.w * 0.4).round(), ..inner } } else { inner };
        let bottom = inner.y + inner.h;
        let below = inner.h - head - gap;
        let room = if strip {
            below.min(info.w * 0.4)
        } else {
            (height * 0.22).min(width * 0.2).max(height * 0.125)
        };
        let side = code_side(room, strip);
        let signs_height = if strip { below } else { side.max(text * 9.0) };
        let signs =
            Rect { y: bottom - signs_height, w: (info.w - side - gap).max(1.0), h: signs_height, ..info };
        let samples = if strip {
            Rect { x: info.x + info.w + gap, w: (inner.w - info.w - gap).max(1.0), ..inner }
        } else {
            let top = inner.y + head + gap;
            Rect { y: top, h: (signs.y - gap - top).max(1.0), ..inner }
        };
        // Squares so large that their lines stay few, and a whole number of pixels.
        let square = (width.min(height) / 8.0).max(width.max(height) / 64.0).round().max(1.0);
        Plan {
            size,
            text,
            action: safe(size, ACTION_SAFE),
            graphics,
            square,
            header: Rect { h: head, ..info },
            samples,
            signs,
            code: Rect { x: info.x + info.w - side, y: bottom - side, w: side, h: side },
        }
    }
}

/// The side of the time code's square: whole pixels a module, so that none is blurred; not beyond the room of a strip.
fn code_side(room: f32, strip: bool) -> f32 {
    let modules = f32::from(code::SIDE);
    let module = if strip { (room / modules).floor() } else { (room / modules).round() };
    if module >= 1.0 { module * modules } else { room.max(1.0).ceil() }
}

/// An area in the middle; its insets are rounded up, so that it never exceeds its share.
pub(super) fn safe([width, height]: [u32; 2], permille: u32) -> Rect {
    let inset = |side: u32| {
        let inset = (u64::from(side) * u64::from(1000 - permille)).div_ceil(2000);
        (pixels(u32::try_from(inset).unwrap_or(u32::MAX)), u64::from(side).saturating_sub(2 * inset))
    };
    let ((x, w), (y, h)) = (inset(width), inset(height));
    let side = |pixels: u64| u32::try_from(pixels).map_or(1.0, crate::layouts::pixels);
    Rect { x, y, w: side(w), h: side(h) }
}

/// Lines of items, filled one after the other: from left to right and then downwards, or the other way round.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shelves {
    area: Rect,
    gap: f32,
    /// Items stand under each other, and lines beside each other.
    down: bool,
    /// Along the line and across it.
    at: [f32; 2],
    /// Size of the line across.
    line: f32,
}

impl Shelves {
    pub(super) fn new(area: Rect, gap: f32, down: bool) -> Shelves {
        Shelves { area, gap, down, at: [0.0, 0.0], line: 0.0 }
    }

    /// A place for an item; none if there is no room.
    pub(super) fn place(&mut self, width: f32, height: f32) -> Option<Rect> {
        let turned = |[x, y]: [f32; 2]| if self.down { [y, x] } else { [x, y] };
        let ([along, across], [most_along, most_across]) =
            (turned([width, height]), turned([self.area.w, self.area.h]));
        let mut next = *self;
        if next.at[0] > 0.0 && next.at[0] + along > most_along {
            next.at = [0.0, next.at[1] + next.line + next.gap];
            next.line = 0.0;
        }
        if next.at[0] + along > most_along || next.at[1] + across > most_across {
            return None;
        }
        let [x, y] = turned(next.at);
        next.at[0] += along + next.gap;
        next.line = next.line.max(across);
        let place = Rect { x: (self.area.x + x).round(), y: (self.area.y + y).round(), w: width, h: height };
        *self = next;
        Some(place)
    }
}

/// Triangles that point into the four corners: top left, top right, bottom right, bottom left.
pub(super) fn corners() -> [Rc<Vec<Segment>>; 4] {
    [
        [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]],
        [[1.0, 0.0], [1.0, 1.0], [0.0, 0.0]],
        [[1.0, 1.0], [0.0, 1.0], [1.0, 0.0]],
        [[0.0, 1.0], [0.0, 0.0], [1.0, 1.0]],
    ]
    .map(|[a, b, c]| {
        Rc::new(vec![Segment::MoveTo(a), Segment::LineTo(b), Segment::LineTo(c), Segment::Close])
    })
}
