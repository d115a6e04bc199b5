//! What stands on cards that say one thing, beside what they say: the theme's logo, large on the event's own card and
//! small on the others, and without one the mark of the five on the event's. No text gets smaller for it but the
//! event's name on a whole screen, which shares that with the logo.

use fivemark_themes::Logo;

use super::{CARD, Measures};
use crate::draw::{Border, BoxShape, Layer, Rect};
use crate::layouts::logo;
use crate::paint::{Align, Kind, Paint, key, plain, rgba};

/// How many times as large as elsewhere a logo may be on the event's card.
const LARGE: f32 = 3.0;
/// Most of the card's width that it takes there, and of its height; that is more on a strip, which has it beside the texts.
const MOST_WIDTH: f32 = 0.6;
const MOST_HEIGHT: [f32; 2] = [0.36, 0.7];
/// Height of the mark of the five, with the air under it, units.
const FIVE: f32 = 150.0;
/// Air between a logo and what it stands over, units.
const AIR: f32 = 58.0;
/// A card whose area is lower than this keeps no room over its texts, units.
const LEAST_HEIGHT: f32 = 560.0;

/// Width and height of the logo on the event's card.
fn large(logo: &Logo, m: &Measures, area: Rect) -> [f32; 2] {
    let [width, height] = logo::most(logo, m.logo_sides());
    let most_height = area.h * MOST_HEIGHT[usize::from(m.beside)];
    [(width * LARGE).min(area.w * MOST_WIDTH), (height * LARGE).min(most_height)]
}

/// How much of the height over the texts is kept for it on the event's card, with the air between, pixels. Strips and
/// small cards keep none, and show it only where the texts leave room.
pub(super) fn kept(paint: &Paint<'_>, m: &Measures, area: Rect) -> f32 {
    if m.beside || area.h < LEAST_HEIGHT * m.unit {
        return 0.0;
    }
    let logo = paint.logo.and_then(|logo| logo::place(logo, large(logo, m, area), area, Align::Center));
    logo.map_or(FIVE * m.unit, |rect| rect.h + AIR * m.unit)
}

/// Draws it on the event's card, where texts take this width and height; gives the top of the texts.
pub(super) fn draw(
    paint: &mut Paint<'_>,
    m: &Measures,
    area: Rect,
    (kept, width, height): (f32, f32, f32),
) -> f32 {
    let (unit, key) = (m.unit, key(CARD, Kind::Logo, 0));
    let top_under = |over: f32| (area.y + (area.h - over - height) / 2.0 + over).round();
    let most = |logo: &Logo| large(logo, m, area);
    if kept > 0.0 {
        let top = top_under(kept);
        let room = Rect { y: top - kept, h: kept - AIR * unit, ..area };
        if logo::draw(paint, key, most, room, Align::Center).is_none() {
            five(paint, [area.x + area.w / 2.0, top - kept], unit);
        }
        return top;
    }
    // Over the texts in what they leave of the height, or beside them.
    let air = AIR * unit * 0.7;
    let over = Rect { h: area.h - height - air, ..area };
    if let Some(rect) = paint.logo.and_then(|logo| logo::place(logo, most(logo), over, Align::Center)) {
        let top = top_under(rect.h + air);
        paint.logo(key, Layer::Tags, Rect { y: top - air - rect.h, ..rect });
        return top;
    }
    let beside = Rect { w: (area.w - width) / 2.0 - air, ..area };
    logo::draw(paint, key, most, beside, Align::Right);
    top_under(0.0)
}

/// The theme's logo in the upper right, over or beside texts in the middle that are this wide and begin at `top`.
pub(super) fn small(paint: &mut Paint<'_>, m: &Measures, area: Rect, (top, width): (f32, f32)) {
    let (key, air) = (key(CARD, Kind::Logo, 0), AIR * m.unit * 0.5);
    let most = |logo: &Logo| logo::most(logo, m.logo_sides());
    let Some([wide, high]) = paint.logo.map(most) else { return };
    let over = Rect { x: area.x + area.w - wide, w: wide, h: high.min(top - air - area.y), ..area };
    if logo::draw(paint, key, most, over, Align::Right).is_some() {
        return;
    }
    let right = (area.w - width) / 2.0 - air;
    let beside = Rect { x: area.x + area.w - right, w: right, h: high.min(area.h), ..area };
    logo::draw(paint, key, most, beside, Align::Right);
}

/// The mark of the five, its top in the middle at a point.
fn five(paint: &mut Paint<'_>, [middle, top]: [f32; 2], unit: f32) {
    let (block, gap) = ((52.0 * unit).round(), (15.0 * unit).round());
    let left = (middle - (5.0 * block + 4.0 * gap) / 2.0).round();
    for mark in 0u8..5 {
        let x = left + f32::from(mark) * (block + gap);
        let rect = Rect { x, y: top.round(), w: block, h: (block * 1.5).round() };
        let border = Border { width: (4.0 * unit).round().max(1.0), color: rgba(paint.colors.block) };
        let shape = BoxShape { border, ..plain(rect, 8.0 * unit, paint.colors.background) };
        paint.shaped_box(key(CARD, Kind::Motif, usize::from(mark)), Layer::Ground, shape);
    }
}
