//! Rounded boxes. Edges, corners, outlines, gradients and stripes go through the signed-distance shader; the
//! plain inside of a large box goes through the solid one. How a box is cut depends on the box alone, never on
//! what is damaged, so that a repaint gives the same pixels.
//!
//! Pieces that don't overlap may be painted in any order. So they are gathered into a few steps, each all solid
//! pieces and then all shaped ones, instead of changing pipelines at every box.

use std::ops::Range;

use bytemuck::{Pod, Zeroable};
use fivemark_scene::draw::{BoxShape, Rgba};
use wgpu::{BlendState, RenderPass, RenderPipeline, VertexAttribute, VertexFormat};

use super::cut::Cut;
use super::damage::{MAX_RECTS, PxRect};
use super::device::Gpu;
use super::frame_buffer::{FrameBuffer, FrameBytes, Gathered, QuadIndices};
use super::solid::{SolidPass, corners};
use super::viewport::{PipelineParts, Viewport};

/// Pieces in one damaged rectangle for which there is room from the start: some rows of a full board.
const PIECES_IN_RECT: usize = 256;

/// A corner of a piece. See [`SolidPass`] for why corners are written out.
#[repr(C)]
#[derive(Clone, Copy, Debug, Pod, Zeroable)]
struct BoxVertex {
    at: [i16; 2],
    rect: [f32; 4],
    radii: [f32; 4],
    fill: [u8; 4],
    fill_bottom: [u8; 4],
    border_color: [u8; 4],
    hatch_color: [u8; 4],
    widths: [f32; 4],
    across: [f32; 2],
}

/// A piece of a box within one damaged rectangle.
#[derive(Clone, Copy, Debug)]
struct Piece {
    quad: PxRect,
    /// Steps are painted one after the other.
    step: u32,
    paint: Paint,
}

/// As much of a piece as later ones that may lie over it ask for.
#[derive(Clone, Copy, Debug)]
struct Below {
    quad: PxRect,
    /// The first steps in which a shaped and a solid piece over it may be. Within a step solid pieces come first, so
    /// a solid one over a shaped one has to wait for the next.
    shaped_from: u32,
    solid_from: u32,
}

#[derive(Clone, Copy, Debug)]
enum Paint {
    Solid(Rgba),
    /// Index into the layer's shapes.
    Shaped(usize),
}

/// What a step draws: solid pieces, then shaped ones.
#[derive(Clone, Debug)]
struct Step {
    solid: Range<u32>,
    shaped: Range<u32>,
}

#[derive(Debug)]
pub(super) struct BoxPass {
    pipeline: RenderPipeline,
    vertices: Gathered<BoxVertex>,
    steps: Vec<Step>,
    /// This layer's.
    pieces: Vec<Piece>,
    shapes: Vec<BoxVertex>,
    /// What lies in each damaged rectangle so far; pieces of different rectangles never overlap.
    in_rect: [Vec<Below>; MAX_RECTS],
}

impl BoxPass {
    pub fn new(gpu: &Gpu, viewport: &Viewport) -> Self {
        let attribute = |format, offset, shader_location| VertexAttribute { format, offset, shader_location };
        let parts = PipelineParts {
            label: "boxes",
            shader: include_str!("boxes.wgsl"),
            stride: size_of::<BoxVertex>(),
            attributes: &[
                attribute(VertexFormat::Sint16x2, 0, 0),
                attribute(VertexFormat::Float32x4, 4, 1),
                attribute(VertexFormat::Float32x4, 20, 2),
                attribute(VertexFormat::Unorm8x4, 36, 3),
                attribute(VertexFormat::Unorm8x4, 40, 4),
                attribute(VertexFormat::Unorm8x4, 44, 5),
                attribute(VertexFormat::Unorm8x4, 48, 6),
                attribute(VertexFormat::Float32x4, 52, 7),
                attribute(VertexFormat::Float32x2, 68, 8),
            ],
            blend: BlendState::PREMULTIPLIED_ALPHA_BLENDING,
        };
        Self {
            pipeline: viewport.pipeline(gpu, &parts),
            vertices: Gathered::default(),
            steps: Vec::new(),
            pieces: Vec::new(),
            shapes: Vec::new(),
            in_rect: std::array::from_fn(|_| Vec::with_capacity(PIECES_IN_RECT)),
        }
    }

