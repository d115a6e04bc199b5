//! Pictures: premultiplied, filtered linearly, with their smaller copies for where they are drawn small, once or again and
//! again. A picture is uploaded when it is first drawn and kept until more others than there is room for were drawn
//! after it.

use std::ops::Range;
use std::sync::Arc;

use bytemuck::{Pod, Zeroable};
use fivemark_scene::draw::{ImageShape, Picture};
use wgpu::{
    BindGroup, BindGroupLayout, BlendState, RenderPass, RenderPipeline, VertexAttribute, VertexFormat,
};

use super::damage::PxRect;
use super::device::Gpu;
use super::foreign;
use super::frame_buffer::{FrameBuffer, FrameBytes, Gathered, QuadIndices};
use super::solid::corners;
use super::viewport::{PipelineParts, Viewport};

/// Pictures on the card: a theme has a logo and what lies behind its boards, and a theme that follows another has two
/// more.
const MAX_PICTURES: usize = 8;

/// A corner of the visible part of a picture.
#[repr(C)]
#[derive(Clone, Copy, Debug, Pod, Zeroable)]
struct ImageVertex {
    at: [i16; 2],
    rect: [f32; 4],
    copy: [f32; 2],
    opacity: f32,
}

/// A picture on the card.
#[derive(Debug)]
struct Uploaded {
    picture: Arc<Picture>,
    group: BindGroup,
    /// Number of the frame that drew it last.
    frame: u64,
}

#[derive(Debug)]
pub(super) struct ImagePass {
    pipeline: RenderPipeline,
    layout: BindGroupLayout,
    /// For one copy, and for many.
    samplers: [wgpu::Sampler; 2],
    uploaded: Vec<Uploaded>,
    vertices: Gathered<ImageVertex>,
    /// What to bind for each quad of this frame.
    draws: Vec<usize>,
    frame: u64,
}

impl ImagePass {
    pub fn new(gpu: &Gpu, viewport: &Viewport) -> Self {
        let layout = group_layout(gpu);
        let attribute = |format, offset, shader_location| VertexAttribute { format, offset, shader_location };
        let parts = PipelineParts {
            label: "images",
            shader: include_str!("images.wgsl"),
            stride: size_of::<ImageVertex>(),
            attributes: &[
                attribute(VertexFormat::Sint16x2, 0, 0),
                attribute(VertexFormat::Float32x4, 4, 1),
                attribute(VertexFormat::Float32x2, 20, 2),
                attribute(VertexFormat::Float32, 28, 3),
            ],
            blend: BlendState::PREMULTIPLIED_ALPHA_BLENDING,
        };
        let sampler = |address: wgpu::AddressMode| {
            gpu.device.create_sampler(&wgpu::SamplerDescriptor {
                label: Some("images"),
                address_mode_u: address,
                address_mode_v: address,
                mag_filter: wgpu::FilterMode::Linear,
                min_filter: wgpu::FilterMode::Linear,
                mipmap_filter: wgpu::MipmapFilterMode::Linear,
                ..Default::default()
            })
        };
        Self {
            pipeline: viewport.pipeline_with(gpu, &layout, &parts),
            layout,
            samplers: [wgpu::AddressMode::ClampToEdge, wgpu::AddressMode::Repeat].map(sampler),
            uploaded: Vec::with_capacity(MAX_PICTURES),
            vertices: Gathered::default(),
            draws: Vec::new(),
            frame: 0,
        }
    }

    /// Starts a frame.
    pub fn begin(&mut self) {
        self.vertices.items.clear();
        self.draws.clear();
        self.frame += 1;
    }

    /// Adds the part of a picture that lies within `visible`. With more pictures in a frame than there is room for,
    /// or one that the adapter can't hold, it is left out.
    pub fn push(&mut self, gpu: &Gpu, image: &ImageShape, visible: PxRect) {
        let quad = PxRect::around(image.rect).intersect(visible);
        if quad.is_empty() || image.opacity == 0 {
            return;
        }
        let Some(index) = self.place_of(gpu, &image.picture) else { return };
        self.uploaded[index].frame = self.frame;
        let rect = [image.rect.x, image.rect.y, image.rect.w, image.rect.h];
        let (copy, opacity) = (image.copy, f32::from(image.opacity) / 255.0);
        self.vertices.items.extend(corners(quad).map(|at| ImageVertex { at, rect, copy, opacity }));
        self.draws.push(index);
    }

