//! One lane's row: ground, edge, lane number, name, track with its blocks, place badge. Counts, results and tags
//! are drawn by their own modules.

use std::rc::Rc;

use fivemark_themes::Color;
use fivemark_wire::view::{Course, LaneCount, LaneEntry, OrderRow};

use crate::draw::{Border, BoxShape, Layer, Rect, Segment};
use crate::fit::{NameCell, fit_name};
use crate::lane::{LaneMemory, Look, Spans};
use crate::layouts::wide::RowMeasures;
use crate::layouts::{result, tags};
use crate::motion::{between, ease_out};
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain, rgba, stripes};
use crate::text::Style;
use crate::track::TrackPlan;
use crate::words;

/// Everything that a row says, and where it stands.
pub(crate) struct Row<'a> {
    pub(crate) rect: Rect,
    pub(crate) m: &'a RowMeasures,
    pub(crate) entry: &'a LaneEntry,
    pub(crate) count: &'a LaneCount,
    pub(crate) order: Option<&'a OrderRow>,
    pub(crate) plan: &'a TrackPlan,
    pub(crate) course: Option<&'a Course>,
    pub(crate) look: Look,
    pub(crate) leads: bool,
    /// Where first on floor stands, if this lane shows it.
    pub(crate) notch: Option<f32>,
    /// Counts are shown: the heat has begun.
    pub(crate) counts: bool,
    /// Work goes on, so a part may be under way.
    pub(crate) under_way: bool,
    pub(crate) resolution_ms: u32,
    pub(crate) spans: Spans,
    pub(crate) now_us: i64,
    pub(crate) notch_outline: &'a Rc<Vec<Segment>>,
}

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
        let (left, right) = (rect.x + m.track_left, rect.x + m.track_right);
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

/// Draws a row.
pub(crate) fn draw(paint: &mut Paint<'_>, row: &Row<'_>, memory: &mut LaneMemory) {
    ground(paint, row, memory);
    edge(paint, row);
    lane_and_name(paint, row, memory);
    if row.look == Look::Empty {
        return;
    }
    let track = TrackBox::new(row.rect, row.m, row.plan.blocks);
    let head = memory.head.place(row.now_us);
    parts(paint, row, memory, &track, head);
    blocks(paint, row, memory, &track, head);
    notch(paint, row, &track);
    tags::draw(paint, row, memory, &track, head);
    if row.counts {
        result::draw(paint, row, memory);
    }
    badge(paint, row, memory);
}

fn ground(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory) {
    let mut color = memory.row.color(row.now_us);
    if let Some(share) = memory.finish.share(row.now_us, row.spans.finish_us) {
        // One slow swell towards the finished colour and back: a single change each way, never a flash.
        let swell = ease_out(between(share, 0.0, 0.3)) * (1.0 - between(share, 0.45, 1.0));
        color = color.mix(paint.colors.finished, 0.22 * swell);
    }
    paint.rect(key(row.entry.lane, Kind::Row, 0), Layer::Ground, row.rect, row.m.radius, color);
}

fn edge(paint: &mut Paint<'_>, row: &Row<'_>) {
    let lane = row.entry.lane;
    let rect = Rect { w: row.m.edge_width, ..row.rect };
    let radii = [row.m.radius, 0.0, 0.0, row.m.radius];
    let colors = paint.colors;
    let solid = |color| BoxShape { radii, ..plain(rect, 0.0, color) };
    match row.look {
        Look::LastFive => five_marks(paint, lane, rect, row.m.radius),
        Look::Finished => paint.shaped_box(key(lane, Kind::Edge, 0), Layer::Ground, solid(colors.finished)),
        Look::Capped => {
            let hatch = Some(stripes(colors.row_capped, rect.w));
            let shape = BoxShape { hatch, ..solid(colors.capped) };
            paint.shaped_box(key(lane, Kind::Edge, 0), Layer::Ground, shape);
        }
        Look::UnderReview => {
            let border = Border { width: (rect.w * 0.25).max(1.0).round(), color: rgba(colors.text_dim) };
            let shape = BoxShape { border, ..solid(colors.row) };
            paint.shaped_box(key(lane, Kind::Edge, 0), Layer::Ground, shape);
        }
        Look::Racing | Look::Out | Look::Empty => {}
    }
}

