//! One lane's row: ground, edge, lane number, name, place badge. Track, count or result, and tags are drawn by
//! their own modules.

use std::rc::Rc;

use fivemark_themes::check::FINISH_SWELL;
use fivemark_wire::view::{Course, LaneCount, LaneEntry, OrderRow};

use crate::draw::{Border, BoxShape, Layer, Rect};
use crate::fit::{NameCell, fit_name, fit_text};
use crate::lane::{LaneMemory, Look, Spans};
use crate::layouts::bar::{self, Outlines, TrackBox};
use crate::layouts::forms::RowMeasures;
use crate::layouts::{result, tags};
use crate::motion::{between, ease_out};
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain, rgba, stripes};
use crate::text::Style;
use crate::track::TrackPlan;
use crate::tries::Trying;
use crate::words;

/// Everything that a row says, and where it stands.
pub(crate) struct Row<'a> {
    pub(crate) rect: Rect,
    pub(crate) m: &'a RowMeasures,
    pub(crate) entry: &'a LaneEntry,
    pub(crate) count: &'a LaneCount,
    pub(crate) order: Option<&'a OrderRow>,
    pub(crate) plan: &'a TrackPlan,
    /// Work without an end: rounds that are done again and again.
    pub(crate) open: bool,
    pub(crate) has_buy_in: bool,
    /// Attempts or holds are judged, and no units are counted.
    pub(crate) trying: Option<Trying>,
    /// The lane's own start, heat milliseconds, while that is still to come.
    pub(crate) starts_ms: Option<i64>,
    /// Short form of the division, where the heat mixes them.
    pub(crate) division: Option<&'a str>,
    /// Another lane runs again alone.
    pub(crate) dimmed: bool,
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
    pub(crate) outlines: &'a Outlines,
}

/// How much of the scrim lies over a lane whose result stands while another one runs again.
const DIMMED: f32 = 0.7;

/// Draws a row.
pub(crate) fn draw(paint: &mut Paint<'_>, row: &Row<'_>, memory: &mut LaneMemory) {
    ground(paint, row, memory);
    edge(paint, row);
    lane_and_name(paint, row, memory);
    if row.dimmed {
        let scrim = paint.colors.scrim.faded(DIMMED);
        paint.rect(key(row.entry.lane, Kind::Dim, 0), Layer::Over, row.rect, row.m.radius, scrim);
    }
    if row.look == Look::Empty {
        return;
    }
    let track = TrackBox::new(row.rect, row.m, row.plan.blocks);
    let head = memory.head.place(row.now_us);
    bar::draw(paint, row, memory, &track, head);
    tags::draw(paint, row, memory, &track, head);
    if let Some(start_ms) = row.starts_ms {
        result::draw_start(paint, row, start_ms);
    } else if row.counts {
        result::draw(paint, row, memory);
    }
    badge(paint, row, memory);
}

/// A row's ground, with the swell of a finish.
pub(crate) fn ground(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory) {
    let mut color = memory.row.color(row.now_us);
    if let Some(share) = memory.finish.share(row.now_us, row.spans.finish_us) {
        // One slow swell towards the finished colour and back: a single change each way, never a flash.
        let swell = ease_out(between(share, 0.0, 0.3)) * (1.0 - between(share, 0.45, 1.0));
        color = color.mix(paint.colors.finished, FINISH_SWELL * swell);
    }
    paint.rect(key(row.entry.lane, Kind::Row, 0), Layer::Ground, row.rect, row.m.radius, color);
}

