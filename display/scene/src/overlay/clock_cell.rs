//! The clock on a plate of its own, for the ribbon and the corner: under it the cap or the window, or what is the matter:
//! a state that is not running, the last minute, a lost feed.

use fivemark_themes::Color;
use fivemark_wire::view::State;

use crate::clock;
use crate::draw::{Border, BoxShape, Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::layouts::header::in_last_minute;
use crate::overlay::floor::Floor;
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain, rgba, stripes};
use crate::screen::Link;
use crate::text::Style;
use crate::words::{self, Limit};

/// Height of the clock's figures and of the line under it, thousandths of the shorter side.
const CLOCK: f32 = 54.0;
const LINE: f32 = 20.0;
/// The tenth against the seconds.
const TENTH: f32 = 0.6;
const PAD: f32 = 13.0;

/// Draws the clock's cell.
pub(crate) fn draw(paint: &mut Paint<'_>, floor: &Floor<'_>, rect: Rect, unit: f32) {
    paint.rect(key(0, Kind::Plate, 0), Layer::Ground, rect, 10.0 * unit, paint.colors.row);
    let mut text = paint.take_text();
    face(paint, floor, rect, unit, &mut text);
    line(paint, floor, rect, unit, &mut text);
    paint.give_back(text);
}

fn face(paint: &mut Paint<'_>, floor: &Floor<'_>, rect: Rect, unit: f32, text: &mut String) {
    let reading = floor.reading;
    let state = floor.view.snapshot.heat.state;
    let still = matches!(state, State::Held | State::Cancelled | State::LanesSet | State::OnDeck);
    let color = if still { paint.colors.text_dim } else { paint.colors.text };
    let mut ink = Ink { style: Style::Clock, cap_height: CLOCK * unit, color };
    // The longest time that this heat can show sets the size, so that the clock keeps it.
    text.clear();
    clock::write_seconds(text, reading.end_ms.max(1) / 100);
    let tenth_of = |ink: Ink| Ink { cap_height: ink.cap_height * TENTH, color: paint.colors.text_dim, ..ink };
    let wanted = paint.figures_width(text, ink) + paint.figures_width(".0", tenth_of(ink));
    let room = rect.w - 2.0 * PAD * unit;
    ink.cap_height *= (room / wanted.max(1.0)).min(1.0);
    let tenth_ink = tenth_of(ink);
    let (middle, baseline) = (rect.x + rect.w / 2.0, (rect.y + rect.h * 0.54).round());
    text.clear();
    if let Some(seconds) = reading.countdown_s {
        clock::write_seconds(text, seconds * 10);
        let at = At { x: middle, baseline, align: Align::Center };
        paint.figures(0, Kind::Clock, Layer::Ground, text, ink, at);
        return;
    }
    clock::write_seconds(text, reading.elapsed_tenths);
    let seconds_width = paint.figures_width(text, ink);
    let left = middle - (seconds_width + paint.figures_width(".0", tenth_ink)) / 2.0;
    let at = At { x: left, baseline, align: Align::Left };
    paint.figures(0, Kind::Clock, Layer::Ground, text, ink, at);
    text.clear();
    text.push(paint.words.decimal_mark());
    text.push(char::from(b'0' + u8::try_from(reading.elapsed_tenths % 10).unwrap_or(0)));
    let at = At { x: left + seconds_width, ..at };
    paint.figures(0, Kind::ClockTenth, Layer::Ground, text, tenth_ink, at);
}

/// What stands under the clock.
fn line(paint: &mut Paint<'_>, floor: &Floor<'_>, rect: Rect, unit: f32, text: &mut String) {
    let (colors, snapshot) = (paint.colors, &floor.view.snapshot);
    let heat = &snapshot.heat;
    text.clear();
    let alert = Look { fill: colors.alert, color: colors.ink, edge: None, striped: false };
    let plain = Look { fill: colors.notice, color: colors.text, edge: None, striped: false };
    if let Link::Lost { age_ms } = floor.link {
        paint.words.no_feed(text, age_ms);
        return plate(paint, rect, unit, text, alert);
    }
    if !snapshot.journal_ok {
        return plate(paint, rect, unit, paint.words.get(words::NOT_RECORDING), alert);
    }
    if let Some(word) = words::state(heat.state) {
        let look = match heat.state {
            State::Signed => Look { fill: colors.text, color: colors.ink, ..plain },
            State::Provisional => Look { edge: Some(colors.text), striped: true, ..plain },
            State::Held => Look { fill: colors.held, color: colors.ink, ..plain },
            _ => plain,
        };
        return plate(paint, rect, unit, paint.words.get(word), look);
    }
    if in_last_minute(heat, floor.reading) {
        clock::write_tenths(text, floor.reading.left_tenths, paint.words.decimal_mark());
        return last_minute(paint, rect, unit, text);
    }
    paint.words.cap(text, Limit::of(&snapshot.courses), heat.cap_ms);
    let cap_height = LINE * unit;
    let room = NameCell {
        width: rect.w - 2.0 * PAD * unit,
        cap_height,
        least_cap_height: 19.0_f32.min(LINE) * unit,
    };
    let fits = paint.fonts.shaped(text, Style::Labels, cap_height).width <= room.width;
    let style = if fits { Style::Labels } else { Style::Names };
    let shaped = fit_text(paint.fonts, text, style, room);
    let at =
        At { x: rect.x + rect.w / 2.0, baseline: baseline(rect, shaped.cap_height), align: Align::Center };
    paint.shaped_text(key(0, Kind::Cap, 0), Layer::Ground, &shaped, colors.text_dim, at);
}

