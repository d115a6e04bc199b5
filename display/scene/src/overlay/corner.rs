//! The corner at the upper left: the clock, and under it first on floor and whoever is next, with the gap; when nobody
//! works any more, the first two results. The theme's logo stands beside the clock, on a plate of its own.

use crate::draw::{Layer, Rect};
use crate::overlay::clock_cell;
use crate::overlay::floor::Floor;
use crate::overlay::lane_row::{self, On};
use crate::overlay::places::{LogoPlace, Places};
use crate::overlay::settle::{self, Group};
use crate::paint::{Kind, Paint, key};

/// Lanes under the clock.
const ROWS: usize = 2;

/// Draws it; `by_place` are all lanes in their order.
pub(crate) fn draw(paint: &mut Paint<'_>, floor: &Floor<'_>, places: &Places, by_place: &[u8]) {
    let rect = places.corner();
    let from = paint.items.len();
    clock_cell::draw(paint, floor, Rect { h: places.clock_height(), ..rect }, places.unit);
    if let Some(LogoPlace { plate, logo }) = places.logo() {
        let radius = 10.0 * places.unit;
        paint.rect(key(0, Kind::LogoPlate, 0), Layer::Ground, plate, radius, paint.colors.row);
        paint.logo(key(0, Kind::Logo, 0), Layer::Tags, logo);
    }
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
