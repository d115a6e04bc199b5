//! The header: what is on, the clock, how long is left, and marks when something is wrong with the feed.

use fivemark_wire::view::State;

use crate::board::Link;
use crate::clock::{self, Reading};
use crate::draw::{Border, BoxShape, Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::layouts::wide::Wide;
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain, rgba, stripes};
use crate::text::Style;
use crate::view::View;
use crate::words;

/// Most minutes that the cap bar is cut into; a longer cap is cut into steps of five.
const MAX_MINUTES: i64 = 40;

/// A plate of its own for the header, where nothing lies behind the board.
pub(crate) fn plate(paint: &mut Paint<'_>, wide: &Wide) {
    let (bar, air) = (wide.header.cap_bar, (wide.margin * 0.5).floor());
    let bottom = (bar.y + bar.h + 8.0 * wide.unit).floor();
    let rect =
        Rect { x: bar.x - air, y: wide.margin - air, w: bar.w + 2.0 * air, h: bottom - wide.margin + air };
    paint.rect(key(0, Kind::Plate, 0), Layer::Ground, rect, 10.0 * wide.unit, paint.colors.background);
}

/// Draws the header.
pub(crate) fn draw(paint: &mut Paint<'_>, wide: &Wide, view: &View, link: Link, reading: &Reading) {
    let mut text = String::new();
    clock_face(paint, wide, view, reading, &mut text);
    left(paint, wide, view, link, &mut text);
    right(paint, wide, view, reading, &mut text);
    cap_bar(paint, wide, view, reading);
}

fn clock_face(paint: &mut Paint<'_>, wide: &Wide, view: &View, reading: &Reading, text: &mut String) {
    let h = &wide.header;
    let state = view.snapshot.heat.state;
    let still = matches!(state, State::Held | State::Cancelled | State::LanesSet | State::OnDeck);
    let color = if still { paint.colors.text_dim } else { paint.colors.text };
    let ink = Ink { style: Style::Clock, cap_height: h.clock_cap, color };
    text.clear();
    let middle = wide.width / 2.0;
    if let Some(seconds) = reading.countdown_s {
        clock::write_seconds(text, seconds * 10);
        let at = At { x: middle, baseline: h.clock_baseline, align: Align::Center };
        paint.figures(0, Kind::Clock, Layer::Ground, text, ink, at);
        return;
    }
    clock::write_seconds(text, reading.elapsed_tenths);
    let (mut ink, mut tenth_ink) =
        (ink, Ink { cap_height: h.tenth_cap, color: paint.colors.text_dim, ..ink });
    let wanted = paint.figures_width(text, ink) + paint.figures_width(".0", tenth_ink);
    if wanted > h.clock_width {
        // Hours: the only clock that does not fit between the blocks at its full height.
        ink.cap_height *= h.clock_width / wanted;
        tenth_ink.cap_height *= h.clock_width / wanted;
    }
    let seconds_width = paint.figures_width(text, ink);
    let tenth_width = paint.figures_width(".0", tenth_ink);
    let left = middle - (seconds_width + tenth_width) / 2.0;
    let at = At { x: left, baseline: h.clock_baseline, align: Align::Left };
    paint.figures(0, Kind::Clock, Layer::Ground, text, ink, at);
    text.clear();
    text.push('.');
    text.push(char::from(b'0' + u8::try_from(reading.elapsed_tenths % 10).unwrap_or(0)));
    let at = At { x: left + seconds_width, baseline: h.clock_baseline, align: Align::Left };
    paint.figures(0, Kind::ClockTenth, Layer::Ground, text, tenth_ink, at);
}

