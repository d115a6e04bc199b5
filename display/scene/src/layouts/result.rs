//! What stands at a row's fixed right edge: the count while a lane works, its result when it has ended. A count
//! rolls in its own columns and moves nothing else.

use fivemark_themes::Color;
use fivemark_wire::tries::LoadUnit;

use crate::clock;
use crate::draw::{Layer, Rect};
use crate::lane::LaneMemory;
use crate::layouts::forms::RowMeasures;
use crate::layouts::row::Row;
use crate::paint::{Ink, Kind, Paint, key};
use crate::text::{Fonts, Style};
use crate::worded::{Worded, split};
use crate::words::Words;

/// Width of the widest result that a heat can show, in heights of its figures: a time up to the cap, or the work
/// done with ` of ` all the work behind it.
pub(crate) fn width(
    (fonts, words): (&mut Fonts, &Words),
    cap_ms: i64,
    resolution_ms: u32,
    score_units: u32,
) -> f32 {
    const CAP: f32 = 100.0;
    let mut time = String::new();
    clock::write_result(&mut time, cap_ms, resolution_ms, words.decimal_mark());
    let mut work = String::new();
    words.result(&mut work, &format!("{score_units} of {score_units}"));
    let digit = fonts.digit_width(Style::Figures, CAP);
    let mut width = 0.0;
    for character in time.chars() {
        width += if character.is_ascii_digit() {
            digit
        } else {
            fonts.shaped(character.encode_utf8(&mut [0; 4]), Style::Figures, CAP).width
        };
    }
    #[allow(clippy::cast_precision_loss)] // at most ten
    let count = digit * score_units.max(1).ilog10().saturating_add(1) as f32;
    let (before, _, after) = split(&work);
    width.max(count + beside(fonts, before) + beside(fonts, after)) / CAP
}

/// Width of the widest result of open-ended work: rounds and the score units of one round less one.
pub(crate) fn rounds_width(fonts: &mut Fonts, round_units: u32) -> f32 {
    const CAP: f32 = 100.0;
    #[allow(clippy::cast_precision_loss)] // at most twelve
    let figures = 2.0 + round_units.max(1).ilog10().saturating_add(1) as f32;
    (fonts.digit_width(Style::Figures, CAP) * figures + fonts.shaped(" + ", Style::Figures, CAP).width) / CAP
}

/// Width of a load such as `188.5 kg`.
pub(crate) fn load_width(fonts: &mut Fonts, unit: LoadUnit) -> f32 {
    const CAP: f32 = 100.0;
    let mark = fonts.shaped(".", Style::Figures, CAP).width;
    (fonts.digit_width(Style::Figures, CAP) * 4.0 + mark + beside(fonts, unit.symbol())) / CAP
}

/// Width of words beside figures of 100 pixels, and of the space between them; 0 for none.
fn beside(fonts: &mut Fonts, words: &str) -> f32 {
    const CAP: f32 = 100.0;
    if words.is_empty() {
        return 0.0;
    }
    fonts.shaped(words, Style::Labels, CAP * 0.42).width + CAP * 0.22
}

/// Width of a lane's own start, with its word.
pub(crate) fn start_width((fonts, words): (&mut Fonts, &Words), start_ms: i64) -> f32 {
    const CAP: f32 = 100.0;
    let mut text = String::new();
    words.starts(&mut text, start_ms);
    let (before, time, after) = split(&text);
    let words = beside(fonts, before) + beside(fonts, after);
    (words + fonts.shaped(time, Style::Figures, CAP).width * 1.05) / CAP
}

/// Says when a lane starts that is still to start.
pub(crate) fn draw_start(paint: &mut Paint<'_>, row: &Row<'_>, start_ms: i64) {
    let mut text = paint.take_text();
    paint.words.starts(&mut text, start_ms);
    let color = paint.colors.text_dim;
    result_text(paint, row, &text, row.rect.x + row.m.count_right, baseline_of(row), color);
    paint.give_back(text);
}

fn baseline_of(row: &Row<'_>) -> f32 {
    (row.rect.y + row.m.count_middle + row.m.count_cap / 2.0).round()
}

