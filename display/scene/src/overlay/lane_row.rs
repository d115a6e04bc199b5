//! One lane in one line: place, name, and what matters most of it: result, what is left, gap, or count. The rail, the
//! corner and the list of who has finished are made of these.

use crate::draw::{Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::lane::Look;
use crate::layouts::forms::RowMeasures;
use crate::layouts::{result, row};
use crate::overlay::card::{self, LABEL, LEAST_NAME, NAME};
use crate::overlay::floor::{Floor, LaneNow};
use crate::paint::{Align, At, Ink, Kind, Paint, key};
use crate::text::Style;
use crate::words;

/// Whether a row has a ground, edge and badge of its own, or lies on a plate with others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum On {
    Own,
    Shared,
}

/// Air beside a name, thousandths of the shorter side.
const AIR: f32 = 8.0;

/// Measures inside a row of this size.
pub(crate) fn measures(rect: Rect, unit: f32, on: On) -> RowMeasures {
    let edge_width = if on == On::Own { (7.0 * unit).round().max(2.0) } else { 0.0 };
    let left = if on == On::Own { edge_width + (6.0 * unit).round() } else { 0.0 };
    let badge_width = (if on == On::Own { 42.0 } else { 20.0 } * unit).round();
    let right = rect.w - if on == On::Own { (10.0 * unit).round() } else { 0.0 };
    let cap = (if on == On::Own { NAME } else { LEAST_NAME } * unit).min(rect.h * 0.7);
    RowMeasures {
        width: rect.w,
        height: rect.h,
        radius: (7.0 * unit).min(rect.h / 2.0),
        edge_width,
        badge_left: left,
        name_left: left + badge_width + (AIR * unit).round(),
        count_middle: rect.h / 2.0,
        name_cap: cap,
        name_least_cap: cap.min(LEAST_NAME * unit),
        tag_cap: LABEL * unit,
        count_left: rect.w * 0.45,
        count_right: right,
        count_cap: cap,
        place_cap: cap.min(24.0 * unit),
        ..RowMeasures::default()
    }
}

/// Draws a row.
pub(crate) fn draw(
    paint: &mut Paint<'_>,
    floor: &Floor<'_>,
    lane: &LaneNow<'_>,
    rect: Rect,
    unit: f32,
    on: On,
) {
    let m = measures(rect, unit, on);
    let of = floor.row(lane, rect, &m);
    let badge_width = m.name_left - m.badge_left - (AIR * unit).round();
    let badge = Rect { x: rect.x + m.badge_left, w: badge_width, ..rect };
    if on == On::Own {
        row::ground(paint, &of, lane.memory);
        row::edge(paint, &of);
        let inset = (rect.h * 0.09).round();
        let badge = Rect { y: badge.y + inset, h: badge.h - 2.0 * inset, ..badge };
        if lane.counts {
            card::badge(paint, floor, lane, badge, m.place_cap, 5.0 * unit);
        } else {
            number(paint, lane, badge, &m, lane.entry.lane);
        }
    } else {
        number(paint, lane, badge, &m, floor.place(lane));
    }
    let right = rect.x + m.count_right - value(paint, floor, lane, rect, &m);
    let left = rect.x + m.name_left + division(paint, lane, rect, &m, on);
    let width = (right - (AIR * unit).round() - left).max(1.0);
    let room = NameCell { width, cap_height: m.name_cap, least_cap_height: m.name_least_cap };
    let shaped = fit_text(paint.fonts, lane.name, Style::Names, room);
    let color = if lane.look == Look::Out { paint.colors.text_dim } else { paint.colors.text };
    let at = At { x: left, baseline: baseline(rect, shaped.cap_height), align: Align::Left };
    paint.shaped_text(key(lane.entry.lane, Kind::Name, 0), Layer::Ground, &shaped, color, at);
}

/// The short form of the division before the name, where the heat mixes them; the width that it takes.
fn division(paint: &mut Paint<'_>, lane: &LaneNow<'_>, rect: Rect, m: &RowMeasures, on: On) -> f32 {
    let Some(division) = lane.division.filter(|_| on == On::Own) else { return 0.0 };
    let ink = Ink { style: Style::Names, cap_height: m.tag_cap, color: paint.colors.text_dim };
    let baseline = baseline(rect, ink.cap_height);
    let at = At { x: rect.x + m.name_left, baseline, align: Align::Left };
    paint.text(key(lane.entry.lane, Kind::Division, 0), Layer::Ground, division, ink, at) + m.tag_cap * 0.4
}

