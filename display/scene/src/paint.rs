//! Pushing items: boxes, shaped text, and figures set character by character in columns of one width, so that a
//! changing number shapes nothing and repaints only the characters that differ.

use std::rc::Rc;
use std::sync::Arc;

use fivemark_themes::check::lit;
use fivemark_themes::{Color, Colors, Form, Logo};

use crate::draw::{
    Border, BoxShape, Hatch, ImageShape, Item, ItemKey, Layer, PathShape, Rect, Rgba, Segment, Shape,
    TextShape,
};
use crate::text::{FigureSet, Fonts, ShapedText, Style};
use crate::words::Words;

pub(crate) use crate::keys::{Kind, key};

/// Where a text stands: its baseline, and the left end, middle or right end of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct At {
    pub(crate) x: f32,
    pub(crate) baseline: f32,
    pub(crate) align: Align,
}

/// Which point of a text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Align {
    Left,
    Center,
    Right,
}

/// A style at a height of capitals in pixels, with its colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ink {
    pub(crate) style: Style,
    pub(crate) cap_height: f32,
    pub(crate) color: Color,
}

/// A frame under construction.
pub(crate) struct Paint<'a> {
    pub(crate) items: &'a mut Vec<Item>,
    pub(crate) fonts: &'a mut Fonts,
    pub(crate) colors: &'a Colors,
    pub(crate) form: &'a Form,
    /// The language.
    pub(crate) words: &'a Words,
    /// The theme's logo, if it has one.
    pub(crate) logo: Option<&'a Logo>,
    /// Texts to write in, kept from frame to frame.
    pub(crate) texts: &'a mut Vec<String>,
}

