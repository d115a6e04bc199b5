//! The draw list: what a frame looks like, in pixels of the target, without any word about lanes or GPUs.
//!
//! A layout pushes keyed items; the renderer compares this frame's items with the last frame's and repaints only
//! the rectangles in which something differs. So an item says everything that its pixels depend on, and equal
//! items have equal pixels.

use std::rc::Rc;
use std::sync::Arc;

pub use fivemark_themes::Picture;

use crate::text::ShapedText;

/// A straight (not premultiplied) sRGB colour with alpha, each channel 0 to 255.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Rgba(pub [u8; 4]);

/// A rectangle in pixels: left, top, width, height. Width and height are never negative.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs)]
pub struct Rect {
    pub x: f32,
    pub y: f32,
    pub w: f32,
    pub h: f32,
}

/// Tells items apart from frame to frame. A layout makes them from what the item is for, never from its position
/// in the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemKey(pub u64);

/// How far apart in depth items lie: a layer is painted whole before the next one, and within a layer images come
/// first, then boxes, then paths, then text, each in the order in which it was pushed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    /// Background, rows, tracks, names, counts.
    Ground,
    /// Tags and marks that lie over tracks.
    Tags,
    /// What lies over everything: the countdown's last figures, the held notice.
    Over,
}

/// All layers, from the back.
pub const LAYERS: [Layer; 3] = [Layer::Ground, Layer::Tags, Layer::Over];

/// One thing to paint.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its name across frames.
    pub key: ItemKey,
    /// Its depth.
    pub layer: Layer,
    /// Everything that it may paint lies in here, feathered edges and shadows included.
    pub bounds: Rect,
    /// Nothing outside of this is painted; none for no clip.
    pub clip: Option<Rect>,
    /// What it is.
    pub shape: Shape,
}

/// What can be painted.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A rounded box.
    Box(BoxShape),
    /// A filled polygon with curves.
    Path(PathShape),
    /// Shaped text.
    Text(TextShape),
    /// A picture.
    Image(ImageShape),
}

/// A rounded box, filled and outlined, drawn as a signed-distance shape with an edge one pixel soft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxShape {
    /// Where.
    pub rect: Rect,
    /// Radii in pixels: top left, top right, bottom right, bottom left.
    pub radii: [f32; 4],
    /// Colour inside.
    pub fill: Rgba,
    /// Colour at the bottom edge, for a vertical gradient; equal to `fill` for none.
    pub fill_bottom: Rgba,
    /// Outline, lying inside the rect; width 0 for none.
    pub border: Border,
    /// Diagonal stripes over the fill; none for plain.
    pub hatch: Option<Hatch>,
}

/// An outline.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Border {
    /// Width in pixels.
    pub width: f32,
    /// Colour.
    pub color: Rgba,
}

/// Stripes over a fill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hatch {
    /// Colour of the stripes.
    pub color: Rgba,
    /// Distance from stripe to stripe, pixels.
    pub period: f32,
    /// Width of a stripe, pixels.
    pub width: f32,
    /// Direction of the stripes: 0 for horizontal stripes, 45 for rising diagonals, in degrees.
    pub angle: f32,
}

/// A closed outline of straight and curved segments, filled.
#[derive(Clone, Debug, PartialEq)]
pub struct PathShape {
    /// The outline; shared, because icons are built once.
    pub outline: Rc<Vec<Segment>>,
    /// Where the outline's origin lies, pixels.
    pub at: [f32; 2],
    /// Scale from the outline's units to pixels.
    pub scale: f32,
    /// Colour inside.
    pub fill: Rgba,
}

/// A piece of an outline, in the outline's own units.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)]
pub enum Segment {
    MoveTo([f32; 2]),
    LineTo([f32; 2]),
    QuadTo { ctrl: [f32; 2], to: [f32; 2] },
    CubicTo { ctrl1: [f32; 2], ctrl2: [f32; 2], to: [f32; 2] },
    Close,
}

/// Shaped text at a place. Equal if it is the same shaped text, not merely the same words.
#[derive(Clone, Debug)]
pub struct TextShape {
    /// Shaped once, kept in the text cache.
    pub text: Rc<ShapedText>,
    /// Left end of the baseline's line box, pixels.
    pub left: f32,
    /// Top of the line box, pixels; snapped to whole pixels by the renderer.
    pub top: f32,
    /// Colour.
    pub color: Rgba,
}

impl PartialEq for TextShape {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.text, &other.text)
            && self.left == other.left
            && self.top == other.top
            && self.color == other.color
    }
}

/// A picture, scaled into a rectangle, or repeated in it. Equal if it is the same picture, not merely one with the same
/// pixels.
#[derive(Clone, Debug)]
pub struct ImageShape {
    /// The picture; shared with the theme, which may be loaded by another thread.
    pub picture: Arc<Picture>,
    /// What it covers, pixels.
    pub rect: Rect,
    /// Width and height that it is stretched to, pixels; where that is not all of the rectangle, copies of it follow
    /// each other from the upper left.
    pub copy: [f32; 2],
    /// 0 leaves nothing of it, 255 all.
    pub opacity: u8,
}

impl PartialEq for ImageShape {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.picture, &other.picture)
            && (self.rect, self.copy, self.opacity) == (other.rect, other.copy, other.opacity)
    }
}

/// A frame.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawList {
    /// Size of the target, pixels.
    pub size: [u32; 2],
    /// What every damaged rectangle is cleared to before anything is painted; transparent for overlays.
    pub clear: Rgba,
    /// The items, in any order of layers.
    pub items: Vec<Item>,
}
