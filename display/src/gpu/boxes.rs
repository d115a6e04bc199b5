//! Rounded boxes. Edges, corners, outlines, gradients and stripes go through the signed-distance shader; the
//! plain inside of a large box goes through the solid one. How a box is cut depends on the box alone, never on
//! what is damaged, so that a repaint gives the same pixels.

use std::ops::Range;

use bytemuck::{Pod, Zeroable};
use fivemark_scene::draw::{BoxShape, Rgba};
use wgpu::{BlendState, RenderPass, RenderPipeline, VertexAttribute, VertexFormat, VertexStepMode};

use super::damage::PxRect;
use super::device::Gpu;
use super::instances::Instances;
use super::solid::{SolidInstance, SolidPass, quad_bytes};
use super::viewport::{PipelineParts, Viewport};

/// A smaller inside than this is not worth a piece of its own.
const MIN_INSIDE_PX: i64 = 1_024;

#[repr(C)]
#[derive(Clone, Copy, Debug, Pod, Zeroable)]
struct BoxInstance {
    quad: [i16; 4],
    rect: [f32; 4],
    radii: [f32; 4],
    fill: [u8; 4],
    fill_bottom: [u8; 4],
    border_color: [u8; 4],
    hatch_color: [u8; 4],
    widths: [f32; 4],
    across: [f32; 2],
}

/// Neighbours in painting order that share a pipeline.
#[derive(Clone, Debug)]
enum Run {
    Shaped(Range<u32>),
    Solid(Range<u32>),
}

#[derive(Debug)]
pub(super) struct BoxPass {
    pipeline: RenderPipeline,
    instances: Instances<BoxInstance>,
    runs: Vec<Run>,
    layer_start: usize,
}

impl BoxPass {
    pub fn new(gpu: &Gpu, viewport: &Viewport) -> Self {
        let attribute = |format, offset, shader_location| VertexAttribute { format, offset, shader_location };
        let parts = PipelineParts {
            label: "boxes",
            shader: include_str!("boxes.wgsl"),
            stride: size_of::<BoxInstance>(),
            step: VertexStepMode::Instance,
            attributes: &[
                attribute(VertexFormat::Sint16x4, 0, 0),
                attribute(VertexFormat::Float32x4, 8, 1),
                attribute(VertexFormat::Float32x4, 24, 2),
                attribute(VertexFormat::Unorm8x4, 40, 3),
                attribute(VertexFormat::Unorm8x4, 44, 4),
                attribute(VertexFormat::Unorm8x4, 48, 5),
                attribute(VertexFormat::Unorm8x4, 52, 6),
                attribute(VertexFormat::Float32x4, 56, 7),
                attribute(VertexFormat::Float32x2, 72, 8),
            ],
            topology: wgpu::PrimitiveTopology::TriangleStrip,
            blend: BlendState::PREMULTIPLIED_ALPHA_BLENDING,
        };
        Self {
            pipeline: viewport.pipeline(gpu, &parts),
            instances: Instances::new(gpu, "boxes", wgpu::BufferUsages::VERTEX, 1_024),
            runs: Vec::with_capacity(256),
            layer_start: 0,
        }
    }

    /// Starts a frame.
    pub fn begin(&mut self) {
        self.instances.items.clear();
        self.runs.clear();
        self.layer_start = 0;
    }

    /// Starts a layer, and says where its runs start: a layer is the runs from its start to the next one's.
    pub fn begin_layer(&mut self) -> usize {
        self.layer_start = self.runs.len();
        self.layer_start
    }

    /// Where the runs end so far.
    pub fn end(&self) -> usize {
        self.runs.len()
    }

    /// Adds the part of a box that lies within `visible`.
    pub fn push(&mut self, solids: &mut SolidPass, shape: &BoxShape, visible: PxRect) {
        let whole = PxRect::around(shape.rect);
        let plain = shape.hatch.is_none() && shape.fill == shape.fill_bottom;
        let cut = Cut::of(shape);
        if !plain || cut.inside_area() < MIN_INSIDE_PX.min(whole.area()) {
            self.shaped(shape, whole.intersect(visible));
            return;
        }
        for piece in cut.edges(whole) {
            self.shaped(shape, piece.intersect(visible));
        }
        if shape.fill.0[3] > 0 {
            for piece in cut.insides() {
                self.solid(solids, shape.fill, piece.intersect(visible));
            }
        }
    }