impl Paint<'_> {
    /// A box of one colour.
    pub(crate) fn rect(&mut self, key: ItemKey, layer: Layer, rect: Rect, radius: f32, fill: Color) {
        self.shaped_box(key, layer, plain(rect, radius, fill));
    }

    /// A box of any kind.
    pub(crate) fn shaped_box(&mut self, key: ItemKey, layer: Layer, shape: BoxShape) {
        if shape.rect.w <= 0.0 || shape.rect.h <= 0.0 {
            return;
        }
        let bounds = grown(shape.rect, 1.0);
        self.items.push(Item { key, layer, bounds, clip: None, shape: Shape::Box(shape) });
    }

    /// A bar's fill, a little lighter at its top.
    pub(crate) fn bar(&mut self, key: ItemKey, rect: Rect, radii: [f32; 4], color: Color) {
        let top = lit(color, self.form);
        let shape = BoxShape { fill: rgba(top), fill_bottom: rgba(color), radii, ..plain(rect, 0.0, color) };
        self.shaped_box(key, Layer::Ground, shape);
    }

    /// A filled outline.
    pub(crate) fn path(&mut self, key: ItemKey, outline: &Rc<Vec<Segment>>, at: Rect, fill: Color) {
        let shape =
            PathShape { outline: Rc::clone(outline), at: [at.x, at.y], scale: at.w, fill: rgba(fill) };
        let bounds = grown(at, 1.0);
        self.items.push(Item { key, layer: Layer::Ground, bounds, clip: None, shape: Shape::Path(shape) });
    }

    /// The theme's logo, if it has one, stretched to this rectangle. It lies behind the boxes of its layer: over a plate,
    /// give it the layer above the plate's.
    pub(crate) fn logo(&mut self, key: ItemKey, layer: Layer, rect: Rect) {
        let Some(logo) = self.logo else { return };
        let picture = Arc::clone(&logo.picture);
        let shape = ImageShape { picture, rect, copy: [rect.w, rect.h], opacity: 255 };
        self.items.push(Item { key, layer, bounds: rect, clip: None, shape: Shape::Image(shape) });
    }

    /// A text; its width.
    pub(crate) fn text(&mut self, key: ItemKey, layer: Layer, text: &str, ink: Ink, at: At) -> f32 {
        let shaped = self.fonts.shaped(text, ink.style, ink.cap_height);
        self.shaped_text(key, layer, &shaped, ink.color, at)
    }

    /// A text that is shaped already; its width.
    pub(crate) fn shaped_text(
        &mut self,
        key: ItemKey,
        layer: Layer,
        text: &Rc<ShapedText>,
        color: Color,
        at: At,
    ) -> f32 {
        let left = match at.align {
            Align::Left => at.x,
            Align::Center => at.x - text.width / 2.0,
            Align::Right => at.x - text.width,
        };
        let overhang = text.cap_height * 0.35;
        let bounds = Rect {
            x: left.floor() - overhang,
            y: (at.baseline - text.baseline).round() - overhang,
            w: text.width + 2.0 * overhang + 1.0,
            h: text.height + 2.0 * overhang,
        };
        self.push_text(key, layer, text, color, [left.round(), at.baseline], bounds, None);
        text.width
    }

    /// Figures in columns; their width. Each character is an item of its own with `index` counting from the
    /// right, so that a number keeps its items when it grows.
    pub(crate) fn figures(
        &mut self,
        lane: u8,
        kind: Kind,
        layer: Layer,
        text: &str,
        ink: Ink,
        at: At,
    ) -> f32 {
        let set = self.fonts.figures(ink.style, ink.cap_height);
        let width = text.chars().map(|character| self.slot_in(&set, character, ink)).sum();
        let right = match at.align {
            Align::Left => at.x + width,
            Align::Center => at.x + width / 2.0,
            Align::Right => at.x,
        };
        let mut x = right;
        for (index, character) in text.chars().rev().enumerate() {
            let slot = self.slot_in(&set, character, ink);
            x -= slot;
            let key = key(lane, kind, index);
            self.figure_in(&set, key, layer, character, ink, [x, at.baseline], slot, None);
        }
        width
    }

    /// One figure in a column.
    #[allow(clippy::too_many_arguments)] // a place, a look and a name; grouping them would only rename them
    pub(crate) fn figure(
        &mut self,
        key: ItemKey,
        layer: Layer,
        character: char,
        ink: Ink,
        left_baseline: [f32; 2],
        slot: f32,
        clip: Option<Rect>,
    ) {
        let set = self.fonts.figures(ink.style, ink.cap_height);
        self.figure_in(&set, key, layer, character, ink, left_baseline, slot, clip);
    }

    #[allow(clippy::too_many_arguments)] // as above
    fn figure_in(
        &mut self,
        set: &FigureSet,
        key: ItemKey,
        layer: Layer,
        character: char,
        ink: Ink,
        left_baseline: [f32; 2],
        slot: f32,
        clip: Option<Rect>,
    ) {
        if character == ' ' {
            return;
        }
        let shaped = match set.get(character) {
            Some(shaped) => Rc::clone(shaped),
            None => self.character(character, ink),
        };
        let [left, baseline] = left_baseline;
        let x = (left + (slot - shaped.width) / 2.0).round();
        // Figures stand between the baseline and the height of capitals, give or take their round ends.
        let bounds = Rect {
            x: x - 2.0,
            y: (baseline - shaped.cap_height * 1.06).floor() - 2.0,
            w: shaped.width + 4.0,
            h: (shaped.cap_height * 1.3).ceil() + 4.0,
        };
        self.push_text(key, layer, &shaped, ink.color, [x, baseline], bounds, clip);
    }

    /// Width of figures in columns.
    pub(crate) fn figures_width(&mut self, text: &str, ink: Ink) -> f32 {
        let set = self.fonts.figures(ink.style, ink.cap_height);
        text.chars().map(|character| self.slot_in(&set, character, ink)).sum()
    }

    /// Width of a character's column.
    pub(crate) fn slot(&mut self, character: char, ink: Ink) -> f32 {
        let set = self.fonts.figures(ink.style, ink.cap_height);
        self.slot_in(&set, character, ink)
    }

    fn slot_in(&mut self, set: &FigureSet, character: char, ink: Ink) -> f32 {
        if character.is_ascii_digit() {
            return set.digit_width;
        }
        set.get(character).map_or_else(|| self.character(character, ink).width, |shaped| shaped.width)
    }

    /// An empty text to write in; give it back, so that writing it allocates nothing the next time.
    pub(crate) fn take_text(&mut self) -> String {
        self.texts.pop().unwrap_or_default()
    }

    /// Takes back a text that was written in.
    pub(crate) fn give_back(&mut self, mut text: String) {
        text.clear();
        self.texts.push(text);
    }

    fn character(&mut self, character: char, ink: Ink) -> Rc<ShapedText> {
        let mut buffer = [0; 4];
        self.fonts.shaped(character.encode_utf8(&mut buffer), ink.style, ink.cap_height)
    }

    #[allow(clippy::too_many_arguments)] // the fields of an item
    fn push_text(
        &mut self,
        key: ItemKey,
        layer: Layer,
        text: &Rc<ShapedText>,
        color: Color,
        left_baseline: [f32; 2],
        bounds: Rect,
        clip: Option<Rect>,
    ) {
        let [left, baseline] = left_baseline;
        let top = (baseline - text.baseline).round();
        let shape = TextShape { text: Rc::clone(text), left, top, color: rgba(color) };
        self.items.push(Item { key, layer, bounds, clip, shape: Shape::Text(shape) });
    }
}

/// The middle of a room that something of this size fills without being stretched, in whole pixels; none where it would
/// be less than one.
pub(crate) fn within(size: [u32; 2], room: Rect) -> Option<Rect> {
    #[allow(clippy::cast_precision_loss)] // pictures have thousands of pixels on a side
    let [width, height] = size.map(|side| side.max(1) as f32);
    let scale = (room.w / width).min(room.h / height);
    // The hundredth gives back what dividing and multiplying lost.
    let [w, h] = [width, height].map(|side| (side * scale + 0.01).floor());
    let x = (room.x + (room.w - w) / 2.0).round();
    let y = (room.y + (room.h - h) / 2.0).round();
    (w >= 1.0 && h >= 1.0).then_some(Rect { x, y, w, h })
}

/// A colour of the theme as the draw list has it.
pub(crate) fn rgba(color: Color) -> Rgba {
    Rgba(color.0)
}

/// A box of one colour.
pub(crate) fn plain(rect: Rect, radius: f32, fill: Color) -> BoxShape {
    BoxShape {
        rect,
        radii: [radius; 4],
        fill: rgba(fill),
        fill_bottom: rgba(fill),
        border: Border::default(),
        hatch: None,
    }
}

/// Diagonal stripes.
pub(crate) fn stripes(color: Color, period: f32) -> Hatch {
    Hatch { color: rgba(color), period, width: period / 2.0, angle: 45.0 }
}

fn grown(rect: Rect, by: f32) -> Rect {
    Rect { x: rect.x - by, y: rect.y - by, w: rect.w + 2.0 * by, h: rect.h + 2.0 * by }
}
