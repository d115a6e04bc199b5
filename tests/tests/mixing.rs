//! Half-transparent patches of a picture, served to a page as a display serves it, and what headless Chromium makes of
//! them over backgrounds that are known: a mixer's browser source. The other ways to a mixer (raw frames, fill and
//! key, a ground of one colour) are held against the same table by the display's own tests.

use std::net::SocketAddr;
use std::path::Path;
use std::thread;
use std::time::Duration;

use fivemark_display::canvas::{CanvasFeed, CanvasOptions, PATIENCE};
use fivemark_display::excerpt::Excerpt;
use fivemark_display::gpu::damage::PxRect;
use fivemark_display::gpu::{Gpu, Renderer};
use fivemark_display::readback::Readback;
use fivemark_scene::Fonts;
use fivemark_scene::draw::{Border, BoxShape, DrawList, Item, ItemKey, Layer, Rect, Rgba, Shape};
use fivemark_tests::foreign;

const KEY: &str = "the display's own key";
const TABLE: &str = "data/source_over.json";
/// Side of a patch, pixels; the script knows it from its own arguments.
const PATCH_PX: u16 = 24;

/// The table's sources side by side, on nothing.
fn patches(sources: &[[u8; 4]]) -> DrawList {
    let side = f32::from(PATCH_PX);
    let patch = |(at, source): (u16, &[u8; 4])| {
        let rect = Rect { x: f32::from(at) * side, y: 0.0, w: side, h: side };
        let fill = Rgba(*source);
        let (border, hatch) = (Border::default(), None);
        let shape = BoxShape { rect, radii: [0.0; 4], fill, fill_bottom: fill, border, hatch };
        Item {
            key: ItemKey(u64::from(at)),
            layer: Layer::Ground,
            bounds: rect,
            clip: None,
            shape: Shape::Box(shape),
        }
    };
    let size = [u32::from(PATCH_PX) * u32::try_from(sources.len()).expect("a few"), u32::from(PATCH_PX)];
    DrawList { size, clear: Rgba([0; 4]), items: (0..).zip(sources).map(patch).collect() }
}

#[test]
fn half_transparent_patches_are_source_over_in_a_browser() {
    let table = Path::new(env!("CARGO_MANIFEST_DIR")).join(TABLE);
    let text = std::fs::read_to_string(&table).expect("the table");
    let rows: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let rows = rows["rows"].as_array().expect("rows").iter();
    let sources: Vec<[u8; 4]> =
        rows.map(|row| serde_json::from_value(row["source"].clone()).expect("four channels")).collect();

    let list = patches(&sources);
    let options = CanvasOptions {
        address: SocketAddr::from(([127, 0, 0, 1], 0)),
        access_key: Some(KEY),
        size: list.size,
        excerpt: Excerpt::default(),
        patience: PATIENCE,
    };
    let feed = CanvasFeed::start(options, || ()).expect("a free port");
    let mut renderer = Renderer::new(Gpu::open().expect("there is an adapter"), list.size).expect("it draws");
    let mut fonts = Fonts::new(&fivemark_themes::find("dark").expect("the theme is bundled"));
    let mut readback = Readback::default();
    readback.add(feed.tap());
    renderer.draw(&list, fonts.system_mut()).expect("it is drawn");
    readback.drawn(&renderer);

    let url = format!("http://{}/#access_key={}", feed.address(), KEY.replace(' ', "%20"));
    let looking = thread::spawn(move || {
        let table = table.to_str().expect("the tree's folders have names in UTF-8");
        foreign::run("mixing_client.py", &[&url, table, &PATCH_PX.to_string()]);
    });
    // Pixels go to pages as they come.
    while !looking.is_finished() {
        readback.step(&renderer, PxRect::of_size(list.size));
        thread::sleep(Duration::from_millis(5));
    }
    looking.join().expect("the browser agrees with the table");
}
