//! Two lanes head to head: both tracks run towards the middle, where the gap stands with an arrow to whoever is ahead.
//! The gap in units is that of the two counts, which only have it where both work through one course; the gap in
//! seconds is shown only where the feed tells it: behind the lane that leads, or between two official times.

use std::fmt::Write as _;
use std::rc::Rc;

use crate::clock;
use crate::draw::{Layer, Rect, Segment};
use crate::fit::{NameCell, fit_text};
use crate::lane::Look;
use crate::layouts::bar::{self, TrackBox};
use crate::layouts::forms::RowMeasures;
use crate::layouts::{result, row};
use crate::overlay::card::{self, LABEL, LEAST_NAME, NAME};
use crate::overlay::floor::{Floor, LaneNow};
use crate::overlay::settle::{self, Group};
use crate::paint::{Align, At, Ink, Kind, Paint, key};
use crate::text::Style;
use crate::words;

const COUNT: f32 = 46.0;
const RESULT: f32 = 34.0;
const GAP: f32 = 34.0;
const TRACK: f32 = 20.0;

/// Draws the duel of two lanes in `rect`.
pub(crate) fn draw(
    paint: &mut Paint<'_>,
    floor: &Floor<'_>,
    (left, right): (&LaneNow<'_>, &LaneNow<'_>),
    rect: Rect,
    unit: f32,
    arrows: &[Rc<Vec<Segment>>; 2],
) {
    let from = paint.items.len();
    let between = (4.0 * unit).round().max(1.0);
    let middle = (118.0 * unit).round();
    let side = ((rect.w - middle) / 2.0 - between).floor();
    let one = Rect { w: side, ..rect };
    let other = Rect { x: rect.x + rect.w - side, ..one };
    half(paint, floor, left, one, unit, false);
    half(paint, floor, right, other, unit, true);
    let x = one.x + side + between;
    gap(paint, floor, (left, right), Rect { x, w: other.x - between - x, ..rect }, unit, arrows);
    settle::name(&mut paint.items[from..], Group::Duel);
}

/// One of the two; the right one's boxes are turned over, its texts stand at the other end.
fn half(paint: &mut Paint<'_>, floor: &Floor<'_>, lane: &LaneNow<'_>, rect: Rect, unit: f32, turned: bool) {
    let m = measures(rect, unit, lane.count.result.is_some());
    let from = paint.items.len();
    let whole = floor.row(lane, rect, &m);
    row::ground(paint, &whole, lane.memory);
    row::edge(paint, &whole);
    let track = TrackBox::new(rect, &m, whole.plan.blocks);
    bar::draw(paint, &whole, lane.memory, &track, lane.memory.head.place(floor.now_us));
    if turned {
        settle::mirror(&mut paint.items[from..], rect);
    }
    let count_width = count(paint, floor, lane, rect, &m, turned);
    let room = m.count_right - count_width - (14.0 * unit).round() - m.name_left;
    words_of(paint, floor, lane, rect, (&m, room.max(1.0)), unit, turned);
}

/// Measures of a half; a result is longer than a count, and so it is lower.
fn measures(rect: Rect, unit: f32, ended: bool) -> RowMeasures {
    let edge_width = (9.0 * unit).round().max(3.0);
    let left = edge_width + (11.0 * unit).round();
    let right = rect.w - (13.0 * unit).round();
    let track_height = (TRACK * unit).round();
    RowMeasures {
        width: rect.w,
        height: rect.h,
        radius: 10.0 * unit,
        edge_width,
        name_left: left,
        name_middle: 34.0 * unit,
        name_cap: (NAME + 4.0) * unit,
        name_least_cap: LEAST_NAME * unit,
        track_left: left,
        track_right: right,
        track_top: rect.h - (14.0 * unit).round() - track_height,
        track_height,
        part_gap: (2.0 * unit).round().max(1.0),
        part_radius: 3.0 * unit,
        block_gap: (4.0 * unit).round().max(1.0),
        notch: (9.0 * unit).round(),
        tag_cap: LABEL * unit,
        count_left: rect.w * 0.35,
        count_right: right,
        count_middle: 58.0 * unit,
        count_cap: if ended { RESULT } else { COUNT } * unit,
        ..RowMeasures::default()
    }
}

/// The count or the result at the inner end; the width that it takes.
fn count(
    paint: &mut Paint<'_>,
    floor: &Floor<'_>,
    lane: &LaneNow<'_>,
    rect: Rect,
    m: &RowMeasures,
    turned: bool,
) -> f32 {
    if lane.starts_ms.is_some() || !lane.counts {
        return 0.0;
    }
    let width = card::count_width(paint, lane, m).min(m.count_right - m.count_left).ceil();
    // Its right end then stands where it begins, counted from the other side.
    let x = if turned { rect.x + rect.w - 2.0 * m.count_right + width } else { rect.x };
    let line = floor.row(lane, Rect { x, ..rect }, m);
    result::draw(paint, &line, lane.memory);
    width
}

