//! The header: what is on, the clock, how long is left, and marks when something is wrong with the feed.

use fivemark_themes::Color;
use fivemark_wire::view::{HeatState, State};

use crate::clock::{self, Reading};
use crate::draw::{Border, BoxShape, Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::layouts::{Layout, logo};
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain, rgba, stripes};
use crate::screen::Link;
use crate::text::Style;
use crate::view::View;
use crate::words::{self, Limit, Words};

const LAST_MINUTE_MS: i64 = 60_000;
/// Most minutes that the cap bar is cut into; a longer cap is cut into steps of five.
const MAX_MINUTES: i64 = 40;

/// A plate of its own for the header, where nothing lies behind the board.
pub(crate) fn plate(paint: &mut Paint<'_>, layout: &Layout) {
    let (area, air) = (layout.heading.area, (layout.margin * 0.5).floor());
    let bottom = (area.y + area.h + 8.0 * layout.unit).floor();
    let rect = Rect { x: area.x - air, y: area.y - air, w: area.w + 2.0 * air, h: bottom - area.y + air };
    paint.rect(key(0, Kind::Plate, 0), Layer::Ground, rect, 10.0 * layout.unit, paint.colors.background);
}

/// A plate for the bar of the time, where a picture lies behind the board: what is left of the bar is hardly lighter than
/// the theme's ground, and would be lost on anything else.
pub(crate) fn bar_plate(paint: &mut Paint<'_>, layout: &Layout) {
    let bar = layout.heading.cap_bar;
    let air = (bar.h * 0.6).round().max(1.0);
    let rect = Rect { x: bar.x - air, y: bar.y - air, w: bar.w + 2.0 * air, h: bar.h + 2.0 * air };
    paint.rect(key(0, Kind::BarPlate, 0), Layer::Ground, rect, air + bar.h * 0.3, paint.colors.background);
}

/// What the header says.
pub(crate) struct Header<'a> {
    pub(crate) view: &'a View,
    pub(crate) link: Link,
    pub(crate) reading: &'a Reading,
    /// Short forms of the divisions, where rows carry them.
    pub(crate) short_divisions: &'a [String],
    /// What the time limits.
    pub(crate) limit: Limit,
}

/// Draws the header.
pub(crate) fn draw(paint: &mut Paint<'_>, layout: &Layout, header: &Header<'_>) {
    let mut text = paint.take_text();
    clock_face(paint, layout, header.view, header.reading, &mut text);
    let title_end = title(paint, layout, header.view);
    match words::state(header.view.snapshot.heat.state) {
        Some(word) => state_plate(paint, layout, header.view.snapshot.heat.state, paint.words.get(word)),
        None => time_left(paint, layout, header, &mut text),
    }
    let line_end = lower_line(paint, layout, header, &mut text);
    logo::in_header(paint, layout, title_end.max(line_end), header.reading);
    cap_bar(paint, layout, header);
    paint.give_back(text);
}

/// The last minute is the closing mark of work without an end; a cap carries it too.
pub(crate) fn in_last_minute(heat: &HeatState, reading: &Reading) -> bool {
    let left = 1..=LAST_MINUTE_MS / 100;
    matches!(heat.state, State::Running | State::Held)
        && reading.end_ms > LAST_MINUTE_MS
        && left.contains(&reading.left_tenths)
}

fn clock_face(paint: &mut Paint<'_>, layout: &Layout, view: &View, reading: &Reading, text: &mut String) {
    let h = &layout.heading;
    let state = view.snapshot.heat.state;
    let still = matches!(state, State::Held | State::Cancelled | State::LanesSet | State::OnDeck);
    let color = if still { paint.colors.text_dim } else { paint.colors.text };
    let ink = Ink { style: Style::Clock, cap_height: h.clock.cap, color };
    text.clear();
    let middle = h.clock.x;
    if let Some(seconds) = reading.countdown_s {
        clock::write_seconds(text, seconds * 10);
        let at = At { x: middle, baseline: h.clock.baseline, align: Align::Center };
        paint.figures(0, Kind::Clock, Layer::Ground, text, ink, at);
        return;
    }
    clock::write_seconds(text, reading.elapsed_tenths);
    let mark = paint.words.decimal_mark();
    let tenth = if mark == ',' { ",0" } else { ".0" };
    let (mut ink, mut tenth_ink) =
        (ink, Ink { cap_height: h.tenth_cap, color: paint.colors.text_dim, ..ink });
    let wanted = paint.figures_width(text, ink) + paint.figures_width(tenth, tenth_ink);
    if wanted > h.clock.width {
        // Hours: the only clock that does not fit between the blocks at its full height.
        ink.cap_height *= h.clock.width / wanted;
        tenth_ink.cap_height *= h.clock.width / wanted;
    }
    let seconds_width = paint.figures_width(text, ink);
    let tenth_width = paint.figures_width(tenth, tenth_ink);
    let left = middle - (seconds_width + tenth_width) / 2.0;
    let at = At { x: left, baseline: h.clock.baseline, align: Align::Left };
    paint.figures(0, Kind::Clock, Layer::Ground, text, ink, at);
    text.clear();
    text.push(mark);
    text.push(char::from(b'0' + u8::try_from(reading.elapsed_tenths % 10).unwrap_or(0)));
    let at = At { x: left + seconds_width, baseline: h.clock.baseline, align: Align::Left };
    paint.figures(0, Kind::ClockTenth, Layer::Ground, text, tenth_ink, at);
}

