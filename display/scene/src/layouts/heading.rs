//! Measures of a header: where its clock, its texts and the bar of the time stand. A wide board has the clock between
//! two blocks of text; where there is less width, the texts stand above and under it.

use crate::draw::Rect;
use crate::paint::{Align, At};

/// Where a text of the header stands, pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Slot {
    pub(crate) x: f32,
    pub(crate) baseline: f32,
    pub(crate) align: Align,
    /// Height of its capitals or figures.
    pub(crate) cap: f32,
    /// Room for it.
    pub(crate) width: f32,
}

impl Slot {
    /// Its place, for a text.
    pub(crate) fn at(&self) -> At {
        At { x: self.x, baseline: self.baseline, align: self.align }
    }
}

/// Measures of a header, pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Heading {
    pub(crate) clock: Slot,
    pub(crate) tenth_cap: f32,
    pub(crate) title: Slot,
    /// The heat and its divisions, and before them marks when something is wrong with the feed.
    pub(crate) line: Slot,
    /// How long is left, or the state.
    pub(crate) left: Slot,
    pub(crate) cap: Slot,
    /// The line and the cap stand on one baseline and share this width; each has its own if there is none.
    pub(crate) shared: Option<f32>,
    pub(crate) cap_bar: Rect,
    /// All of it.
    pub(crate) area: Rect,
}

/// The clock in the middle, two lines of text on each side of it, the bar of the time under all.
pub(crate) fn beside_clock(unit: f32, width: f32, margin: f32) -> Heading {
    let clock_cap = 126.0 * unit;
    let clock_baseline = (margin + clock_cap).round();
    let title_cap = 38.0 * unit;
    let line_cap = 23.0 * unit;
    let between = 27.0 * unit;
    let block_top = margin + (clock_cap - title_cap - between - line_cap) / 2.0;
    let bar_height = (10.0 * unit).round().max(2.0);
    let side = (width - 2.0 * margin - 640.0 * unit).max(0.0) / 2.0;
    let title_baseline = (block_top + title_cap).round();
    let line_baseline = (block_top + title_cap + between + line_cap).round();
    let clock = Slot {
        x: width / 2.0,
        baseline: clock_baseline,
        align: Align::Center,
        cap: clock_cap,
        width: 620.0 * unit,
    };
    let title = Slot { x: margin, baseline: title_baseline, align: Align::Left, cap: title_cap, width: side };
    let line = Slot { baseline: line_baseline, cap: line_cap, ..title };
    let right = |slot: Slot| Slot { x: width - margin, align: Align::Right, ..slot };
    let cap_bar =
        Rect { x: margin, y: clock_baseline + (22.0 * unit).round(), w: width - 2.0 * margin, h: bar_height };
    Heading {
        clock,
        tenth_cap: 72.0 * unit,
        title,
        line,
        left: right(title),
        cap: right(line),
        shared: None,
        cap_bar,
        area: Rect { x: margin, y: margin, w: cap_bar.w, h: cap_bar.y + cap_bar.h - margin },
    }
}

/// Height of a header whose texts stand around the clock, in heights of the clock.
pub(crate) const AROUND_HEIGHT: f32 = 1.88;
/// Width of the longest clock that is shown at its full height, with its tenth, in heights of the clock.
pub(crate) const CLOCK_WIDTH: f32 = 4.3;

/// Title and time left above the clock, heat and cap under it, then the bar of the time; `at` is the top left corner.
pub(crate) fn around_clock(at: [f32; 2], width: f32, clock_cap: f32) -> Heading {
    let [x, y] = at;
    let title_cap = clock_cap * 0.23;
    let line_cap = clock_cap * 0.15;
    let title_baseline = (y + title_cap).round();
    let clock_baseline = (title_baseline + clock_cap * 1.15).round();
    let line_baseline = (clock_baseline + clock_cap * 0.14 + line_cap).round();
    let middle = x + width / 2.0;
    let clock = Slot { x: middle, baseline: clock_baseline, align: Align::Center, cap: clock_cap, width };
    let title = Slot { x, baseline: title_baseline, align: Align::Left, cap: title_cap, width: width * 0.5 };
    let line = Slot { baseline: line_baseline, cap: line_cap, width, ..title };
    let left = Slot { x: x + width, align: Align::Right, width: width * 0.46, ..title };
    let cap_bar = Rect {
        x,
        y: line_baseline + (clock_cap * 0.12).round(),
        w: width,
        h: (clock_cap * 0.055).round().max(2.0),
    };
    Heading {
        clock,
        tenth_cap: clock_cap * 0.58,
        title,
        line,
        left,
        cap: Slot { x: x + width, align: Align::Right, width: width * 0.6, ..line },
        shared: Some(width),
        cap_bar,
        area: Rect { x, y, w: width, h: cap_bar.y + cap_bar.h - y },
    }
}
