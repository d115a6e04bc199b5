//! One lane's card in the ribbon: place and name; lane, gap or what is left, and count; its track. The row's ground and
//! edge, the track and the count are drawn by the board's own modules, so that a state looks the same on both.

use std::fmt::Write as _;

use fivemark_themes::Color;

use crate::clock;
use crate::draw::{Layer, Rect};
use crate::fit::{NameCell, fit_text};
use crate::lane::Look;
use crate::layouts::bar::{self, TrackBox};
use crate::layouts::forms::RowMeasures;
use crate::layouts::result;
use crate::layouts::row::{self, Row};
use crate::overlay::floor::{Floor, LaneNow};
use crate::paint::{Align, At, Ink, Kind, Paint, key};
use crate::text::Style;
use crate::tries::is_holding;
use crate::words;

/// Heights of capitals and figures, thousandths of the shorter side.
pub(crate) const COUNT: f32 = 34.0;
pub(crate) const NAME: f32 = 26.0;
pub(crate) const LEAST_NAME: f32 = 24.0;
pub(crate) const LABEL: f32 = 19.0;

/// Measures of a card, pixels; y from its top.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CardMeasures {
    pub(crate) unit: f32,
    pad: f32,
    left: f32,
    name_middle: f32,
    middle: f32,
    row: RowMeasures,
}

impl CardMeasures {
    /// Measures of a card of this size.
    pub(crate) fn new(rect: Rect, unit: f32) -> CardMeasures {
        let edge_width = (9.0 * unit).round().max(3.0);
        let pad = (11.0 * unit).round();
        let left = edge_width + (8.0 * unit).round();
        let track_height = (16.0 * unit).round();
        let bottom = (11.0 * unit).round();
        let (name_middle, middle) = (28.0 * unit, 73.0 * unit);
        let count_cap = COUNT * unit;
        let row = RowMeasures {
            width: rect.w,
            height: rect.h,
            radius: 10.0 * unit,
            edge_width,
            track_left: left,
            track_right: rect.w - pad,
            track_top: rect.h - bottom - track_height,
            track_height,
            part_gap: (2.0 * unit).round().max(1.0),
            part_radius: 3.0 * unit,
            block_gap: (4.0 * unit).round().max(1.0),
            notch: (7.0 * unit).round(),
            tag_cap: LABEL * unit,
            count_left: left,
            count_right: rect.w - pad,
            count_middle: middle,
            count_cap,
            ..RowMeasures::default()
        };
        CardMeasures { unit, pad, left, name_middle, middle, row }
    }
}

/// Draws a card.
pub(crate) fn draw(
    paint: &mut Paint<'_>,
    floor: &Floor<'_>,
    lane: &LaneNow<'_>,
    rect: Rect,
    m: &CardMeasures,
) {
    let whole = floor.row(lane, rect, &m.row);
    row::ground(paint, &whole, lane.memory);
    row::edge(paint, &whole);
    name(paint, floor, lane, rect, m);
    let track = TrackBox::new(rect, &m.row, whole.plan.blocks);
    bar::draw(paint, &whole, lane.memory, &track, lane.memory.head.place(floor.now_us));
    let right = rect.x + count(paint, &whole, lane, m);
    let mut text = paint.take_text();
    middle(paint, lane, (rect, right), m, &mut text);
    paint.give_back(text);
}

/// Place badge and name.
fn name(paint: &mut Paint<'_>, floor: &Floor<'_>, lane: &LaneNow<'_>, rect: Rect, m: &CardMeasures) {
    let unit = m.unit;
    let mut left = rect.x + m.left;
    let middle = rect.y + m.name_middle;
    if lane.counts && floor.place(lane) > 0 {
        let height = (38.0 * unit).round();
        let at = Rect { x: left, y: (middle - height / 2.0).round(), w: (38.0 * unit).round(), h: height };
        badge(paint, floor, lane, at, NAME * unit, 6.0 * unit);
        left = at.x + at.w + (8.0 * unit).round();
    }
    let room = NameCell {
        width: (rect.x + rect.w - m.pad - left).max(1.0),
        cap_height: (NAME + 2.0) * unit,
        least_cap_height: LEAST_NAME * unit,
    };
    let shaped = fit_text(paint.fonts, lane.name, Style::Names, room);
    let color = if lane.look == Look::Out { paint.colors.text_dim } else { paint.colors.text };
    let at = At { x: left, baseline: (middle + shaped.cap_height / 2.0).round(), align: Align::Left };
    paint.shaped_text(key(lane.entry.lane, Kind::Name, 0), Layer::Ground, &shaped, color, at);
}

