//! The head of a list: what it is a list of, large; under it the workout and what else has to be said; at the other
//! side a plate with what kind of list it is, and the page. On strips all of it stands beside the list.

use fivemark_themes::{Color, Logo};
use fivemark_wire::shows::{NextHeat, Results, Standings};

use super::pages::Page;
use super::{CARD, Measures, say};
use crate::draw::{Border, BoxShape, Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::layouts::logo;
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain, rgba, stripes};
use crate::screen::Link;
use crate::text::Style;
use crate::words::{self, Message};

/// What a plate looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Plate {
    /// Plain.
    Calm,
    /// Striped: numbers may still change.
    Provisional,
    /// Bright: they will not.
    Official,
}

/// What a head says.
struct Head<'a> {
    title: &'a str,
    line: &'a str,
    plate: (Plate, Message),
    /// What stands under the plate; may be empty.
    aside: &'a str,
    page: Page,
}

pub(super) fn next_heat(paint: &mut Paint<'_>, m: &Measures, next: &NextHeat, feed_us: i64, page: Page) {
    let (mut line, mut aside) = (paint.take_text(), paint.take_text());
    paint.words.joined(&mut line, std::iter::once(&next.workout).chain(&next.divisions));
    if let Some(starts_at_ms) = next.starts_at_ms {
        paint.words.starts_in_time(&mut aside, say::seconds_to(starts_at_ms, feed_us));
    }
    let plate = (Plate::Calm, words::NEXT_HEAT);
    draw(paint, m, &Head { title: &next.heat_name, line: &line, plate, aside: &aside, page });
    paint.give_back(line);
    paint.give_back(aside);
}

pub(super) fn results(paint: &mut Paint<'_>, m: &Measures, results: &Results, page: Page) {
    let mut line = paint.take_text();
    paint.words.joined(&mut line, std::iter::once(&results.workout).chain(&results.divisions));
    let plate = if results.official {
        (Plate::Official, words::OFFICIAL)
    } else {
        (Plate::Provisional, words::PROVISIONAL)
    };
    let aside = paint.words.get(words::RESULTS);
    draw(paint, m, &Head { title: &results.heat_name, line: &line, plate, aside, page });
    paint.give_back(line);
}

pub(super) fn standings(paint: &mut Paint<'_>, m: &Measures, standings: &Standings, page: Page) {
    let mut aside = paint.take_text();
    paint.words.after_heats(&mut aside, standings.heats_done, standings.heats_of);
    let (title, line) = (&standings.division, &standings.workout);
    draw(paint, m, &Head { title, line, plate: (Plate::Calm, words::STANDINGS), aside: &aside, page });
    paint.give_back(aside);
}

fn draw(paint: &mut Paint<'_>, m: &Measures, head: &Head<'_>) {
    if m.beside {
        beside(paint, m, head);
    } else {
        above(paint, m, head);
    }
}