/// Badge and name, and under them the lane and how it stands.
fn words_of(
    paint: &mut Paint<'_>,
    floor: &Floor<'_>,
    lane: &LaneNow<'_>,
    rect: Rect,
    (m, room): (&RowMeasures, f32),
    unit: f32,
    turned: bool,
) {
    let of = lane.entry.lane;
    let align = if turned { Align::Right } else { Align::Left };
    // A place that is this far from the outer end.
    let x = |inner: f32| if turned { rect.x + rect.w - inner } else { rect.x + inner };
    let mut inner = m.name_left;
    let middle = rect.y + m.name_middle;
    if lane.counts && floor.place(lane) > 0 {
        let (w, h) = ((42.0 * unit).round(), (42.0 * unit).round());
        let left = if turned { x(inner) - w } else { x(inner) };
        let at = Rect { x: left, y: (middle - h / 2.0).round(), w, h };
        card::badge(paint, floor, lane, at, 28.0 * unit, 6.0 * unit);
        inner += w + (9.0 * unit).round();
    }
    let width = (room - (inner - m.name_left)).max(1.0);
    let cell = NameCell { width, cap_height: m.name_cap, least_cap_height: m.name_least_cap };
    let shaped = fit_text(paint.fonts, lane.name, Style::Names, cell);
    let color = if lane.look == Look::Out { paint.colors.text_dim } else { paint.colors.text };
    let at = At { x: x(inner), baseline: (middle + shaped.cap_height / 2.0).round(), align };
    paint.shaped_text(key(of, Kind::Name, 0), Layer::Ground, &shaped, color, at);
    let mut text = paint.take_text();
    let (plate, color) = if lane.no_rep && lane.look.works() {
        paint.words.no_rep(&mut text, &lane.memory.fault);
        (Some((Kind::NoRepPlate, paint.colors.no_rep)), paint.colors.ink)
    } else if lane.look == Look::LastFive {
        paint.words.to_go(&mut text, lane.count.to_go.unwrap_or(0));
        (Some((Kind::TagPlate, paint.colors.tag)), paint.colors.last_five)
    } else {
        card::lane_words(paint, lane, &mut text);
        if lane.open && lane.count.round > 0 {
            text.push_str(words::BETWEEN);
            let mut round = paint.take_text();
            paint.words.round(&mut round, lane.count.round);
            text.push_str(&round);
            paint.give_back(round);
        }
        (None, paint.colors.text_dim)
    };
    let cap_height = LABEL * unit;
    let pad = if plate.is_some() { (9.0 * unit).round() } else { 0.0 };
    let cell = NameCell { width: (room - 2.0 * pad).max(1.0), cap_height, least_cap_height: cap_height };
    let shaped = fit_text(paint.fonts, &text, Style::Names, cell);
    let line_middle = rect.y + 80.0 * unit;
    if let Some((kind, fill)) = plate {
        let (w, h) = ((shaped.width + 2.0 * pad).ceil(), (cap_height * 1.7).round());
        let left = if turned { x(m.name_left) - w } else { x(m.name_left) };
        let at = Rect { x: left.round(), y: (line_middle - h / 2.0).round(), w, h };
        paint.rect(key(of, kind, 0), Layer::Ground, at, 5.0 * unit, fill);
    }
    let at = At { x: x(m.name_left + pad), baseline: (line_middle + cap_height / 2.0).round(), align };
    paint.shaped_text(key(of, Kind::TagText, 0), Layer::Ground, &shaped, color, at);
    paint.give_back(text);
}

/// Who is ahead, and by how much.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Ahead {
    /// The right one.
    right: bool,
    units: Option<u32>,
    ms: Option<i64>,
}

/// None where the two cannot be held against each other.
fn ahead(floor: &Floor<'_>, one: &LaneNow<'_>, other: &LaneNow<'_>) -> Option<Ahead> {
    let (a, b) = (one.order?, other.order?);
    if one.entry.course != other.entry.course || a.place == 0 || b.place == 0 || !one.counts || !other.counts
    {
        return None;
    }
    let right = b.place < a.place;
    let (first, second) = if right { (other, one) } else { (one, other) };
    let official = |lane: &LaneNow<'_>| lane.count.result.as_ref().and_then(|result| result.official_ms);
    let ms = match (official(first), official(second)) {
        (Some(first), Some(second)) => Some(second - first),
        (None, None) if first.leads && floor.place(first) == 1 => second.order.and_then(|order| order.gap_ms),
        _ => None,
    };
    // Two that have finished are apart by time alone.
    let finished = ms.is_some() && first.look == Look::Finished;
    let units = (!finished).then(|| first.count.score.saturating_sub(second.count.score));
    Some(Ahead { right, units: units.filter(|units| *units > 0), ms: ms.filter(|ms| *ms > 0) })
}

