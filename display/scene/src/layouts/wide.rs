//! Measures of the wide board: 16:9 and anything near it, 1 to 24 lanes, everything in proportion to the height.
//!
//! Heights of capitals and figures are promised in per cent of the board's height: clock 12; with up to ten
//! lanes count 5.5, place 5, name 3.5, gaps and tags 2.2. With more lanes rows get lower, and what gives way
//! does so in this order: first the air inside a row, then place, count and name together in proportion to the
//! row; gaps and tags keep their 2.2 per cent until a row's track is lower than they need, and then follow it.
//! From 13 lanes two columns, in which the longest results are set in smaller figures. Up to four lanes have rows so
//! high that the name stands above its track. On a board narrower than 3:2 everything is measured by the width
//! instead.
//!
//! Names get the width that the widest of them needs, up to a limit that leaves the track a track.

use fivemark_themes::Form;

use crate::draw::Rect;

/// Most lanes of a board.
pub(crate) const MAX_LANES: usize = 24;
/// Most lanes in one column.
const ONE_COLUMN: usize = 12;

/// Most lanes whose rows are so high that names stand above tracks.
const STACKED: usize = 4;

/// What the measures are made for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Content {
    pub(crate) lanes: usize,
    /// Width of the widest count or result, in heights of its figures.
    pub(crate) result_width: f32,
    /// Width of the widest name, in heights of its capitals.
    pub(crate) name_width: f32,
    /// The round under way stands before the track.
    pub(crate) rounds: bool,
}

impl Default for Content {
    fn default() -> Content {
        Content { lanes: 1, result_width: 4.0, name_width: 10.0, rounds: false }
    }
}

/// All measures of a board, pixels.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Wide {
    /// A thousandth of the board's height.
    pub(crate) unit: f32,
    pub(crate) width: f32,
    pub(crate) height: f32,
    pub(crate) margin: f32,
    pub(crate) header: Header,
    /// Where all rows lie.
    pub(crate) rows_area: Rect,
    /// One for each lane, in lane order: down the first column, then the second.
    pub(crate) rows: Vec<Rect>,
    /// Measures inside a row, the same for all.
    pub(crate) row: RowMeasures,
}

/// Measures of the header, pixels.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Header {
    pub(crate) clock_cap: f32,
    pub(crate) clock_baseline: f32,
    pub(crate) tenth_cap: f32,
    /// Room for the clock.
    pub(crate) clock_width: f32,
    pub(crate) title_cap: f32,
    pub(crate) title_baseline: f32,
    pub(crate) line_cap: f32,
    pub(crate) line_baseline: f32,
    /// Width of the blocks left and right of the clock.
    pub(crate) side_width: f32,
    pub(crate) cap_bar: Rect,
}

/// Measures inside a row, pixels; x from the row's left end, y from its top.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct RowMeasures {
    pub(crate) width: f32,
    pub(crate) height: f32,
    pub(crate) radius: f32,
    pub(crate) edge_width: f32,
    pub(crate) lane_center: f32,
    /// Middle of the name's capitals.
    pub(crate) name_middle: f32,
    pub(crate) lane_cap: f32,
    pub(crate) name_left: f32,
    pub(crate) name_width: f32,
    pub(crate) name_cap: f32,
    pub(crate) name_least_cap: f32,
    /// Width of the plate with the round, before the track and in its room; 0 for none.
    pub(crate) round_width: f32,
    pub(crate) track_left: f32,
    /// Up to the end of the blocks.
    pub(crate) track_right: f32,
    pub(crate) track_top: f32,
    pub(crate) track_height: f32,
    pub(crate) part_gap: f32,
    pub(crate) part_radius: f32,
    pub(crate) block_gap: f32,
    pub(crate) notch: f32,
    pub(crate) tag_cap: f32,
    pub(crate) count_left: f32,
    pub(crate) count_right: f32,
    pub(crate) count_cap: f32,
    pub(crate) badge_left: f32,
    pub(crate) place_cap: f32,
}

