//! Lists on cards: a row for each athlete, in columns. A number at its left end says lane or place, the name takes what
//! room there is, and the result stands in figures at the right.

use std::rc::Rc;

use fivemark_wire::shows::{NextHeat, Results, Standings};

use super::pages::Page;
use super::{Measures, ROWS};
use crate::draw::{Border, BoxShape, Layer, Rect};
use crate::fit::{NameCell, Named, fit_name};
use crate::layouts::permille;
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain, rgba, stripes};
use crate::text::{ShapedText, Style};
use crate::worded::Worded;
use crate::words;

/// Highest row, as a share of the least distance from row to row.
const TALLEST: f32 = 1.5;

/// Height of small capitals, as a share of a row's height.
const SMALL: f32 = 0.32;

/// What a row says.
struct Row<'a> {
    number: u16,
    /// The number is a place, not a lane.
    place: bool,
    finished: bool,
    name: Named<'a>,
    /// What stands behind the name, dimmer; may be empty.
    beside: &'a str,
    /// May be empty.
    result: &'a str,
    provisional: bool,
}

pub(super) fn next_heat(paint: &mut Paint<'_>, m: &Measures, next: &NextHeat, page: Page) {
    let mixed = next.divisions.len() > 1;
    let mut beside = paint.take_text();
    for (at, lane) in next.lanes[page.range(next.lanes.len())].iter().enumerate() {
        beside.clear();
        let division = next.divisions.get(usize::from(lane.division)).filter(|_| mixed);
        if lane.members.is_empty() {
            paint.words.joined(&mut beside, division.into_iter().chain([&lane.club]));
        } else {
            paint.words.joined(&mut beside, division.into_iter().chain(&lane.members));
        }
        let name = Named { name: &lane.name, given: &lane.given, family: &lane.family, bib: &lane.bib };
        let (number, place, finished) = (u16::from(lane.lane), false, false);
        let row = Row { number, place, finished, name, beside: &beside, result: "", provisional: false };
        draw(paint, m, page, at, &row);
    }
    paint.give_back(beside);
}

pub(super) fn results(paint: &mut Paint<'_>, m: &Measures, results: &Results, page: Page) {
    let mixed = results.divisions.len() > 1;
    for (at, of) in results.rows[page.range(results.rows.len())].iter().enumerate() {
        let division = results.divisions.get(usize::from(of.division)).filter(|_| mixed);
        let name = Named { name: &of.name, given: &of.given, family: &of.family, bib: &of.bib };
        let beside = division.map_or("", String::as_str);
        let (number, finished, result) = (of.place, of.finished, &of.result);
        draw(
            paint,
            m,
            page,
            at,
            &Row { number, place: true, finished, name, beside, result, provisional: false },
        );
    }
}

pub(super) fn standings(paint: &mut Paint<'_>, m: &Measures, standings: &Standings, page: Page) {
    let several = standings.heats_of > 1;
    for (at, of) in standings.rows[page.range(standings.rows.len())].iter().enumerate() {
        let name = Named { name: &of.name, given: &of.given, family: &of.family, bib: &of.bib };
        let beside = if several { &*of.heat_name } else { "" };
        let (number, finished, result, provisional) = (of.place, of.finished, &of.result, of.provisional);
        draw(paint, m, page, at, &Row { number, place: true, finished, name, beside, result, provisional });
    }
}

/// Where the `at`th row of a page lies.
#[allow(clippy::cast_precision_loss)] // at most a hundred
fn rect_of(m: &Measures, page: Page, at: usize) -> Rect {
    let (gap_x, gap_y) = ((40.0 * m.unit).round(), (10.0 * m.unit).round());
    let (columns, rows) = (page.columns as f32, page.rows as f32);
    let width = ((m.body.w + gap_x) / columns - gap_x).floor();
    let pitch = ((m.body.h + gap_y) / rows).min(m.row_units * m.unit * TALLEST);
    let (column, row) = ((at / page.rows) as f32, (at % page.rows) as f32);
    let top = (m.body.y + pitch * row).round();
    let bottom = (m.body.y + pitch * (row + 1.0) - gap_y).round();
    Rect { x: (m.body.x + (width + gap_x) * column).round(), y: top, w: width, h: (bottom - top).max(1.0) }
}

