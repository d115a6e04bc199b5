//! How large a theme's logo stands in the room that others leave it: never stretched, never over anything, smaller where
//! there is less room, and not at all where it would get less than half as high as it should be. Which room cards have
//! for it is left to them.

use fivemark_themes::Logo;

use crate::clock::{self, Reading};
use crate::draw::{ItemKey, Layer, Rect};
use crate::layouts::Layout;
use crate::paint::{Align, Ink, Kind, Paint, key, within};
use crate::text::Style;

/// Width and height that a logo takes at most of a screen or a card of this size, pixels.
pub(crate) fn most(logo: &Logo, [width, height]: [f32; 2]) -> [f32; 2] {
    [share(width, logo.width), share(height, logo.height)]
}

/// Thousandths of a side.
#[allow(clippy::cast_precision_loss)] // at most a thousand
fn share(side: f32, thousandths: u32) -> f32 {
    side * thousandths as f32 / 1000.0
}

/// Where a logo stands in some room: at its left, in its middle or at its right, and halfway down.
pub(crate) fn place(logo: &Logo, most: [f32; 2], room: Rect, align: Align) -> Option<Rect> {
    let fit = |[w, h]: [f32; 2]| within(logo.picture.size(), Rect { w, h, ..room });
    let whole = fit(most)?;
    let rect = fit([most[0].min(room.w), most[1].min(room.h)])?;
    let spare = room.w - rect.w;
    let x = match align {
        Align::Left => room.x,
        Align::Center => room.x + spare / 2.0,
        Align::Right => room.x + spare,
    };
    let y = room.y + (room.h - rect.h) / 2.0;
    (rect.h * 2.0 >= whole.h).then_some(Rect { x: x.floor(), y: y.floor(), ..rect })
}

/// Draws the theme's logo there, if it has one that fits; gives where it stands. `key` names it, and `most` says how large
/// it is at most.
pub(crate) fn draw(
    paint: &mut Paint<'_>,
    key: ItemKey,
    most: impl Fn(&Logo) -> [f32; 2],
    room: Rect,
    align: Align,
) -> Option<Rect> {
    let logo = paint.logo?;
    let rect = place(logo, most(logo), room, align)?;
    paint.logo(key, Layer::Tags, rect);
    Some(rect)
}

/// The theme's logo, if there is room for it: between the texts, which end at `left`, and the clock; where the texts stand
/// around the clock, at its left.
pub(crate) fn in_header(paint: &mut Paint<'_>, layout: &Layout, left: f32, reading: &Reading) {
    let h = &layout.heading;
    let (gap, align) =
        if h.shared.is_some() { (h.title.cap * 0.5, Align::Left) } else { (h.title.cap, Align::Right) };
    let (from, to) = if h.shared.is_some() {
        (h.area.x, h.clock.x - widest_clock(paint, layout, reading) / 2.0 - gap)
    } else {
        (left + gap, h.clock.x - h.clock.width / 2.0 - gap)
    };
    let room = Rect { x: from, y: h.clock.baseline - h.clock.cap, w: to - from, h: h.clock.cap };
    let most_of = |logo: &Logo| {
        let [width, height] = most(logo, [layout.width, layout.height]);
        [width, height.min(h.clock.cap)]
    };
    draw(paint, key(0, Kind::Logo, 0), most_of, room, align);
}

/// Width of the clock at the heat's end, or now if that is longer, so that nothing beside it moves while it runs.
fn widest_clock(paint: &mut Paint<'_>, layout: &Layout, reading: &Reading) -> f32 {
    let h = &layout.heading;
    let ink = Ink { style: Style::Clock, cap_height: h.clock.cap, color: paint.colors.text };
    let mut text = paint.take_text();
    clock::write_seconds(&mut text, reading.elapsed_tenths.max(reading.end_ms / 100));
    let seconds = paint.figures_width(&text, ink);
    paint.give_back(text);
    (seconds + paint.figures_width(".0", Ink { cap_height: h.tenth_cap, ..ink })).min(h.clock.width)
}