impl Wide {
    /// Measures for a target of `size` pixels.
    pub(crate) fn new(size: [u32; 2], content: Content, form: &Form) -> Wide {
        let (width, height) = (pixels(size[0]), pixels(size[1]));
        let unit = height.min(width / 1.5) / 1000.0;
        let margin = (permille(form.margin) * unit * 1000.0).round();
        let header = header(unit, width, margin);
        let top = (header.cap_bar.y + header.cap_bar.h + 16.0 * unit).round();
        let rows_area =
            Rect { x: margin, y: top, w: width - 2.0 * margin, h: (height - margin - top).max(1.0) };
        let lanes = content.lanes.clamp(1, MAX_LANES);
        let columns = if lanes > ONE_COLUMN { 2 } else { 1 };
        let per_column = lanes.div_ceil(columns);
        let gutter = (20.0 * unit).round();
        #[allow(clippy::cast_precision_loss)] // one or two
        let column_width = ((rows_area.w - gutter * (columns as f32 - 1.0)) / columns as f32).floor();
        let (rows, row_height) = rows(rows_area, column_width, gutter, lanes, per_column, unit, form);
        let mut row = if lanes <= STACKED {
            stacked_measures(column_width, row_height, unit, content, form)
        } else {
            row_measures(column_width, row_height, unit, content, columns, form)
        };
        if content.rounds {
            row.round_width = (row.track_height * 1.6).max(row.tag_cap * 3.4).round();
        }
        Wide { unit, width, height, margin, header, rows_area, rows, row }
    }
}

impl Wide {
    /// How many cells a track may be cut into before they get too narrow to be told apart.
    pub(crate) fn most_cells(&self) -> usize {
        let track = self.row.track_right - self.row.track_left - self.row.round_width;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped
        {
            (track / (34.0 * self.unit)).clamp(1.0, 24.0) as usize
        }
    }
}

fn header(unit: f32, width: f32, margin: f32) -> Header {
    let clock_cap = 126.0 * unit;
    let clock_baseline = (margin + clock_cap).round();
    let title_cap = 38.0 * unit;
    let line_cap = 23.0 * unit;
    let between = 27.0 * unit;
    let block_top = margin + (clock_cap - title_cap - between - line_cap) / 2.0;
    let bar_height = (10.0 * unit).round().max(2.0);
    Header {
        clock_cap,
        clock_baseline,
        tenth_cap: 72.0 * unit,
        clock_width: 620.0 * unit,
        title_cap,
        title_baseline: (block_top + title_cap).round(),
        line_cap,
        line_baseline: (block_top + title_cap + between + line_cap).round(),
        side_width: (width - 2.0 * margin - 640.0 * unit).max(0.0) / 2.0,
        cap_bar: Rect {
            x: margin,
            y: clock_baseline + (22.0 * unit).round(),
            w: width - 2.0 * margin,
            h: bar_height,
        },
    }
}

fn rows(
    area: Rect,
    column_width: f32,
    gutter: f32,
    lanes: usize,
    per_column: usize,
    unit: f32,
    form: &Form,
) -> (Vec<Rect>, f32) {
    #[allow(clippy::cast_precision_loss)] // at most 24
    let count = per_column as f32;
    let gap_share = permille(form.row_gap);
    // A higher row would only hold air.
    let most = if lanes <= STACKED { 270.0 } else { 140.0 } * unit;
    let pitch = (area.h / (count - gap_share / (1.0 + gap_share))).min(most);
    let gap = (pitch * gap_share / (1.0 + gap_share)).round().max(1.0);
    let row_height = (pitch - gap).floor().max(1.0);
    let used = count * (row_height + gap) - gap;
    let top = (area.y + ((area.h - used) / 2.0).max(0.0)).round();
    let rows = (0..lanes)
        .map(|index| {
            #[allow(clippy::cast_precision_loss)] // at most 24
            let (column, row) = ((index / per_column) as f32, (index % per_column) as f32);
            Rect {
                x: area.x + column * (column_width + gutter),
                y: top + row * (row_height + gap),
                w: column_width,
                h: row_height,
            }
        })
        .collect();
    (rows, row_height)
}