/// Title and line at the left, plate and aside at the right.
fn above(paint: &mut Paint<'_>, m: &Measures, head: &Head<'_>) {
    let (area, unit) = (m.head, m.unit);
    let scale = area.h / unit / 156.0;
    let (title_cap, line_cap) = (56.0 * unit * scale, 25.0 * unit * scale);
    let title_baseline = (area.y + title_cap * 1.08).round();
    let line_baseline = (title_baseline + title_cap * 0.42 + line_cap * 1.25).round();
    let right = area.x + area.w;
    let plate = plate(paint, m, head.plate, [right, title_baseline], title_cap, Align::Right).w;
    let mut aside = paint.take_text();
    aside.push_str(head.aside);
    page_of(paint, &mut aside, head.page);
    let half = area.w * 0.5;
    let cell = NameCell { width: half, cap_height: line_cap, least_cap_height: line_cap * 0.7 };
    let side = fit_text(paint.fonts, &aside, Style::Labels, cell);
    let at = At { x: right, baseline: line_baseline, align: Align::Right };
    paint.shaped_text(key(CARD, Kind::Cap, 0), Layer::Ground, &side, paint.colors.text_dim, at);
    let gap = 36.0 * unit;
    let width = (area.w - plate - gap).max(1.0);
    let cell = NameCell { width, cap_height: title_cap, least_cap_height: title_cap * 0.5 };
    let title = fit_text(paint.fonts, head.title, Style::Names, cell);
    let at = At { x: area.x, baseline: title_baseline, align: Align::Left };
    paint.shaped_text(key(CARD, Kind::Title, 0), Layer::Ground, &title, paint.colors.text, at);
    let width = (area.w - side.width - gap).max(1.0);
    let cell = NameCell { width, cap_height: line_cap, least_cap_height: line_cap * 0.7 };
    let line = fit_text(paint.fonts, head.line, Style::Labels, cell);
    let at = At { baseline: line_baseline, ..at };
    paint.shaped_text(key(CARD, Kind::Subtitle, 0), Layer::Ground, &line, paint.colors.text_dim, at);
    paint.give_back(aside);
    // The logo between what stands at the left and what stands at the right.
    let (from, to) = (area.x + title.width.max(line.width) + gap, right - plate.max(side.width) - gap);
    let top = (title_baseline - title_cap * 1.2).max(area.y);
    logo(paint, m, Rect { x: from, y: top, w: to - from, h: line_baseline - top });
}

/// The theme's logo at the right end of some room.
fn logo(paint: &mut Paint<'_>, m: &Measures, room: Rect) {
    let most = |logo: &Logo| logo::most(logo, m.logo_sides());
    logo::draw(paint, key(CARD, Kind::Logo, 0), most, room, Align::Right);
}

/// Plate, title, line and aside, one under the other.
fn beside(paint: &mut Paint<'_>, m: &Measures, head: &Head<'_>) {
    let (area, unit) = (m.head, m.unit);
    let (title_cap, line_cap) = (50.0 * unit, 24.0 * unit);
    let plate_baseline = (area.y + 46.0 * unit).round();
    let plate = plate(paint, m, head.plate, [area.x, plate_baseline], 40.0 * unit, Align::Left);
    let cell = NameCell { width: area.w, cap_height: title_cap, least_cap_height: title_cap * 0.5 };
    let title = fit_text(paint.fonts, head.title, Style::Names, cell);
    let title_baseline = (plate_baseline + 46.0 * unit + title_cap).round();
    let beside = plate.w + 24.0 * unit;
    let room = Rect {
        x: area.x + beside,
        y: area.y,
        w: area.w - beside,
        h: title_baseline - title_cap * 1.3 - area.y,
    };
    logo(paint, m, room);
    let at = At { x: area.x, baseline: title_baseline, align: Align::Left };
    paint.shaped_text(key(CARD, Kind::Title, 0), Layer::Ground, &title, paint.colors.text, at);
    let mut aside = paint.take_text();
    aside.push_str(head.aside);
    page_of(paint, &mut aside, head.page);
    let cell = NameCell { width: area.w, cap_height: line_cap, least_cap_height: line_cap * 0.7 };
    for (index, text) in [head.line, &aside].into_iter().enumerate() {
        let line = fit_text(paint.fonts, text, Style::Labels, cell);
        let below = line_cap * if index == 0 { 2.1 } else { 4.1 };
        let at = At { baseline: (title_baseline + below).round(), ..at };
        paint.shaped_text(key(CARD, Kind::Subtitle, index), Layer::Ground, &line, paint.colors.text_dim, at);
    }
    paint.give_back(aside);
}

/// `2 of 5`, behind what stands there already.
fn page_of(paint: &Paint<'_>, out: &mut String, page: Page) {
    if page.count < 2 {
        return;
    }
    if !out.is_empty() {
        out.push_str(words::BETWEEN);
    }
    paint.words.page_of(out, page.index + 1, page.count);
}

