//! Source-over and the sRGB transfer function against published numbers, read back from the GPU.
//!
//! The numbers of source-over are those of `tests/data/source_over.json`, which names their source. The transfer
//! function is IEC 61966-2-1's, as quoted by WCAG 2.2; its linear values were computed with forty digits.

use fivemark_display::gpu::blit::Blit;
use fivemark_display::gpu::{Pixels, Renderer, read_texture};
use fivemark_scene::draw::{DrawList, Rgba};
use wgpu::{TextureFormat, TextureUsages};

use crate::support::{
    CLEAR, SIZE, assert_near, box_item, fonts, gpu, list, painted, plain, rect, source_over,
};

#[test]
fn source_over_gives_the_published_numbers() {
    for case in source_over() {
        // Left a box small enough for the signed-distance shader, right one that is filled plainly.
        for area in [rect(4.0, 4.0, 20.0, 20.0), rect(40.5, 4.5, 120.0, 120.0)] {
            let items = [case.backdrop, case.source].map(Rgba).into_iter().zip(0..);
            let items = items.map(|(color, key)| box_item(key, plain(area, color))).collect();
            let pixels = painted(&list(CLEAR, items));
            let (x, y) = if area.w < 100.0 { (12, 12) } else { (100, 60) };
            // The backdrop is rounded to eight bits before the source comes over it: one step may be lost.
            assert_near(pixels.at(x, y), case.over, 1, &case.name);
        }
    }
}

/// The ground of a window or page that a mixer keys out, or shows as it is.
#[test]
fn a_ground_of_one_colour_lies_under_half_transparent_patches() {
    let mut renderer = crate::support::renderer(SIZE);
    for case in source_over().iter().filter(|case| case.backdrop[3] == 255) {
        renderer.set_ground(Some(Rgba(case.backdrop)));
        let patch = box_item(1, plain(rect(8.0, 8.0, 64.0, 64.0), Rgba(case.source)));
        renderer.draw(&list(CLEAR, vec![patch]), fonts().system_mut()).expect("a frame");
        let pixels = renderer.pixels().expect("its pixels");
        assert_near(pixels.at(40, 40), case.over, 1, &case.name);
        assert_eq!(pixels.at(100, 100), case.backdrop, "{}: beside it", case.name);
    }
}

#[test]
fn half_white_over_nothing_reads_128_everywhere() {
    let pixels = painted(&list(CLEAR, vec![box_item(1, plain(rect(8.0, 8.0, 64.0, 64.0), half_white()))]));
    assert_eq!(pixels.at(40, 40), [128, 128, 128, 128]);
    assert_eq!(pixels.at(100, 100), [0, 0, 0, 0], "outside nothing is painted");
    let cleared = painted(&list(half_white(), Vec::new()));
    assert_eq!(cleared.at(0, 0), [128, 128, 128, 128], "a clear colour is premultiplied too");
}

fn half_white() -> Rgba {
    Rgba([255, 255, 255, 128])
}

#[test]
fn text_blends_as_encoded_too() {
    use fivemark_scene::draw::{Item, ItemKey, Layer, Shape, TextShape};
    let mut fonts = fonts();
    // A stroke this thick has pixels that it covers wholly.
    let letter = fonts.shaped("I", fivemark_scene::text::Style::Clock, 120.0);
    let item = Item {
        key: ItemKey(1),
        layer: Layer::Ground,
        bounds: rect(0.0, 0.0, 240.0, 160.0),
        clip: None,
        shape: Shape::Text(TextShape { text: letter, left: 40.0, top: 0.0, color: half_white() }),
    };
    let mut renderer = crate::support::renderer(SIZE);
    renderer.draw(&list(CLEAR, vec![item]), fonts.system_mut()).expect("a frame");
    let pixels = renderer.pixels().expect("its pixels");
    let most = pixels.rgba.chunks_exact(4).max_by_key(|pixel| pixel[3]).expect("pixels");
    assert_eq!(most, [128, 128, 128, 128], "the inside of a glyph");
}

