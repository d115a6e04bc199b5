//! The ribbon at the foot: the clock's cell, the list of who has finished, and a card for each of the first lanes still
//! working, by place. When nobody works any more, the cards are those of the best results.

use crate::draw::{BoxShape, Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::lane::{LaneMemory, Look};
use crate::lanes::Lanes;
use crate::overlay::card::{self, CardMeasures, LABEL};
use crate::overlay::clock_cell;
use crate::overlay::floor::{FINISH_STAYS_US, Floor};
use crate::overlay::lane_row::{self, On};
use crate::overlay::places::Places;
use crate::overlay::settle::{self, Group};
use crate::overlay::slots::{Slots, seen};
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain};
use crate::text::Style;

/// Stands for the list of who has finished among the lanes' cards.
const LIST: u8 = 0;
/// Names that the list has room for.
const LISTED: usize = 3;

/// Who has a cell now, into `wanted`, from the second cell on; `by_place` are all lanes in their order.
pub(crate) fn cells(floor: &Floor<'_>, by_place: &[u8], cells: usize, wanted: &mut Vec<u8>) {
    wanted.clear();
    if floor.is_before() || !floor.anybody_works() {
        wanted.extend_from_slice(by_place);
    } else {
        let look = |lane: u8| floor.memory(lane).map(|memory| memory.look);
        let finished = by_place.iter().filter(|lane| look(**lane) == Some(Look::Finished)).count();
        // One who has finished keeps the card; more make a list.
        if finished > 1 {
            wanted.push(LIST);
        }
        // Whoever has just finished keeps the card until its time is read.
        let stays = |memory: &LaneMemory| {
            memory.look == Look::Finished
                && (finished == 1 || !memory.finish.has_rested(floor.now_us, FINISH_STAYS_US))
        };
        let memory = |lane: &u8| floor.memory(*lane);
        wanted.extend(
            by_place
                .iter()
                .copied()
                .filter(|lane| memory(lane).is_some_and(|memory| memory.look.works() || stays(memory))),
        );
    }
    wanted.truncate(cells.saturating_sub(1));
}

/// When somebody who has finished gives the card up.
pub(crate) fn next_us(lanes: &Lanes, now_us: i64) -> Option<i64> {
    let finished = || lanes.list.iter().filter(|(_, memory)| memory.look == Look::Finished);
    if finished().count() < 2 {
        return None;
    }
    finished().filter_map(|(_, memory)| memory.finish.rests_at_us(now_us, FINISH_STAYS_US)).min()
}

/// Draws all of it; `by_place` as above.
pub(crate) fn draw(
    paint: &mut Paint<'_>,
    floor: &Floor<'_>,
    places: &Places,
    slots: &mut Slots,
    by_place: &[u8],
    starts: &mut Vec<f32>,
) {
    let from = paint.items.len();
    clock_cell::draw(paint, floor, places.cell(0.0), places.unit);
    settle::name(&mut paint.items[from..], Group::Ribbon);
    let m = CardMeasures::new(places.cell(0.0), places.unit);
    let standings = slots.standings(floor.now_us);
    for (index, standing) in standings.iter().enumerate() {
        let rect = places.cell(standing.at);
        // Only cards of the same line pass over each other.
        starts.clear();
        let line = standings[index..].iter().map(|other| places.cell(other.at));
        starts.extend(line.filter(|other| (other.y - rect.y).abs() < 1.0).map(|other| other.x));
        let Some((left, right)) = seen(starts, 0, rect.w, places.gap) else { continue };
        let from = paint.items.len();
        if standing.id == LIST {
            finishers(paint, floor, by_place, rect, places.unit);
        } else if let Some(lane) = floor.lane(standing.id) {
            card::draw(paint, floor, &lane, rect, &m);
        }
        let items = &mut paint.items[from..];
        let group = if standing.id == LIST { Group::Finishers } else { Group::Card };
        settle::name(items, group);
        let down = ((1.0 - standing.rise) * (rect.h + 1.0)).round();
        settle::shift_and_cut(items, [0.0, down], Rect { x: left, w: right - left, ..rect });
    }
}

/// Who has finished: all if they fit, else the winner, the latest and how many more.
fn finishers(paint: &mut Paint<'_>, floor: &Floor<'_>, by_place: &[u8], rect: Rect, unit: f32) {
    let edge = (9.0 * unit).round().max(3.0);
    let colors = paint.colors;
    paint.rect(key(0, Kind::Row, 0), Layer::Ground, rect, 10.0 * unit, colors.row_finished);
    let radii = [10.0 * unit, 0.0, 0.0, 10.0 * unit];
    let shape = BoxShape { radii, ..plain(Rect { w: edge, ..rect }, 0.0, colors.finished) };
    paint.shaped_box(key(0, Kind::Edge, 0), Layer::Ground, shape);
    let finished =
        || by_place.iter().filter_map(|lane| floor.lane(*lane)).filter(|l| l.look == Look::Finished);
    let count = finished().count();
    let shown = if count > LISTED { LISTED - 1 } else { count };
    let pitch = ((rect.h - 18.0 * unit) / 3.0).floor();
    #[allow(clippy::cast_precision_loss)] // at most three
    let lines = count.min(LISTED) as f32;
    let air = ((rect.h - lines * pitch) / 2.0).round();
    let row = |at: f32| Rect {
        x: rect.x + edge + (7.0 * unit).round(),
        y: rect.y + air + pitch * at,
        w: rect.w - edge - (16.0 * unit).round(),
        h: pitch,
    };
    let mut at = 0.0;
    let skipped = if count > LISTED { count - shown } else { 0 };
    for lane in finished().take(1).chain(finished().skip(1 + skipped)) {
        lane_row::draw(paint, floor, &lane, row(at), unit, On::Shared);
        at += 1.0;
    }
    if skipped > 0 {
        let mut text = paint.take_text();
        paint.words.more_finished(&mut text, skipped);
        let (place, cap_height) = (row(at), LABEL * unit);
        let room = NameCell { width: place.w, cap_height, least_cap_height: cap_height };
        let shaped = fit_text(paint.fonts, &text, Style::Names, room);
        let ink = Ink { style: Style::Names, cap_height, color: paint.colors.text_dim };
        let baseline = (place.y + (place.h + cap_height) / 2.0).round();
        let at = At { x: place.x + (28.0 * unit).round(), baseline, align: Align::Left };
        paint.shaped_text(key(0, Kind::BarWord, 0), Layer::Ground, &shaped, ink.color, at);
        paint.give_back(text);
    }
}
