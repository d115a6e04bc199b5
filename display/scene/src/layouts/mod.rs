//! Layouts: where things stand on a screen of some shape. The board picks one by its size; what is common to them (the
//! parts of a header, what a row says and how its parts are measured) is shared, and each layout's own file says which
//! heights it promises and what gives way when there is no room.

use fivemark_themes::Form;

use crate::draw::Rect;

pub(crate) mod bar;
pub(crate) mod forms;
pub(crate) mod grid;
pub(crate) mod header;
pub(crate) mod heading;
pub(crate) mod logo;
pub(crate) mod over;
pub(crate) mod result;
pub(crate) mod row;
pub(crate) mod strip;
pub(crate) mod tags;
pub(crate) mod tall;
pub(crate) mod wide;

use forms::RowMeasures;
use heading::Heading;

/// Most lanes of a board.
pub(crate) const MAX_LANES: usize = 40;

/// The shape of a screen, by which a layout is picked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    /// 16:9 and anything near it: the header on top, lanes as rows below.
    Wide,
    /// Towers, and screens as high as they are wide: the clock on top, lanes as rows with the track under the name.
    Tall,
    /// 32:9 and longer: the clock as a cell of its own, lanes side by side.
    Strip,
}

/// From this many times its height a screen is a strip.
const STRIP_FROM: f32 = 2.8;
/// Below this many times its height a screen is tall.
const WIDE_FROM: f32 = 1.2;

impl Shape {
    /// The shape of a size in pixels.
    pub(crate) fn of(size: [u32; 2]) -> Shape {
        let ratio = pixels(size[0]) / pixels(size[1]);
        if ratio >= STRIP_FROM {
            Shape::Strip
        } else if ratio >= WIDE_FROM {
            Shape::Wide
        } else {
            Shape::Tall
        }
    }
}

/// What a layout is made for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Content {
    pub(crate) lanes: usize,
    /// Width of the widest count or result, in heights of its figures.
    pub(crate) result_width: f32,
    /// Width of the widest count, in heights of its figures.
    pub(crate) count_width: f32,
    /// Width of the widest name, in heights of its capitals.
    pub(crate) name_width: f32,
    /// The round under way stands before the track.
    pub(crate) rounds: bool,
    /// Lanes carry the short form of their division.
    pub(crate) divisions: bool,
    /// Some lane has a team, whose members are named where there is room.
    pub(crate) members: bool,
}

impl Default for Content {
    fn default() -> Content {
        Content {
            lanes: 1,
            result_width: 4.0,
            count_width: 1.9,
            name_width: 10.0,
            rounds: false,
            divisions: false,
            members: false,
        }
    }
}

/// All measures of a board, pixels.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Layout {
    /// By what lines, gaps and radii are measured: about a thousandth of the height of a wide board of this size.
    pub(crate) unit: f32,
    pub(crate) width: f32,
    pub(crate) height: f32,
    pub(crate) margin: f32,
    pub(crate) heading: Heading,
    pub(crate) over: Over,
    /// Where all rows lie.
    pub(crate) rows_area: Rect,
    /// One for each lane, in lane order.
    pub(crate) rows: Vec<Rect>,
    /// Measures inside a row, the same for all.
    pub(crate) row: RowMeasures,
}

/// Measures of what lies over a whole board or stands in its place, pixels.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Over {
    /// A thousandth of the height of a wide board on which notices would be as large as here.
    pub(crate) unit: f32,
    /// Height of a countdown's last figures.
    pub(crate) figure_cap: f32,
    /// What steps back behind a notice.
    pub(crate) scrim: Rect,
    /// Top of the first screen's five blocks, and its unit.
    pub(crate) waiting_top: f32,
    pub(crate) waiting_unit: f32,
}

impl Layout {
    /// The layout for a target of `size` pixels.
    pub(crate) fn new(size: [u32; 2], content: Content, form: &Form) -> Layout {
        let content = Content { lanes: content.lanes.clamp(1, MAX_LANES), ..content };
        let sides = [pixels(size[0]), pixels(size[1])];
        let mut layout = match Shape::of(size) {
            Shape::Wide => wide::layout(sides, content, form),
            Shape::Tall => tall::layout(sides, content, form),
            Shape::Strip => strip::layout(sides, content, form),
        };
        if content.rounds {
            let row = &mut layout.row;
            let most = (row.track_right - row.track_left) * 0.3;
            row.round_width = (row.track_height * 1.6).max(row.tag_cap * 3.4).min(most).round();
        }
        layout
    }

    /// How many cells a track may be cut into before they get too narrow to be told apart.
    pub(crate) fn most_cells(&self) -> usize {
        let track = self.row.track_right - self.row.track_left - self.row.round_width;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped
        {
            (track / (34.0 * self.unit)).clamp(1.0, 24.0) as usize
        }
    }
}

#[allow(clippy::cast_precision_loss)] // thousandths
pub(crate) fn permille(value: u32) -> f32 {
    value as f32 / 1000.0
}

#[allow(clippy::cast_precision_loss)] // pixels of a screen
pub(crate) fn pixels(value: u32) -> f32 {
    value.max(1) as f32
}
