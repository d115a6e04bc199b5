//! Cards: what stands on a screen between heats. One is drawn into any rectangle, from what the feed says and the time;
//! which card it is, is the feed's to say, and where the rectangle lies, the screen's that shows it.

mod emblem;
mod head;
mod list;
mod pages;
mod say;
mod shown;

use std::rc::Rc;

use fivemark_wire::shows::{Card, Turn};

use crate::draw::{Item, Layer, Rect, Shape};
use crate::paint::{Kind, Paint, key};
use crate::screen::{Link, Times};
use crate::text::ShapedText;

pub(crate) use shown::CardMemory;

/// Lane of the keys of a card's own items; its rows have theirs from [`ROWS`] on.
const CARD: u8 = 240;
/// First lane of the keys of rows; at most [`MAX_ROWS`] follow.
const ROWS: u8 = 128;
/// Most rows on one page.
const MAX_ROWS: usize = 100;

/// Height of a whole card that is no strip, units.
const WHOLE_UNITS: f32 = 1080.0;

/// A card at a moment.
pub(crate) struct CardFrame<'a> {
    /// Where it lies.
    pub(crate) rect: Rect,
    /// A small card over something else: on a plate of its own, with fewer rows.
    pub(crate) lower: bool,
    /// The card lies over something that is not the theme's ground, so that it needs a plate of its own.
    pub(crate) plate: bool,
    /// The step of the program.
    pub(crate) turn: Turn<'a>,
    /// How the screen stands to the feed.
    pub(crate) link: Link,
    /// Whether the feed writes its journal.
    pub(crate) journal_ok: bool,
    /// Now.
    pub(crate) times: Times,
}

/// Measures of a card.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Measures {
    rect: Rect,
    /// Pixels of a unit: a full card that is not a strip is [`WHOLE_UNITS`] high.
    unit: f32,
    /// The head stands beside the body.
    beside: bool,
    margin: f32,
    head: Rect,
    body: Rect,
    /// Least distance from row to row, units.
    row_units: f32,
}

impl Measures {
    fn new(rect: Rect, lower: bool) -> Measures {
        let beside = rect.w >= rect.h * 2.8 && !lower;
        // Units across and down that have to fit: a strip is read by its height alone.
        let ([across, down], margin_units, head_units, row_units) = if beside {
            ([900.0, 360.0], 26.0, 0.0, 76.0)
        } else if lower {
            ([900.0, 470.0], 30.0, 112.0, 58.0)
        } else {
            ([1040.0, WHOLE_UNITS], 56.0, 156.0, 78.0)
        };
        let unit = (rect.w / across).min(rect.h / down);
        let margin = (margin_units * unit).round();
        let inner = Rect {
            x: rect.x + margin,
            y: rect.y + margin,
            w: (rect.w - 2.0 * margin).max(1.0),
            h: (rect.h - 2.0 * margin).max(1.0),
        };
        let (head, body) = if beside {
            let width = (inner.w * 0.27).max(300.0 * unit).round();
            let gap = (40.0 * unit).round();
            let head = Rect { w: width, ..inner };
            (head, Rect { x: inner.x + width + gap, w: (inner.w - width - gap).max(1.0), ..inner })
        } else {
            let height = (head_units * unit).round();
            let body = Rect { y: inner.y + height, h: (inner.h - height).max(1.0), ..inner };
            (Rect { h: height, ..inner }, body)
        };
        Measures { rect, unit, beside, margin, head, body, row_units }
    }

    /// Width of the card, and the height of a whole card with texts of this size: what a logo is measured by, so that it is
    /// as large against the texts on strips and small cards.
    fn logo_sides(&self) -> [f32; 2] {
        [self.rect.w, WHOLE_UNITS * self.unit]
    }
}

