//! Copies the canvas, or what a window shows of it, onto the window's surface. A presented surface does not keep its pixels, so the copy is whole.

use wgpu::{BindGroup, BindGroupLayout, Buffer, CommandEncoder, RenderPipeline, TextureFormat, TextureView};

use super::device::Gpu;
use crate::excerpt::{Cutout, Mapping, Show};

/// Copies onto surfaces of one format.
#[derive(Debug)]
pub struct Blit {
    pipeline: RenderPipeline,
    layout: BindGroupLayout,
    copied: Buffer,
    bound: Option<(TextureView, BindGroup)>,
}

/// Bytes of the uniform: ten words, in whole vectors.
const COPIED_BYTES: u64 = 48;
/// Largest side of a copy, beyond every texture.
const WHOLE: i32 = 1 << 20;

impl Blit {
    /// For surfaces of this format. One that encodes (`…Srgb`) is given linear light and so shows the same.
    #[must_use]
    pub fn new(gpu: &Gpu, format: TextureFormat) -> Self {
        Self::with_decoding(gpu, format, format.is_srgb())
    }

    /// As [`Blit::new`], with the choice between linear light and the canvas's own values made by the caller.
    #[must_use]
    pub fn with_decoding(gpu: &Gpu, format: TextureFormat, decode: bool) -> Self {
        let device = &gpu.device;
        let module = device.create_shader_module(wgpu::include_wgsl!("blit.wgsl"));
        let layout = device.create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
            label: Some("blit"),
            entries: &[
                entry(
                    0,
                    wgpu::BindingType::Texture {
                        sample_type: wgpu::TextureSampleType::Float { filterable: false },
                        view_dimension: wgpu::TextureViewDimension::D2,
                        multisampled: false,
                    },
                ),
                entry(
                    1,
                    wgpu::BindingType::Buffer {
                        ty: wgpu::BufferBindingType::Uniform,
                        has_dynamic_offset: false,
                        min_binding_size: None,
                    },
                ),
            ],
        });
        let pipeline_layout = device.create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
            label: Some("blit"),
            bind_group_layouts: &[Some(&layout)],
            immediate_size: 0,
        });
        let pipeline = device.create_render_pipeline(&wgpu::RenderPipelineDescriptor {
            label: Some("blit"),
            layout: Some(&pipeline_layout),
            vertex: wgpu::VertexState {
                module: &module,
                entry_point: Some("vertex"),
                compilation_options: wgpu::PipelineCompilationOptions::default(),
                buffers: &[],
            },
            fragment: Some(wgpu::FragmentState {
                module: &module,
                entry_point: Some("fragment"),
                compilation_options: wgpu::PipelineCompilationOptions {
                    constants: &[("surface_encodes", f64::from(u8::from(decode)))],
                    ..Default::default()
                },
                targets: &[Some(format.into())],
            }),
            primitive: wgpu::PrimitiveState::default(),
            depth_stencil: None,
            multisample: wgpu::MultisampleState::default(),
            multiview_mask: None,
            cache: None,
        });
        let copied = device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("blit"),
            size: COPIED_BYTES,
            usage: wgpu::BufferUsages::UNIFORM | wgpu::BufferUsages::COPY_DST,
            mapped_at_creation: false,
        });
        let blit = Self { pipeline, layout, copied, bound: None };
        let whole = Mapping { origin: [0, 0], across: [1, 0], down: [0, 1] };
        blit.write(gpu, whole, [WHOLE; 2], Show::Picture, false);
        blit
    }

    /// Copies this of the canvas from now on, in place of all of it. `straight`: the surface wants colours that are
    /// not multiplied with alpha.
    pub fn copy(&self, gpu: &Gpu, cutout: &Cutout, straight: bool) {
        let size = cutout.size().map(|side| i32::try_from(side).unwrap_or(WHOLE));
        self.write(gpu, cutout.mapping(), size, cutout.show, straight);
    }

    fn write(&self, gpu: &Gpu, mapping: Mapping, size: [i32; 2], show: Show, straight: bool) {
        let show = match show {
            Show::Picture => 0,
            Show::Fill => 1,
            Show::Key => 2,
        };
        let Mapping { origin, across, down } = mapping;
        let words = [origin, across, down, size, [show, i32::from(straight)], [0, 0]];
        gpu.queue.write_buffer(&self.copied, 0, bytemuck::cast_slice(&words));
    }

    /// Records the copy from `canvas` to `target`.
    pub(super) fn record(
        &mut self,
        gpu: &Gpu,
        encoder: &mut CommandEncoder,
        canvas: &TextureView,
        target: &TextureView,
    ) {
        if self.bound.as_ref().is_none_or(|(bound, _)| bound != canvas) {
            let group = gpu.device.create_bind_group(&wgpu::BindGroupDescriptor {
                label: Some("blit"),
                layout: &self.layout,
                entries: &[
                    wgpu::BindGroupEntry { binding: 0, resource: wgpu::BindingResource::TextureView(canvas) },
                    wgpu::BindGroupEntry { binding: 1, resource: self.copied.as_entire_binding() },
                ],
            });
            self.bound = Some((canvas.clone(), group));
        }
        let mut pass = encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
            label: Some("blit"),
            color_attachments: &[Some(wgpu::RenderPassColorAttachment {
                view: target,
                depth_slice: None,
                resolve_target: None,
                ops: wgpu::Operations {
                    load: wgpu::LoadOp::Clear(wgpu::Color::TRANSPARENT),
                    store: wgpu::StoreOp::Store,
                },
            })],
            depth_stencil_attachment: None,
            timestamp_writes: None,
            occlusion_query_set: None,
            multiview_mask: None,
        });
        if let Some((_, group)) = &self.bound {
            pass.set_pipeline(&self.pipeline);
            pass.set_bind_group(0, group, &[]);
            pass.draw(0..3, 0..1);
        }
    }
}

fn entry(binding: u32, ty: wgpu::BindingType) -> wgpu::BindGroupLayoutEntry {
    wgpu::BindGroupLayoutEntry { binding, visibility: wgpu::ShaderStages::FRAGMENT, ty, count: None }
}
