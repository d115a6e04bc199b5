//! The vertices of a frame: gathered on our side by kind, and uploaded together in one write, because each write
//! costs the driver a buffer of its own. They are written straight into that buffer.

use std::ops::Range;

use bytemuck::Pod;
use wgpu::{Buffer, BufferSize, BufferSlice, BufferUsages, IndexFormat, QueueWriteBufferView, RenderPass};

use super::device::Gpu;
use super::foreign;

/// Bytes that the buffer starts with: a frame of a full board takes about half.
const FIRST_BYTES: u64 = 256 * 1024;

/// Everything of one frame that pipelines read, in one buffer.
#[derive(Debug)]
pub(super) struct FrameBuffer {
    size: u64,
    buffer: Buffer,
}

/// Memory that becomes the frame's buffer.
pub(super) struct FrameBytes(QueueWriteBufferView);

impl FrameBuffer {
    pub fn new(gpu: &Gpu) -> Self {
        Self { size: 0, buffer: make(gpu, "frame", usage(), FIRST_BYTES) }
    }

    /// Starts a frame.
    pub fn begin(&mut self) {
        self.size = 0;
    }

    /// Uploads everything that was given a place since the start; `write` writes it there.
    pub fn upload(&mut self, gpu: &Gpu, write: impl FnOnce(&mut FrameBytes)) {
        if self.size > self.buffer.size() {
            self.buffer = make(gpu, "frame", usage(), self.size.next_power_of_two());
        }
        let Some(size) = BufferSize::new(self.size) else { return };
        if let Some(view) = foreign(|| gpu.queue.write_buffer_with(&self.buffer, 0, size)) {
            let mut bytes = FrameBytes(view);
            write(&mut bytes);
            foreign(|| drop(bytes));
        }
    }
}

/// Vertices or indices of one kind. Their size is a multiple of four bytes, as writes have to be.
#[derive(Debug)]
pub(super) struct Gathered<T> {
    pub items: Vec<T>,
    place: Range<u64>,
}

impl<T> Default for Gathered<T> {
    fn default() -> Self {
        Self { items: Vec::new(), place: 0..0 }
    }
}

impl<T: Pod> Gathered<T> {
    /// Gives what was gathered a place in the frame's buffer.
    pub fn place(&mut self, frame: &mut FrameBuffer) {
        let start = frame.size;
        frame.size += size_of_val(self.items.as_slice()) as u64;
        self.place = start..frame.size;
    }

    /// Writes it there.
    #[allow(clippy::cast_possible_truncation)] // what lies in memory has places that fit
    pub fn write(&self, bytes: &mut FrameBytes) {
        let place = self.place.start as usize..self.place.end as usize;
        bytes.0.slice(place).copy_from_slice(bytemuck::cast_slice(&self.items));
    }

    /// Where it lies in the frame's buffer.
    pub fn slice<'a>(&self, frame: &'a FrameBuffer) -> BufferSlice<'a> {
        frame.buffer.slice(self.place.clone())
    }

    /// How many were gathered.
    #[allow(clippy::cast_possible_truncation)] // a frame has thousands, not billions
    pub fn len(&self) -> u32 {
        self.items.len() as u32
    }
}

fn usage() -> BufferUsages {
    BufferUsages::VERTEX | BufferUsages::INDEX | BufferUsages::COPY_DST
}

fn make(gpu: &Gpu, label: &'static str, usage: BufferUsages, size: u64) -> Buffer {
    gpu.device.create_buffer(&wgpu::BufferDescriptor {
        label: Some(label),
        size,
        usage,
        mapped_at_creation: false,
    })
}

/// Indices that make two triangles of every four corners (upper left, upper right, lower left, lower right). They
/// never change, so they are written again only when a frame has more quads than any before.
#[derive(Debug)]
pub(super) struct QuadIndices {
    buffer: Buffer,
    quads: u32,
}

/// Bytes of six indices.
const BYTES_A_QUAD: u64 = 24;

impl QuadIndices {
    pub fn new(gpu: &Gpu) -> Self {
        Self { buffer: make(gpu, "quad indices", usage(), BYTES_A_QUAD), quads: 0 }
    }

    /// Makes sure that there are indices for this many quads.
    pub fn reserve(&mut self, gpu: &Gpu, quads: u32) {
        if quads > self.quads {
            self.quads = quads.next_power_of_two();
            let corners = |quad| [0, 1, 2, 2, 1, 3].map(|corner| quad * 4 + corner);
            let indices: Vec<u32> = (0..self.quads).flat_map(corners).collect();
            self.buffer = make(gpu, "quad indices", usage(), u64::from(self.quads) * BYTES_A_QUAD);
            gpu.queue.write_buffer(&self.buffer, 0, bytemuck::cast_slice(&indices));
        }
    }

    pub fn bind(&self, pass: &mut RenderPass<'_>) {
        pass.set_index_buffer(self.buffer.slice(..), IndexFormat::Uint32);
    }

    /// Draws quads of the bound vertices.
    pub fn draw(pass: &mut RenderPass<'_>, quads: Range<u32>) {
        pass.draw_indexed(quads.start * 6..quads.end * 6, 0, 0..1);
    }
}
