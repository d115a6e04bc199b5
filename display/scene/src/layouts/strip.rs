//! The strip: 32:9 and longer, as along a balustrade or round the floor, 1 to 40 lanes. The header is a cell of its
//! own at the left end, its texts above and under the clock; lanes stand side by side, in the order of the floor from
//! left to right, in one line of cells or more.
//!
//! Heights of capitals and figures are promised in per cent of the strip's height, from ten times as long as high:
//! clock 40, lines of the header 6.5; with up to ten lanes count 16, place 14, name 6.3, gaps and tags 5.8. A shorter
//! strip has a smaller header, of at most a third of its width. With more lanes cells get narrower and then come in
//! more lines, whichever lets the texts be largest; what gives way does so in this order: first the members of teams,
//! then name, place and count together; gaps and tags follow the cell's width. Results that are longer than a count
//! are set smaller, and lose the words after their figures before these get smaller than half a count. In the header
//! the heat's line gives way to the marks of a lost feed, and the cap to them where both have no room.

use fivemark_themes::Form;

use crate::draw::Rect;
use crate::layouts::grid::{self, Flow, Room};
use crate::layouts::heading::{AROUND_HEIGHT, CLOCK_WIDTH, around_clock};
use crate::layouts::{Content, Layout, MAX_LANES, Over, permille};

/// Widest header, as a share of the strip.
const MOST_HEADER: f32 = 0.32;

/// Measures for a target of this width and height, pixels.
pub(crate) fn layout([width, height]: [f32; 2], content: Content, form: &Form) -> Layout {
    let unit = (height / 450.0).min(width / 1600.0);
    let margin = (permille(form.margin) * height * 1.4).round().max(1.0);
    let inner = (height - 2.0 * margin).max(1.0);
    let clock_cap = (inner / (AROUND_HEIGHT + 0.1)).min(width * MOST_HEADER / (CLOCK_WIDTH + 0.2));
    let header_width = (clock_cap * (CLOCK_WIDTH + 0.2)).round();
    let top = (margin + (inner - clock_cap * AROUND_HEIGHT) / 2.0).round();
    let heading = around_clock([margin, top], header_width, clock_cap);
    let left = (margin + header_width + clock_cap * 0.22).round();
    let area = Rect { x: left, y: margin, w: (width - margin - left).max(1.0), h: inner };
    let room = Room {
        area,
        flow: Flow::Along,
        most_columns: MAX_LANES,
        most_pitch: height,
        unit,
        least_cap: height * 0.05,
    };
    let (rows, row) = grid::best(room, content, form);
    let over = Over {
        unit: (height / 370.0).min(area.w / 1100.0),
        figure_cap: height * 0.8,
        scrim: Rect { x: left, y: 0.0, w: width - left, h: height },
        waiting_top: (height * 0.12).round(),
        waiting_unit: (height / 480.0).min(width / 1000.0),
    };
    Layout { unit, width, height, margin, heading, over, rows_area: area, rows, row }
}