fn left(paint: &mut Paint<'_>, wide: &Wide, view: &View, link: Link, text: &mut String) {
    let h = &wide.header;
    let x = wide.margin;
    let cell = NameCell { width: h.side_width, cap_height: h.title_cap, least_cap_height: h.title_cap * 0.7 };
    let title = fit_text(paint.fonts, &view.snapshot.titles.workout, Style::Names, cell);
    let at = At { x, baseline: h.title_baseline, align: Align::Left };
    paint.shaped_text(key(0, Kind::Title, 0), Layer::Ground, &title, paint.colors.text, at);
    let mut left = x;
    let mut marks = 0;
    if let Link::Lost { age_ms } = link {
        words::no_feed(text, age_ms);
        left += mark(paint, wide, left, marks, text);
        marks += 1;
    }
    if !view.snapshot.journal_ok {
        left += mark(paint, wide, left, marks, words::NOT_RECORDING);
    }
    words::heat_line(text, &view.snapshot.titles);
    let room = x + h.side_width - left;
    let cell = NameCell { width: room, cap_height: h.line_cap, least_cap_height: h.line_cap };
    if room > h.line_cap * 4.0 {
        let line = fit_text(paint.fonts, text, Style::Labels, cell);
        let at = At { x: left, baseline: h.line_baseline, align: Align::Left };
        paint.shaped_text(key(0, Kind::Subtitle, 0), Layer::Ground, &line, paint.colors.text_dim, at);
    }
}

/// A mark that something is wrong; the room that it takes.
fn mark(paint: &mut Paint<'_>, wide: &Wide, left: f32, index: usize, text: &str) -> f32 {
    let h = &wide.header;
    let ink = Ink { style: Style::Labels, cap_height: h.line_cap, color: paint.colors.ink };
    let pad = (h.line_cap * 0.6).round();
    let width = (paint.fonts.shaped(text, ink.style, ink.cap_height).width + 2.0 * pad).ceil();
    let rect = Rect {
        x: left,
        y: (h.line_baseline - h.line_cap * 1.45).round(),
        w: width,
        h: (h.line_cap * 1.9).round(),
    };
    paint.rect(key(0, Kind::Mark, index), Layer::Ground, rect, 6.0 * wide.unit, paint.colors.alert);
    let at = At { x: left + pad, baseline: h.line_baseline, align: Align::Left };
    paint.text(key(0, Kind::MarkText, index), Layer::Ground, text, ink, at);
    width + pad
}

/// How long is left, large; under it the cap and how many are done. In other states the state's name is large.
fn right(paint: &mut Paint<'_>, wide: &Wide, view: &View, reading: &Reading, text: &mut String) {
    let h = &wide.header;
    let x = wide.width - wide.margin;
    let heat = &view.snapshot.heat;
    if let Some(word) = words::state(heat.state) {
        state_plate(paint, wide, heat.state, word, x);
    } else {
        let at = At { x, baseline: h.title_baseline, align: Align::Right };
        let ink = Ink { style: Style::Names, cap_height: h.title_cap, color: paint.colors.text };
        let width = paint.text(key(0, Kind::LeftWords, 0), Layer::Ground, words::LEFT, ink, at);
        text.clear();
        clock::write_tenths(text, reading.left_tenths);
        let at = At { x: x - width - h.title_cap * 0.32, ..at };
        paint.figures(0, Kind::Left, Layer::Ground, text, Ink { style: Style::Figures, ..ink }, at);
    }
    text.clear();
    words::cap(text);
    clock::write_seconds(text, heat.cap_ms / 100);
    match reading.countdown_s {
        Some(seconds) => {
            text.push_str(words::BETWEEN);
            words::starts_in(text, seconds, reading.resumes);
        }
        None if !matches!(heat.state, State::LanesSet | State::OnDeck | State::Cancelled) => {
            text.push_str(words::BETWEEN);
            words::done_of(text, heat);
        }
        None => {}
    }
    let ink = Ink { style: Style::Labels, cap_height: h.line_cap, color: paint.colors.text_dim };
    let at = At { x, baseline: h.line_baseline, align: Align::Right };
    paint.text(key(0, Kind::Cap, 0), Layer::Ground, text, ink, at);
}

