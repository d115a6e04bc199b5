//! What lies over a whole board: a countdown's last figures, the calm notice of a hold or a cancelled run, and
//! the first screen, before anything has come from the feed.

use fivemark_wire::view::State;

use crate::clock::Reading;
use crate::draw::{Border, BoxShape, Layer, Rect};
use crate::fit::{NameCell, fit_lines, fit_text};
use crate::layouts::Layout;
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain, rgba};
use crate::text::Style;
use crate::words;

/// Seconds of a countdown that are shown big.
const BIG_SECONDS: i64 = 3;

/// Most lines of what is said on the first screen.
const MAX_LINES: usize = 4;

/// Draws what the state asks for.
pub(crate) fn draw(paint: &mut Paint<'_>, layout: &Layout, state: State, reading: &Reading) {
    match (state, reading.countdown_s) {
        (State::Countdown, Some(seconds)) if seconds <= BIG_SECONDS => big_figure(paint, layout, seconds),
        (State::Held, _) => {
            notice(paint, layout, paint.words.get(words::HELD), paint.words.get(words::HELD_MEANS), true)
        }
        (State::Cancelled, _) => notice(
            paint,
            layout,
            paint.words.get(words::CANCELLED),
            paint.words.get(words::CANCELLED_MEANS),
            false,
        ),
        _ => {}
    }
}

fn big_figure(paint: &mut Paint<'_>, layout: &Layout, seconds: i64) {
    let whole = Rect { x: 0.0, y: 0.0, w: layout.width, h: layout.height };
    paint.rect(key(0, Kind::Scrim, 0), Layer::Over, whole, 0.0, paint.colors.scrim);
    let cap_height = layout.over.figure_cap;
    let ink = Ink { style: Style::Clock, cap_height, color: paint.colors.text };
    let baseline = (layout.height / 2.0 + cap_height / 2.0).round();
    let at = At { x: layout.width / 2.0, baseline, align: Align::Center };
    let figure = char::from(b'0' + u8::try_from(seconds.clamp(0, 9)).unwrap_or(0));
    let mut buffer = [0; 4];
    paint.figures(0, Kind::BigFigure, Layer::Over, figure.encode_utf8(&mut buffer), ink, at);
}

fn notice(paint: &mut Paint<'_>, layout: &Layout, title: &str, means: &str, held: bool) {
    let area = layout.rows_area;
    // Lighter than under a countdown: where everybody stands stays readable.
    let scrim = paint.colors.scrim.faded(0.75);
    paint.rect(key(0, Kind::Scrim, 0), Layer::Over, layout.over.scrim, 0.0, scrim);
    let unit = layout.over.unit;
    let (title_cap, line_cap) = (96.0 * unit, 30.0 * unit);
    let (pad, between) = ((64.0 * unit).min(area.w * 0.06), 46.0 * unit);
    let width = area.w - 2.0 * pad;
    let room = NameCell { width, cap_height: line_cap, least_cap_height: line_cap * 0.6 };
    let line = fit_text(paint.fonts, means, Style::Labels, room);
    let room = NameCell { width, cap_height: title_cap, least_cap_height: title_cap * 0.5 };
    let title = fit_text(paint.fonts, title, Style::Names, room);
    let width = (line.width.max(title.width) + 2.0 * pad).ceil();
    let height = (title_cap + between + line_cap + 2.0 * pad).round();
    let rect = Rect {
        x: (area.x + (area.w - width) / 2.0).round(),
        y: (area.y + (area.h - height) / 2.0).round(),
        w: width,
        h: height,
    };
    let color = if held { paint.colors.held } else { paint.colors.text_dim };
    let border = Border { width: (5.0 * unit).round().max(1.0), color: rgba(color) };
    let shape = BoxShape { border, ..plain(rect, 16.0 * unit, paint.colors.notice) };
    paint.shaped_box(key(0, Kind::Notice, 0), Layer::Over, shape);
    let middle = rect.x + rect.w / 2.0;
    let title_baseline = (rect.y + pad + title_cap).round();
    let at = At { x: middle, baseline: title_baseline, align: Align::Center };
    paint.shaped_text(key(0, Kind::NoticeTitle, 0), Layer::Over, &title, paint.colors.text, at);
    let at = At { baseline: (title_baseline + between + line_cap).round(), ..at };
    paint.shaped_text(key(0, Kind::NoticeText, 0), Layer::Over, &line, paint.colors.text_dim, at);
}

/// A plate of its own for the first screen, where nothing lies behind the board.
pub(crate) fn waiting_plate(paint: &mut Paint<'_>, layout: &Layout) {
    let unit = layout.over.waiting_unit;
    let top = (layout.over.waiting_top - 80.0 * unit).max(0.0).round();
    let bottom = (top + 580.0 * unit).round().min(layout.height);
    let rect = Rect { x: 0.0, y: top, w: layout.width, h: bottom - top };
    paint.rect(key(0, Kind::Plate, 0), Layer::Ground, rect, 0.0, paint.colors.background);
}

/// The screen before anything came.
pub(crate) fn waiting(paint: &mut Paint<'_>, layout: &Layout, address: &str) {
    let unit = layout.over.waiting_unit;
    let middle = layout.width / 2.0;
    let (block, gap) = ((64.0 * unit).round(), (18.0 * unit).round());
    let five = 5.0 * block + 4.0 * gap;
    let top = layout.over.waiting_top;
    for mark in 0u8..5 {
        let x = (middle - five / 2.0).round() + f32::from(mark) * (block + gap);
        let rect = Rect { x, y: top, w: block, h: (block * 1.5).round() };
        let border = Border { width: (5.0 * unit).round().max(1.0), color: rgba(paint.colors.block) };
        let shape = BoxShape { border, ..plain(rect, 9.0 * unit, paint.colors.background) };
        paint.shaped_box(key(0, Kind::Motif, usize::from(mark)), Layer::Ground, shape);
    }
    let title_cap = 46.0 * unit;
    let baseline = (top + block * 1.5 + 70.0 * unit + title_cap).round();
    let width = (layout.width - 2.0 * layout.margin).min(1300.0 * unit);
    let room = NameCell { width, cap_height: title_cap, least_cap_height: title_cap * 0.5 };
    let title = fit_text(paint.fonts, paint.words.get(words::WAITING), Style::Names, room);
    let at = At { x: middle, baseline, align: Align::Center };
    paint.shaped_text(key(0, Kind::NoticeTitle, 0), Layer::Ground, &title, paint.colors.text, at);
    let line_cap = 26.0 * unit;
    let room = NameCell { width, cap_height: line_cap, least_cap_height: line_cap * 0.6 };
    let mut baseline = baseline + 40.0 * unit + line_cap;
    for (index, line) in fit_lines(paint.fonts, address, Style::Labels, room, MAX_LINES).iter().enumerate() {
        let at = At { baseline: baseline.round(), ..at };
        paint.shaped_text(key(0, Kind::NoticeText, index), Layer::Ground, line, paint.colors.text_dim, at);
        baseline += line_cap * 1.75;
    }
}