/// The pattern at a row's edge that tells its state by its shape.
pub(crate) fn edge(paint: &mut Paint<'_>, row: &Row<'_>) {
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
pub(crate) fn five_marks(paint: &mut Paint<'_>, lane: u8, rect: Rect, radius: f32) {
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
    let middle = row.rect.y + m.lane_middle;
    let dim = paint.colors.text_dim;
    let number = if row.division.is_some() && row.look != Look::Empty { paint.colors.text } else { dim };
    let ink = Ink { style: Style::Figures, cap_height: m.lane_cap, color: number };
    let [up, under] = if row.division.is_some() { m.division } else { [0.0; 2] };
    let at = At {
        x: row.rect.x + m.lane_center,
        baseline: (middle + m.lane_cap / 2.0 - up).round(),
        align: Align::Center,
    };
    if let Some(division) = row.division {
        let ink = Ink { style: Style::Figures, cap_height: m.division_cap, color: dim };
        let at = At { baseline: (at.baseline + under).round(), ..at };
        paint.text(key(lane, Kind::Division, 0), Layer::Ground, division, ink, at);
    }
    paint.figures(lane, Kind::LaneNumber, Layer::Ground, small_number(lane).trim_start(), ink, at);
    let left = row.rect.x + m.name_left;
    if row.look == Look::Empty {
        let ink = Ink { style: Style::Labels, cap_height: m.tag_cap, color: dim };
        let at = At { x: left, baseline: (middle + m.tag_cap / 2.0).round(), align: Align::Left };
        paint.text(key(lane, Kind::Name, 0), Layer::Ground, paint.words.get(words::EMPTY_LANE), ink, at);
        return;
    }
    let cell = NameCell { width: m.name_width, cap_height: m.name_cap, least_cap_height: m.name_least_cap };
    let kept = memory.name.as_ref().filter(|(name, of, _)| *of == cell && *name == row.entry.name);
    let shaped = match kept {
        Some((_, _, shaped)) => Rc::clone(shaped),
        None => {
            let shaped = fit_name(paint.fonts, paint.words, row.entry, cell);
            memory.name = Some((row.entry.name.clone(), cell, Rc::clone(&shaped)));
            shaped
        }
    };
    let color = if row.look == Look::Out { dim } else { paint.colors.text };
    let middle = row.rect.y + m.name_middle;
    let at = At { x: left, baseline: (middle + shaped.cap_height / 2.0).round(), align: Align::Left };
    paint.shaped_text(key(lane, Kind::Name, 0), Layer::Ground, &shaped, color, at);
    if m.members_cap > 0.0 && !row.entry.members.is_empty() {
        members(paint, row);
    }
}

/// Who is in a team, in one line under its name.
fn members(paint: &mut Paint<'_>, row: &Row<'_>) {
    let (lane, m) = (row.entry.lane, row.m);
    let mut text = paint.take_text();
    words::members(&mut text, &row.entry.members);
    let cell =
        NameCell { width: m.name_width, cap_height: m.members_cap, least_cap_height: m.members_cap * 0.85 };
    let line = fit_text(paint.fonts, &text, Style::Names, cell);
    let at =
        At { x: row.rect.x + m.name_left, baseline: m.members_baseline + row.rect.y, align: Align::Left };
    paint.shaped_text(key(lane, Kind::Members, 0), Layer::Ground, &line, paint.colors.text_dim, at);
    paint.give_back(text);
}

fn badge(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory) {
    let (lane, m) = (row.entry.lane, row.m);
    if !row.counts {
        return;
    }
    let rect = Rect {
        x: row.rect.x + m.badge_left,
        y: row.rect.y + m.badge_top,
        w: m.width - m.badge_left,
        h: m.badge_height,
    };
    let color = memory.badge.color(row.now_us);
    // As high as the row it ends as the row does; lower, it has corners of its own.
    let radii = if m.badge_height < m.height {
        [m.radius, 0.0, 0.0, m.radius]
    } else {
        [0.0, m.radius, m.radius, 0.0]
    };
    let shape = BoxShape { radii, ..plain(rect, 0.0, color) };
    paint.shaped_box(key(lane, Kind::Badge, 0), Layer::Ground, shape);
    let bright = memory.badge.to() != paint.colors.badge;
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