fn draw(paint: &mut Paint<'_>, m: &Measures, page: Page, at: usize, row: &Row<'_>) {
    let rect = rect_of(m, page, at);
    let lane = ROWS + u8::try_from(at).unwrap_or(0);
    let radius = (permille(paint.form.row_radius) * 1000.0 * m.unit).min(rect.h / 3.0);
    paint.rect(key(lane, Kind::Row, 0), Layer::Ground, rect, radius, paint.colors.row);
    let middle = rect.y + rect.h / 2.0;
    let number_width = (rect.h * 1.16).round();
    number(paint, lane, row, Rect { w: number_width, ..rect }, radius);
    let pad = (rect.h * 0.28).round();
    let left = rect.x + number_width + pad;
    let mut right = rect.x + rect.w - pad;
    if !row.result.is_empty() {
        let room = (right - left) * 0.42;
        right -= result(paint, lane, row, [right, middle, rect.h], room) + pad;
    }
    let room = (right - left).max(1.0);
    let cap_height = rect.h * 0.46;
    let beside_cap = rect.h * SMALL;
    let cell = NameCell { width: room, cap_height, least_cap_height: cap_height * 0.62 };
    let full = paint.fonts.shaped(row.name.name, Style::Names, cap_height).width;
    // The name comes first; what stands beside it is there whole or not at all.
    let beside = paint.fonts.shaped(row.beside, Style::Labels, beside_cap);
    let beside = Some(beside).filter(|beside| beside.width > 0.0 && beside.width <= room - full - pad);
    let shaped = name(paint, row.name, cell);
    let at = At { x: left, baseline: (middle + shaped.cap_height / 2.0).round(), align: Align::Left };
    paint.shaped_text(key(lane, Kind::Name, 0), Layer::Ground, &shaped, paint.colors.text, at);
    if let Some(beside) = beside {
        let at = At { x: right, baseline: (middle + beside_cap / 2.0).round(), align: Align::Right };
        paint.shaped_text(key(lane, Kind::Gap, 0), Layer::Ground, &beside, paint.colors.text_dim, at);
    }
}

/// A name as it fits, kept from frame to frame.
fn name(paint: &mut Paint<'_>, name: Named<'_>, cell: NameCell) -> Rc<ShapedText> {
    let room = [cell.width, cell.cap_height, cell.least_cap_height];
    let words = paint.words;
    paint.fonts.fitted(name.name, Style::Names, room, |fonts| fit_name(fonts, words, name, cell))
}

/// Lane or place; the place of who finished is bright, as on a board.
fn number(paint: &mut Paint<'_>, lane: u8, row: &Row<'_>, rect: Rect, radius: f32) {
    let mut color = paint.colors.text_dim;
    if row.number == 0 {
        return;
    }
    if row.place {
        let bright = row.finished;
        let fill = if bright { paint.colors.finished } else { paint.colors.badge };
        color = if bright { paint.colors.ink } else { paint.colors.text };
        let shape = BoxShape { radii: [radius, 0.0, 0.0, radius], ..plain(rect, 0.0, fill) };
        paint.shaped_box(key(lane, Kind::Badge, 0), Layer::Ground, shape);
    }
    let mut text = paint.take_text();
    words::number(&mut text, row.number);
    let mut ink = Ink { style: Style::Figures, cap_height: rect.h * 0.56, color };
    let (wanted, room) = (paint.figures_width(&text, ink), rect.w * 0.8);
    if wanted > room {
        ink.cap_height *= room / wanted;
    }
    let baseline = (rect.y + rect.h / 2.0 + ink.cap_height / 2.0).round();
    let at = At { x: rect.x + rect.w / 2.0, baseline, align: Align::Center };
    paint.figures(lane, Kind::Place, Layer::Ground, &text, ink, at);
    paint.give_back(text);
}

/// A result, its number large and its words small, with the mark of what is provisional before it; its width.
fn result(
    paint: &mut Paint<'_>,
    lane: u8,
    row: &Row<'_>,
    [right, middle, height]: [f32; 3],
    room: f32,
) -> f32 {
    let mut text = paint.take_text();
    paint.words.result(&mut text, row.result);
    let words = Ink { style: Style::Labels, cap_height: height * SMALL, color: paint.colors.text_dim };
    let ink = Ink { style: Style::Figures, cap_height: height * 0.5, color: paint.colors.text };
    let space = height * 0.14;
    let mut result = Worded::new(&text, ink, words, space);
    if !result.number.starts_with(|c: char| c.is_ascii_digit()) {
        result.ink.color = paint.colors.text_dim;
    }
    let mark = if row.provisional { (height * 0.3).round() } else { 0.0 };
    let fixed = result.words_width(paint) + if mark > 0.0 { mark + 2.0 * space } else { 0.0 };
    result.fit(paint, room - fixed);
    let baseline = (middle + result.ink.cap_height / 2.0).round();
    let mut width = result.draw(paint, lane, [right, baseline]);
    if mark > 0.0 {
        width += 2.0 * space + mark;
        let rect = Rect { x: (right - width).round(), y: (middle - mark / 2.0).round(), w: mark, h: mark };
        let line = (mark * 0.12).round().max(1.0);
        let border = Border { width: line, color: rgba(paint.colors.text_dim) };
        let hatch = Some(stripes(paint.colors.row, (mark * 0.5).max(2.0)));
        let shape = BoxShape { border, hatch, ..plain(rect, 2.0, paint.colors.text_dim) };
        paint.shaped_box(key(lane, Kind::RuledPlate, 0), Layer::Ground, shape);
    }
    paint.give_back(text);
    width
}
