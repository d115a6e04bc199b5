//! What a test card draws: lines, frames and arrows, the board's texts, the states and the steps of grey.

use std::rc::Rc;

use fivemark_themes::Color;

use super::plan::{ACTION_SAFE, GRAPHICS_SAFE, Plan, Shelves};
use crate::draw::{Border, BoxShape, Layer, Rect, Segment};
use crate::fit::{NameCell, fit_text};
use crate::layouts::{Layout, Shape, pixels, row};
use crate::legibility::{TextRole, heights};
use crate::paint::{Align, At, Kind, Paint, key, plain, rgba, stripes};
use crate::text::{ShapedText, Style};
use crate::words::{FINISHED, HELD, Message, TIME_CAP};

/// States in the order of their swatches.
const STATES: [Message; 6] =
    [Message("racing"), Message("leading"), Message("last-five"), FINISHED, TIME_CAP, HELD];

/// Steps from black to white.
const GREYS: u8 = 11;

/// Grid, circle, centre, safe areas, edges and corners.
pub(super) fn lines(paint: &mut Paint<'_>, plan: &Plan, corners: &[Rc<Vec<Segment>>; 4]) {
    let [width, height] = plan.size.map(pixels);
    let (center, colors) = ([(width / 2.0).floor(), (height / 2.0).floor()], paint.colors);
    let line = (plan.text / 16.0).round().max(1.0);
    let mut index = 0;
    let mut bar = |paint: &mut Paint<'_>, rect: Rect, color: Color| {
        paint.rect(key(0, Kind::TestLine, index), Layer::Ground, rect, 0.0, color);
        index += 1;
    };
    let mut away = 0.0;
    while away < width.max(height) / 2.0 {
        let middle = away == 0.0;
        let (color, line) = if middle { (colors.text_dim, 2.0 * line) } else { (colors.badge, line) };
        for side in [-1.0, 1.0].into_iter().take(if middle { 1 } else { 2 }) {
            let (x, y) = (center[0] + side * away, center[1] + side * away);
            if (0.0..width).contains(&x) {
                bar(paint, Rect { x, y: 0.0, w: line, h: height }, color);
            }
            if (0.0..height).contains(&y) {
                bar(paint, Rect { x: 0.0, y, w: width, h: line }, color);
            }
        }
        away += plan.square;
    }
    let radius = plan.square * if width.min(height) > plan.square * 7.0 { 3.0 } else { 1.0 };
    let round = Rect { x: center[0] - radius, y: center[1] - radius, w: 2.0 * radius, h: 2.0 * radius };
    frame(paint, 0, round, radius, (2.0 * line, colors.text_dim));
    frame(paint, 1, plan.action, 0.0, (line.max(2.0), colors.racing));
    frame(paint, 2, plan.graphics, 0.0, (line.max(2.0), colors.leading));
    // One pixel along each edge: a wall that cuts anything off lacks one.
    frame(paint, 3, Rect { x: 0.0, y: 0.0, w: width, h: height }, 0.0, (1.0, colors.text));
    let side = (width.min(height) * 0.05).round().max(4.0);
    for (index, outline) in corners.iter().enumerate() {
        let x = if matches!(index, 1 | 2) { width - 1.0 - side } else { 1.0 };
        let y = if index >= 2 { height - 1.0 - side } else { 1.0 };
        paint.path(key(0, Kind::TestCorner, index), outline, Rect { x, y, w: side, h: side }, colors.text);
    }
}

fn frame(paint: &mut Paint<'_>, index: usize, rect: Rect, radius: f32, (width, color): (f32, Color)) {
    let border = Border { width, color: rgba(color) };
    let shape = BoxShape { border, ..plain(rect, radius, Color([0; 4])) };
    paint.shaped_box(key(0, Kind::TestFrame, index), Layer::Ground, shape);
}

/// Every text of the board at its true height, with its name. Where all have no room, the largest go without theirs,
/// and where even that is not enough, the smallest are left out.
pub(super) fn samples(paint: &mut Paint<'_>, plan: &Plan, layout: &Layout) {
    let mut samples: Vec<(TextRole, f32)> =
        heights(layout).into_iter().filter(|(role, _)| *role != TextRole::LongName).collect();
    samples.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut best: Vec<Sample> = Vec::new();
    for nameless in 0..=samples.len() {
        let placed = place_samples(paint, plan, &samples, nameless);
        if nameless == 0 || placed.len() > best.len() {
            best = placed;
        }
        if best.len() == samples.len() {
            break;
        }
    }
    for (index, Sample { place, text, pad }) in best.into_iter().enumerate() {
        paint.rect(key(0, Kind::TestPlate, index), Layer::Ground, place, pad, paint.colors.background);
        let baseline = (place.y + text.cap_height * 1.15).round();
        let at = At { x: place.x + pad, baseline, align: Align::Left };
        paint.shaped_text(key(0, Kind::TestSample, index), Layer::Ground, &text, paint.colors.text, at);
    }
}