/// The workout's name; where it ends.
fn title(paint: &mut Paint<'_>, layout: &Layout, view: &View) -> f32 {
    let slot = layout.heading.title;
    let cell = NameCell { width: slot.width, cap_height: slot.cap, least_cap_height: slot.cap * 0.7 };
    let title = fit_text(paint.fonts, &view.snapshot.titles.workout, Style::Names, cell);
    paint.shaped_text(key(0, Kind::Title, 0), Layer::Ground, &title, paint.colors.text, slot.at());
    slot.x + title.width
}

/// Marks when something is wrong, the heat and its divisions in the room that they leave, and at the right end the
/// cap. Where all share one line, the heat gives way first and then the cap; a mark that even then has no room is
/// left out, the last one first. Gives where it ends on the left.
fn lower_line(paint: &mut Paint<'_>, layout: &Layout, header: &Header<'_>, text: &mut String) -> f32 {
    let (h, heat) = (&layout.heading, &header.view.snapshot.heat);
    let marks_width: f32 = (0..MARKS)
        .map(|index| mark_of(paint, header, index, text).map_or(0.0, |_| mark_width(paint, layout, text)))
        .sum();
    cap_words(paint.words, header, text);
    let cell = NameCell { width: h.cap.width, cap_height: h.cap.cap, least_cap_height: h.cap.cap * 0.8 };
    let cap = fit_text(paint.fonts, text, Style::Labels, cell);
    let mut room = h.line.width;
    let beside = h.shared.is_none_or(|width| marks_width + cap.width <= width);
    if beside {
        paint.shaped_text(key(0, Kind::Cap, 0), Layer::Ground, &cap, paint.colors.text_dim, h.cap.at());
        room = h.shared.map_or(room, |width| width - cap.width - h.line.cap);
    }
    let (mut left, end) = (h.line.x, h.line.x + room);
    for index in 0..MARKS {
        if let Some(colors) = mark_of(paint, header, index, text) {
            let width = mark_width(paint, layout, text);
            if left + width <= end + h.line.cap {
                mark(paint, layout, left, index, text, colors);
                left += width;
            }
        }
    }
    let room = end - left;
    if room <= h.line.cap * 4.0 {
        return left;
    }
    paint.words.heat_line(text, &header.view.snapshot.titles, heat, header.short_divisions);
    let cell = NameCell { width: room, cap_height: h.line.cap, least_cap_height: h.line.cap };
    // Where the line is long, the condensed face holds more of it.
    let fits = paint.fonts.shaped(text, Style::Labels, h.line.cap).width <= room;
    let line = fit_text(paint.fonts, text, if fits { Style::Labels } else { Style::Names }, cell);
    let color = if heat.alone.is_some() { paint.colors.text } else { paint.colors.text_dim };
    let at = At { x: left, ..h.line.at() };
    left + paint.shaped_text(key(0, Kind::Subtitle, 0), Layer::Ground, &line, color, at)
}

/// Most marks at a time.
const MARKS: usize = 3;

/// Colours of a mark: its plate, its text and its outline.
type MarkColors = (Color, Color, Option<Color>);