    /// Where the picture lies among the uploaded ones, uploaded now if need be.
    fn place_of(&mut self, gpu: &Gpu, picture: &Arc<Picture>) -> Option<usize> {
        if let Some(index) = self.uploaded.iter().position(|known| Arc::ptr_eq(&known.picture, picture)) {
            return Some(index);
        }
        let most = gpu.device.limits().max_texture_dimension_2d;
        let [width, height] = picture.size();
        if width > most || height > most {
            tracing::error!(width, height, most, "a picture is larger than the adapter can hold: left out");
            return None;
        }
        let group = foreign(|| self.upload(gpu, picture));
        let uploaded = Uploaded { picture: Arc::clone(picture), group, frame: self.frame };
        if self.uploaded.len() < MAX_PICTURES {
            self.uploaded.push(uploaded);
            return Some(self.uploaded.len() - 1);
        }
        let oldest = (0..self.uploaded.len()).min_by_key(|index| self.uploaded[*index].frame)?;
        if self.uploaded[oldest].frame == self.frame {
            return None;
        }
        self.uploaded[oldest] = uploaded;
        Some(oldest)
    }

    fn upload(&self, gpu: &Gpu, picture: &Picture) -> BindGroup {
        let [width, height] = picture.size();
        let texture = gpu.device.create_texture(&wgpu::TextureDescriptor {
            label: Some("image"),
            size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
            mip_level_count: u32::try_from(picture.levels().count()).unwrap_or(1),
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: wgpu::TextureFormat::Rgba8Unorm,
            usage: wgpu::TextureUsages::TEXTURE_BINDING | wgpu::TextureUsages::COPY_DST,
            view_formats: &[],
        });
        for (([width, height], rgba), mip_level) in picture.levels().zip(0..) {
            gpu.queue.write_texture(
                wgpu::TexelCopyTextureInfo { mip_level, ..texture.as_image_copy() },
                rgba,
                wgpu::TexelCopyBufferLayout {
                    offset: 0,
                    bytes_per_row: Some(width * 4),
                    rows_per_image: None,
                },
                wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
            );
        }
        let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
        let [once, repeated] = &self.samplers;
        gpu.device.create_bind_group(&wgpu::BindGroupDescriptor {
            label: Some("image"),
            layout: &self.layout,
            entries: &[
                wgpu::BindGroupEntry { binding: 0, resource: wgpu::BindingResource::TextureView(&view) },
                wgpu::BindGroupEntry { binding: 1, resource: wgpu::BindingResource::Sampler(once) },
                wgpu::BindGroupEntry { binding: 2, resource: wgpu::BindingResource::Sampler(repeated) },
            ],
        })
    }

    /// How many images there are so far.
    pub fn mark(&self) -> usize {
        self.draws.len()
    }

    pub fn quads(&self) -> u32 {
        self.vertices.len() / 4
    }

    pub fn place(&mut self, frame: &mut FrameBuffer) {
        self.vertices.place(frame);
    }

    pub fn write(&self, bytes: &mut FrameBytes) {
        self.vertices.write(bytes);
    }

    /// Paints these images of the frame.
    pub fn draw(&self, pass: &mut RenderPass<'_>, frame: &FrameBuffer, draws: Range<usize>) {
        if draws.is_empty() {
            return;
        }
        pass.set_pipeline(&self.pipeline);
        pass.set_vertex_buffer(0, self.vertices.slice(frame));
        for (index, quad) in self.draws[draws.clone()].iter().zip(draws.start..) {
            let quad = u32::try_from(quad).unwrap_or(u32::MAX - 1);
            pass.set_bind_group(1, &self.uploaded[*index].group, &[]);
            QuadIndices::draw(pass, quad..quad + 1);
        }
    }
}

fn group_layout(gpu: &Gpu) -> BindGroupLayout {
    let entry = |binding, ty| wgpu::BindGroupLayoutEntry {
        binding,
        visibility: wgpu::ShaderStages::FRAGMENT,
        ty,
        count: None,
    };
    gpu.device.create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
        label: Some("images"),
        entries: &[
            entry(
                0,
                wgpu::BindingType::Texture {
                    sample_type: wgpu::TextureSampleType::Float { filterable: true },
                    view_dimension: wgpu::TextureViewDimension::D2,
                    multisampled: false,
                },
            ),
            entry(1, wgpu::BindingType::Sampler(wgpu::SamplerBindingType::Filtering)),
            entry(2, wgpu::BindingType::Sampler(wgpu::SamplerBindingType::Filtering)),
        ],
    })
}