/// Draws a card. A frame that is like the one before allocates nothing.
pub(crate) fn draw(paint: &mut Paint<'_>, memory: &mut CardMemory, frame: &CardFrame<'_>) {
    let m = Measures::new(frame.rect, frame.lower);
    if frame.plate {
        let radius = if frame.lower { (18.0 * m.unit).round() } else { 0.0 };
        paint.rect(key(CARD, Kind::Plate, 0), Layer::Ground, m.rect, radius, paint.colors.background);
    }
    let from = paint.items.len();
    let feed_us = frame.times.feed_us;
    match frame.turn.card {
        Card::Heat => {}
        Card::NextHeat(next) => {
            let page = pages::page(&m, next.lanes.len(), &frame.turn);
            head::next_heat(paint, &m, next, feed_us, page);
            list::next_heat(paint, &m, next, page);
        }
        Card::Results(results) => {
            let page = pages::page(&m, results.rows.len(), &frame.turn);
            head::results(paint, &m, results, page);
            list::results(paint, &m, results, page);
        }
        Card::Standings(standings) => {
            let page = pages::page(&m, standings.rows.len(), &frame.turn);
            head::standings(paint, &m, standings, page);
            list::standings(paint, &m, standings, page);
        }
        Card::Event { name, place, date } => say::event(paint, &m, memory, [name, place, date]),
        Card::Words { title, text } => say::words(paint, &m, memory, title, text),
        Card::Countdown { title, to_ms } => say::countdown(paint, &m, memory, title, *to_ms, feed_us),
    }
    fade(&mut paint.items[from..], memory.share(frame));
    head::marks(paint, &m, frame.link, frame.journal_ok);
}

/// When the card next differs if no message comes, on the axis of frames; none: never.
pub(crate) fn next_change_us(memory: &CardMemory, frame: &CardFrame<'_>) -> Option<i64> {
    let times = frame.times;
    if memory.share(frame) < 1.0 {
        return Some(times.frame_us);
    }
    let m = Measures::new(frame.rect, frame.lower);
    let turn = &frame.turn;
    let rows = match turn.card {
        Card::NextHeat(next) => next.lanes.len(),
        Card::Results(results) => results.rows.len(),
        Card::Standings(standings) => standings.rows.len(),
        _ => 0,
    };
    let to_ms = match turn.card {
        Card::NextHeat(next) => next.starts_at_ms,
        Card::Countdown { to_ms, .. } => Some(*to_ms),
        _ => None,
    };
    let second = to_ms.and_then(|to_ms| say::next_second_us(to_ms, times.feed_us));
    let page = pages::page(&m, rows, turn).next_ms.map(|ms| ms.saturating_mul(1000));
    let feed = [second, page].into_iter().flatten().min();
    let age = frame.link.next_age_us(times.frame_us);
    [feed.map(|feed_us| shown::frame_us(times, feed_us)), age].into_iter().flatten().min()
}

/// Makes items this much there, 0 to 1.
pub(crate) fn fade(items: &mut [Item], share: f32) {
    if share >= 1.0 {
        return;
    }
    // An alpha from 0 to 255 times a share from 0 to 1 is one again.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let faded = |alpha: &mut u8| *alpha = (f32::from(*alpha) * share.max(0.0)).round() as u8;
    for item in items {
        match &mut item.shape {
            Shape::Box(shape) => {
                for color in [&mut shape.fill, &mut shape.fill_bottom, &mut shape.border.color] {
                    faded(&mut color.0[3]);
                }
                if let Some(hatch) = &mut shape.hatch {
                    faded(&mut hatch.color.0[3]);
                }
            }
            Shape::Path(shape) => faded(&mut shape.fill.0[3]),
            Shape::Text(shape) => faded(&mut shape.color.0[3]),
            Shape::Image(shape) => faded(&mut shape.opacity),
        }
    }
}

/// Lines of text as they were laid out; shared, so that a frame copies none.
type Lines = Rc<Vec<Rc<ShapedText>>>;

#[cfg(test)]
mod tests;