/// Writes the mark of an index, if it is to be shown; the most urgent one comes first.
fn mark_of(paint: &Paint<'_>, header: &Header<'_>, index: usize, text: &mut String) -> Option<MarkColors> {
    let (colors, snapshot) = (paint.colors, &header.view.snapshot);
    let alert = (colors.alert, colors.ink, None);
    text.clear();
    match (index, header.link) {
        (0, Link::Lost { age_ms }) => {
            paint.words.no_feed(text, age_ms);
            Some(alert)
        }
        (1, _) if !snapshot.journal_ok => {
            text.push_str(paint.words.get(words::NOT_RECORDING));
            Some(alert)
        }
        (2, _) if snapshot.heat.clock_in_doubt => {
            text.push_str(paint.words.get(words::CLOCK_IN_DOUBT));
            Some((colors.notice, colors.text, Some(colors.text_dim)))
        }
        _ => None,
    }
}

/// Room around a mark's text, pixels.
fn mark_pad(layout: &Layout) -> f32 {
    (layout.heading.line.cap * 0.6).round()
}

/// The room that a mark takes, with the air after it.
fn mark_width(paint: &mut Paint<'_>, layout: &Layout, text: &str) -> f32 {
    let pad = mark_pad(layout);
    (paint.fonts.shaped(text, Style::Labels, layout.heading.line.cap).width + 2.0 * pad).ceil() + pad
}

/// Draws a mark that something is wrong.
fn mark(
    paint: &mut Paint<'_>,
    layout: &Layout,
    left: f32,
    index: usize,
    text: &str,
    (fill, color, edge): MarkColors,
) {
    let (slot, pad) = (layout.heading.line, mark_pad(layout));
    let ink = Ink { style: Style::Labels, cap_height: slot.cap, color };
    let rect = Rect {
        x: left,
        y: (slot.baseline - slot.cap * 1.45).round(),
        w: mark_width(paint, layout, text) - pad,
        h: (slot.cap * 1.9).round(),
    };
    let line = (2.0 * layout.unit).round().max(1.0);
    let border = edge.map_or_else(Border::default, |color| Border { width: line, color: rgba(color) });
    let shape = BoxShape { border, ..plain(rect, 6.0 * layout.unit, fill) };
    paint.shaped_box(key(0, Kind::Mark, index), Layer::Ground, shape);
    let at = At { x: left + pad, ..slot.at() };
    paint.text(key(0, Kind::MarkText, index), Layer::Ground, text, ink, at);
}

/// Writes the cap, and how many are done or when it starts.
fn cap_words(words: &Words, header: &Header<'_>, text: &mut String) {
    let (heat, reading) = (&header.view.snapshot.heat, header.reading);
    text.clear();
    words.cap(text, header.limit, heat.cap_ms);
    match reading.countdown_s {
        Some(seconds) => {
            text.push_str(words::BETWEEN);
            words.starts_in(text, seconds, reading.resumes);
        }
        None if header.limit == Limit::Cap
            && heat.alone.is_none()
            && !matches!(heat.state, State::LanesSet | State::OnDeck | State::Cancelled) =>
        {
            text.push_str(words::BETWEEN);
            words.done_of(text, heat);
        }
        None => {}
    }
}

/// How long is left; in the last minute on a plate of its own.
fn time_left(paint: &mut Paint<'_>, layout: &Layout, header: &Header<'_>, text: &mut String) {
    let slot = layout.heading.left;
    let right = slot.x;
    text.clear();
    clock::write_tenths(text, header.reading.left_tenths, paint.words.decimal_mark());
    let left = paint.words.get(words::LEFT);
    let (words_cap, between) = (slot.cap, slot.cap * 0.32);
    let mut ink = Ink { style: Style::Figures, cap_height: words_cap, color: paint.colors.text };
    let mut x = right;
    if in_last_minute(&header.view.snapshot.heat, header.reading) {
        ink.color = paint.colors.ink;
        let words_width = paint.fonts.shaped(left, Style::Names, words_cap).width;
        let pad = (words_cap * 0.42).round();
        let width = (paint.figures_width(text, ink) + between + words_width + 2.0 * pad).ceil();
        let height = (words_cap * 1.62).round();
        let top = (slot.baseline - (words_cap + height) / 2.0).round();
        let rect = Rect { x: right - width, y: top, w: width, h: height };
        let fill = paint.colors.last_five;
        paint.rect(key(0, Kind::LeftPlate, 0), Layer::Ground, rect, 7.0 * layout.unit, fill);
        x -= pad;
    }
    let at = At { x, baseline: slot.baseline, align: Align::Right };
    let words_ink = Ink { style: Style::Names, ..ink };
    let width = paint.text(key(0, Kind::LeftWords, 0), Layer::Ground, left, words_ink, at);
    let at = At { x: x - width - between, ..at };
    paint.figures(0, Kind::Left, Layer::Ground, text, ink, at);
}

