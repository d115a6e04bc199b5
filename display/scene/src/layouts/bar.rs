//! A row's track: its parts and how far the bar is in them, the closing blocks, the stretch that nobody can
//! measure, and the notch that shows where first on floor stands.

use std::rc::Rc;

use fivemark_themes::Color;

use crate::draw::{Border, BoxShape, Layer, Rect, Segment};
use crate::fit::{NameCell, fit_text};
use crate::lane::{LaneMemory, Look};
use crate::layouts::forms::RowMeasures;
use crate::layouts::row::Row;
use crate::motion::{between, ease_both, ease_out};
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain, rgba, stripes};
use crate::text::Style;
use crate::tries::{Mark, cross_outline};
use crate::words;

/// Where a track and its blocks lie, pixels of the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct TrackBox {
    pub(crate) x: f32,
    pub(crate) y: f32,
    pub(crate) w: f32,
    pub(crate) h: f32,
    pub(crate) block_x: f32,
    pub(crate) block_w: f32,
    pub(crate) block_pitch: f32,
}

/// The blocks' share of the whole track when there are five.
const BLOCKS_SHARE: f32 = 1.0 / 6.0;

impl TrackBox {
    /// Divides a row's track between the parts and this many blocks.
    pub(crate) fn new(rect: Rect, m: &RowMeasures, blocks: u8) -> TrackBox {
        let round = if m.round_width > 0.0 { m.round_width + m.block_gap } else { 0.0 };
        let (left, right) = (rect.x + m.track_left + round, rect.x + m.track_right);
        let whole = right - left;
        let pitch = ((whole * BLOCKS_SHARE + m.block_gap) / 5.0).max(m.block_gap * 3.0).floor();
        let blocks_width = pitch * f32::from(blocks);
        let block_x = right - blocks_width + m.block_gap;
        // A wider gap than between blocks sets the five apart from the track.
        let apart = if blocks > 0 { m.block_gap * 1.8 } else { 0.0 };
        TrackBox {
            x: left,
            y: rect.y + m.track_top,
            w: if blocks > 0 { (block_x - apart - left).round() } else { whole },
            h: m.track_height,
            block_x,
            block_w: pitch - m.block_gap,
            block_pitch: pitch,
        }
    }

    /// The x of a head or notch at this much work.
    pub(crate) fn x_of(&self, progress: f32) -> f32 {
        if progress <= 1.0 {
            return self.x + self.w * progress.max(0.0);
        }
        let gap = self.block_pitch - self.block_w;
        self.block_x + (progress - 1.0) * self.block_pitch - gap / 2.0
    }
}
/// Draws a row's track.
pub(crate) fn draw(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory, track: &TrackBox, head: f32) {
    if row.m.round_width > 0.0 {
        round(paint, row, track);
    }
    parts(paint, row, memory, track, head);
    wrap(paint, row, memory, track);
    blocks(paint, row, memory, track, head);
    notch(paint, row, track);
}

fn parts(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory, track: &TrackBox, head: f32) {
    let (lane, m) = (row.entry.lane, row.m);
    let sweep = match row.look {
        Look::Finished if !row.open => memory
            .finish
            .share(row.now_us, row.spans.finish_us)
            .map_or(1.0, |share| ease_out(between(share, 0.0, 0.45))),
        _ => 0.0,
    };
    if sweep < 1.0 {
        let bar = bar_color(paint, row, memory);
        for (index, cell) in row.plan.cells.iter().enumerate() {
            let left = (track.x + track.w * cell.start).round();
            let mut right = (track.x + track.w * cell.end).round();
            if index + 1 < row.plan.cells.len() {
                right -= m.part_gap;
            }
            let rect = Rect { x: left, y: track.y, w: (right - left).max(1.0), h: track.h };
            if let Some(trying) = row.trying {
                let mark = trying.mark(row.count, index, row.plan.cells.len());
                tried(paint, row, (lane, index), rect, mark, bar);
                continue;
            }
            let share = ((head - cell.start) / (cell.end - cell.start)).clamp(0.0, 1.0);
            cell_box(paint, row, (lane, index), rect, share, bar);
            if let Some(part) = cell.part.filter(|_| !row.counts && row.look == Look::Racing) {
                cell_label(paint, row, (lane, index), rect, row.plan.first_part + part);
            }
        }
        hidden_stretch(paint, row, track, head, bar);
    }
    if sweep > 0.0 {
        let rect = Rect { x: track.x, y: track.y, w: (track.w * sweep).round(), h: track.h };
        let radius = m.part_radius.min(rect.w / 2.0);
        let right = if sweep < 1.0 { 0.0 } else { radius };
        let radii = [radius, right, right, radius];
        paint.bar(key(lane, Kind::Sweep, 0), rect, radii, paint.colors.finished);
    }
}