/// Five marks, one above the other.
fn five_marks(paint: &mut Paint<'_>, lane: u8, rect: Rect, radius: f32) {
    let gap = (rect.h * 0.06).round().max(1.0);
    for mark in 0u8..5 {
        let top = rect.y + ((rect.h + gap) * f32::from(mark) / 5.0).round();
        let bottom = rect.y + ((rect.h + gap) * f32::from(mark + 1) / 5.0).round() - gap;
        let (above, below) = (if mark == 0 { radius } else { 0.0 }, if mark == 4 { radius } else { 0.0 });
        let place = Rect { y: top, h: bottom - top, ..rect };
        let limit = place.h.min(place.w);
        let radii = [above.min(limit), 0.0, 0.0, below.min(limit)];
        let shape = BoxShape { radii, ..plain(place, 0.0, paint.colors.last_five) };
        paint.shaped_box(key(lane, Kind::Edge, usize::from(mark)), Layer::Ground, shape);
    }
}

fn lane_and_name(paint: &mut Paint<'_>, row: &Row<'_>, memory: &mut LaneMemory) {
    let (lane, m) = (row.entry.lane, row.m);
    let middle = row.rect.y + row.rect.h / 2.0;
    let dim = paint.colors.text_dim;
    let ink = Ink { style: Style::Figures, cap_height: m.lane_cap, color: dim };
    let at = At {
        x: row.rect.x + m.lane_center,
        baseline: (middle + m.lane_cap / 2.0).round(),
        align: Align::Center,
    };
    paint.figures(lane, Kind::LaneNumber, Layer::Ground, small_number(lane).trim_start(), ink, at);
    let left = row.rect.x + m.name_left;
    if row.look == Look::Empty {
        let ink = Ink { style: Style::Labels, cap_height: m.tag_cap, color: dim };
        let at = At { x: left, baseline: (middle + m.tag_cap / 2.0).round(), align: Align::Left };
        paint.text(key(lane, Kind::Name, 0), Layer::Ground, words::EMPTY_LANE, ink, at);
        return;
    }
    let cell = NameCell { width: m.name_width, cap_height: m.name_cap, least_cap_height: m.name_least_cap };
    let kept = memory.name.as_ref().filter(|(name, of, _)| *of == cell && *name == row.entry.name);
    let shaped = match kept {
        Some((_, _, shaped)) => Rc::clone(shaped),
        None => {
            let shaped = fit_name(paint.fonts, row.entry, cell);
            memory.name = Some((row.entry.name.clone(), cell, Rc::clone(&shaped)));
            shaped
        }
    };
    let color = if row.look == Look::Out { dim } else { paint.colors.text };
    let at = At { x: left, baseline: (middle + shaped.cap_height / 2.0).round(), align: Align::Left };
    paint.shaped_text(key(lane, Kind::Name, 0), Layer::Ground, &shaped, color, at);
}

