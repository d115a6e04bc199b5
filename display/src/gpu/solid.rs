//! Plain rectangles of one colour: they clear what is damaged, and fill the insides of boxes, which are most of
//! a board's pixels and would cost several times more as signed-distance shapes in software.

use std::ops::Range;

use bytemuck::{Pod, Zeroable};
use fivemark_scene::draw::Rgba;
use wgpu::{BlendState, RenderPass, RenderPipeline, VertexAttribute, VertexFormat};

use super::damage::PxRect;
use super::device::Gpu;
use super::frame_buffer::{FrameBuffer, FrameBytes, Gathered, QuadIndices};
use super::viewport::{PipelineParts, Viewport};

/// A corner of a rectangle. Corners are written out rather than drawn as instances: software drivers start over
/// for every instance, which costs more than a small rectangle's pixels.
#[repr(C)]
#[derive(Clone, Copy, Debug, Pod, Zeroable)]
struct SolidVertex {
    at: [i16; 2],
    color: [u8; 4],
}

/// The most pixels on a side that corners can name; larger targets are refused by the renderer.
pub(super) const MAX_SIDE_PX: u32 = i16::MAX as u32;

/// The corners of a rectangle within a target, in the order of [`QuadIndices`].
#[allow(clippy::cast_possible_truncation)] // a target's sides are at most MAX_SIDE_PX
pub(super) fn corners(quad: PxRect) -> [[i16; 2]; 4] {
    let (left, top, right, bottom) =
        (quad.left as i16, quad.top as i16, quad.right as i16, quad.bottom as i16);
    [[left, top], [right, top], [left, bottom], [right, bottom]]
}

/// The pipelines and this frame's rectangles.
#[derive(Debug)]
pub(super) struct SolidPass {
    replace: RenderPipeline,
    over: RenderPipeline,
    vertices: Gathered<SolidVertex>,
    clears: u32,
}

impl SolidPass {
    pub fn new(gpu: &Gpu, viewport: &Viewport) -> Self {
        let parts = |label, blend| PipelineParts {
            label,
            shader: include_str!("solid.wgsl"),
            stride: size_of::<SolidVertex>(),
            attributes: &[
                VertexAttribute { format: VertexFormat::Sint16x2, offset: 0, shader_location: 0 },
                VertexAttribute { format: VertexFormat::Unorm8x4, offset: 4, shader_location: 1 },
            ],
            blend,
        };
        Self {
            replace: viewport.pipeline(gpu, &parts("clear", BlendState::REPLACE)),
            over: viewport.pipeline(gpu, &parts("solid", BlendState::PREMULTIPLIED_ALPHA_BLENDING)),
            vertices: Gathered::default(),
            clears: 0,
        }
    }

    /// Starts a frame: what is damaged goes back to the clear colour.
    pub fn begin(&mut self, rects: &[PxRect], clear: Rgba) {
        self.vertices.items.clear();
        rects.iter().for_each(|rect| self.push(*rect, clear));
        self.clears = self.quads();
    }

    pub fn push(&mut self, quad: PxRect, color: Rgba) {
        self.vertices.items.extend(corners(quad).map(|at| SolidVertex { at, color: color.0 }));
    }

    /// How many rectangles there are so far.
    pub fn quads(&self) -> u32 {
        self.vertices.len() / 4
    }

    pub fn place(&mut self, frame: &mut FrameBuffer) {
        self.vertices.place(frame);
    }

    pub fn write(&self, bytes: &mut FrameBytes) {
        self.vertices.write(bytes);
    }

    pub fn draw_clears(&self, pass: &mut RenderPass<'_>, frame: &FrameBuffer) {
        pass.set_pipeline(&self.replace);
        pass.set_vertex_buffer(0, self.vertices.slice(frame));
        QuadIndices::draw(pass, 0..self.clears);
    }

    pub fn draw(&self, pass: &mut RenderPass<'_>, frame: &FrameBuffer, quads: Range<u32>) {
        pass.set_pipeline(&self.over);
        pass.set_vertex_buffer(0, self.vertices.slice(frame));
        QuadIndices::draw(pass, quads);
    }
}