/// Colour of what is done. Open-ended work that has ended keeps its bar where it stood.
fn bar_color(paint: &Paint<'_>, row: &Row<'_>, memory: &LaneMemory) -> Color {
    if row.open && row.look == Look::Finished { paint.colors.finished } else { memory.bar.color(row.now_us) }
}

/// The round under way, before the track.
fn round(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox) {
    if !row.open || row.trying.is_some() {
        return;
    }
    let (lane, m) = (row.entry.lane, row.m);
    let rect = Rect { x: row.rect.x + m.track_left, y: track.y, w: m.round_width, h: track.h };
    let shape = BoxShape { radii: [m.part_radius; 4], ..plain(rect, 0.0, paint.colors.badge) };
    paint.shaped_box(key(lane, Kind::RoundPlate, 0), Layer::Ground, shape);
    let middle = rect.x + rect.w / 2.0;
    if row.count.round == 0 && row.plan.first_part == 0 && row.has_buy_in {
        let room = NameCell { width: rect.w * 0.9, cap_height: m.tag_cap, least_cap_height: m.tag_cap * 0.7 };
        let shaped = fit_text(paint.fonts, paint.words.get(words::BUY_IN), Style::Figures, room);
        let baseline = (rect.y + (rect.h + shaped.cap_height) / 2.0).round();
        let at = At { x: middle, baseline, align: Align::Center };
        paint.shaped_text(key(lane, Kind::RoundText, 0), Layer::Ground, &shaped, paint.colors.text, at);
        return;
    }
    let mut text = paint.take_text();
    paint.words.round(&mut text, row.count.round.max(1));
    let mut ink = Ink { style: Style::Figures, cap_height: rect.h * 0.6, color: paint.colors.text };
    let wanted = paint.figures_width(&text, ink);
    ink.cap_height *= (rect.w * 0.86 / wanted.max(1.0)).min(1.0);
    let baseline = (rect.y + (rect.h + ink.cap_height) / 2.0).round();
    let at = At { x: middle, baseline, align: Align::Center };
    paint.figures(lane, Kind::RoundText, Layer::Ground, &text, ink, at);
    paint.give_back(text);
}

/// The bar of the round before runs out to the right.
fn wrap(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory, track: &TrackBox) {
    let Some(share) = memory.wrap.share(row.now_us, row.spans.place_us).filter(|_| row.look.works()) else {
        return;
    };
    let from = ease_both(between(share, 0.2, 1.0));
    let to = memory.wrap_from + (1.0 - memory.wrap_from) * between(share, 0.0, 0.35);
    let bar = bar_color(paint, row, memory);
    for (index, cell) in row.plan.cells.iter().enumerate() {
        let gap = if index + 1 < row.plan.cells.len() { row.m.part_gap } else { 0.0 };
        let left = track.x + track.w * cell.start.max(from);
        let right = (track.x + track.w * cell.end).round() - gap;
        let rect = Rect { x: left, y: track.y, w: right.min(track.x + track.w * to) - left, h: track.h };
        paint.bar(key(row.entry.lane, Kind::Wrap, index), rect, [0.0; 4], bar);
    }
}

