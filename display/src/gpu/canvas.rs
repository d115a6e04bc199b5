//! The canvas: a texture that keeps what was painted from frame to frame, and the way of its pixels back.
//!
//! It holds premultiplied colours in the sRGB encoding and is blended as encoded, as mixers and browsers do: half
//! transparent white over nothing reads 128, 128, 128, 128.

use wgpu::{Texture, TextureFormat, TextureUsages, TextureView};

use super::device::{Gpu, GpuError};

/// Format of the canvas.
pub const CANVAS_FORMAT: TextureFormat = TextureFormat::Rgba8Unorm;

/// A texture that keeps its pixels.
#[derive(Debug)]
pub(super) struct Canvas {
    pub texture: Texture,
    pub view: TextureView,
    pub size: [u32; 2],
}

impl Canvas {
    pub fn new(gpu: &Gpu, size: [u32; 2]) -> Result<Self, GpuError> {
        gpu.check_size(size)?;
        let texture = gpu.device.create_texture(&wgpu::TextureDescriptor {
            label: Some("canvas"),
            size: wgpu::Extent3d { width: size[0], height: size[1], depth_or_array_layers: 1 },
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: CANVAS_FORMAT,
            usage: TextureUsages::RENDER_ATTACHMENT
                | TextureUsages::TEXTURE_BINDING
                | TextureUsages::COPY_SRC,
            view_formats: &[],
        });
        let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
        Ok(Self { texture, view, size })
    }
}

/// Pixels on our side: rows from the top, four bytes each, premultiplied, without padding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pixels {
    /// Width and height.
    pub size: [u32; 2],
    /// `width * height * 4` bytes.
    pub rgba: Vec<u8>,
}

impl Pixels {
    /// One pixel; transparent outside.
    #[must_use]
    pub fn at(&self, x: u32, y: u32) -> [u8; 4] {
        if x >= self.size[0] || y >= self.size[1] {
            return [0; 4];
        }
        let start = (y as usize * self.size[0] as usize + x as usize) * 4;
        [self.rgba[start], self.rgba[start + 1], self.rgba[start + 2], self.rgba[start + 3]]
    }
}

/// Reads a texture of four bytes a pixel back. Waits for the device.
///
/// # Errors
/// The device was lost.
pub fn read_texture(gpu: &Gpu, texture: &Texture) -> Result<Pixels, GpuError> {
    let (width, height) = (texture.width(), texture.height());
    // Rows in a copy start at multiples of 256 bytes.
    let row = width as usize * 4;
    let padded_row = row.next_multiple_of(wgpu::COPY_BYTES_PER_ROW_ALIGNMENT as usize);
    let buffer = gpu.device.create_buffer(&wgpu::BufferDescriptor {
        label: Some("readback"),
        size: (padded_row * height as usize) as u64,
        usage: wgpu::BufferUsages::MAP_READ | wgpu::BufferUsages::COPY_DST,
        mapped_at_creation: false,
    });
    let mut encoder = gpu.device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
    encoder.copy_texture_to_buffer(
        texture.as_image_copy(),
        wgpu::TexelCopyBufferInfo {
            buffer: &buffer,
            layout: wgpu::TexelCopyBufferLayout {
                offset: 0,
                bytes_per_row: u32::try_from(padded_row).ok(),
                rows_per_image: None,
            },
        },
        texture.size(),
    );
    gpu.queue.submit([encoder.finish()]);
    let (done, mapped) = std::sync::mpsc::channel();
    buffer.slice(..).map_async(wgpu::MapMode::Read, move |result| {
        // Nobody listens any more when the poll below failed first.
        let _ = done.send(result.is_ok());
    });
    gpu.device.poll(wgpu::PollType::wait_indefinitely()).map_err(|_| GpuError::Lost)?;
    if mapped.try_recv() != Ok(true) {
        return Err(GpuError::Lost);
    }
    let view = buffer.slice(..).get_mapped_range().map_err(|_| GpuError::Lost)?;
    let mut rgba = Vec::with_capacity(row * height as usize);
    for padded in view.chunks_exact(padded_row) {
        rgba.extend_from_slice(&padded[..row]);
    }
    Ok(Pixels { size: [width, height], rgba })
}