/// A text of the board in its place.
struct Sample {
    place: Rect,
    text: Rc<ShapedText>,
    /// Room left and right of the text.
    pad: f32,
}

/// Places the texts, the first `nameless` without their names.
fn place_samples(
    paint: &mut Paint<'_>,
    plan: &Plan,
    samples: &[(TextRole, f32)],
    nameless: usize,
) -> Vec<Sample> {
    let strip = Shape::of(plan.size) == Shape::Strip;
    let mut shelves = Shelves::new(plan.samples, (plan.text * if strip { 0.4 } else { 0.9 }).round(), strip);
    let mut placed = Vec::with_capacity(samples.len());
    let mut words = paint.take_text();
    for (index, (role, cap_height)) in samples.iter().enumerate() {
        let (style, name, figures) = sample(*role);
        words.clear();
        if index >= nameless || figures.is_empty() {
            words.push_str(paint.words.get(name));
            words.push_str(if figures.is_empty() { "" } else { " " });
        }
        words.push_str(figures);
        let text = paint.fonts.shaped(&words, style, *cap_height);
        let pad = (cap_height * 0.15).round();
        // Capitals, and below them what hangs under the line.
        let (width, height) = (text.width.ceil() + 2.0 * pad, (cap_height * 1.5).ceil());
        placed.extend(shelves.place(width, height).map(|place| Sample { place, text, pad }));
    }
    paint.give_back(words);
    placed
}

/// The style of a text, its name, and figures that stand after it.
fn sample(role: TextRole) -> (Style, Message, &'static str) {
    match role {
        TextRole::Clock => (Style::Clock, Message("sample-clock"), "8:30"),
        TextRole::Count => (Style::Figures, Message("sample-count"), "137"),
        TextRole::Place => (Style::Figures, Message("sample-place"), "1"),
        TextRole::Name | TextRole::LongName => (Style::Names, Message("sample-name"), ""),
        TextRole::LaneNumber => (Style::Figures, Message("sample-lane"), "10"),
        TextRole::Tag => (Style::Labels, Message("sample-gap"), "\u{2212}15"),
        TextRole::Title => (Style::Names, Message("sample-workout"), ""),
        TextRole::HeaderLine => (Style::Labels, Message("sample-heat"), ""),
    }
}

/// The states of lanes with their patterns, what the frames mean, and the steps of grey.
pub(super) fn states(paint: &mut Paint<'_>, plan: &Plan) {
    let mut shelves = Shelves::new(plan.signs, (plan.text * 0.7).round(), false);
    let (side, cap) = ((plan.signs.h * 0.4).min(plan.text * 2.2).round(), plan.text * 0.8);
    for (index, name) in STATES.into_iter().enumerate() {
        let name = paint.words.get(name);
        let text = paint.fonts.shaped(name, Style::Labels, cap);
        let width = (side * 2.4).max(text.width + cap * 0.4).ceil();
        let Some(place) = shelves.place(width, (side + cap * 2.0).ceil()) else { continue };
        plate(paint, 100 + index, place, plan);
        swatch(paint, index, Rect { h: side, ..place });
        let at = At { x: place.x, baseline: (place.y + side + cap * 1.5).round(), align: Align::Left };
        paint.shaped_text(key(0, Kind::TestText, 100 + index), Layer::Ground, &text, paint.colors.text, at);
    }
    let frames = [
        (Message("action-safe"), ACTION_SAFE, paint.colors.racing),
        (Message("graphics-safe"), GRAPHICS_SAFE, paint.colors.leading),
    ];
    let mut text = paint.take_text();
    for (index, (message, permille, color)) in frames.into_iter().enumerate() {
        text.clear();
        paint.words.write(&mut text, message, &[("percent", (permille / 10).into())]);
        let shaped = paint.fonts.shaped(&text, Style::Labels, cap);
        let width = (shaped.width + cap * 3.0).ceil();
        let Some(place) = shelves.place(width, (cap * 1.8).ceil()) else { continue };
        plate(paint, 200 + index, place, plan);
        let mark = Rect { y: (place.y + cap * 0.55).round(), w: cap * 1.8, h: (cap * 0.5).ceil(), ..place };
        paint.rect(key(0, Kind::TestSwatch, 200 + index), Layer::Ground, mark, 0.0, color);
        let at = At { x: place.x + cap * 2.4, baseline: (place.y + cap * 1.3).round(), align: Align::Left };
        paint.shaped_text(key(0, Kind::TestText, 200 + index), Layer::Ground, &shaped, paint.colors.text, at);
    }
    paint.give_back(text);
    greys(paint, plan, &mut shelves);
}

/// A ground for a sign that reaches to the next one.
fn plate(paint: &mut Paint<'_>, index: usize, place: Rect, plan: &Plan) {
    let rect = Rect { w: place.w + (plan.text * 0.7).round(), ..place };
    paint.rect(key(0, Kind::TestPlate, index), Layer::Ground, rect, 0.0, paint.colors.background);
}