fn cell_box(
    paint: &mut Paint<'_>,
    row: &Row<'_>,
    (lane, index): (u8, usize),
    rect: Rect,
    share: f32,
    bar: Color,
) {
    let radius = row.m.part_radius.min(rect.w / 2.0);
    let capped = row.look == Look::Capped;
    if share < 1.0 {
        let mut shape = unfilled(paint, row.m, rect, radius);
        if row.look == Look::LastFive {
            shape = outlined(rect, radius, paint.colors.last_five, row.m);
        } else if capped || row.look == Look::Finished && row.open {
            // On a tinted row a grey part would not stand out enough: an outline does.
            shape = outlined(rect, radius, paint.colors.block, row.m);
        }
        paint.shaped_box(key(lane, Kind::Cell, index), Layer::Ground, shape);
    }
    if share <= 0.0 {
        return;
    }
    let fill = Rect { w: rect.w * share, ..rect };
    let right = if share < 1.0 { 0.0 } else { radius };
    let left = radius.min(fill.w / 2.0);
    let radii = [left, right, right, left];
    let key = key(lane, Kind::CellFill, index);
    if capped {
        let hatch = Some(stripes(paint.colors.capped_stripe, rect.h * 0.5));
        paint.shaped_box(key, Layer::Ground, BoxShape { radii, hatch, ..plain(fill, 0.0, bar) });
    } else {
        paint.bar(key, fill, radii, bar);
    }
}

/// One attempt or hold: filled if it was good, crossed if it failed, hatched while it is under way.
fn tried(paint: &mut Paint<'_>, row: &Row<'_>, at: (u8, usize), rect: Rect, mark: Mark, bar: Color) {
    cell_box(paint, row, at, rect, if mark == Mark::Good { 1.0 } else { 0.0 }, bar);
    let (lane, index) = at;
    if mark == Mark::Failed {
        let side = (rect.h.min(rect.w) * 0.6).round().max(1.0);
        let (x, y) = ((rect.x + (rect.w - side) / 2.0).round(), (rect.y + (rect.h - side) / 2.0).round());
        let at = Rect { x, y, w: side, h: side };
        paint.path(key(lane, Kind::Cross, index), &row.outlines.cross, at, paint.colors.text);
    }
    if mark == Mark::UnderWay {
        let hatch = Some(stripes(paint.colors.track.mix(bar, 0.5), rect.h * 0.42));
        let radius = row.m.part_radius.min(rect.w.max(0.0) / 2.0);
        let shape = BoxShape { hatch, ..unfilled(paint, row.m, rect, radius) };
        paint.shaped_box(key(lane, Kind::Hidden, index), Layer::Ground, shape);
    }
}

/// Before the start there is room to say what the parts are.
fn cell_label(paint: &mut Paint<'_>, row: &Row<'_>, (lane, index): (u8, usize), rect: Rect, part: usize) {
    let Some(part) = row.course.and_then(|course| course.parts.get(part)) else { return };
    let cap_height = row.m.tag_cap;
    let ink = Ink { style: Style::Figures, cap_height, color: paint.colors.text };
    let mut text = paint.take_text();
    words::part(&mut text, part);
    let mut width = paint.fonts.shaped(&text, ink.style, cap_height).width;
    if width + cap_height * 0.6 > rect.w {
        words::amount(&mut text, part);
        width = paint.fonts.shaped(&text, ink.style, cap_height).width;
    }
    if width + cap_height * 0.3 <= rect.w {
        let baseline = (rect.y + (rect.h + cap_height) / 2.0).round();
        let at = At { x: rect.x + rect.w / 2.0, baseline, align: Align::Center };
        paint.text(key(lane, Kind::CellLabel, index), Layer::Ground, &text, ink, at);
    }
    paint.give_back(text);
}

/// Hatches the part under way when only its end will be called: nobody knows how far it is.
fn hidden_stretch(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox, head: f32, bar: Color) {
    if !row.under_way || !row.look.works() {
        return;
    }
    let Some((start, end)) = row.plan.hidden_stretch(row.count) else { return };
    let left = (track.x + track.w * start.max(head)).round();
    let ends_track = end >= 1.0 - f32::EPSILON;
    let right = (track.x + track.w * end).round() - if ends_track { 0.0 } else { row.m.part_gap };
    let rect = Rect { x: left, y: track.y, w: right - left, h: track.h };
    let hatch = Some(stripes(paint.colors.track.mix(bar, 0.5), rect.h * 0.42));
    let radius = row.m.part_radius.min(rect.w.max(0.0) / 2.0);
    let shape = BoxShape { hatch, ..unfilled(paint, row.m, rect, radius) };
    paint.shaped_box(key(row.entry.lane, Kind::Hidden, 0), Layer::Ground, shape);
}