/// The state's name on a plate: plain for what passes, striped while numbers may still change, bright when they
/// are official.
fn state_plate(paint: &mut Paint<'_>, wide: &Wide, state: State, word: &str, right: f32) {
    let h = &wide.header;
    let cap_height = h.title_cap * 0.84;
    let colors = paint.colors;
    let (fill, color, border) = match state {
        State::Signed => (colors.text, colors.ink, None),
        State::Provisional => (colors.notice, colors.text, Some(colors.text)),
        State::Held => (colors.held, colors.ink, None),
        _ => (colors.notice, colors.text, None),
    };
    let pad = (cap_height * 0.6).round();
    let height = (cap_height * 1.9).round();
    let top = (h.title_baseline - cap_height - (height - cap_height) / 2.0).round();
    let text_width = paint.fonts.shaped(word, Style::Names, cap_height).width;
    let stripes_width = if state == State::Provisional { (height * 0.72).round() } else { 0.0 };
    let width = (text_width + 2.0 * pad + stripes_width).ceil();
    let rect = Rect { x: right - width, y: top, w: width, h: height };
    let line = (2.5 * wide.unit).round().max(1.0);
    let border = border.map_or_else(Border::default, |color| Border { width: line, color: rgba(color) });
    let radius = 7.0 * wide.unit;
    let shape = BoxShape { border, ..plain(rect, radius, fill) };
    paint.shaped_box(key(0, Kind::StatePlate, 0), Layer::Ground, shape);
    if stripes_width > 0.0 {
        let rect = Rect { w: stripes_width, ..rect };
        let hatch = Some(stripes(colors.notice, height * 0.36));
        let radii = [radius, 0.0, 0.0, radius];
        let shape = BoxShape { radii, hatch, ..plain(rect, 0.0, colors.text) };
        paint.shaped_box(key(0, Kind::StateHatch, 0), Layer::Ground, shape);
    }
    let ink = Ink { style: Style::Names, cap_height, color };
    let baseline = (top + (height + cap_height) / 2.0).round();
    let at = At { x: rect.x + stripes_width + pad, baseline, align: Align::Left };
    paint.text(key(0, Kind::StateWord, 0), Layer::Ground, word, ink, at);
}

/// The time cap as a bar, cut into minutes.
fn cap_bar(paint: &mut Paint<'_>, wide: &Wide, view: &View, reading: &Reading) {
    let bar = wide.header.cap_bar;
    let cap_s = (view.snapshot.heat.cap_ms / 1000).max(1);
    let step_s = if cap_s <= MAX_MINUTES * 60 { 60 } else { 300 };
    let cells = (cap_s + step_s - 1) / step_s;
    let gap = (3.0 * wide.unit).round().max(1.0);
    let radius = bar.h * 0.3;
    #[allow(clippy::cast_precision_loss)] // pixels
    let x_of = |ppm: i64| (bar.x + bar.w * (ppm as f32 / 1_000_000.0)).round();
    let head = x_of(reading.gone_ppm.clamp(0, 1_000_000));
    // A cap of a day would be cut finer than pixels: then it is one stretch.
    let cells = if cells > 200 { 1 } else { cells };
    for cell in 0..cells {
        let share = |cell: i64| (cell * step_s).min(cap_s) * 1_000_000 / cap_s;
        let (from, to) = if cells == 1 { (0, 1_000_000) } else { (share(cell), share(cell + 1)) };
        let left = x_of(from);
        let right = x_of(to) - if cell + 1 < cells { gap } else { 0.0 };
        let index = usize::try_from(cell).unwrap_or(0);
        let whole = Rect { x: left, w: (right - left).max(1.0), ..bar };
        if head < right {
            paint.rect(key(0, Kind::CapLeft, index), Layer::Ground, whole, radius, paint.colors.cap_left);
        }
        let gone = Rect { w: (head - left).clamp(0.0, whole.w), ..whole };
        paint.rect(key(0, Kind::CapGone, index), Layer::Ground, gone, radius, paint.colors.cap_gone);
    }
}
