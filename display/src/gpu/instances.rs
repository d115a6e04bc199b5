//! A vertex buffer that grows when a frame needs more than any frame before, and is reused otherwise.

use bytemuck::Pod;
use wgpu::{Buffer, BufferUsages};

use super::device::Gpu;

/// Vertices or instances of one kind, gathered on our side and uploaded once a frame.
#[derive(Debug)]
pub(super) struct Instances<T> {
    pub items: Vec<T>,
    buffer: Buffer,
    label: &'static str,
    usage: BufferUsages,
}

impl<T: Pod> Instances<T> {
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