    /// Starts a frame.
    pub fn begin(&mut self) {
        self.vertices.items.clear();
        self.steps.clear();
    }

    /// Adds the part of a box that lies within `visible`, which lies in the damaged rectangle of this index.
    pub fn push(&mut self, shape: &BoxShape, rect_index: usize, visible: PxRect) {
        let whole = PxRect::around(shape.rect);
        let cut = Cut::of(shape);
        let shaped = Paint::Shaped(self.shapes.len());
        self.shapes.push(vertex(shape));
        if !cut.is_worth_it(shape, whole) {
            self.add(whole.intersect(visible), rect_index, shaped);
            return;
        }
        for piece in cut.edges(whole) {
            self.add(piece.intersect(visible), rect_index, shaped);
        }
        if shape.fill.0[3] > 0 {
            for piece in cut.insides() {
                self.add(piece.intersect(visible), rect_index, Paint::Solid(shape.fill));
            }
        }
    }

    fn add(&mut self, quad: PxRect, rect_index: usize, paint: Paint) {
        if quad.is_empty() {
            return;
        }
        let solid = matches!(paint, Paint::Solid(_));
        let in_rect = &mut self.in_rect[rect_index];
        let mut step = 0;
        for below in in_rect.iter() {
            let from = if solid { below.solid_from } else { below.shaped_from };
            if from > step && below.quad.meets(quad) {
                step = from;
            }
        }
        in_rect.push(Below { quad, shaped_from: step, solid_from: step + u32::from(!solid) });
        self.pieces.push(Piece { quad, step, paint });
    }

    /// Ends a layer: writes its pieces out step by step. Tells where the frame's steps end so far.
    pub fn end_layer(&mut self, solids: &mut SolidPass) -> usize {
        let steps = self.pieces.iter().map(|piece| piece.step + 1).max().unwrap_or(0);
        for step in 0..steps {
            let (solid, shaped) = (solids.quads(), self.quads());
            for piece in self.pieces.iter().filter(|piece| piece.step == step) {
                match piece.paint {
                    Paint::Solid(color) => solids.push(piece.quad, color),
                    Paint::Shaped(index) => {
                        let shape = self.shapes[index];
                        self.vertices.items.extend(corners(piece.quad).map(|at| BoxVertex { at, ..shape }));
                    }
                }
            }
            self.steps.push(Step { solid: solid..solids.quads(), shaped: shaped..self.quads() });
        }
        self.pieces.clear();
        self.shapes.clear();
        self.in_rect.iter_mut().for_each(Vec::clear);
        self.steps.len()
    }

    /// How many shaped pieces there are so far.
    pub fn quads(&self) -> u32 {
        self.vertices.len() / 4
    }

    pub fn place(&mut self, frame: &mut FrameBuffer) {
        self.vertices.place(frame);
    }

    pub fn write(&self, bytes: &mut FrameBytes) {
        self.vertices.write(bytes);
    }

    /// Paints a layer's steps.
    pub fn draw(
        &self,
        pass: &mut RenderPass<'_>,
        frame: &FrameBuffer,
        solids: &SolidPass,
        steps: Range<usize>,
    ) {
        for step in &self.steps[steps] {
            if !step.solid.is_empty() {
                solids.draw(pass, frame, step.solid.clone());
            }
            if !step.shaped.is_empty() {
                pass.set_pipeline(&self.pipeline);
                pass.set_vertex_buffer(0, self.vertices.slice(frame));
                QuadIndices::draw(pass, step.shaped.clone());
            }
        }
    }
}

/// A corner of any piece of a box, but for its place.
fn vertex(shape: &BoxShape) -> BoxVertex {
    let rect = shape.rect;
    let most = (rect.w.min(rect.h) * 0.5).max(0.0);
    let (period, width, color, angle) = shape.hatch.map_or((0.0, 0.0, Rgba::default(), 0.0), |hatch| {
        (hatch.period.max(0.0), hatch.width, hatch.color, hatch.angle.to_radians())
    });
    BoxVertex {
        at: [0, 0],
        rect: [rect.x, rect.y, rect.w, rect.h],
        radii: shape.radii.map(|radius| radius.clamp(0.0, most)),
        fill: shape.fill.0,
        fill_bottom: shape.fill_bottom.0,
        border_color: shape.border.color.0,
        hatch_color: color.0,
        widths: [shape.border.width, period, width, 0.0],
        across: [angle.sin(), angle.cos()],
    }
}