    fn shaped(&mut self, shape: &BoxShape, quad: PxRect) {
        if quad.is_empty() {
            return;
        }
        let at = self.instances.len();
        match self.runs[self.layer_start..].last_mut() {
            Some(Run::Shaped(run)) => run.end = at + 1,
            _ => self.runs.push(Run::Shaped(at..at + 1)),
        }
        self.instances.items.push(instance(shape, quad));
    }

    fn solid(&mut self, solids: &mut SolidPass, color: Rgba, quad: PxRect) {
        if quad.is_empty() {
            return;
        }
        let at = solids.instances.len();
        match self.runs[self.layer_start..].last_mut() {
            Some(Run::Solid(run)) => run.end = at + 1,
            _ => self.runs.push(Run::Solid(at..at + 1)),
        }
        solids.instances.items.push(SolidInstance::new(quad, color));
    }

    pub fn upload(&mut self, gpu: &Gpu) {
        self.instances.upload(gpu);
    }

    /// Paints the runs between two marks.
    pub fn draw(&self, pass: &mut RenderPass<'_>, solids: &SolidPass, runs: Range<usize>) {
        for run in &self.runs[runs] {
            match run {
                Run::Solid(instances) => solids.draw(pass, instances.clone()),
                Run::Shaped(instances) => {
                    pass.set_pipeline(&self.pipeline);
                    pass.set_vertex_buffer(0, self.instances.slice());
                    pass.draw(0..4, instances.clone());
                }
            }
        }
    }
}

/// How a box falls into pieces: `full` is where the edge and the outline no longer matter, `straight` where the
/// corners no longer matter either.
struct Cut {
    full: PxRect,
    straight: PxRect,
}

impl Cut {
    fn of(shape: &BoxShape) -> Self {
        let radius = shape.radii.into_iter().fold(0.0, f32::max);
        let full = inset(shape, shape.border.width);
        Self { full, straight: inset(shape, shape.border.width.max(radius)) }
    }

    fn band(&self, columns: PxRect, top: i32, bottom: i32) -> PxRect {
        PxRect { top, bottom, left: columns.left, right: columns.right }
    }

    /// Above the lower corners, between them, below them. Empty ones where a box is small.
    fn insides(&self) -> [PxRect; 3] {
        [
            self.band(self.straight, self.full.top, self.straight.top),
            self.band(self.full, self.straight.top, self.straight.bottom),
            self.band(self.straight, self.straight.bottom, self.full.bottom),
        ]
    }

    fn inside_area(&self) -> i64 {
        if self.straight.is_empty() { 0 } else { self.insides().into_iter().map(PxRect::area).sum() }
    }

    /// What the insides leave of the whole.
    fn edges(&self, whole: PxRect) -> [PxRect; 8] {
        let (full, straight) = (self.full, self.straight);
        let left = |right| PxRect { left: whole.left, right, ..whole };
        let right = |left| PxRect { left, right: whole.right, ..whole };
        [
            self.band(whole, whole.top, full.top),
            self.band(left(straight.left), full.top, straight.top),
            self.band(right(straight.right), full.top, straight.top),
            self.band(left(full.left), straight.top, straight.bottom),
            self.band(right(full.right), straight.top, straight.bottom),
            self.band(left(straight.left), straight.bottom, full.bottom),
            self.band(right(straight.right), straight.bottom, full.bottom),
            self.band(whole, full.bottom, whole.bottom),
        ]
    }
}

/// The pixels that lie `by` or more inside of the box on every side.
#[allow(clippy::cast_possible_truncation)] // floats beyond i32 saturate
fn inset(shape: &BoxShape, by: f32) -> PxRect {
    let rect = shape.rect;
    PxRect {
        left: (rect.x + by).ceil() as i32,
        top: (rect.y + by).ceil() as i32,
        right: (rect.x + rect.w - by).floor() as i32,
        bottom: (rect.y + rect.h - by).floor() as i32,
    }
}

fn instance(shape: &BoxShape, quad: PxRect) -> BoxInstance {
    let rect = shape.rect;
    let most = (rect.w.min(rect.h) * 0.5).max(0.0);
    let (period, width, color, angle) = shape.hatch.map_or((0.0, 0.0, Rgba::default(), 0.0), |hatch| {
        (hatch.period.max(0.0), hatch.width, hatch.color, hatch.angle.to_radians())
    });
    BoxInstance {
        quad: quad_bytes(quad),
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