fn greys(paint: &mut Paint<'_>, plan: &Plan, shelves: &mut Shelves) {
    let step = (plan.signs.w / f32::from(GREYS)).min(plan.text * 2.4).floor().max(1.0);
    let Some(place) = shelves.place(step * f32::from(GREYS), (plan.text * 1.4).round().max(2.0)) else {
        return;
    };
    for grey in 0..GREYS {
        let value = u8::try_from(u16::from(grey) * 255 / u16::from(GREYS - 1)).unwrap_or(255);
        let rect = Rect { x: place.x + step * f32::from(grey), w: step, ..place };
        let color = Color([value, value, value, 255]);
        paint.rect(key(0, Kind::TestSwatch, 300 + usize::from(grey)), Layer::Ground, rect, 0.0, color);
    }
}

/// A small row in a state's colours and shapes.
fn swatch(paint: &mut Paint<'_>, index: usize, rect: Rect) {
    let colors = paint.colors;
    let name = |part: usize| key(0, Kind::TestSwatch, index * 10 + part);
    let (ground, edge, bar) = match index {
        0 => (colors.row, None, colors.racing),
        1 => (colors.row, None, colors.leading),
        2 => (colors.row_last_five, None, colors.last_five),
        3 => (colors.row_finished, Some(colors.finished), colors.finished),
        4 => (colors.row_capped, Some(colors.capped), colors.capped),
        _ => (colors.notice, None, colors.held),
    };
    paint.rect(name(0), Layer::Ground, rect, 0.0, ground);
    let edge_rect = Rect { w: (rect.h * 0.16).round().max(2.0), ..rect };
    if let Some(color) = edge {
        let hatch = (index == 4).then(|| stripes(colors.row_capped, edge_rect.w));
        paint.shaped_box(name(1), Layer::Ground, BoxShape { hatch, ..plain(edge_rect, 0.0, color) });
    }
    let inner = Rect {
        x: rect.x + (rect.h * 0.3).round(),
        y: rect.y + (rect.h * 0.25).round(),
        w: (rect.w - rect.h * 0.45).round().max(1.0),
        h: (rect.h * 0.5).round().max(1.0),
    };
    let line = (rect.h * 0.05).round().max(1.0);
    match index {
        2 => {
            row::five_marks(paint, 1, edge_rect, 0.0);
            let pitch = (inner.w / 5.0).floor().max(2.0);
            for block in 0u8..5 {
                let cell = Rect { x: inner.x + pitch * f32::from(block), w: (pitch * 0.75).ceil(), ..inner };
                let border = Border { width: line, color: rgba(bar) };
                let fill = if block < 3 { bar } else { Color([0; 4]) };
                let shape = BoxShape { border, ..plain(cell, 0.0, fill) };
                paint.shaped_box(name(2 + usize::from(block)), Layer::Ground, shape);
            }
        }
        4 => {
            let hatch = Some(stripes(colors.capped_stripe, inner.h * 0.5));
            paint.shaped_box(name(2), Layer::Ground, BoxShape { hatch, ..plain(inner, 0.0, bar) });
        }
        5 => {
            let border = Border { width: (2.0 * line).max(2.0), color: rgba(bar) };
            let shape = BoxShape { border, ..plain(rect, 0.0, Color([0; 4])) };
            paint.shaped_box(name(2), Layer::Ground, shape);
        }
        _ => paint.bar(name(2), inner, [0.0; 4], bar),
    }
}

/// A line of text at the top of an area, on a plate, in a width.
pub(super) fn line(paint: &mut Paint<'_>, (area, width): (Rect, f32), cap_height: f32, text: &str) {
    let cell = NameCell { width: width.max(1.0), cap_height, least_cap_height: cap_height * 0.6 };
    let shaped = fit_text(paint.fonts, text, Style::Labels, cell);
    let plate = Rect { w: shaped.width.ceil(), h: cap_height * 1.6, ..area };
    paint.rect(key(0, Kind::Plate, 0), Layer::Ground, plate, 0.0, paint.colors.background);
    let at = At { x: area.x, baseline: (area.y + cap_height * 1.2).round(), align: Align::Left };
    paint.shaped_text(key(0, Kind::Title, 0), Layer::Ground, &shaped, paint.colors.text, at);
}

/// Dim words at a place, in a width.
pub(super) fn line_at(paint: &mut Paint<'_>, text: &str, (width, cap_height): (f32, f32), at: At) {
    let cell = NameCell { width, cap_height, least_cap_height: cap_height * 0.5 };
    let shaped = fit_text(paint.fonts, text, Style::Labels, cell);
    paint.shaped_text(key(0, Kind::NoticeText, 0), Layer::Ground, &shaped, paint.colors.text_dim, at);
}
