//! The rail at the right side: all lanes by place, each in a row of its own; those that have no room are counted.

use crate::draw::{Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::overlay::card::LABEL;
use crate::overlay::floor::Floor;
use crate::overlay::lane_row::{self, On};
use crate::overlay::places::Places;
use crate::overlay::settle::{self, Group};
use crate::overlay::slots::{Slots, seen};
use crate::paint::{Align, At, Kind, Paint, key};
use crate::text::Style;

/// How many rows show lanes, and how far apart rows are: all lanes, or one less than there are rows.
pub(crate) fn rows(places: &Places, room: Rect, lanes: usize) -> (usize, f32) {
    let (rows, pitch) = places.rail_rows(room, lanes);
    (if rows < lanes { rows.saturating_sub(1) } else { rows }, pitch)
}

/// Draws it in its room; `lanes` are on it in all.
pub(crate) fn draw(
    paint: &mut Paint<'_>,
    floor: &Floor<'_>,
    (places, room): (&Places, Rect),
    slots: &mut Slots,
    lanes: usize,
    starts: &mut Vec<f32>,
) {
    let (shown, pitch) = rows(places, room, lanes);
    let height = pitch - places.row_gap();
    let standings = slots.standings(floor.now_us);
    starts.clear();
    starts.extend(standings.iter().map(|standing| room.y + (standing.at * pitch).round()));
    #[allow(clippy::cast_precision_loss)] // at most 40
    let rest = Rect { y: room.y + shown as f32 * pitch, h: height, ..room };
    if shown < lanes {
        // Whoever glides in from among the rest passes under the row that counts them.
        starts.push(rest.y);
    }
    for (index, standing) in standings.iter().enumerate() {
        let Some((top, bottom)) = seen(starts, index, height, places.row_gap()) else { continue };
        let Some(lane) = floor.lane(standing.id) else { continue };
        let rect = Rect { y: starts[index], h: height, ..room };
        let from = paint.items.len();
        lane_row::draw(paint, floor, &lane, rect, places.unit, On::Own);
        let items = &mut paint.items[from..];
        settle::name(items, Group::Rail);
        let out = ((1.0 - standing.rise) * (rect.w + 1.0)).round();
        settle::shift_and_cut(items, [out, 0.0], Rect { y: top, h: bottom - top, ..rect });
    }
    if shown < lanes {
        let from = paint.items.len();
        more(paint, lanes - shown, rest, places.unit);
        settle::name(&mut paint.items[from..], Group::Rail);
    }
}

fn more(paint: &mut Paint<'_>, count: usize, rect: Rect, unit: f32) {
    paint.rect(key(0, Kind::Plate, 0), Layer::Ground, rect, 7.0 * unit, paint.colors.row);
    let mut text = paint.take_text();
    paint.words.more_lanes(&mut text, count);
    let cap_height = LABEL * unit;
    let room = NameCell { width: rect.w - 24.0 * unit, cap_height, least_cap_height: cap_height };
    let shaped = fit_text(paint.fonts, &text, Style::Names, room);
    let baseline = (rect.y + (rect.h + cap_height) / 2.0).round();
    let at = At { x: rect.x + rect.w / 2.0, baseline, align: Align::Center };
    paint.shaped_text(key(0, Kind::BarWord, 0), Layer::Ground, &shaped, paint.colors.text_dim, at);
    paint.give_back(text);
}