/// The place on its own ground: bright for whoever leads or has finished.
pub(crate) fn badge(
    paint: &mut Paint<'_>,
    floor: &Floor<'_>,
    lane: &LaneNow<'_>,
    rect: Rect,
    cap_height: f32,
    radius: f32,
) {
    let place = floor.place(lane);
    if place == 0 {
        return;
    }
    let of = lane.entry.lane;
    let memory = lane.memory;
    paint.rect(key(of, Kind::Badge, 0), Layer::Ground, rect, radius, memory.badge.color(floor.now_us));
    let bright = memory.badge.to() != paint.colors.badge;
    let color = if bright { paint.colors.ink } else { paint.colors.text };
    let mut text = paint.take_text();
    let _ = write!(text, "{place}");
    let baseline = (rect.y + (rect.h + cap_height) / 2.0).round();
    let at = At { x: rect.x + rect.w / 2.0, baseline, align: Align::Center };
    let ink = Ink { style: Style::Figures, cap_height, color };
    paint.figures(of, Kind::Place, Layer::Ground, &text, ink, at);
    paint.give_back(text);
}

/// The count, the result or the start; where the room left of it ends, from the card's left.
fn count(paint: &mut Paint<'_>, line: &Row<'_>, lane: &LaneNow<'_>, m: &CardMeasures) -> f32 {
    let right = m.row.count_right;
    if let Some(start_ms) = lane.starts_ms {
        result::draw_start(paint, line, start_ms);
        return m.left;
    }
    if !lane.counts {
        return right;
    }
    result::draw(paint, line, lane.memory);
    right - count_width(paint, lane, &m.row) - (10.0 * m.unit).round()
}

/// Room that a count or a result takes: a count's is that of all the work, so that nothing moves while it grows.
pub(crate) fn count_width(paint: &mut Paint<'_>, lane: &LaneNow<'_>, m: &RowMeasures) -> f32 {
    if let Some(result) = &lane.count.result {
        let mut text = paint.take_text();
        paint.words.result(&mut text, &result.text);
        let width = result::wanted_width(paint, m, &text);
        paint.give_back(text);
        return width;
    }
    if let Some(trying) = lane.trying {
        let mut text = paint.take_text();
        trying.write_count(&mut text, lane.count, paint.words.decimal_mark());
        let width = result::wanted_width(paint, m, &text);
        paint.give_back(text);
        return width;
    }
    let most = if lane.open { lane.count.score.max(100) } else { lane.score_units.max(lane.count.score) };
    #[allow(clippy::cast_precision_loss)] // at most ten
    let figures = most.max(1).ilog10().saturating_add(1) as f32;
    let ink = Ink { style: Style::Figures, cap_height: m.count_cap, color: paint.colors.text };
    figures * paint.slot('0', ink)
}

/// What stands left of the count: a no-rep; else the lane, the round, and the gap or what is left. What does not fit
/// is left out, the lane first.
fn middle(
    paint: &mut Paint<'_>,
    lane: &LaneNow<'_>,
    (rect, right): (Rect, f32),
    m: &CardMeasures,
    text: &mut String,
) {
    let left = rect.x + m.left;
    let line = Line { lane: lane.entry.lane, middle: rect.y + m.middle, unit: m.unit };
    if lane.no_rep && lane.look.works() {
        paint.words.no_rep(text, &lane.memory.fault);
        let colors = (paint.colors.no_rep, paint.colors.ink);
        let fits = line.plate_width(paint, text) <= right - left;
        let text = if fits { text.as_str() } else { paint.words.get(words::NO_REP) };
        line.plate(paint, (Kind::NoRepPlate, Kind::NoRepText), text, (left, right), colors);
        return;
    }
    let mut right = right;
    if let Some(urgent) = standing(paint, lane, text) {
        let width = if urgent {
            let colors = (paint.colors.tag, paint.colors.last_five);
            let width = line.plate_width(paint, text);
            let from = (right - width).max(left);
            line.plate(paint, (Kind::TagPlate, Kind::TagText), text, (from, right), colors);
            width
        } else {
            let ink = line.ink(paint.colors.text);
            let at = At { x: right, baseline: line.baseline(ink.cap_height), align: Align::Right };
            let shaped = paint.fonts.shaped(text, ink.style, ink.cap_height);
            paint.shaped_text(key(line.lane, Kind::Gap, 0), Layer::Ground, &shaped, ink.color, at)
        };
        right -= width + 7.0 * m.unit;
    }
    lane_words(paint, lane, text);
    let ink = line.ink(paint.colors.text_dim);
    let mut shaped = paint.fonts.shaped(text, ink.style, ink.cap_height);
    let mut left = left;
    let round = lane.open && lane.count.round > 0;
    let round_room = if round { 55.0 * m.unit } else { 0.0 };
    if let Some(division) = lane.division.filter(|_| left + shaped.width + round_room > right) {
        // Places are within divisions, so that is said before the lane is.
        shaped = paint.fonts.shaped(division, ink.style, ink.cap_height);
    }
    if left + shaped.width + round_room <= right {
        let at = At { x: left, baseline: line.baseline(ink.cap_height), align: Align::Left };
        let key = key(line.lane, Kind::LaneNumber, 0);
        left += paint.shaped_text(key, Layer::Ground, &shaped, ink.color, at) + 9.0 * m.unit;
    }
    if round && left + round_room - 9.0 * m.unit <= right {
        paint.words.round(text, lane.count.round);
        let colors = (paint.colors.badge, paint.colors.text);
        line.plate(paint, (Kind::RoundPlate, Kind::RoundText), text, (left, right), colors);
    }
}

