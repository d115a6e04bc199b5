//! Plain rectangles of one colour: they clear what is damaged, and fill the insides of boxes, which are most of
//! a board's pixels and would cost several times more as signed-distance shapes in software.

use bytemuck::{Pod, Zeroable};
use fivemark_scene::draw::Rgba;
use wgpu::{BlendState, RenderPass, RenderPipeline, VertexAttribute, VertexFormat, VertexStepMode};

use super::damage::PxRect;
use super::device::Gpu;
use super::instances::Instances;
use super::viewport::{PipelineParts, Viewport};

#[repr(C)]
#[derive(Clone, Copy, Debug, Pod, Zeroable)]
pub(super) struct SolidInstance {
    quad: [i16; 4],
    color: [u8; 4],
}

impl SolidInstance {
    pub fn new(quad: PxRect, color: Rgba) -> Self {
        Self { quad: quad_bytes(quad), color: color.0 }
    }
}

/// The most pixels on a side that a quad's corners can name; larger targets are refused by the renderer.
pub(super) const MAX_SIDE_PX: u32 = i16::MAX as u32;

/// A rectangle within a target, as shaders take it.
#[allow(clippy::cast_possible_truncation)] // a target's sides are at most MAX_SIDE_PX
pub(super) fn quad_bytes(quad: PxRect) -> [i16; 4] {
    [quad.left as i16, quad.top as i16, quad.right as i16, quad.bottom as i16]
}

/// The pipelines and this frame's rectangles.
#[derive(Debug)]
pub(super) struct SolidPass {
    replace: RenderPipeline,
    over: RenderPipeline,
    pub instances: Instances<SolidInstance>,
    clears: u32,
}

impl SolidPass {
    pub fn new(gpu: &Gpu, viewport: &Viewport) -> Self {
        let parts = |label, blend| PipelineParts {
            label,
            shader: include_str!("solid.wgsl"),
            stride: size_of::<SolidInstance>(),
            step: VertexStepMode::Instance,
            attributes: &[
                VertexAttribute { format: VertexFormat::Sint16x4, offset: 0, shader_location: 0 },
                VertexAttribute { format: VertexFormat::Unorm8x4, offset: 8, shader_location: 1 },
            ],
            topology: wgpu::PrimitiveTopology::TriangleStrip,
            blend,
        };
        Self {
            replace: viewport.pipeline(gpu, &parts("clear", BlendState::REPLACE)),
            over: viewport.pipeline(gpu, &parts("solid", BlendState::PREMULTIPLIED_ALPHA_BLENDING)),
            instances: Instances::new(gpu, "solid rectangles", wgpu::BufferUsages::VERTEX, 512),
            clears: 0,
        }
    }

    /// Starts a frame: what is damaged goes back to the clear colour.
    pub fn begin(&mut self, rects: &[PxRect], clear: Rgba) {
        self.instances.items.clear();
        self.instances.items.extend(rects.iter().map(|rect| SolidInstance::new(*rect, clear)));
        self.clears = self.instances.len();
    }

    pub fn draw_clears(&self, pass: &mut RenderPass<'_>) {
        pass.set_pipeline(&self.replace);
        pass.set_vertex_buffer(0, self.instances.slice());
        pass.draw(0..4, 0..self.clears);
    }

    pub fn draw(&self, pass: &mut RenderPass<'_>, instances: std::ops::Range<u32>) {
        pass.set_pipeline(&self.over);
        pass.set_vertex_buffer(0, self.instances.slice());
        pass.draw(0..4, instances);
    }
}
