//! The tall board: towers of 9:16 and higher, and screens about as high as they are wide, 1 to 40 lanes. The header
//! stands on top, its texts above and under the clock; lanes are rows with the track under name and count.
//!
//! Heights of capitals and figures are promised in per cent of the height of a 9:16 tower: clock 11, lines of the
//! header 1.7; with up to ten lanes count 3, place 3.2, name 1.8, gaps and tags 1. On a screen that is higher for its
//! width all of it goes down with the width; on a squarer one lines of the header and rows go with the height. With
//! more lanes rows get lower, and what gives way does so in this order: first the members of teams, then place, count
//! and name together in proportion to the row; gaps and tags follow the track. From 13 lanes as many columns as let
//! the texts be largest. Results that are longer than a count are set smaller. In the header the heat's line gives way
//! to the marks of a lost feed, and the cap to them where both have no room.

use fivemark_themes::Form;

use crate::draw::Rect;
use crate::layouts::grid::{self, Flow, Room};
use crate::layouts::heading::{AROUND_HEIGHT, CLOCK_WIDTH, around_clock};
use crate::layouts::{Content, Layout, Over, permille};

/// Most columns.
const MOST_COLUMNS: usize = 4;
/// Most lanes in one column.
const ONE_COLUMN: usize = 12;

/// Measures for a target of this width and height, pixels.
pub(crate) fn layout([width, height]: [f32; 2], content: Content, form: &Form) -> Layout {
    let unit = (height / 1000.0).min(width / 620.0);
    let margin = (permille(form.margin) * width.min(height)).round();
    let inner = (width - 2.0 * margin).max(1.0);
    let clock_cap = (inner / (CLOCK_WIDTH + 0.3)).min(height * 0.125);
    let heading = around_clock([margin, margin], inner, clock_cap);
    let top = (margin + clock_cap * AROUND_HEIGHT + 14.0 * unit).round();
    let rows_area = Rect { x: margin, y: top, w: inner, h: (height - margin - top).max(1.0) };
    let room = Room {
        area: rows_area,
        flow: Flow::Down,
        most_columns: if content.lanes <= ONE_COLUMN { 1 } else { MOST_COLUMNS },
        most_pitch: inner * 0.7,
        unit,
        least_cap: height * 0.01,
    };
    let (rows, row) = grid::best(room, content, form);
    let narrow = height.min(width) / 1000.0;
    let over = Over {
        unit: narrow,
        figure_cap: (width * 0.6).min(height * 0.46),
        scrim: Rect { x: 0.0, y: top, w: width, h: height - top },
        waiting_top: (height * 0.36).round(),
        waiting_unit: narrow,
    };
    Layout { unit, width, height, margin, heading, over, rows_area, rows, row }
}