fn blocks(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory, track: &TrackBox, head: f32) {
    if row.look == Look::Out {
        return;
    }
    let colors = paint.colors;
    let finish = memory.finish.share(row.now_us, row.spans.finish_us);
    for block in 0..row.plan.blocks {
        let index = usize::from(block);
        let x = track.block_x + track.block_pitch * f32::from(block);
        let rect = Rect { x, y: track.y, w: track.block_w, h: track.h };
        let radius = row.m.part_radius.min(rect.w / 2.0);
        let filled = (head - 1.0 - f32::from(block)).clamp(0.0, 1.0);
        // At a finish the blocks turn after the sweep has reached them, one by one.
        let turned = finish.is_none_or(|share| share > 0.40 + 0.06 * f32::from(block));
        let (outline, fill) = match row.look {
            Look::Finished if turned => (colors.finished, colors.finished),
            // The mark at the end of an earlier part is not yet about these.
            Look::LastFive if head < 1.0 => (colors.block, colors.last_five),
            Look::LastFive | Look::Finished => (colors.last_five, colors.last_five),
            Look::Capped => (colors.block, colors.capped),
            _ => (colors.block, colors.text_dim),
        };
        if filled < 1.0 {
            let shape = outlined(rect, radius, outline, row.m);
            paint.shaped_box(key(row.entry.lane, Kind::Block, index), Layer::Ground, shape);
        }
        if filled > 0.0 {
            let rect = Rect { w: rect.w * filled, ..rect };
            let right = if filled < 1.0 { 0.0 } else { radius };
            let radii = [radius.min(rect.w / 2.0), right, right, radius.min(rect.w / 2.0)];
            let key = key(row.entry.lane, Kind::BlockFill, index);
            if row.look == Look::Capped {
                let hatch = Some(stripes(colors.capped_stripe, rect.h * 0.5));
                paint.shaped_box(key, Layer::Ground, BoxShape { radii, hatch, ..plain(rect, 0.0, fill) });
            } else {
                paint.bar(key, rect, radii, fill);
            }
        }
    }
}

/// A stretch of track that is not done.
fn unfilled(paint: &Paint<'_>, m: &RowMeasures, rect: Rect, radius: f32) -> BoxShape {
    BoxShape { border: track_edge(paint, m), ..plain(rect, radius, paint.colors.track) }
}

/// The outline of a track, if the theme gives it one.
pub(crate) fn track_edge(paint: &Paint<'_>, m: &RowMeasures) -> Border {
    let color = paint.colors.track_edge;
    let width = if color == paint.colors.track { 0.0 } else { (m.block_gap * 0.4).round().max(1.0) };
    Border { width, color: rgba(color) }
}

fn outlined(rect: Rect, radius: f32, color: Color, m: &RowMeasures) -> BoxShape {
    let border = Border { width: (m.block_gap * 0.5).round().max(1.0), color: rgba(color) };
    BoxShape { border, ..plain(rect, radius, Color([0, 0, 0, 0])) }
}

fn notch(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox) {
    let Some(progress) = row.notch else { return };
    let width = row.m.notch * 1.5;
    let x = track.x_of(progress).round();
    let at = Rect { x: x - width / 2.0, y: track.y - row.m.notch - 1.0, w: width, h: row.m.notch };
    let key = key(row.entry.lane, Kind::Notch, 0);
    paint.path(key, &row.outlines.notch, at, paint.colors.leading);
}

/// Shapes that lie on tracks.
#[derive(Clone, Debug)]
pub(crate) struct Outlines {
    notch: Rc<Vec<Segment>>,
    cross: Rc<Vec<Segment>>,
}

impl Default for Outlines {
    fn default() -> Outlines {
        Outlines { notch: notch_outline(), cross: cross_outline() }
    }
}

/// A triangle that points down, one wide and two thirds high.
fn notch_outline() -> Rc<Vec<Segment>> {
    Rc::new(vec![
        Segment::MoveTo([0.0, 0.0]),
        Segment::LineTo([1.0, 0.0]),
        Segment::LineTo([0.5, 0.667]),
        Segment::Close,
    ])
}