/// The state's name on a plate: plain for what passes, striped while numbers may still change, bright when they
/// are official.
fn state_plate(paint: &mut Paint<'_>, layout: &Layout, state: State, word: &str) {
    let slot = layout.heading.left;
    let right = slot.x;
    let cap_height = slot.cap * 0.84;
    let colors = paint.colors;
    let (fill, color, border) = match state {
        State::Signed => (colors.text, colors.ink, None),
        State::Provisional => (colors.notice, colors.text, Some(colors.text)),
        State::Held => (colors.held, colors.ink, None),
        _ => (colors.notice, colors.text, None),
    };
    let pad = (cap_height * 0.6).round();
    let height = (cap_height * 1.9).round();
    let top = (slot.baseline - cap_height - (height - cap_height) / 2.0).round();
    let text_width = paint.fonts.shaped(word, Style::Names, cap_height).width;
    let stripes_width = if state == State::Provisional { (height * 0.72).round() } else { 0.0 };
    let width = (text_width + 2.0 * pad + stripes_width).ceil();
    let rect = Rect { x: right - width, y: top, w: width, h: height };
    let line = (2.5 * layout.unit).round().max(1.0);
    let border = border.map_or_else(Border::default, |color| Border { width: line, color: rgba(color) });
    let radius = 7.0 * layout.unit;
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

/// The time as a bar, cut into minutes, and its last minute into five.
fn cap_bar(paint: &mut Paint<'_>, layout: &Layout, header: &Header<'_>) {
    let (bar, reading) = (layout.heading.cap_bar, header.reading);
    let end_ms = reading.end_ms.max(1);
    let step_ms = if end_ms <= MAX_MINUTES * LAST_MINUTE_MS { LAST_MINUTE_MS } else { 5 * LAST_MINUTE_MS };
    let gap = (3.0 * layout.unit).round().max(1.0);
    #[allow(clippy::cast_precision_loss)] // a share of at most one
    let x_of = |ms: i64| (bar.x + bar.w * ((ms as f64 / end_ms as f64) as f32)).round();
    let last_ms = end_ms - LAST_MINUTE_MS;
    let five = last_ms > 0 && x_of(end_ms) - x_of(last_ms) > 8.0 * gap;
    let minutes_end_ms = if five { last_ms } else { end_ms };
    let head = x_of(end_ms / 1000 * reading.gone_ppm.clamp(0, 1_000_000) / 1000);
    let colors = paint.colors;
    let line = (1.5 * layout.unit).round().max(1.0);
    let mut cell = |index: usize, from_ms: i64, to_ms: i64, (gone, hollow): (Color, Option<Color>)| {
        let right = x_of(to_ms) - if to_ms < end_ms { gap } else { 0.0 };
        let left = x_of(from_ms);
        let whole = Rect { x: left, w: (right - left).max(1.0), ..bar };
        let radius = bar.h * 0.3;
        if head < right {
            let mut shape = plain(whole, radius, paint.colors.cap_left);
            if let Some(color) = hollow {
                let border = Border { width: line, color: rgba(color) };
                shape = BoxShape { border, ..plain(whole, radius, Color([0; 4])) };
            }
            paint.shaped_box(key(0, Kind::CapLeft, index), Layer::Ground, shape);
        }
        let done = Rect { w: (head - left).clamp(0.0, whole.w), ..whole };
        paint.rect(key(0, Kind::CapGone, index), Layer::Ground, done, radius, gone);
    };
    let steps = (minutes_end_ms + step_ms - 1) / step_ms;
    // A cap of days would be cut finer than pixels: then it is one stretch.
    let steps = if steps > 200 { 1 } else { steps };
    for step in 0..steps {
        let to_ms = if step + 1 < steps { (step + 1) * step_ms } else { minutes_end_ms };
        cell(usize::try_from(step).unwrap_or(0), step * step_ms, to_ms, (colors.cap_gone, None));
    }
    let running = in_last_minute(&header.view.snapshot.heat, reading);
    let color = if running {
        (colors.last_five, Some(colors.last_five))
    } else {
        (colors.cap_gone, Some(colors.cap_left))
    };
    for block in (0..5).filter(|_| five) {
        let from_ms = last_ms + block * LAST_MINUTE_MS / 5;
        let index = 300 + usize::try_from(block).unwrap_or(0);
        cell(index, from_ms, from_ms + LAST_MINUTE_MS / 5, color);
    }
}
