//! Where the overlay's parts stand, and how large what is read in them is. Everything lies in the graphics-safe area:
//! 90 per cent of the picture's width and of its height (EBU R 95; ITU-R BT.1848-1).
//!
//! Heights of capitals and figures are in thousandths of the picture's shorter side, because that is the side which a
//! phone's width bounds, however it is held: clock 52, counts 34, places and names 26 (a long name shrinks to 24 before
//! it is shortened), everything else 19. So on a stream of 640 by 360 a count is 12 pixels high and a name 9.
//!
//! Parts give way to each other in this order. The ribbon has the foot of the area, all of its width. The duel stands
//! above it, and sinks to the foot when the ribbon goes; it is in the middle if the rail leaves it that, else beside the
//! rail, else (on tall pictures) as wide as the area and above it the rail ends. The corner has the upper left. The rail
//! has the right side down to what stands at the foot: its rows get lower, and then those that don't fit are counted.
//! The board's card has what is left at the lower left, and gets smaller with it. A theme's logo stands beside the corner's
//! clock where the rail leaves it room, and makes nothing else smaller.

use fivemark_themes::Logo;

use super::settle;
use crate::draw::Rect;
use crate::layouts::{logo, pixels};
use crate::paint::Align;

/// Share of each side that is left free.
const MARGIN: f32 = 0.05;
/// Air between parts, and between the cells of one, thousandths of the shorter side.
const GAP: f32 = 7.0;
/// Least width of a ribbon's cell.
const CELL: f32 = 232.0;
/// With fewer cells beside each other than this, the ribbon has two lines of them.
const ONE_LINE: usize = 4;
/// Height of a ribbon's cell, and of a duel.
pub(crate) const CELL_HEIGHT: f32 = 134.0;
const DUEL_HEIGHT: f32 = 150.0;
const DUEL_WIDTH: f32 = 880.0;
/// A duel narrower than this has no room for two names and two counts.
const DUEL_LEAST: f32 = 760.0;
const RAIL_WIDTH: f32 = 346.0;
/// Rows of the rail: as high as this if there is room, and never lower than that.
const RAIL_ROW: f32 = 52.0;
const RAIL_LEAST_ROW: f32 = 38.0;
const CORNER_WIDTH: f32 = 356.0;
/// The board's card, as large as it may be.
const CARD_WIDTH: f32 = 900.0;
const CARD_HEIGHT: f32 = 470.0;
/// Air around a logo on its plate.
const LOGO_PAD: f32 = 13.0;
/// Rows under the corner's clock.
pub(crate) const CORNER_ROW: f32 = 48.0;

/// Which parts take room: those that are on or leaving.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools)] // four parts, each there or not
pub(crate) struct Taken {
    pub(crate) ribbon: bool,
    pub(crate) duel: bool,
    pub(crate) corner: bool,
    pub(crate) card: bool,
}

/// The places of one size of picture, pixels.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Places {
    /// A thousandth of the picture's shorter side.
    pub(crate) unit: f32,
    /// The graphics-safe area, in whole pixels.
    pub(crate) safe: Rect,
    pub(crate) gap: f32,
    pub(crate) columns: usize,
    pub(crate) lines: usize,
    cell: [f32; 2],
    logo: Option<LogoPlace>,
}

/// Where a logo stands beside the corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LogoPlace {
    pub(crate) plate: Rect,
    pub(crate) logo: Rect,
}

