//! The corner at the upper left: the clock, and under it first on floor and whoever is next, with the gap; when nobody
//! works any more, the first two results.

use crate::draw::Rect;
use crate::overlay::clock_cell;
use crate::overlay::floor::Floor;
use crate::overlay::lane_row::{self, On};
use crate::overlay::places::Places;
use crate::overlay::settle::{self, Group};
use crate::paint::Paint;

/// Lanes under the clock.
const ROWS: usize = 2;

/// Draws it; `by_place` are all lanes in their order.
pub(crate) fn draw(paint: &mut Paint<'_>, floor: &Floor<'_>, places: &Places, by_place: &[u8]) {
    let rect = places.corner();
    let from = paint.items.len();
    clock_cell::draw(paint, floor, Rect { h: places.clock_height(), ..rect }, places.unit);
    settle::name(&mut paint.items[from..], Group::CornerClock);
    if floor.is_before() {
        return;
    }
    let works = floor.anybody_works();
    let lanes = by_place.iter().filter_map(|lane| floor.lane(*lane));
    let lanes = lanes.filter(|lane| !works || lane.look.works());
    let mut y = rect.y + places.clock_height() + places.row_gap();
    let from = paint.items.len();
    for lane in lanes.take(ROWS) {
        let row = Rect { y, h: places.corner_row(), ..rect };
        lane_row::draw(paint, floor, &lane, row, places.unit, On::Own);
        y += places.corner_row() + places.row_gap();
    }
    settle::name(&mut paint.items[from..], Group::Corner);
}