fn gap(
    paint: &mut Paint<'_>,
    floor: &Floor<'_>,
    (one, other): (&LaneNow<'_>, &LaneNow<'_>),
    rect: Rect,
    unit: f32,
    arrows: &[Rc<Vec<Segment>>; 2],
) {
    let colors = paint.colors;
    paint.rect(key(0, Kind::Plate, 0), Layer::Ground, rect, 10.0 * unit, colors.row);
    let center = rect.x + rect.w / 2.0;
    let Some(ahead) = ahead(floor, one, other) else {
        // Head to head, and nothing to tell yet.
        let (size, apart) = ((20.0 * unit).round(), (5.0 * unit).round());
        for (side, arrow) in arrows.iter().enumerate() {
            let x = if side == 0 { center - apart - size } else { center + apart };
            let at = Rect { x: x.round(), y: (rect.y + (rect.h - size) / 2.0).round(), w: size, h: size };
            paint.path(key(0, Kind::Notch, side), arrow, at, colors.text_dim);
        }
        return;
    };
    let mut text = paint.take_text();
    let lines = usize::from(ahead.units.is_some()) + usize::from(ahead.ms.is_some());
    if lines == 0 {
        let ink = Ink { style: Style::Names, cap_height: 22.0 * unit, color: colors.text };
        let at = At { x: center, baseline: middle_of(rect, 0.5, ink.cap_height), align: Align::Center };
        paint.text(key(0, Kind::Gap, 0), Layer::Ground, paint.words.get(words::LEVEL), ink, at);
        paint.give_back(text);
        return;
    }
    let size = (24.0 * unit).round();
    let at = Rect { x: (center - size / 2.0).round(), y: (rect.y + 16.0 * unit).round(), w: size, h: size };
    paint.path(key(0, Kind::Notch, 0), &arrows[usize::from(ahead.right)], at, colors.leading);
    let mut share = if lines == 2 { 0.50 } else { 0.60 };
    if let Some(units) = ahead.units {
        text.push('+');
        match one.trying {
            Some(trying) => trying.write_figures(&mut text, units, paint.words.decimal_mark()),
            None => {
                let _ = write!(text, "{units}");
            }
        }
        let mut ink = Ink { style: Style::Figures, cap_height: GAP * unit, color: colors.text };
        let wanted = paint.figures_width(&text, ink);
        ink.cap_height *= ((rect.w - 12.0 * unit) / wanted.max(1.0)).min(1.0);
        let at = At { x: center, baseline: middle_of(rect, share, ink.cap_height), align: Align::Center };
        paint.figures(0, Kind::Gap, Layer::Ground, &text, ink, at);
        share = 0.81;
    }
    if let Some(ms) = ahead.ms {
        text.clear();
        clock::write_gap(&mut text, ms, one.resolution_ms, paint.words.decimal_mark());
        // A minute has a colon; seconds alone say so.
        if ms < 60_000 {
            text.push_str(" s");
        }
        let cap = if lines == 2 { 22.0 } else { 28.0 };
        let mut ink = Ink { style: Style::Figures, cap_height: cap * unit, color: colors.text };
        let wanted = paint.figures_width(&text, ink);
        ink.cap_height *= ((rect.w - 12.0 * unit) / wanted.max(1.0)).min(1.0);
        let at = At { x: center, baseline: middle_of(rect, share, ink.cap_height), align: Align::Center };
        paint.figures(0, Kind::BarGap, Layer::Ground, &text, ink, at);
    }
    paint.give_back(text);
}

fn middle_of(rect: Rect, share: f32, cap_height: f32) -> f32 {
    (rect.y + rect.h * share + cap_height / 2.0).round()
}

/// Triangles that point left and right, one wide and one high.
pub(crate) fn arrows() -> [Rc<Vec<Segment>>; 2] {
    let of = |tip: f32| {
        Rc::new(vec![
            Segment::MoveTo([1.0 - tip, 0.0]),
            Segment::LineTo([tip, 0.5]),
            Segment::LineTo([1.0 - tip, 1.0]),
            Segment::Close,
        ])
    };
    [of(0.0), of(1.0)]
}