/// A word on a plate; where that is.
fn plate(
    paint: &mut Paint<'_>,
    m: &Measures,
    (look, word): (Plate, Message),
    [x, baseline]: [f32; 2],
    title_cap: f32,
    align: Align,
) -> Rect {
    let cap_height = title_cap * 0.72;
    let colors = paint.colors;
    let (fill, color, border) = match look {
        Plate::Official => (colors.text, colors.ink, None),
        Plate::Provisional => (colors.notice, colors.text, Some(colors.text)),
        Plate::Calm => (colors.notice, colors.text, None),
    };
    let (pad, height) = ((cap_height * 0.6).round(), (cap_height * 1.9).round());
    let hatched = if look == Plate::Provisional { (height * 0.72).round() } else { 0.0 };
    let cell = NameCell { width: m.head.w * 0.5, cap_height, least_cap_height: cap_height * 0.6 };
    let text = fit_text(paint.fonts, paint.words.get(word), Style::Names, cell);
    let width = (text.width + 2.0 * pad + hatched).ceil();
    let left = if align == Align::Right { x - width } else { x };
    let rect = Rect { x: left, y: (baseline - (cap_height + height) / 2.0).round(), w: width, h: height };
    let radius = 7.0 * m.unit;
    let line = (2.5 * m.unit).round().max(1.0);
    let border =
        border.map_or_else(Border::default, |color: Color| Border { width: line, color: rgba(color) });
    let shape = BoxShape { border, ..plain(rect, radius, fill) };
    paint.shaped_box(key(CARD, Kind::StatePlate, 0), Layer::Ground, shape);
    if hatched > 0.0 {
        let hatch = Some(stripes(colors.notice, height * 0.36));
        let radii = [radius, 0.0, 0.0, radius];
        let shape = BoxShape { radii, hatch, ..plain(Rect { w: hatched, ..rect }, 0.0, colors.text) };
        paint.shaped_box(key(CARD, Kind::StateHatch, 0), Layer::Ground, shape);
    }
    let baseline = (rect.y + (height + text.cap_height) / 2.0).round();
    let at = At { x: left + hatched + pad, baseline, align: Align::Left };
    paint.shaped_text(key(CARD, Kind::StateWord, 0), Layer::Ground, &text, color, at);
    rect
}

/// Marks that something is wrong with the feed, in the lower left corner, over what is there.
pub(super) fn marks(paint: &mut Paint<'_>, m: &Measures, link: Link, journal_ok: bool) {
    let mut text = paint.take_text();
    let mut left = m.rect.x + (m.margin * 0.4).round();
    let mut mark = |paint: &mut Paint<'_>, index: usize, text: &str| {
        let cap_height = if m.beside { 20.0 } else { 25.0 } * m.unit;
        let ink = Ink { style: Style::Labels, cap_height, color: paint.colors.ink };
        let pad = (cap_height * 0.6).round();
        let width = (paint.fonts.shaped(text, ink.style, ink.cap_height).width + 2.0 * pad).ceil();
        let height = (cap_height * 1.9).round();
        let y = m.rect.y + m.rect.h - (m.margin * 0.2).round() - height;
        let rect = Rect { x: left, y, w: width, h: height };
        paint.rect(key(CARD, Kind::Mark, index), Layer::Tags, rect, 6.0 * m.unit, paint.colors.alert);
        let baseline = (y + (height + cap_height) / 2.0).round();
        let at = At { x: left + pad, baseline, align: Align::Left };
        paint.text(key(CARD, Kind::MarkText, index), Layer::Tags, text, ink, at);
        left += width + pad;
    };
    if let Link::Lost { age_ms } = link {
        paint.words.no_feed(&mut text, age_ms);
        mark(paint, 0, &text);
    }
    if !journal_ok {
        mark(paint, 1, paint.words.get(words::NOT_RECORDING));
    }
    paint.give_back(text);
}
