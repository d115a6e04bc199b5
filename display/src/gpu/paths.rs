//! Filled outlines: tessellated once per outline and scale, kept while they are in use, and placed anew each
//! frame.

use std::collections::HashMap;
use std::ops::Range;
use std::rc::Rc;

use bytemuck::{Pod, Zeroable};
use fivemark_scene::draw::{PathShape, Segment};
use wgpu::{BlendState, IndexFormat, RenderPass, RenderPipeline, VertexAttribute, VertexFormat};

use super::damage::PxRect;
use super::device::Gpu;
use super::frame_buffer::{FrameBuffer, FrameBytes, Gathered};
use super::outline::{Mesh, fill};
use super::viewport::{PipelineParts, Viewport};

/// Meshes kept. A board has a dozen icons in a few sizes; past this many, those not in use now are dropped.
const MAX_MESHES: usize = 256;

#[repr(C)]
#[derive(Clone, Copy, Debug, Pod, Zeroable)]
struct PathVertex {
    at: [f32; 2],
    cover: f32,
    color: [u8; 4],
    clip: [i16; 4],
}

/// The outline is held, so that its address stays its name.
#[derive(Debug)]
struct Kept {
    _outline: Rc<Vec<Segment>>,
    mesh: Mesh,
    frame: u64,
}

#[derive(Debug)]
pub(super) struct PathPass {
    pipeline: RenderPipeline,
    vertices: Gathered<PathVertex>,
    indices: Gathered<u32>,
    meshes: HashMap<(*const Vec<Segment>, u32), Kept>,
    frame: u64,
}

impl PathPass {
    pub fn new(gpu: &Gpu, viewport: &Viewport) -> Self {
        let attribute = |format, offset, shader_location| VertexAttribute { format, offset, shader_location };
        let parts = PipelineParts {
            label: "paths",
            shader: include_str!("paths.wgsl"),
            stride: size_of::<PathVertex>(),
            attributes: &[
                attribute(VertexFormat::Float32x2, 0, 0),
                attribute(VertexFormat::Float32, 8, 1),
                attribute(VertexFormat::Unorm8x4, 12, 2),
                attribute(VertexFormat::Sint16x4, 16, 3),
            ],
            blend: BlendState::PREMULTIPLIED_ALPHA_BLENDING,
        };
        Self {
            pipeline: viewport.pipeline(gpu, &parts),
            vertices: Gathered::default(),
            indices: Gathered::default(),
            meshes: HashMap::new(),
            frame: 0,
        }
    }

    /// Starts a frame.
    pub fn begin(&mut self) {
        self.frame += 1;
        self.vertices.items.clear();
        self.indices.items.clear();
    }

    /// Where the next path's indices will lie.
    pub fn mark(&self) -> u32 {
        self.indices.len()
    }

    /// Adds the part of a path that lies within `visible`.
    pub fn push(&mut self, shape: &PathShape, visible: PxRect) {
        let key = (Rc::as_ptr(&shape.outline), shape.scale.to_bits());
        let kept = self.meshes.entry(key).or_insert_with(|| Kept {
            _outline: shape.outline.clone(),
            mesh: fill(&shape.outline, shape.scale),
            frame: 0,
        });
        kept.frame = self.frame;
        let first = self.vertices.len();
        let clip = clip_bytes(visible);
        self.vertices.items.extend(kept.mesh.vertices.iter().map(|(at, cover)| PathVertex {
            at: [at[0] + shape.at[0], at[1] + shape.at[1]],
            cover: *cover,
            color: shape.fill.0,
            clip,
        }));
        self.indices.items.extend(kept.mesh.indices.iter().map(|index| index + first));
    }

    pub fn place(&mut self, frame: &mut FrameBuffer) {
        self.vertices.place(frame);
        self.indices.place(frame);
    }

    pub fn write(&self, bytes: &mut FrameBytes) {
        self.vertices.write(bytes);
        self.indices.write(bytes);
    }

    pub fn draw(&self, pass: &mut RenderPass<'_>, frame: &FrameBuffer, indices: Range<u32>) {
        if indices.is_empty() {
            return;
        }
        pass.set_pipeline(&self.pipeline);
        pass.set_vertex_buffer(0, self.vertices.slice(frame));
        pass.set_index_buffer(self.indices.slice(frame), IndexFormat::Uint32);
        pass.draw_indexed(indices, 0, 0..1);
    }

    /// Ends a frame.
    pub fn trim(&mut self) {
        if self.meshes.len() > MAX_MESHES {
            let frame = self.frame;
            self.meshes.retain(|_, kept| kept.frame == frame);
        }
    }
}

/// A rectangle within a target, as the shader takes it.
#[allow(clippy::cast_possible_truncation)] // a target's sides are below 2^15
fn clip_bytes(clip: PxRect) -> [i16; 4] {
    [clip.left as i16, clip.top as i16, clip.right as i16, clip.bottom as i16]
}
