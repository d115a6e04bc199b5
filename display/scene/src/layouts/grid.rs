//! Lanes in columns and lines of cells, and which of the possible arrangements reads from farthest away.

use fivemark_themes::Form;

use crate::draw::Rect;
use crate::layouts::forms::{self, Frame, RowMeasures};
use crate::layouts::{Content, permille};

/// In which direction lanes follow each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Flow {
    /// Down the first column, then the next.
    Down,
    /// Along the first line, then the next.
    Along,
}

/// A grid of cells for lanes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Grid {
    pub(crate) area: Rect,
    pub(crate) flow: Flow,
    pub(crate) columns: usize,
    pub(crate) lines: usize,
    /// Between columns, pixels.
    pub(crate) gutter: f32,
    /// Highest pitch of lines, pixels: a higher row would only hold air.
    pub(crate) most_pitch: f32,
}

impl Grid {
    /// Width and height of a cell.
    pub(crate) fn cell(&self, form: &Form) -> (f32, f32) {
        let (pitch, gap) = self.pitch(form);
        let columns = number(self.columns);
        let width = ((self.area.w - self.gutter * (columns - 1.0)) / columns).floor().max(1.0);
        (width, (pitch - gap).floor().max(1.0))
    }

    /// The cells, in lane order, in the middle of the area's height.
    pub(crate) fn cells(&self, lanes: usize, form: &Form) -> Vec<Rect> {
        let (width, height) = self.cell(form);
        let gap = self.pitch(form).1;
        let used = number(self.lines) * (height + gap) - gap;
        let top = (self.area.y + ((self.area.h - used) / 2.0).max(0.0)).round();
        (0..lanes)
            .map(|index| {
                let (column, line) = match self.flow {
                    Flow::Down => (index / self.lines, index % self.lines),
                    Flow::Along => (index % self.columns, index / self.columns),
                };
                Rect {
                    x: self.area.x + number(column) * (width + self.gutter),
                    y: top + number(line) * (height + gap),
                    w: width,
                    h: height,
                }
            })
            .collect()
    }

    fn pitch(&self, form: &Form) -> (f32, f32) {
        let share = permille(form.row_gap);
        let pitch = (self.area.h / (number(self.lines) - share / (1.0 + share))).min(self.most_pitch);
        (pitch, (pitch * share / (1.0 + share)).round().max(1.0))
    }
}

/// Room for a grid that is still to be chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Room {
    pub(crate) area: Rect,
    pub(crate) flow: Flow,
    pub(crate) most_columns: usize,
    pub(crate) most_pitch: f32,
    /// The layout's unit, pixels.
    pub(crate) unit: f32,
    /// See [`Frame`].
    pub(crate) least_cap: f32,
}

/// Of all grids that a room has place for, and of all forms of a cell, the one whose smallest text reads from
/// farthest away; between equals, the one with fewer cells across the flow.
pub(crate) fn best(room: Room, content: Content, form: &Form) -> (Vec<Rect>, RowMeasures) {
    let Room { area, flow, most_columns, most_pitch, unit, least_cap } = room;
    let mut best: Option<(f32, Grid, RowMeasures)> = None;
    for columns in 1..=most_columns.min(content.lanes) {
        let lines = content.lanes.div_ceil(columns);
        if content.lanes.div_ceil(lines) < columns {
            // The same lines with a column that stays empty.
            continue;
        }
        let gutter = (10.0 * unit).round().max(2.0);
        let grid = Grid { area, flow, columns, lines, gutter, most_pitch };
        let (width, height) = grid.cell(form);
        let frame = Frame { width, height, unit, least_cap };
        let across = if flow == Flow::Down { columns } else { lines };
        for row in [
            forms::under(frame, content, form),
            forms::cell(frame, content, form),
            forms::beside(frame, content, columns > 1 || width < 20.0 * height, form),
        ] {
            let found = worth(&row) * (1.0 - 0.03 * number(across - 1));
            if best.as_ref().is_none_or(|(worth, ..)| found > *worth) {
                best = Some((found, grid, row));
            }
        }
    }
    best.map_or_else(Default::default, |(_, grid, row)| (grid.cells(content.lanes, form), row))
}

/// How far away a row reads, by the text of it that is smallest for what it says: a count is read from farther away
/// than a name, and a name that has no room for its letters is worth less.
fn worth(row: &RowMeasures) -> f32 {
    const LETTERS: f32 = 6.5;
    let name = row.name_cap * (row.name_width / (row.name_cap * LETTERS).max(1.0)).min(1.0);
    let track = (row.track_right - row.track_left).max(0.0) * 0.04;
    (row.count_cap / 5.5).min(row.place_cap / 5.0).min(name / 3.5).min(track)
}

#[allow(clippy::cast_precision_loss)] // at most 40
fn number(count: usize) -> f32 {
    count as f32
}
