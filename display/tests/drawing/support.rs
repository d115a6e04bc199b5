//! Draw lists for the tests, and what a renderer makes of them.

use std::rc::Rc;
use std::sync::Arc;

use fivemark_display::gpu::{Gpu, Pixels, Renderer};
use fivemark_scene::Fonts;
use fivemark_scene::draw::{
    Border, BoxShape, DrawList, ImageShape, Item, ItemKey, Layer, PathShape, Picture, Rect, Rgba, Segment,
    Shape,
};

pub const SIZE: [u32; 2] = [240, 160];
pub const CLEAR: Rgba = Rgba([0, 0, 0, 0]);

pub fn gpu() -> Gpu {
    Gpu::open().expect("an adapter; tests/run installs Mesa's software one")
}

pub fn fonts() -> Fonts {
    Fonts::new(&fivemark_themes::find("dark").expect("the bundled theme"))
}

pub fn renderer(size: [u32; 2]) -> Renderer {
    Renderer::new(gpu(), size).expect("a small canvas")
}

/// Paints one list on an empty canvas.
pub fn painted(list: &DrawList) -> Pixels {
    let mut renderer = renderer(list.size);
    renderer.draw(list, fonts().system_mut()).expect("a frame");
    renderer.pixels().expect("its pixels")
}

pub fn list(clear: Rgba, items: Vec<Item>) -> DrawList {
    DrawList { size: SIZE, clear, items }
}

pub fn rect(x: f32, y: f32, w: f32, h: f32) -> Rect {
    Rect { x, y, w, h }
}

pub fn plain(rect: Rect, fill: Rgba) -> BoxShape {
    BoxShape { rect, radii: [0.0; 4], fill, fill_bottom: fill, border: Border::default(), hatch: None }
}

pub fn box_item(key: u64, shape: BoxShape) -> Item {
    Item { key: ItemKey(key), layer: Layer::Ground, bounds: shape.rect, clip: None, shape: Shape::Box(shape) }
}

/// A path whose outline lies within `size` units; bounds leave room for the soft edge.
pub fn path_item(key: u64, outline: &Rc<Vec<Segment>>, at: [f32; 2], size: [f32; 2], fill: Rgba) -> Item {
    Item {
        key: ItemKey(key),
        layer: Layer::Ground,
        bounds: rect(at[0] - 1.0, at[1] - 1.0, size[0] + 2.0, size[1] + 2.0),
        clip: None,
        shape: Shape::Path(PathShape { outline: Rc::clone(outline), at, scale: 1.0, fill }),
    }
}

/// A picture of different colours and alphas, premultiplied.
pub fn picture(size: [u32; 2], step: u8) -> Arc<Picture> {
    let pixels = usize::try_from(size[0] * size[1]).expect("a small picture");
    let colors = (0..pixels).scan(0u8, |last, _| {
        *last = last.wrapping_add(step);
        let alpha = last.wrapping_mul(7) | 1;
        Some([alpha / 2, alpha / 3, alpha, alpha])
    });
    Arc::new(Picture::new(size, colors.flatten().collect()).expect("as many pixels as it says"))
}

/// A picture of one colour, premultiplied.
pub fn flat(size: [u32; 2], color: [u8; 4]) -> Arc<Picture> {
    let pixels = usize::try_from(size[0] * size[1]).expect("a small picture");
    Arc::new(Picture::new(size, color.repeat(pixels)).expect("as many pixels as it says"))
}

pub fn image_item(key: u64, picture: &Arc<Picture>, rect: Rect, opacity: u8) -> Item {
    let shape = ImageShape { picture: Arc::clone(picture), rect, copy: [rect.w, rect.h], opacity };
    Item { key: ItemKey(key), layer: Layer::Tags, bounds: rect, clip: None, shape: Shape::Image(shape) }
}

/// A source over a backdrop, both straight, and what that gives, premultiplied.
#[derive(Debug)]
pub struct Over {
    pub name: String,
    pub source: [u8; 4],
    pub backdrop: [u8; 4],
    pub over: [u8; 4],
}

/// The table that every way to a mixer is held against; it says where its numbers come from.
pub fn source_over() -> Vec<Over> {
    let text = include_str!("../../../tests/data/source_over.json");
    let table: serde_json::Value = serde_json::from_str(text).expect("JSON");
    let color = |row: &serde_json::Value, name: &str| -> [u8; 4] {
        serde_json::from_value(row[name].clone()).expect("four channels")
    };
    let over = |row: &serde_json::Value| Over {
        name: row["name"].as_str().expect("a name").to_owned(),
        source: color(row, "source"),
        backdrop: color(row, "backdrop"),
        over: color(row, "over"),
    };
    table["rows"].as_array().expect("rows").iter().map(over).collect()
}

/// Each channel within `by` of what it should be.
#[track_caller]
pub fn assert_near(found: [u8; 4], expected: [u8; 4], by: u8, what: &str) {
    let near = found.iter().zip(expected).all(|(found, expected)| found.abs_diff(expected) <= by);
    assert!(near, "{what}: found {found:?}, expected {expected:?} within {by}");
}