fn baseline(rect: Rect, cap_height: f32) -> f32 {
    (rect.y + (rect.h + cap_height) / 2.0).round()
}

/// A number without a ground of its own: the lane before the start, the place on a shared plate.
fn number(paint: &mut Paint<'_>, lane: &LaneNow<'_>, rect: Rect, m: &RowMeasures, number: u8) {
    use std::fmt::Write as _;
    if number == 0 {
        return;
    }
    let mut text = paint.take_text();
    let _ = write!(text, "{number}");
    let ink = Ink { style: Style::Figures, cap_height: m.place_cap, color: paint.colors.text_dim };
    let at = At { x: rect.x + rect.w / 2.0, baseline: baseline(rect, m.place_cap), align: Align::Center };
    paint.figures(lane.entry.lane, Kind::Place, Layer::Ground, &text, ink, at);
    paint.give_back(text);
}

/// What stands at the right end; the width that it takes.
fn value(paint: &mut Paint<'_>, floor: &Floor<'_>, lane: &LaneNow<'_>, rect: Rect, m: &RowMeasures) -> f32 {
    let of = floor.row(lane, rect, m);
    if lane.no_rep && lane.look.works() {
        let colors = (paint.colors.no_rep, paint.colors.ink);
        let word = paint.words.get(words::NO_REP);
        return plate(paint, lane, rect, m, word, (Kind::NoRepPlate, Kind::NoRepText), colors);
    }
    if lane.starts_ms.is_some() || !lane.counts && lane.count.result.is_none() {
        return 0.0;
    }
    if lane.count.result.is_some() {
        result::draw(paint, &of, lane.memory);
        return card::count_width(paint, lane, m).min(m.count_right - m.count_left);
    }
    let mut text = paint.take_text();
    let width = match card::standing(paint, lane, &mut text) {
        Some(true) => {
            let colors = (paint.colors.tag, paint.colors.last_five);
            plate(paint, lane, rect, m, &text, (Kind::TagPlate, Kind::TagText), colors)
        }
        Some(false) => {
            let ink = Ink { style: Style::Figures, cap_height: m.count_cap, color: paint.colors.text };
            let at =
                At { x: rect.x + m.count_right, baseline: baseline(rect, m.count_cap), align: Align::Right };
            if lane.look == Look::Racing {
                paint.figures(lane.entry.lane, Kind::Gap, Layer::Ground, &text, ink, at)
            } else {
                let ink = Ink { style: Style::Names, cap_height: m.tag_cap, ..ink };
                let at = At { baseline: baseline(rect, m.tag_cap), ..at };
                paint.text(key(lane.entry.lane, Kind::Gap, 0), Layer::Ground, &text, ink, at)
            }
        }
        None => {
            result::draw(paint, &of, lane.memory);
            card::count_width(paint, lane, m)
        }
    };
    paint.give_back(text);
    width
}

/// A text on a plate at the right end; the width that it takes.
fn plate(
    paint: &mut Paint<'_>,
    lane: &LaneNow<'_>,
    rect: Rect,
    m: &RowMeasures,
    text: &str,
    (plate, word): (Kind, Kind),
    (fill, color): (fivemark_themes::Color, fivemark_themes::Color),
) -> f32 {
    let cap_height = m.tag_cap;
    let pad = (cap_height * 0.42).round();
    let shaped = paint.fonts.shaped(text, Style::Names, cap_height);
    let width = (shaped.width + 2.0 * pad).ceil();
    let height = (cap_height * 1.6).round();
    let x = (rect.x + m.count_right - width + pad * 0.5).round();
    let at = Rect { x, y: (rect.y + (rect.h - height) / 2.0).round(), w: width, h: height };
    paint.rect(key(lane.entry.lane, plate, 0), Layer::Ground, at, m.radius * 0.7, fill);
    let text_at = At { x: at.x + pad, baseline: baseline(rect, cap_height), align: Align::Left };
    paint.shaped_text(key(lane.entry.lane, word, 0), Layer::Ground, &shaped, color, text_at);
    width
}