/// `lane 4`, with the short form of its division where the heat mixes them: `lane 4 · OW`.
pub(crate) fn lane_words(paint: &Paint<'_>, lane: &LaneNow<'_>, text: &mut String) {
    paint.words.lane(text, lane.entry.lane);
    if let Some(division) = lane.division {
        text.push_str(words::BETWEEN);
        text.push_str(division);
    }
}

/// How a lane stands, in a few words: what is left of the last five (then it is urgent), units behind, a time behind,
/// or why it has ended.
pub(crate) fn standing(paint: &Paint<'_>, lane: &LaneNow<'_>, text: &mut String) -> Option<bool> {
    text.clear();
    match lane.look {
        Look::LastFive => {
            paint.words.to_go(text, lane.count.to_go.unwrap_or(0));
            return Some(true);
        }
        Look::UnderReview => text.push_str(paint.words.get(words::REVIEW)),
        Look::Finished => {
            let behind =
                lane.order.filter(|order| order.place > 1 && !lane.open).and_then(|order| order.gap_ms);
            clock::write_gap(text, behind?, lane.resolution_ms, paint.words.decimal_mark());
        }
        Look::Racing if is_holding(lane.count) => return None,
        Look::Racing if lane.counts && !lane.leads && lane.starts_ms.is_none() => {
            let units = lane.order.and_then(|order| order.gap_units).filter(|units| *units > 0)?;
            text.push(words::MINUS);
            match lane.trying {
                Some(trying) => trying.write_gap(text, units, paint.words.decimal_mark()),
                None => {
                    let _ = write!(text, "{units}");
                }
            }
        }
        Look::Racing | Look::Capped | Look::Out | Look::Empty => return None,
    }
    Some(false)
}

/// The line between name and track.
struct Line {
    lane: u8,
    middle: f32,
    unit: f32,
}

impl Line {
    fn ink(&self, color: Color) -> Ink {
        Ink { style: Style::Names, cap_height: LABEL * self.unit, color }
    }

    fn baseline(&self, cap_height: f32) -> f32 {
        (self.middle + cap_height / 2.0).round()
    }

    fn pad(&self) -> f32 {
        (7.0 * self.unit).round()
    }

    fn plate_width(&self, paint: &mut Paint<'_>, text: &str) -> f32 {
        let ink = self.ink(paint.colors.text);
        (paint.fonts.shaped(text, ink.style, ink.cap_height).width + 2.0 * self.pad()).ceil()
    }

    /// A text on a plate of its own from `left`, up to `right` at most; colours of the plate and of the text.
    fn plate(
        &self,
        paint: &mut Paint<'_>,
        (plate, word): (Kind, Kind),
        text: &str,
        (left, right): (f32, f32),
        (fill, color): (Color, Color),
    ) {
        let (ink, pad) = (self.ink(color), self.pad());
        let room = NameCell {
            width: (right - left - 2.0 * pad).max(1.0),
            cap_height: ink.cap_height,
            least_cap_height: ink.cap_height,
        };
        let shaped = fit_text(paint.fonts, text, ink.style, room);
        let height = (ink.cap_height * 1.7).round();
        let width = (shaped.width + 2.0 * pad).ceil();
        let rect = Rect { x: left.round(), y: (self.middle - height / 2.0).round(), w: width, h: height };
        paint.rect(key(self.lane, plate, 0), Layer::Ground, rect, 5.0 * self.unit, fill);
        let at = At { x: rect.x + pad, baseline: self.baseline(shaped.cap_height), align: Align::Left };
        paint.shaped_text(key(self.lane, word, 0), Layer::Ground, &shaped, ink.color, at);
    }
}