/// Code and linear light (IEC 61966-2-1).
const DECODED: [(u8, f64); 36] = [
    (0, 0.0),
    (1, 0.000_303_526_984),
    (2, 0.000_607_053_967),
    (3, 0.000_910_580_951),
    (4, 0.001_214_107_934),
    (5, 0.001_517_634_918),
    (6, 0.001_821_161_901),
    (7, 0.002_124_688_885),
    (8, 0.002_428_215_868),
    (9, 0.002_731_742_852),
    (10, 0.003_035_269_835),
    (11, 0.003_346_535_764),
    (12, 0.003_676_507_324),
    (13, 0.004_024_717_018),
    (14, 0.004_391_442_037),
    (15, 0.004_776_953_481),
    (16, 0.005_181_516_702),
    (32, 0.014_443_843_596),
    (48, 0.029_556_834_438),
    (64, 0.051_269_458_374),
    (96, 0.116_970_667_759),
    (118, 0.181_164_244_25),
    (119, 0.184_474_994_5),
    (127, 0.212_230_757_414),
    (128, 0.215_860_500_114),
    (148, 0.296_138_270_798),
    (160, 0.351_532_599_5),
    (187, 0.496_932_995_061),
    (188, 0.502_886_458_033),
    (192, 0.527_115_125_706),
    (200, 0.577_580_440_43),
    (224, 0.745_404_209_54),
    (240, 0.871_367_119_199),
    (250, 0.955_973_353_249),
    (254, 0.991_102_097_114),
    (255, 1.0),
];

#[test]
fn a_surface_that_encodes_is_given_linear_light() {
    let (mut renderer, strip) = grey_strip();
    let mut blit = Blit::with_decoding(renderer.gpu(), TextureFormat::Rgba8Unorm, true);
    let linear = copied(&mut renderer, &mut blit, TextureFormat::Rgba8Unorm);
    for ((code, expected), x) in DECODED.iter().zip(0..) {
        assert_eq!(strip.at(x * 4, 0)[0], *code);
        let found = f64::from(linear.at(x * 4, 0)[0]);
        assert!(
            (found - expected * 255.0).abs() <= 0.51,
            "code {code}: {found}, expected {}",
            expected * 255.0
        );
    }
}

#[test]
fn both_kinds_of_surface_show_the_canvas_bit_for_bit() {
    let (mut renderer, strip) = grey_strip();
    for format in [TextureFormat::Rgba8Unorm, TextureFormat::Rgba8UnormSrgb] {
        let mut blit = Blit::new(renderer.gpu(), format);
        assert_eq!(copied(&mut renderer, &mut blit, format), strip, "{format:?}");
    }
}

/// A canvas with the codes of the table, four pixels each.
fn grey_strip() -> (Renderer, Pixels) {
    let mut renderer = Renderer::new(gpu(), SIZE).expect("a canvas");
    let items = DECODED.iter().zip(0u16..).map(|((code, _), index)| {
        let area = rect(f32::from(index) * 4.0, 0.0, 4.0, 160.0);
        box_item(u64::from(index), plain(area, Rgba([*code, *code, *code, 255])))
    });
    let list: DrawList = list(Rgba([0, 0, 0, 255]), items.collect());
    renderer.draw(&list, fonts().system_mut()).expect("a frame");
    let pixels = renderer.pixels().expect("its pixels");
    (renderer, pixels)
}

fn copied(renderer: &mut Renderer, blit: &mut Blit, format: TextureFormat) -> Pixels {
    let texture = renderer.gpu().device.create_texture(&wgpu::TextureDescriptor {
        label: Some("surface"),
        size: wgpu::Extent3d { width: SIZE[0], height: SIZE[1], depth_or_array_layers: 1 },
        mip_level_count: 1,
        sample_count: 1,
        dimension: wgpu::TextureDimension::D2,
        format,
        usage: TextureUsages::RENDER_ATTACHMENT | TextureUsages::COPY_SRC,
        view_formats: &[],
    });
    let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
    renderer.submit(Some((blit, &view)));
    read_texture(renderer.gpu(), &texture).expect("the surface's pixels")
}
