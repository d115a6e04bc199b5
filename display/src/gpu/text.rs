//! Shaped text through the glyph atlas, one renderer a layer, only where something is damaged.

use fivemark_scene::draw::{Item, LAYERS, Shape, TextShape};
use glyphon::{
    Cache, Color, ColorMode, FontSystem, Resolution, SwashCache, TextArea, TextAtlas, TextBounds,
    TextRenderer, Viewport,
};
use wgpu::RenderPass;

use super::canvas::CANVAS_FORMAT;
use super::damage::PxRect;
use super::device::Gpu;
use super::foreign;
use super::visible::Part;

pub(super) struct TextPass {
    viewport: Viewport,
    atlas: TextAtlas,
    rasters: SwashCache,
    layers: [TextRenderer; LAYERS.len()],
}

impl TextPass {
    pub fn new(gpu: &Gpu) -> Self {
        let cache = Cache::new(&gpu.device);
        // The canvas is blended as encoded, so glyphs must not be made linear first.
        let mut atlas =
            TextAtlas::with_color_mode(&gpu.device, &gpu.queue, &cache, CANVAS_FORMAT, ColorMode::Web);
        let layers = LAYERS
            .map(|_| TextRenderer::new(&mut atlas, &gpu.device, wgpu::MultisampleState::default(), None));
        Self { viewport: Viewport::new(&gpu.device, &cache), atlas, rasters: SwashCache::new(), layers }
    }

    pub fn begin(&mut self, gpu: &Gpu, size: [u32; 2]) {
        let resolution = Resolution { width: size[0], height: size[1] };
        foreign(|| self.viewport.update(&gpu.queue, resolution));
    }

    /// Lays out the glyphs of one layer's text.
    pub fn prepare(
        &mut self,
        gpu: &Gpu,
        fonts: &mut FontSystem,
        layer: usize,
        items: &[Item],
        parts: &[Part],
    ) {
        let areas = parts.iter().filter_map(|part| match &items[part.item].shape {
            Shape::Text(text) => area(text, part.within),
            Shape::Box(_) | Shape::Path(_) | Shape::Image(_) => None,
        });
        let renderer = &mut self.layers[layer];
        let (atlas, viewport, rasters) = (&mut self.atlas, &self.viewport, &mut self.rasters);
        let prepared =
            foreign(|| renderer.prepare(&gpu.device, &gpu.queue, fonts, atlas, viewport, areas, rasters));
        if let Err(error) = prepared {
            // One frame asks for more distinct glyphs than a texture of the largest size holds.
            tracing::error!(%error, "text is left out of this frame");
        }
    }

    pub fn draw(&self, pass: &mut RenderPass<'_>, layer: usize) {
        if let Err(error) = self.layers[layer].render(&self.atlas, &self.viewport, pass) {
            tracing::error!(%error, "text is left out of this frame");
        }
    }

    /// Ends a frame: glyphs that it did not use may be dropped when room is needed.
    pub fn trim(&mut self) {
        foreign(|| self.atlas.trim());
    }
}

fn area(text: &TextShape, visible: PxRect) -> Option<TextArea<'_>> {
    let [red, green, blue, alpha] = text.color.0;
    (alpha > 0).then(|| TextArea {
        buffer: &text.text.buffer,
        left: text.left,
        top: text.top.round(),
        scale: 1.0,
        bounds: TextBounds {
            left: visible.left,
            top: visible.top,
            right: visible.right,
            bottom: visible.bottom,
        },
        default_color: Color::rgba(red, green, blue, alpha),
        custom_glyphs: &[],
    })
}