/// A row whose name stands beside its track.
fn row_measures(
    width: f32,
    height: f32,
    unit: f32,
    content: Content,
    columns: usize,
    form: &Form,
) -> RowMeasures {
    // What stands in a row grows with its height until the track would get too short for it.
    let scale = height.min(width / 15.5).min(82.0 * unit);
    let thousandth = 1000.0 * unit;
    let edge_width = (scale * 0.16).round().max(3.0);
    let lane_cap = (scale * 0.34).max((22.0 * unit).min(scale * 0.5));
    let lane_width = scale * 0.92;
    let name_cap = (scale * 0.565).min(58.0 * unit);
    let name_left = (edge_width + lane_width).round();
    let most = width * if columns == 1 { 0.315 } else { 0.29 };
    let name_width = (name_cap * content.name_width + 2.0).clamp((scale * 3.4).min(most), most).ceil();
    let count_cap = (scale * 0.80).min(82.0 * unit);
    let count_width = (count_cap * content.result_width).min(width * 0.175).ceil();
    let badge_width = (scale * 1.3).round();
    let badge_left = width - badge_width;
    let count_right = (badge_left - scale * 0.26).round();
    let count_left = count_right - count_width;
    let track_height = (height * permille(form.track_height)).min(scale * 0.78).round();
    RowMeasures {
        width,
        height,
        radius: (permille(form.row_radius) * thousandth).min(height / 2.0),
        edge_width,
        lane_center: (edge_width + lane_width * 0.48).round(),
        lane_cap,
        name_middle: height / 2.0,
        round_width: 0.0,
        name_left,
        name_width,
        name_cap,
        name_least_cap: name_cap * 0.88,
        track_left: (name_left + name_width + scale * 0.2).round(),
        // In two columns the words of the last five stand after the blocks, where they hide nothing.
        track_right: (count_left - scale * if columns == 1 || content.rounds { 0.34 } else { 0.78 }).round(),
        track_top: ((height - track_height) / 2.0).round(),
        track_height,
        part_gap: (permille(form.part_gap) * thousandth).round().max(1.0),
        part_radius: permille(form.part_radius) * thousandth,
        block_gap: (5.0 * unit).round().max(2.0),
        notch: ((height - track_height) / 2.0 * 0.8).min(14.0 * unit),
        tag_cap: (22.4 * unit).max(scale * 0.3).min(track_height * 0.56).min(34.0 * unit),
        count_left,
        count_right,
        count_cap,
        badge_left,
        place_cap: (scale * 0.74).min(86.0 * unit),
    }
}

/// A high row, whose name stands above its track.
fn stacked_measures(width: f32, height: f32, unit: f32, content: Content, form: &Form) -> RowMeasures {
    let thousandth = 1000.0 * unit;
    let edge_width = (14.0 * unit).round().max(3.0);
    let lane_width = 96.0 * unit;
    let name_left = (edge_width + lane_width).round();
    let (name_cap, track_height) = ((height * 0.27).min(66.0 * unit), (height * 0.30).round());
    // Name, air, track, with as much air above as below.
    let between = (height * 0.14).round();
    let above = (height - name_cap - between - track_height) / 2.0;
    let badge_width = (160.0 * unit).round();
    let badge_left = width - badge_width;
    let count_right = (badge_left - 28.0 * unit).round();
    let count_cap = (height * 0.5).min(116.0 * unit);
    let count_left = count_right - (count_cap * content.result_width).min(width * 0.28).ceil();
    let track_right = (count_left - 34.0 * unit).round();
    RowMeasures {
        width,
        height,
        radius: (permille(form.row_radius) * thousandth).min(height / 2.0),
        edge_width,
        lane_center: (edge_width + lane_width * 0.48).round(),
        lane_cap: 40.0 * unit,
        name_middle: above + name_cap / 2.0,
        name_left,
        name_width: track_right - name_left,
        name_cap,
        name_least_cap: name_cap * 0.8,
        round_width: 0.0,
        track_left: name_left,
        track_right,
        track_top: (above + name_cap + between).round(),
        track_height,
        part_gap: (permille(form.part_gap) * thousandth).round().max(1.0),
        part_radius: permille(form.part_radius) * thousandth,
        block_gap: (6.0 * unit).round().max(2.0),
        notch: (between * 0.55).min(18.0 * unit),
        tag_cap: (track_height * 0.44).min(34.0 * unit),
        count_left,
        count_right,
        count_cap,
        badge_left,
        place_cap: (height * 0.5).min(116.0 * unit),
    }
}

#[allow(clippy::cast_precision_loss)] // thousandths
fn permille(value: u32) -> f32 {
    value as f32 / 1000.0
}

#[allow(clippy::cast_precision_loss)] // pixels of a screen
fn pixels(value: u32) -> f32 {
    value.max(1) as f32
}