fn parts(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory, track: &TrackBox, head: f32) {
    let (lane, m) = (row.entry.lane, row.m);
    let sweep = match row.look {
        Look::Finished => memory
            .finish
            .share(row.now_us, row.spans.finish_us)
            .map_or(1.0, |share| ease_out(between(share, 0.0, 0.45))),
        _ => 0.0,
    };
    if sweep < 1.0 {
        let bar = memory.bar.color(row.now_us);
        for (index, cell) in row.plan.cells.iter().enumerate() {
            let left = (track.x + track.w * cell.start).round();
            let mut right = (track.x + track.w * cell.end).round();
            if index + 1 < row.plan.cells.len() {
                right -= m.part_gap;
            }
            let rect = Rect { x: left, y: track.y, w: (right - left).max(1.0), h: track.h };
            let share = ((head - cell.start) / (cell.end - cell.start)).clamp(0.0, 1.0);
            cell_box(paint, row, (lane, index), rect, share, bar);
            if let Some(part) = cell.part.filter(|_| !row.counts) {
                cell_label(paint, row, (lane, index), rect, part);
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
        let mut shape = plain(rect, radius, paint.colors.track);
        if capped {
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

/// Before the start there is room to say what the parts are.
fn cell_label(paint: &mut Paint<'_>, row: &Row<'_>, (lane, index): (u8, usize), rect: Rect, part: usize) {
    let Some(part) = row.course.and_then(|course| course.parts.get(part)) else { return };
    let cap_height = row.m.tag_cap;
    let ink = Ink { style: Style::Figures, cap_height, color: paint.colors.text };
    let mut text = String::new();
    words::part(&mut text, part);
    let mut width = paint.fonts.shaped(&text, ink.style, cap_height).width;
    if width + cap_height * 0.6 > rect.w {
        words::amount(&mut text, part);
        width = paint.fonts.shaped(&text, ink.style, cap_height).width;
    }
    if width + cap_height * 0.3 > rect.w {
        return;
    }
    let baseline = (rect.y + (rect.h + cap_height) / 2.0).round();
    let at = At { x: rect.x + rect.w / 2.0, baseline, align: Align::Center };
    paint.text(key(lane, Kind::CellLabel, index), Layer::Ground, &text, ink, at);
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
    let shape = BoxShape { hatch, ..plain(rect, radius, paint.colors.track) };
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
    paint.path(key, row.notch_outline, at, paint.colors.leading);
}

/// A triangle that points down, one wide and two thirds high.
pub(crate) fn notch_outline() -> Rc<Vec<Segment>> {
    Rc::new(vec![
        Segment::MoveTo([0.0, 0.0]),
        Segment::LineTo([1.0, 0.0]),
        Segment::LineTo([0.5, 0.667]),
        Segment::Close,
    ])
}

fn badge(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory) {
    let (lane, m) = (row.entry.lane, row.m);
    if !row.counts {
        return;
    }
    let rect = Rect { x: row.rect.x + m.badge_left, w: m.width - m.badge_left, ..row.rect };
    let color = memory.badge.color(row.now_us);
    let shape = BoxShape { radii: [0.0, m.radius, m.radius, 0.0], ..plain(rect, 0.0, color) };
    paint.shaped_box(key(lane, Kind::Badge, 0), Layer::Ground, shape);
    let bright = memory.badge.to != paint.colors.badge;
    let ink = Ink {
        style: Style::Figures,
        cap_height: m.place_cap,
        color: if bright { paint.colors.ink } else { paint.colors.text },
    };
    let share = memory.place.share(row.now_us);
    let baseline = (rect.y + rect.h / 2.0 + m.place_cap / 2.0).round();
    // A better place comes from below, a worse one from above.
    let up = memory.place.to < memory.place.from || memory.place.from == 0;
    let way = rect.h * if up { 1.0 } else { -1.0 };
    let clip = (share < 1.0).then_some(rect);
    let mut set = |place: u8, kind: Kind, shift: f32| {
        let text = small_number(place);
        let text = text.trim_start();
        if place == 0 {
            return;
        }
        let mut x = rect.x + (rect.w + paint.figures_width(text, ink)) / 2.0;
        for (index, character) in text.chars().rev().enumerate() {
            let slot = paint.slot(character, ink);
            x -= slot;
            let at = [x, baseline + shift.round()];
            paint.figure(key(lane, kind, index), Layer::Ground, character, ink, at, slot, clip);
        }
    };
    if share < 1.0 {
        set(memory.place.from, Kind::PlaceBefore, -way * share);
    }
    set(memory.place.to, Kind::Place, way * (1.0 - share));
}

/// A lane or a place as text, without an allocation; spaces before it.
fn small_number(number: u8) -> SmallNumber {
    let mut text = [b' '; 3];
    let mut rest = number;
    for slot in text.iter_mut().rev() {
        *slot = b'0' + rest % 10;
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    SmallNumber(text)
}

struct SmallNumber([u8; 3]);

impl std::ops::Deref for SmallNumber {
    type Target = str;

    fn deref(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or("")
    }
}