fn baseline(rect: Rect, cap_height: f32) -> f32 {
    (rect.y + rect.h * 0.77 + cap_height / 2.0).round()
}

/// Colours of a plate: fill, text, outline, and whether its front is striped because numbers may still change.
#[derive(Clone, Copy)]
struct Look {
    fill: Color,
    color: Color,
    edge: Option<Color>,
    striped: bool,
}

fn plate(paint: &mut Paint<'_>, rect: Rect, unit: f32, word: &str, look: Look) {
    let cap_height = LINE * unit;
    let height = (cap_height * 1.75).round();
    let front = if look.striped { (height * 0.7).round() } else { 0.0 };
    let pad = (cap_height * 0.55).round();
    let most = rect.w - 2.0 * PAD * unit - 2.0 * pad - front;
    let room = NameCell { width: most, cap_height, least_cap_height: 19.0 * unit };
    let fits = paint.fonts.shaped(word, Style::Labels, cap_height).width <= most;
    let style = if fits { Style::Labels } else { Style::Names };
    let shaped = fit_text(paint.fonts, word, style, room);
    let at = plate_box(paint, rect, unit, (shaped.width + 2.0 * pad + front).ceil(), look);
    if front > 0.0 {
        let radius = 5.0 * unit;
        let hatch = Some(stripes(paint.colors.notice, height * 0.36));
        let radii = [radius, 0.0, 0.0, radius];
        let shape = BoxShape { radii, hatch, ..plain(Rect { w: front, ..at }, 0.0, paint.colors.text) };
        paint.shaped_box(key(0, Kind::StateHatch, 0), Layer::Ground, shape);
    }
    let text_at =
        At { x: at.x + front + pad, baseline: baseline(rect, shaped.cap_height), align: Align::Left };
    paint.shaped_text(key(0, Kind::StateWord, 0), Layer::Ground, &shaped, look.color, text_at);
}

fn plate_box(paint: &mut Paint<'_>, rect: Rect, unit: f32, width: f32, look: Look) -> Rect {
    let height = (LINE * unit * 1.75).round();
    let x = (rect.x + (rect.w - width) / 2.0).round();
    let y = (rect.y + rect.h * 0.77 - height / 2.0).round();
    let at = Rect { x, y, w: width, h: height };
    let line = (2.0 * unit).round().max(1.0);
    let border = look.edge.map_or_else(Border::default, |color| Border { width: line, color: rgba(color) });
    let shape = BoxShape { border, ..plain(at, 5.0 * unit, look.fill) };
    paint.shaped_box(key(0, Kind::StatePlate, 0), Layer::Ground, shape);
    at
}

/// How long is left of the last minute, which is the closing mark of work without an end.
fn last_minute(paint: &mut Paint<'_>, rect: Rect, unit: f32, text: &str) {
    let look = Look { fill: paint.colors.last_five, color: paint.colors.ink, edge: None, striped: false };
    let ink = Ink { style: Style::Figures, cap_height: LINE * unit, color: look.color };
    let words_ink = Ink { style: Style::Names, ..ink };
    let word = paint.words.get(words::LEFT);
    let words_width = paint.fonts.shaped(word, words_ink.style, ink.cap_height).width;
    // As wide as its longest time, so that it keeps its place.
    let figures_width = paint.figures_width("0:00.0", ink);
    let (pad, between) = ((ink.cap_height * 0.55).round(), ink.cap_height * 0.35);
    let at = plate_box(paint, rect, unit, (figures_width + between + words_width + 2.0 * pad).ceil(), look);
    let base = baseline(rect, ink.cap_height);
    let right = At { x: at.x + pad + figures_width, baseline: base, align: Align::Right };
    paint.figures(0, Kind::Left, Layer::Ground, text, ink, right);
    let left = At { x: at.x + pad + figures_width + between, baseline: base, align: Align::Left };
    paint.text(key(0, Kind::LeftWords, 0), Layer::Ground, word, words_ink, left);
}
