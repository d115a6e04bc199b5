//! What lies over a track: the gap behind first on floor, `4 to go`, a no-rep with its fault, and the words in
//! the bar of an ended lane.

use fivemark_themes::Color;

use crate::draw::{BoxShape, Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::lane::{LaneMemory, Look};
use crate::layouts::bar::{self, TrackBox};
use crate::layouts::row::Row;
use crate::motion::between;
use crate::paint::{Align, At, Ink, Kind, Paint, key, plain};
use crate::text::Style;
use crate::{clock, words};

/// A track shorter than this many heights of a tag's capitals is short: a gap on it would hide a third of the bar,
/// and few faults have room.
const SHORT_TRACK: f32 = 14.0;

/// Draws a row's tags.
pub(crate) fn draw(
    paint: &mut Paint<'_>,
    row: &Row<'_>,
    memory: &mut LaneMemory,
    track: &TrackBox,
    head: f32,
) {
    let mut text = paint.take_text();
    marks(paint, row, memory, (track, head), &mut text);
    paint.give_back(text);
}

fn marks(
    paint: &mut Paint<'_>,
    row: &Row<'_>,
    memory: &LaneMemory,
    (track, head): (&TrackBox, f32),
    text: &mut String,
) {
    let mut right = track.x + track.w - plate_inset(track);
    match row.look {
        Look::LastFive => {
            paint.words.to_go(text, row.count.to_go.unwrap_or(0));
            if !to_go_beside_count(paint, row, track, text) {
                let color = paint.colors.last_five;
                let width = plate(paint, row, track, text, Side::Right(right), color);
                right -= width + plate_inset(track);
            }
        }
        Look::UnderReview => {
            let (long, short) = (paint.words.get(words::UNDER_REVIEW), paint.words.get(words::REVIEW));
            let width = paint.fonts.shaped(long, Style::Labels, row.m.tag_cap).width;
            let fits = width + 2.0 * row.m.tag_cap < track.w;
            let word = if fits { long } else { short };
            plate(paint, row, track, word, Side::Right(right), paint.colors.text);
        }
        Look::Finished if !row.open => finished_words(paint, row, memory, track, text),
        Look::Finished | Look::Capped => ended_words(paint, row, track, text),
        Look::Racing => right -= declared(paint, row, track, right, text),
        Look::Out | Look::Empty => {}
    }
    let no_rep_shown = memory.no_rep.end_us(row.now_us, row.spans.no_rep_us).is_some();
    let mut left = track.x + plate_inset(track);
    if row.counts
        && row.count.ruled
        && matches!(row.look, Look::Racing | Look::LastFive | Look::Out)
        && !no_rep_shown
    {
        left = ruled(paint, row, track, right);
    }
    if !row.look.works() || !row.under_way {
        return;
    }
    if no_rep_shown {
        paint.words.no_rep(text, &memory.fault);
        no_rep(paint, row, track, head, right, text);
    } else if row.look == Look::Racing {
        gap(paint, row, track, (head, left, right), text);
    }
}

/// The load of the attempt that is to come, on a plate at the end of the track; the width that it takes.
fn declared(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox, right: f32, text: &mut String) -> f32 {
    let mark = paint.words.decimal_mark();
    match row.trying.filter(|_| row.counts) {
        Some(trying) if trying.write_declared(text, row.count, mark) => {
            plate(paint, row, track, text, Side::Right(right), paint.colors.text) + plate_inset(track)
        }
        _ => 0.0,
    }
}

/// Where a plate begins or ends.
#[derive(Clone, Copy)]
enum Side {
    Left(f32),
    Right(f32),
}

fn plate_inset(track: &TrackBox) -> f32 {
    (track.h * 0.1).round().max(1.0)
}

fn text_baseline(track: &TrackBox, cap_height: f32) -> f32 {
    (track.y + (track.h + cap_height) / 2.0).round()
}

/// Draws a dark plate; its width.
fn plate(
    paint: &mut Paint<'_>,
    row: &Row<'_>,
    track: &TrackBox,
    text: &str,
    side: Side,
    color: Color,
) -> f32 {
    let (lane, cap_height) = (row.entry.lane, row.m.tag_cap);
    let inset = plate_inset(track);
    let pad = (cap_height * 0.62).round();
    let room = NameCell {
        width: (track.w - 2.0 * (pad + inset)).max(1.0),
        cap_height,
        least_cap_height: cap_height * 0.8,
    };
    let shaped = fit_text(paint.fonts, text, Style::Labels, room);
    let width = (shaped.width + 2.0 * pad).ceil();
    let x = match side {
        Side::Left(left) => left,
        Side::Right(right) => (right - width).round(),
    };
    let rect = Rect { x, y: track.y + inset, w: width, h: track.h - 2.0 * inset };
    let ground = if row.look == Look::Capped { paint.colors.row_capped } else { paint.colors.tag };
    paint.rect(key(lane, Kind::TagPlate, 0), Layer::Tags, rect, row.m.part_radius, ground);
    let baseline = text_baseline(track, shaped.cap_height);
    let at = At { x: rect.x + pad, baseline, align: Align::Left };
    paint.shaped_text(key(lane, Kind::TagText, 0), Layer::Tags, &shaped, color, at);
    width
}

/// A count that a ruling changed says so at the begin of its track, if it fits before `right`; where the room
/// after it begins.
fn ruled(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox, right: f32) -> f32 {
    let (lane, cap_height) = (row.entry.lane, row.m.tag_cap);
    let inset = plate_inset(track);
    let pad = (cap_height * 0.62).round();
    let ink = Ink { style: Style::Labels, cap_height, color: paint.colors.text };
    let word = paint.words.get(words::RULED);
    let width = (paint.fonts.shaped(word, ink.style, cap_height).width + 2.0 * pad).ceil();
    let x = track.x + inset;
    if x + width > right {
        return x;
    }
    let rect = Rect { x, y: track.y + inset, w: width, h: track.h - 2.0 * inset };
    paint.rect(key(lane, Kind::RuledPlate, 0), Layer::Tags, rect, row.m.part_radius, paint.colors.tag);
    let at = At { x: x + pad, baseline: text_baseline(track, cap_height), align: Align::Left };
    paint.text(key(lane, Kind::Ruled, 0), Layer::Tags, word, ink, at);
    x + width + inset
}

fn no_rep(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox, head: f32, right: f32, text: &str) {
    let (lane, cap_height) = (row.entry.lane, row.m.tag_cap);
    let inset = plate_inset(track);
    let pad = (cap_height * 0.62).round();
    let room = NameCell {
        width: (right - track.x - 2.0 * pad - inset).max(1.0),
        cap_height,
        least_cap_height: cap_height,
    };
    // On a short track the fault would be cut in its first letters: the call alone says more.
    let fits = paint.fonts.shaped(text, Style::Labels, cap_height).width <= room.width;
    let text =
        if fits || track.w >= SHORT_TRACK * cap_height { text } else { paint.words.get(words::NO_REP) };
    let shaped = fit_text(paint.fonts, text, Style::Labels, room);
    let width = (shaped.width + 2.0 * pad).ceil();
    // Beside the bar's head where there is room, else as far right as there is.
    let left = (track.x_of(head.min(1.0)) + inset).min(right - width).max(track.x + inset).round();
    let rect = Rect { x: left, y: track.y + inset, w: width, h: track.h - 2.0 * inset };
    paint.rect(key(lane, Kind::NoRepPlate, 0), Layer::Tags, rect, row.m.part_radius, paint.colors.no_rep);
    let at = At { x: left + pad, baseline: text_baseline(track, cap_height), align: Align::Left };
    paint.shaped_text(key(lane, Kind::NoRepText, 0), Layer::Tags, &shaped, paint.colors.ink, at);
}

/// Units behind first on floor: ahead of the bar's head on the empty track, or on a plate behind the head when
/// the track ends too soon. Nothing stands left of `left`. On a short track, where they would hide the bar, they
/// stand beside the count instead. They end before `right`, where something else stands.
fn gap(
    paint: &mut Paint<'_>,
    row: &Row<'_>,
    track: &TrackBox,
    (head, left, right): (f32, f32, f32),
    text: &mut String,
) {
    use std::fmt::Write as _;
    let Some(units) = row.order.and_then(|order| order.gap_units).filter(|units| *units > 0) else { return };
    if row.leads || !row.counts || row.starts_ms.is_some() {
        return;
    }
    text.clear();
    text.push(words::MINUS);
    match row.trying {
        Some(trying) => trying.write_gap(text, units, paint.words.decimal_mark()),
        None => {
            let _ = write!(text, "{units}");
        }
    }
    let (lane, cap_height) = (row.entry.lane, row.m.tag_cap);
    let ink = Ink { style: Style::Figures, cap_height, color: paint.colors.text };
    let pad = (cap_height * 0.5).round();
    let width = (paint.figures_width(text, ink) + 2.0 * pad).ceil();
    let baseline = text_baseline(track, cap_height);
    if short(row, track)
        && let Some((x, baseline)) = beside_count(paint, row, width - pad)
    {
        let at = At { x, baseline, align: Align::Right };
        paint.figures(lane, Kind::Gap, Layer::Ground, text, ink, at);
        return;
    }
    let head = track.x_of(head.min(1.0));
    let ahead = head.max(left);
    let end = if row.trying.is_some() { right } else { track.x + track.w };
    if ahead + width <= end {
        // Hides gaps and hatching behind the figures, but not the outline of the track.
        let edge = bar::track_edge(paint, row.m).width;
        let rect = Rect { x: ahead, y: track.y + edge, w: width - edge, h: track.h - 2.0 * edge };
        let radii = [0.0, row.m.part_radius, row.m.part_radius, 0.0];
        let shape = BoxShape { radii, ..plain(rect, 0.0, paint.colors.track) };
        paint.shaped_box(key(lane, Kind::GapGround, 0), Layer::Ground, shape);
        let at = At { x: (ahead + pad).round(), baseline, align: Align::Left };
        paint.figures(lane, Kind::Gap, Layer::Ground, text, ink, at);
        return;
    }
    let inset = plate_inset(track);
    let x = (head - inset - width).round();
    // A plate behind the head would hide marks of attempts.
    if x < left || row.trying.is_some() {
        return;
    }
    let rect = Rect { x, y: track.y + inset, w: width, h: track.h - 2.0 * inset };
    paint.rect(key(lane, Kind::TagPlate, 0), Layer::Tags, rect, row.m.part_radius, paint.colors.tag);
    let at = At { x: x + pad, baseline, align: Align::Left };
    paint.figures(lane, Kind::Gap, Layer::Tags, text, ink, at);
}

/// On a short track the words of the last five would hide most of the bar: they stand beside the count, if they fit.
fn to_go_beside_count(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox, text: &str) -> bool {
    let cap_height = row.m.tag_cap;
    if !short(row, track) {
        return false;
    }
    let shaped = paint.fonts.shaped(text, Style::Figures, cap_height);
    let Some((x, baseline)) = beside_count(paint, row, shaped.width + cap_height * 0.2) else { return false };
    let at = At { x, baseline, align: Align::Right };
    let color = paint.colors.text;
    paint.shaped_text(key(row.entry.lane, Kind::TagText, 0), Layer::Ground, &shaped, color, at);
    true
}

/// Words of a track stand beside the count: the track is short, or they have a line of their own.
fn short(row: &Row<'_>, track: &TrackBox) -> bool {
    row.m.beside_apart || track.w < SHORT_TRACK * row.m.tag_cap
}

/// Right end and baseline of a text of `width` that stands left of a count of three figures or more, in the room that
/// results need later; none if there is too little.
fn beside_count(paint: &mut Paint<'_>, row: &Row<'_>, width: f32) -> Option<(f32, f32)> {
    let baseline = (row.rect.y + row.m.beside_middle + row.m.tag_cap / 2.0).round();
    if row.m.beside_apart {
        let right = row.m.track_right.round();
        return (right - width >= row.m.beside_left).then_some((row.rect.x + right, baseline));
    }
    let ink = Ink { style: Style::Figures, cap_height: row.m.count_cap, color: paint.colors.text };
    let figures = row.count.score.checked_ilog10().unwrap_or(0).saturating_add(1).max(3);
    #[allow(clippy::cast_precision_loss)] // at most ten
    let count = paint.slot('0', ink) * figures as f32;
    let right = (row.m.count_right - count - row.m.tag_cap * 0.5).round();
    (right - width >= row.m.beside_left).then_some((row.rect.x + right, baseline))
}

/// What an ended lane says in its bar: how it ended, a penalty, a ruling; and at the right how far behind the
/// winner. What does not fit is left out from the end.
fn finished_words(
    paint: &mut Paint<'_>,
    row: &Row<'_>,
    memory: &LaneMemory,
    track: &TrackBox,
    text: &mut String,
) {
    let shown =
        memory.finish.share(row.now_us, row.spans.finish_us).map_or(1.0, |share| between(share, 0.5, 0.7));
    if shown <= 0.0 {
        return;
    }
    let (lane, cap_height) = (row.entry.lane, row.m.tag_cap);
    let ink = Ink { style: Style::Labels, cap_height, color: paint.colors.ink.faded(shown) };
    let pad = (cap_height * 0.8).round();
    let baseline = text_baseline(track, cap_height);
    text.clear();
    text.push_str(paint.words.get(words::FINISHED));
    let width = track.w - 2.0 * pad;
    notes(paint, row, text, width);
    let room = NameCell { width, cap_height, least_cap_height: cap_height };
    let shaped = fit_text(paint.fonts, text, Style::Labels, room);
    let at = At { x: track.x + pad, baseline, align: Align::Left };
    let width = paint.shaped_text(key(lane, Kind::BarWord, 0), Layer::Ground, &shaped, ink.color, at);
    let behind = row.order.filter(|order| order.place > 1).and_then(|order| order.gap_ms);
    let Some(gap_ms) = behind else { return };
    text.clear();
    clock::write_gap(text, gap_ms, row.resolution_ms, paint.words.decimal_mark());
    let ink = Ink { style: Style::Figures, ..ink };
    if width + paint.figures_width(text, ink) + 4.0 * pad <= track.w {
        let at = At { x: track.x + track.w - pad, baseline, align: Align::Right };
        paint.figures(lane, Kind::BarGap, Layer::Ground, text, ink, at);
    }
}

/// The words of a lane whose bar stands where the time ended are on a plate, for stripes and gaps would run through
/// their letters.
fn ended_words(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox, text: &mut String) {
    text.clear();
    if row.look == Look::Capped {
        text.push_str(paint.words.get(words::TIME_CAP));
    }
    let width = track.w - 2.0 * ((row.m.tag_cap * 0.62).round() + plate_inset(track));
    notes(paint, row, text, width);
    if !text.is_empty() {
        let left = track.x + plate_inset(track);
        plate(paint, row, track, text, Side::Left(left), paint.colors.text);
    }
}

/// Adds what a result rests on, as far as it fits: the tie-break time that parted equals, a penalty, a credit, a
/// ruling.
fn notes(paint: &mut Paint<'_>, row: &Row<'_>, text: &mut String, width: f32) {
    let result = row.count.result.as_ref();
    let of = |ms: Option<i64>| ms.filter(|ms| *ms != 0);
    if let Some(ms) = row.count.tie_break_ms.filter(|_| row.order.is_some_and(|order| order.tied_apart)) {
        let fits = |paint: &mut Paint<'_>, text: &str| {
            paint.fonts.shaped(text, Style::Labels, row.m.tag_cap).width <= width
        };
        let before = text.len();
        for short in [false, true] {
            text.truncate(before);
            separate(text);
            paint.words.tie_break(text, ms, row.resolution_ms, short);
            if fits(paint, text) {
                break;
            }
        }
    }
    if let Some(penalty_ms) = of(result.and_then(|result| result.penalty_ms)) {
        separate(text);
        paint.words.penalty(text, penalty_ms);
    }
    if let Some(credit_ms) = of(result.and_then(|result| result.credit_ms)) {
        separate(text);
        paint.words.credit(text, credit_ms);
    }
    if row.count.ruled {
        separate(text);
        text.push_str(paint.words.get(words::RULED));
    }
}

fn separate(text: &mut String) {
    if !text.is_empty() {
        text.push_str(words::BETWEEN);
    }
}
