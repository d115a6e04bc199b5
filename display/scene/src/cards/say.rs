//! Cards that say one thing: the event's own, the floor operator's words, a countdown. Text is wrapped at its words, in
//! any script, and set as large as it fits.

use std::rc::Rc;

use unicode_segmentation::UnicodeSegmentation;

use super::{CARD, CardMemory, Lines, Measures, emblem};
use crate::clock;
use crate::draw::{Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::paint::{Align, At, Ink, Kind, Paint, key};
use crate::text::{Fonts, ShapedText, Style};

/// Distance from baseline to baseline, in heights of capitals.
const LEADING: f32 = 1.75;
/// What letters need below the last baseline, in heights of capitals.
const DESCENT: f32 = 0.36;
/// Heights of capitals that are tried for a text, units, the largest first; the last one takes what it must.
const CAPS: [f32; 11] = [150.0, 126.0, 104.0, 86.0, 72.0, 60.0, 50.0, 42.0, 34.0, 28.0, 22.0];
/// Most lines of a text.
const MAX_LINES: usize = 14;

/// The event's own card: the theme's logo or the mark of the five, its name, its place and date.
pub(super) fn event(paint: &mut Paint<'_>, m: &Measures, memory: &mut CardMemory, texts: [&str; 3]) {
    let [name, place, date] = texts;
    let (area, unit) = (inner(m), m.unit);
    let mut line = paint.take_text();
    paint.words.joined(&mut line, [place, date]);
    let line_cap = if m.beside { 30.0 } else { 42.0 } * unit;
    let foot = if line.is_empty() { 0.0 } else { line_cap * 3.0 };
    let kept = emblem::kept(paint, m, area);
    let room = Rect { y: area.y + kept, h: area.h - kept - foot, ..area };
    let lines = lines(paint.fonts, memory, name, Style::Names, room, unit, 0);
    let cap = lines.first().map_or(line_cap, |line| line.cap_height);
    #[allow(clippy::cast_precision_loss)] // at most MAX_LINES
    let height = cap * (1.0 + LEADING * lines.len().saturating_sub(1) as f32);
    let cell = NameCell { width: area.w, cap_height: line_cap, least_cap_height: line_cap * 0.5 };
    let shaped = fit_text(paint.fonts, &line, Style::Labels, cell);
    let width = width_of(&lines).max(shaped.width);
    let top = emblem::draw(paint, m, area, (kept, width, height + foot));
    put(paint, Kind::NoticeTitle, &lines, [area.x + area.w / 2.0, top], paint.colors.text);
    let baseline = (top + height + line_cap * 2.4).round();
    let at = At { x: area.x + area.w / 2.0, baseline, align: Align::Center };
    if !line.is_empty() {
        paint.shaped_text(key(CARD, Kind::NoticeText, 0), Layer::Ground, &shaped, paint.colors.text_dim, at);
    }
    paint.give_back(line);
}

/// The floor operator's own words.
pub(super) fn words(paint: &mut Paint<'_>, m: &Measures, memory: &mut CardMemory, title: &str, text: &str) {
    let (area, unit) = (inner(m), m.unit);
    let (title, text) = (title.trim(), text.trim());
    let middle = area.x + area.w / 2.0;
    if title.is_empty() || text.is_empty() {
        let only = if text.is_empty() { title } else { text };
        let lines = lines(paint.fonts, memory, only, Style::Names, area, unit, 1);
        let top = centred(&lines, area);
        put(paint, Kind::NoticeText, &lines, [middle, top], paint.colors.text);
        emblem::small(paint, m, area, (top, width_of(&lines)));
        return;
    }
    let share = if m.beside { 0.34 } else { 0.3 };
    let upper = Rect { h: area.h * share, ..area };
    let gap = area.h * 0.06;
    let lower = Rect { y: area.y + upper.h + gap, h: area.h - upper.h - gap, ..area };
    let head = lines(paint.fonts, memory, title, Style::Names, upper, unit, 2);
    let body = lines(paint.fonts, memory, text, Style::Labels, lower, unit, 4);
    // Both together stand in the middle.
    let (head_height, body_height) = (height_of(&head), height_of(&body));
    let gap = head.first().map_or(0.0, |line| line.cap_height).min(area.h * 0.14);
    let top = (area.y + (area.h - head_height - gap - body_height).max(0.0) / 2.0).round();
    emblem::small(paint, m, area, (top, width_of(&head).max(width_of(&body))));
    put(paint, Kind::NoticeTitle, &head, [middle, top], paint.colors.text);
    let top = (top + head_height + gap).round();
    put(paint, Kind::NoticeText, &body, [middle, top], paint.colors.text);
}

/// A large clock down to a moment.
pub(super) fn countdown(
    paint: &mut Paint<'_>,
    m: &Measures,
    memory: &mut CardMemory,
    title: &str,
    to_ms: i64,
    feed_us: i64,
) {
    let (area, unit) = (inner(m), m.unit);
    let title = title.trim();
    let upper = Rect { h: if title.is_empty() { 0.0 } else { area.h * 0.28 }, ..area };
    let lines = lines(paint.fonts, memory, title, Style::Names, upper, unit, 3);
    let gap = lines.first().map_or(0.0, |line| (line.cap_height * 0.8).max(area.h * 0.07));
    let room = [area.w, area.h - height_of(&lines) - gap];
    let mut text = paint.take_text();
    clock::write_seconds(&mut text, seconds_to(to_ms, feed_us).saturating_mul(10));
    // The clock keeps its size while it counts: it is measured by how many figures it has.
    let mut ink =
        Ink { style: Style::Clock, cap_height: room[1].min(430.0 * unit), color: paint.colors.text };
    let wanted = paint.figures_width(&text, ink);
    if wanted > room[0] {
        ink.cap_height *= room[0] / wanted;
    }
    let middle = area.x + area.w / 2.0;
    let whole = height_of(&lines) + gap + ink.cap_height;
    let top = area.y + (area.h - whole) / 2.0;
    let width = paint.figures_width(&text, ink).max(width_of(&lines));
    emblem::small(paint, m, area, (top, width));
    put(paint, Kind::NoticeTitle, &lines, [middle, top.round()], paint.colors.text_dim);
    let at = At { x: middle, baseline: (top + whole).round(), align: Align::Center };
    paint.figures(CARD, Kind::BigFigure, Layer::Ground, &text, ink, at);
    paint.give_back(text);
}

/// Whole seconds to a moment of feed time, rounded up, at least 0.
pub(super) fn seconds_to(to_ms: i64, feed_us: i64) -> i64 {
    let left_us = to_ms.saturating_mul(1000).saturating_sub(feed_us).max(0);
    left_us / 1_000_000 + i64::from(left_us % 1_000_000 > 0)
}

/// Feed time at which a countdown shows another second, microseconds; none when it is over.
pub(super) fn next_second_us(to_ms: i64, feed_us: i64) -> Option<i64> {
    let seconds = seconds_to(to_ms, feed_us);
    (seconds > 0).then(|| to_ms.saturating_mul(1000).saturating_sub((seconds - 1).saturating_mul(1_000_000)))
}

/// The card without its margins.
fn inner(m: &Measures) -> Rect {
    let margin = m.margin;
    Rect {
        x: m.rect.x + margin,
        y: m.rect.y + margin,
        w: (m.rect.w - 2.0 * margin).max(1.0),
        h: (m.rect.h - 2.0 * margin).max(1.0),
    }
}

/// A text in lines, as large as it fits some room; `skip` sizes at the top of the list are too large for it.
fn lines(
    fonts: &mut Fonts,
    memory: &mut CardMemory,
    text: &str,
    style: Style,
    room: Rect,
    unit: f32,
    skip: usize,
) -> Lines {
    if text.is_empty() || room.w < 1.0 || room.h < 1.0 {
        return Lines::default();
    }
    let lay_out = || {
        let tried = CAPS.iter().skip(skip).map(|cap| cap * unit).filter(|cap| *cap <= room.h);
        let mut least = CAPS[CAPS.len() - 1] * unit;
        for cap in tried {
            if let Some(lines) = wrapped(fonts, text, style, room, (cap, false)) {
                return lines;
            }
            least = least.min(cap);
        }
        let least = least.min(room.h);
        wrapped(fonts, text, style, room, (least, true))
            .unwrap_or_else(|| cut_down(fonts, text, style, room, least))
    };
    memory.lines(text, [room.w, room.h, unit], lay_out)
}

/// The text at one size; none if it does not fit. Words may have to be broken anywhere.
fn wrapped(
    fonts: &mut Fonts,
    text: &str,
    style: Style,
    room: Rect,
    (cap, anywhere): (f32, bool),
) -> Option<Lines> {
    let mut lines = Vec::new();
    for paragraph in text.lines().map(str::trim).filter(|line| !line.is_empty()) {
        let mut rest = paragraph;
        while !rest.is_empty() {
            let mut fits = |end: usize| fonts.shaped(rest[..end].trim_end(), style, cap).width <= room.w;
            let end = line_end(rest, &mut fits).or_else(|| broken_word(rest, fits).filter(|_| anywhere))?;
            lines.push(fonts.shaped(rest[..end].trim_end(), style, cap));
            rest = rest[end..].trim_start();
        }
    }
    let lines = Rc::new(lines);
    (lines.len() <= MAX_LINES && height_of(&lines) + cap * DESCENT <= room.h).then_some(lines)
}

/// Where the first line of a text ends: after the last word that fits. None if not even the first one does.
fn line_end(text: &str, mut fits: impl FnMut(usize) -> bool) -> Option<usize> {
    if fits(text.len()) {
        return Some(text.len());
    }
    let mut end = None;
    let mut before = ' ';
    for (at, word) in text.split_word_bound_indices() {
        let first = word.chars().next().unwrap_or(' ');
        let may_break = at > 0 && !first.is_whitespace() && (breaks_after(before) || breaks_before(first));
        before = word.chars().next_back().unwrap_or(' ');
        if !may_break {
            continue;
        }
        if !fits(at) {
            break;
        }
        end = Some(at);
    }
    end
}

/// Where a word that is too long for a line is broken: after the last letter that fits.
fn broken_word(text: &str, mut fits: impl FnMut(usize) -> bool) -> Option<usize> {
    text.grapheme_indices(true).map(|(at, _)| at).skip(1).take_while(|at| fits(*at)).last()
}

/// A line may end behind spaces and hyphens.
fn breaks_after(c: char) -> bool {
    c.is_whitespace() || matches!(c, '-' | '\u{2010}' | '\u{2013}' | '\u{2014}')
}

/// And before a letter of the scripts that are written without spaces.
fn breaks_before(c: char) -> bool {
    c.is_alphabetic()
        && matches!(c, '\u{2E80}'..='\u{9FFF}' | '\u{F900}'..='\u{FAFF}' | '\u{20000}'..='\u{3FFFF}')
}

/// What fits of the text at the least size; lines that are too wide are shortened, those too many left out.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a handful of lines
fn cut_down(fonts: &mut Fonts, text: &str, style: Style, room: Rect, cap: f32) -> Lines {
    let most = (((room.h / cap - 1.0) / LEADING).floor().max(0.0) as usize + 1).min(MAX_LINES);
    let cell = NameCell { width: room.w, cap_height: cap, least_cap_height: cap * 0.8 };
    let mut lines = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() && lines.len() < most {
        let paragraph = rest.lines().next().unwrap_or(rest);
        let last = lines.len() + 1 == most;
        let fits = |end: usize| fonts.shaped(paragraph[..end].trim_end(), style, cap).width <= room.w;
        let end = if last { None } else { line_end(paragraph, fits) };
        let end = end.unwrap_or(paragraph.len());
        lines.push(fit_text(fonts, rest[..end].trim_end(), style, cell));
        rest = rest[end..].trim_start();
    }
    Rc::new(lines)
}

#[allow(clippy::cast_precision_loss)] // at most MAX_LINES
fn height_of(lines: &[Rc<ShapedText>]) -> f32 {
    let cap = lines.first().map_or(0.0, |line| line.cap_height);
    if lines.is_empty() { 0.0 } else { cap * (1.0 + LEADING * (lines.len() - 1) as f32) }
}

fn width_of(lines: &[Rc<ShapedText>]) -> f32 {
    lines.iter().map(|line| line.width).fold(0.0, f32::max)
}

fn centred(lines: &[Rc<ShapedText>], area: Rect) -> f32 {
    (area.y + (area.h - height_of(lines)) / 2.0).round()
}

/// Sets lines one under the other, centred; `top` is that of the first one's capitals.
fn put(
    paint: &mut Paint<'_>,
    kind: Kind,
    lines: &[Rc<ShapedText>],
    [middle, top]: [f32; 2],
    color: fivemark_themes::Color,
) {
    let Some(first) = lines.first() else { return };
    let step = first.cap_height * LEADING;
    let mut baseline = top + first.cap_height;
    for (index, line) in lines.iter().enumerate() {
        let at = At { x: middle, baseline: baseline.round(), align: Align::Center };
        paint.shaped_text(key(CARD, kind, index), Layer::Ground, line, color, at);
        baseline += step;
    }
}
