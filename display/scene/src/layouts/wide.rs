//! The wide board: 16:9 and anything near it, 1 to 40 lanes, everything in proportion to the height.
//!
//! Heights of capitals and figures are promised in per cent of the board's height: clock 12; with up to ten
//! lanes count 5.5, place 5, name 3.5, gaps and tags 2.2. With more lanes rows get lower, and what gives way
//! does so in this order: first the air inside a row, then place, count and name together in proportion to the
//! row; gaps and tags keep their 2.2 per cent until a row's track is lower than they need, and then follow it.
//! From 13 lanes two columns, in which the longest results are set in smaller figures. From 25 lanes as many columns
//! as let the texts be largest, with name and count over the track. Up to four lanes have rows so high that name
//! and count stand over the track as well, and a team's members under its name. On a board narrower than 3:2
//! everything is measured by the width instead.
//!
//! Names get the width that the widest of them needs, up to a limit that leaves the track a track.

use fivemark_themes::Form;

use crate::draw::Rect;
use crate::layouts::forms::{self, Frame};
use crate::layouts::grid::{self, Flow, Grid, Room};
use crate::layouts::{Content, Layout, Over, heading, permille};

/// Most lanes in one column.
const ONE_COLUMN: usize = 12;
/// Most lanes in two columns.
const TWO_COLUMNS: usize = 24;
/// Most columns.
const MOST_COLUMNS: usize = 5;
/// Most lanes whose rows are so high that names stand above tracks.
const HIGH: usize = 4;

/// Measures for a target of this width and height, pixels.
pub(crate) fn layout([width, height]: [f32; 2], content: Content, form: &Form) -> Layout {
    let unit = height.min(width / 1.5) / 1000.0;
    let margin = (permille(form.margin) * unit * 1000.0).round();
    let heading = heading::beside_clock(unit, width, margin);
    let top = (heading.cap_bar.y + heading.cap_bar.h + 16.0 * unit).round();
    let rows_area = Rect { x: margin, y: top, w: width - 2.0 * margin, h: (height - margin - top).max(1.0) };
    let (lanes, least_cap) = (content.lanes, 22.4 * unit);
    let (rows, row) = if lanes > TWO_COLUMNS {
        let room = Room {
            area: rows_area,
            flow: Flow::Down,
            most_columns: MOST_COLUMNS,
            most_pitch: 140.0 * unit,
            unit,
            least_cap,
        };
        grid::best(room, content, form)
    } else {
        let columns = if lanes > ONE_COLUMN { 2 } else { 1 };
        let grid = Grid {
            area: rows_area,
            flow: Flow::Down,
            columns,
            lines: lanes.div_ceil(columns),
            gutter: (20.0 * unit).round(),
            most_pitch: if lanes <= HIGH { 400.0 } else { 140.0 } * unit,
        };
        let (width, height) = grid.cell(form);
        let frame = Frame { width, height, unit, least_cap };
        let row = if lanes <= HIGH {
            forms::under(frame, content, form)
        } else {
            forms::beside(frame, content, columns > 1, form)
        };
        (grid.cells(lanes, form), row)
    };
    let over = Over {
        unit,
        figure_cap: 460.0 * unit,
        scrim: Rect { x: 0.0, y: top, w: width, h: height - top },
        waiting_top: (height * 0.36).round(),
        waiting_unit: unit,
    };
    Layout { unit, width, height, margin, heading, over, rows_area, rows, row }
}
