//! Vertex buffers that belong to a frame: gathered on our side, uploaded once, and made larger only when a frame
//! needs more than any frame before.

use std::ops::Range;

use bytemuck::Pod;
use wgpu::{Buffer, BufferUsages, IndexFormat, RenderPass};

use super::device::Gpu;

/// Vertices or indices of one kind.
#[derive(Debug)]
pub(super) struct FrameBuffer<T> {
    pub items: Vec<T>,
    buffer: Buffer,
    label: &'static str,
    usage: BufferUsages,
}

impl<T: Pod> FrameBuffer<T> {
    pub fn new(gpu: &Gpu, label: &'static str, usage: BufferUsages, count: usize) -> Self {
        let usage = usage | BufferUsages::COPY_DST;
        Self { items: Vec::with_capacity(count), buffer: make::<T>(gpu, label, usage, count), label, usage }
    }

    /// Uploads what was gathered.
    pub fn upload(&mut self, gpu: &Gpu) {
        if self.items.is_empty() {
            return;
        }
        let bytes: &[u8] = bytemuck::cast_slice(&self.items);
        if (bytes.len() as u64) > self.buffer.size() {
            self.buffer = make::<T>(gpu, self.label, self.usage, self.items.len().next_power_of_two());
        }
        gpu.queue.write_buffer(&self.buffer, 0, bytes);
    }

    /// The uploaded bytes.
    pub fn slice(&self) -> wgpu::BufferSlice<'_> {
        self.buffer.slice(..)
    }

    /// How many were gathered.
    #[allow(clippy::cast_possible_truncation)] // a frame has thousands, not billions
    pub fn len(&self) -> u32 {
        self.items.len() as u32
    }
}

fn make<T>(gpu: &Gpu, label: &'static str, usage: BufferUsages, count: usize) -> Buffer {
    gpu.device.create_buffer(&wgpu::BufferDescriptor {
        label: Some(label),
        size: (count * size_of::<T>()) as u64,
        usage,
        mapped_at_creation: false,
    })
}

/// Indices that make two triangles of every four corners (upper left, upper right, lower left, lower right).
#[derive(Debug)]
pub(super) struct QuadIndices {
    indices: FrameBuffer<u32>,
}

impl QuadIndices {
    pub fn new(gpu: &Gpu) -> Self {
        Self { indices: FrameBuffer::new(gpu, "quad indices", BufferUsages::INDEX, 6_144) }
    }

    /// Makes sure that there are indices for this many quads.
    pub fn reserve(&mut self, gpu: &Gpu, quads: u32) {
        let have = self.indices.len() / 6;
        if quads > have {
            let more = have..quads.next_power_of_two();
            self.indices
                .items
                .extend(more.flat_map(|quad| [0, 1, 2, 2, 1, 3].map(|corner| quad * 4 + corner)));
            self.indices.upload(gpu);
        }
    }

    pub fn bind(&self, pass: &mut RenderPass<'_>) {
        pass.set_index_buffer(self.indices.slice(), IndexFormat::Uint32);
    }

    /// Draws quads of the bound vertices.
    pub fn draw(pass: &mut RenderPass<'_>, quads: Range<u32>) {
        pass.draw_indexed(quads.start * 6..quads.end * 6, 0, 0..1);
    }
}