impl Places {
    /// Places in a picture of `size` pixels.
    pub(crate) fn new(size: [u32; 2]) -> Places {
        let [width, height] = size.map(pixels);
        let unit = width.min(height) / 1000.0;
        let (left, top) = ((width * MARGIN).ceil(), (height * MARGIN).ceil());
        let safe = Rect {
            x: left,
            y: top,
            w: ((width * (1.0 - MARGIN)).floor() - left).max(0.0),
            h: ((height * (1.0 - MARGIN)).floor() - top).max(0.0),
        };
        let gap = (GAP * unit).round().max(1.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few
        let columns = (((safe.w + gap) / (CELL * unit + gap)) as usize).clamp(1, 24);
        let lines = if columns < ONE_LINE { 2 } else { 1 };
        #[allow(clippy::cast_precision_loss)] // a few
        let pitch = ((safe.w + gap) / columns as f32).floor();
        let cell = [(pitch - gap).max(1.0), (CELL_HEIGHT * unit).round()];
        Places { unit, safe, gap, columns, lines, cell, logo: None }
    }

    /// The same places, with one for a logo if it has room: on a plate as high as the corner's clock and beside it, and
    /// never where the rail would be.
    pub(crate) fn with_logo(self, logo: Option<&Logo>, size: [u32; 2]) -> Places {
        let (corner, pad) = (self.corner(), (LOGO_PAD * self.unit).round());
        let plate = Rect { x: corner.x + corner.w + self.gap, y: corner.y, w: 0.0, h: self.clock_height() };
        let right = self.safe.x + self.safe.w - self.rail_width() - self.gap;
        let room = Rect {
            x: plate.x + pad,
            y: plate.y + pad,
            w: right - plate.x - 2.0 * pad,
            h: plate.h - 2.0 * pad,
        };
        let place = |logo: &Logo| {
            let [width, height] = logo::most(logo, size.map(pixels));
            let logo = logo::place(logo, [width, height.min(room.h)], room, Align::Left)?;
            Some(LogoPlace { plate: Rect { w: logo.w + 2.0 * pad, ..plate }, logo })
        };
        Places { logo: logo.and_then(place), ..self }
    }

    /// Where the logo stands, if there is one that has room.
    pub(crate) fn logo(&self) -> Option<LogoPlace> {
        self.logo
    }

    /// How many cells the ribbon has, the clock's among them.
    pub(crate) fn cells(&self) -> usize {
        self.columns * self.lines
    }

    /// A place in the ribbon: whole numbers are cells, line by line from the left; between them lies the way from one
    /// to the next in the same line.
    pub(crate) fn cell(&self, at: f32) -> Rect {
        #[allow(clippy::cast_precision_loss)] // a few
        let columns = self.columns as f32;
        let line = ((at + 0.001) / columns).floor();
        let [w, h] = self.cell;
        let ribbon = self.ribbon();
        let x = ribbon.x + ((at - line * columns) * (w + self.gap)).round();
        Rect { x, y: ribbon.y + line * (h + self.gap), w, h }
    }

    /// The whole ribbon.
    pub(crate) fn ribbon(&self) -> Rect {
        #[allow(clippy::cast_precision_loss)] // one or two
        let lines = self.lines as f32;
        let [w, h] = self.cell;
        #[allow(clippy::cast_precision_loss)] // a few
        let width = self.columns as f32 * (w + self.gap) - self.gap;
        let height = lines * (h + self.gap) - self.gap;
        // What rounding leaves over goes to both sides.
        let x = self.safe.x + ((self.safe.w - width) / 2.0).floor();
        Rect { x, y: self.bottom() - height, w: width, h: height }
    }

    /// The corner: the clock's cell and two rows.
    pub(crate) fn corner(&self) -> Rect {
        let width = (CORNER_WIDTH * self.unit).round().min(self.safe.w);
        let height = self.cell[1] + 2.0 * (self.corner_row() + self.row_gap());
        Rect { x: self.safe.x, y: self.safe.y, w: width, h: height.min(self.safe.h) }
    }

    /// The corner, and the logo beside it.
    pub(crate) fn corner_and_logo(&self) -> Rect {
        self.logo.map_or(self.corner(), |logo| settle::around(self.corner(), logo.plate))
    }

    /// Height of the corner's rows.
    pub(crate) fn corner_row(&self) -> f32 {
        (CORNER_ROW * self.unit).round()
    }

    /// Height of the clock's cell.
    pub(crate) fn clock_height(&self) -> f32 {
        self.cell[1]
    }

    /// Air between rows.
    pub(crate) fn row_gap(&self) -> f32 {
        (3.0 * self.unit).round().max(1.0)
    }

    /// Whether the duel is so wide that the rail has to end above it.
    fn duel_is_whole(&self) -> bool {
        self.safe.w - self.rail_width() - self.gap < DUEL_LEAST * self.unit
    }

    /// The duel, where the ribbon is `lift` of its way in.
    pub(crate) fn duel(&self, lift: f32) -> Rect {
        let height = (DUEL_HEIGHT * self.unit).round();
        let beside = self.safe.w - self.rail_width() - self.gap;
        let wanted = (DUEL_WIDTH * self.unit).round();
        let (x, w) = if self.duel_is_whole() {
            (self.safe.x, self.safe.w)
        } else if wanted <= self.safe.w - 2.0 * (self.rail_width() + self.gap) {
            (self.safe.x + ((self.safe.w - wanted) / 2.0).round(), wanted)
        } else {
            (self.safe.x, beside.min(wanted))
        };
        let lifted = ((self.ribbon().h + self.gap) * lift).round();
        Rect { x, y: self.bottom() - height - lifted, w, h: height }
    }

    /// The board's card at the lower left, above what stands at the foot and under the corner; on tall pictures it is
    /// as wide as the area, and the rail ends above it.
    pub(crate) fn card(&self, taken: Taken) -> Rect {
        let beside = self.safe.w - self.rail_width() - self.gap;
        let wanted = (CARD_WIDTH * self.unit).round().min(self.safe.w);
        let width = if self.duel_is_whole() { wanted } else { wanted.min(beside) };
        let lift = if taken.ribbon { 1.0 } else { 0.0 };
        let bottom = match taken {
            Taken { duel: true, .. } => self.duel(lift).y - self.gap,
            Taken { ribbon: true, .. } => self.ribbon().y - self.gap,
            _ => self.bottom(),
        };
        let corner = self.corner();
        let top = if taken.corner { corner.y + corner.h + self.gap } else { self.safe.y };
        let height = (width * CARD_HEIGHT / CARD_WIDTH).round().min(bottom - top).max(0.0);
        Rect { x: self.safe.x, y: bottom - height, w: width, h: height }
    }

    /// The rail's whole room.
    pub(crate) fn rail(&self, taken: Taken) -> Rect {
        let width = self.rail_width();
        let mut bottom = self.bottom();
        if taken.ribbon {
            bottom = self.ribbon().y - self.gap;
        }
        if taken.duel && self.duel_is_whole() {
            bottom = self.duel(if taken.ribbon { 1.0 } else { 0.0 }).y - self.gap;
        }
        if taken.card && self.duel_is_whole() {
            bottom = self.card(taken).y - self.gap;
        }
        let (x, y) = (self.safe.x + self.safe.w - width, self.safe.y);
        Rect { x, y, w: width, h: (bottom - y).max(0.0) }
    }

    /// How many rows of this many lanes the rail has room for, and how high they are, with the air under them.
    pub(crate) fn rail_rows(&self, room: Rect, lanes: usize) -> (usize, f32) {
        let (most, least) = (RAIL_ROW * self.unit, RAIL_LEAST_ROW * self.unit);
        #[allow(clippy::cast_precision_loss)] // at most 40
        let pitch = ((room.h + self.row_gap()) / lanes.max(1) as f32).floor();
        let pitch = pitch.clamp(least.ceil(), most.round().max(least.ceil()));
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // tens
        let rows = ((room.h + self.row_gap()) / pitch) as usize;
        (rows.min(lanes), pitch)
    }

    fn rail_width(&self) -> f32 {
        (RAIL_WIDTH * self.unit).round().min(self.safe.w)
    }

    fn bottom(&self) -> f32 {
        self.safe.y + self.safe.h
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZES: [[u32; 2]; 9] = [
        [1280, 720],
        [1920, 1080],
        [3840, 2160],
        [1080, 1920],
        [1440, 1080],
        [640, 360],
        [1000, 1000],
        [2560, 1080],
        [3840, 360],
    ];

    fn apart(one: Rect, other: Rect) -> bool {
        one.x + one.w <= other.x
            || other.x + other.w <= one.x
            || one.y + one.h <= other.y
            || other.y + other.h <= one.y
    }

    #[test]
    fn the_safe_area_is_the_published_one() {
        // EBU R 95 and ITU-R BT.1848-1, graphics-safe at 1920 by 1080: from 96, 54 to 1824, 1026.
        let safe = Places::new([1920, 1080]).safe;
        assert_eq!(safe, Rect { x: 96.0, y: 54.0, w: 1728.0, h: 972.0 });
    }

    #[test]
    fn all_parts_at_once_lie_in_the_safe_area_and_apart() {
        for size in SIZES {
            let places = Places::new(size);
            let taken = Taken { ribbon: true, duel: true, corner: true, card: true };
            let parts = [
                places.ribbon(),
                places.duel(1.0),
                places.corner(),
                places.rail(taken),
                places.card(taken),
                places.duel(0.0),
            ];
            for (index, one) in parts.iter().enumerate() {
                let safe = places.safe;
                let inside = one.x >= safe.x
                    && one.y >= safe.y
                    && one.x + one.w <= safe.x + safe.w
                    && one.y + one.h <= safe.y + safe.h;
                assert!(inside && one.w > 0.0 && one.h > 0.0, "{size:?}: {one:?} in {safe:?}");
                // The last is where the duel stands without the ribbon.
                let others = parts.iter().take(parts.len() - 1).skip(index + 1);
                for other in others {
                    assert!(apart(*one, *other), "{size:?}: {one:?} meets {other:?}");
                }
            }
            for cell in 0..places.cells() {
                #[allow(clippy::cast_precision_loss)] // a few
                let rect = places.cell(cell as f32);
                let ribbon = places.ribbon();
                assert!(rect.x >= ribbon.x && rect.x + rect.w <= ribbon.x + ribbon.w, "{size:?}");
                assert!(rect.y >= ribbon.y && rect.y + rect.h <= ribbon.y + ribbon.h, "{size:?}");
            }
        }
    }

    #[test]
    fn a_rail_beside_everything_has_room_for_most_heats() {
        for (size, taken, least) in [
            ([1920, 1080], Taken::default(), 23),
            ([1920, 1080], Taken { ribbon: true, duel: true, ..Taken::default() }, 19),
            ([1080, 1920], Taken { ribbon: true, duel: true, ..Taken::default() }, 29),
        ] {
            let places = Places::new(size);
            let (rows, pitch) = places.rail_rows(places.rail(taken), 40);
            assert!(rows >= least, "{size:?}: {rows}");
            assert!(pitch >= RAIL_LEAST_ROW * places.unit);
            let (rows, pitch) = places.rail_rows(places.rail(taken), 3);
            assert_eq!((rows, pitch), (3, (RAIL_ROW * places.unit).round()));
        }
    }
}
