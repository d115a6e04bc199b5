//! What lies over a track: the gap behind first on floor, `4 to go`, a no-rep with its fault, and the words in
//! the bar of an ended lane.

use crate::draw::{Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::lane::{LaneMemory, Look};
use crate::layouts::row::{Row, TrackBox};
use crate::motion::between;
use crate::paint::{Align, At, Ink, Kind, Paint, key};
use crate::text::Style;
use crate::{clock, words};

/// Draws a row's tags.
pub(crate) fn draw(
    paint: &mut Paint<'_>,
    row: &Row<'_>,
    memory: &mut LaneMemory,
    track: &TrackBox,
    head: f32,
) {
    let mut text = String::new();
    let mut right = track.x + track.w - plate_inset(track);
    match row.look {
        Look::LastFive => {
            words::to_go(&mut text, row.count.to_go.unwrap_or(0));
            let color = paint.colors.last_five;
            let width = plate(paint, row, track, Tag::right_at(right, &text, color));
            right -= width + plate_inset(track);
        }
        Look::UnderReview => {
            plate(paint, row, track, Tag::right_at(right, words::UNDER_REVIEW, paint.colors.text));
        }
        Look::Finished => finished_words(paint, row, memory, track),
        Look::Capped => capped_words(paint, row, track, head),
        Look::Racing | Look::Out | Look::Empty => {}
    }
    if !row.look.works() || !row.under_way {
        return;
    }
    if memory.no_rep.end_us(row.now_us, row.spans.no_rep_us).is_some() {
        words::no_rep(&mut text, &memory.fault);
        no_rep(paint, row, track, head, right, &text);
    } else if row.look == Look::Racing {
        gap(paint, row, track, head, &mut text);
    }
}

/// A plate on a track.
struct Tag<'t> {
    text: &'t str,
    right: f32,
    color: fivemark_themes::Color,
}

impl<'t> Tag<'t> {
    fn right_at(right: f32, text: &'t str, color: fivemark_themes::Color) -> Tag<'t> {
        Tag { text, right, color }
    }
}

fn plate_inset(track: &TrackBox) -> f32 {
    (track.h * 0.1).round().max(1.0)
}

fn text_baseline(track: &TrackBox, cap_height: f32) -> f32 {
    (track.y + (track.h + cap_height) / 2.0).round()
}

/// Draws a dark plate that ends at a place; its width.
fn plate(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox, tag: Tag<'_>) -> f32 {
    let (lane, cap_height) = (row.entry.lane, row.m.tag_cap);
    let ink = Ink { style: Style::Labels, cap_height, color: tag.color };
    let inset = plate_inset(track);
    let pad = (cap_height * 0.62).round();
    let text_width = paint.fonts.shaped(tag.text, ink.style, cap_height).width;
    let width = (text_width + 2.0 * pad).ceil();
    let rect =
        Rect { x: (tag.right - width).round(), y: track.y + inset, w: width, h: track.h - 2.0 * inset };
    paint.rect(key(lane, Kind::TagPlate, 0), Layer::Tags, rect, row.m.part_radius, paint.colors.tag);
    let at = At { x: rect.x + pad, baseline: text_baseline(track, cap_height), align: Align::Left };
    paint.text(key(lane, Kind::TagText, 0), Layer::Tags, tag.text, ink, at);
    width
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
/// the track ends too soon.
fn gap(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox, head: f32, text: &mut String) {
    use std::fmt::Write as _;
    let Some(units) = row.order.and_then(|order| order.gap_units).filter(|units| *units > 0) else { return };
    if row.leads || !row.counts {
        return;
    }
    text.clear();
    let _ = write!(text, "{}{units}", words::MINUS);
    let (lane, cap_height) = (row.entry.lane, row.m.tag_cap);
    let ink = Ink { style: Style::Figures, cap_height, color: paint.colors.text };
    let width = paint.figures_width(text, ink);
    let pad = (cap_height * 0.5).round();
    let at = track.x_of(head.min(1.0));
    let baseline = text_baseline(track, cap_height);
    if at + width + 2.0 * pad <= track.x + track.w {
        let at = At { x: (at + pad).round(), baseline, align: Align::Left };
        paint.figures(lane, Kind::Gap, Layer::Ground, text, ink, at);
        return;
    }
    let inset = plate_inset(track);
    let plate_width = (width + 2.0 * pad).ceil();
    let rect = Rect {
        x: (at - inset - plate_width).round(),
        y: track.y + inset,
        w: plate_width,
        h: track.h - 2.0 * inset,
    };
    paint.rect(key(lane, Kind::TagPlate, 0), Layer::Tags, rect, row.m.part_radius, paint.colors.tag);
    let at = At { x: rect.x + pad, baseline, align: Align::Left };
    paint.figures(lane, Kind::Gap, Layer::Tags, text, ink, at);
}

fn finished_words(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory, track: &TrackBox) {
    let shown =
        memory.finish.share(row.now_us, row.spans.finish_us).map_or(1.0, |share| between(share, 0.5, 0.7));
    if shown <= 0.0 {
        return;
    }
    let (lane, cap_height) = (row.entry.lane, row.m.tag_cap);
    let ink = Ink { style: Style::Labels, cap_height, color: paint.colors.ink.faded(shown) };
    let pad = (cap_height * 0.8).round();
    let baseline = text_baseline(track, cap_height);
    let mut text = String::from(words::FINISHED);
    if let Some(penalty_ms) = row.count.result.as_ref().and_then(|result| result.penalty_ms)
        && penalty_ms != 0
    {
        text.push_str(" · ");
        words::penalty(&mut text, penalty_ms);
    }
    let mut gap_text = String::new();
    let behind = row.order.filter(|order| order.place > 1).and_then(|order| order.gap_ms);
    if let Some(gap_ms) = behind {
        clock::write_gap(&mut gap_text, gap_ms, row.resolution_ms);
    }
    let gap_ink = Ink { style: Style::Figures, ..ink };
    let gap_width = paint.figures_width(&gap_text, gap_ink);
    let room = NameCell { width: track.w - gap_width - 3.0 * pad, cap_height, least_cap_height: cap_height };
    let shaped = fit_text(paint.fonts, &text, Style::Labels, room);
    let at = At { x: track.x + pad, baseline, align: Align::Left };
    paint.shaped_text(key(lane, Kind::BarWord, 0), Layer::Ground, &shaped, ink.color, at);
    let at = At { x: track.x + track.w - pad, baseline, align: Align::Right };
    paint.figures(lane, Kind::BarGap, Layer::Ground, &gap_text, gap_ink, at);
}

fn capped_words(paint: &mut Paint<'_>, row: &Row<'_>, track: &TrackBox, head: f32) {
    let (lane, cap_height) = (row.entry.lane, row.m.tag_cap);
    let pad = (cap_height * 0.62).round();
    let inset = plate_inset(track);
    let width = paint.fonts.shaped(words::TIME_CAP, Style::Labels, cap_height).width + 2.0 * pad;
    // At the head's hind side on its own plate, for stripes would run through the letters.
    let right = (track.x_of(head.min(1.0)) - inset).max(track.x + inset + width);
    plate(paint, row, track, Tag { text: words::TIME_CAP, right, color: paint.colors.text });
    let _ = lane;
}