/// Draws the count or the result.
pub(crate) fn draw(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory) {
    let right = row.rect.x + row.m.count_right;
    let baseline = baseline_of(row);
    match &row.count.result {
        Some(result) => {
            // What is no number is no result to be proud of.
            let counts = result.text.contains(|c: char| c.is_ascii_digit());
            let color = if counts { paint.colors.text } else { paint.colors.text_dim };
            let mut text = paint.take_text();
            paint.words.result(&mut text, &result.text);
            result_text(paint, row, &text, right, baseline, color);
            paint.give_back(text);
        }
        None => match row.trying {
            Some(trying) => {
                let mut text = paint.take_text();
                trying.write_count(&mut text, row.count, paint.words.decimal_mark());
                let color = paint.colors.text;
                if !text.is_empty() {
                    result_text(paint, row, &text, right, baseline, color);
                }
                paint.give_back(text);
            }
            None => rolling_count(paint, row, memory, right, baseline),
        },
    }
}

fn rolling_count(paint: &mut Paint<'_>, row: &Row<'_>, memory: &LaneMemory, right: f32, baseline: f32) {
    let lane = row.entry.lane;
    let ink = Ink { style: Style::Figures, cap_height: row.m.count_cap, color: paint.colors.text };
    let slot = paint.slot('0', ink);
    let share = memory.count.share(row.now_us);
    let (from, to) = (memory.count.from, memory.count.to);
    let way = row.m.count_cap * 1.25;
    let way = if from <= to { way } else { -way };
    for (index, (before, after)) in from.iter().zip(to).rev().enumerate() {
        let (before, after) = (char::from(*before), char::from(after));
        #[allow(clippy::cast_precision_loss)] // at most six
        let left = right - slot * (index as f32 + 1.0);
        if share >= 1.0 || before == after {
            let key = key(lane, Kind::Count, index);
            paint.figure(key, Layer::Ground, after, ink, [left, baseline], slot, None);
            continue;
        }
        let window = Rect {
            x: left,
            y: (baseline - row.m.count_cap * 1.15).floor(),
            w: slot,
            h: (row.m.count_cap * 1.3).ceil(),
        };
        let (out, into) = ((-way * share).round(), (way * (1.0 - share)).round());
        let (key_out, key_in) = (key(lane, Kind::CountBefore, index), key(lane, Kind::Count, index));
        paint.figure(key_out, Layer::Ground, before, ink, [left, baseline + out], slot, Some(window));
        paint.figure(key_in, Layer::Ground, after, ink, [left, baseline + into], slot, Some(window));
    }
}

/// Sets a result: its first number large, words beside it small (`87 of 90`); a result that is too wide for the
/// column gets smaller figures.
fn result_text(paint: &mut Paint<'_>, row: &Row<'_>, text: &str, right: f32, baseline: f32, color: Color) {
    let m = row.m;
    let mut result = worded(paint, m, text, color);
    let column = m.count_right - m.count_left;
    // Where figures would get too small beside them, the words after them give way.
    let beside = Worded { before: "", ..result }.words_width(paint);
    if column - beside < paint.figures_width(result.number, result.ink).min(column) * 0.5 {
        result.after = "";
    }
    let room = column - result.words_width(paint);
    result.fit(paint, room);
    let baseline = (baseline - (m.count_cap - result.ink.cap_height) / 2.0).round();
    result.draw(paint, row.entry.lane, [right, baseline]);
}

/// A result in a row's sizes.
fn worded<'a>(paint: &Paint<'_>, m: &RowMeasures, text: &'a str, color: Color) -> Worded<'a> {
    let ink = Ink { style: Style::Figures, cap_height: m.count_cap, color };
    let words = Ink { style: Style::Labels, cap_height: m.tag_cap, color: paint.colors.text_dim };
    Worded::new(text, ink, words, m.tag_cap * 0.5)
}

/// Width that a result takes if its column has room, pixels.
pub(crate) fn wanted_width(paint: &mut Paint<'_>, m: &RowMeasures, text: &str) -> f32 {
    let result = worded(paint, m, text, paint.colors.text);
    result.words_width(paint) + paint.figures_width(result.number, result.ink)
}
