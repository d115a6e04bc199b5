//! The target's size as shaders need it, and the one way in which our pipelines are built.

use wgpu::{
    BindGroup, BindGroupLayout, BlendState, Buffer, PipelineLayout, RenderPipeline, ShaderStages,
    VertexAttribute, VertexBufferLayout, VertexStepMode,
};

use super::canvas::CANVAS_FORMAT;
use super::device::Gpu;

/// A uniform with the target's size, bound as group 0 by every pipeline of ours.
#[derive(Debug)]
pub(super) struct Viewport {
    buffer: Buffer,
    pub bind_group: BindGroup,
    group_layout: BindGroupLayout,
    layout: PipelineLayout,
}

/// What differs between our pipelines.
pub(super) struct PipelineParts<'a> {
    pub label: &'a str,
    pub shader: &'a str,
    pub stride: usize,
    pub attributes: &'a [VertexAttribute],
    pub blend: BlendState,
}

impl Viewport {
    pub fn new(gpu: &Gpu) -> Self {
        let buffer = gpu.device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("viewport"),
            size: 16,
            usage: wgpu::BufferUsages::UNIFORM | wgpu::BufferUsages::COPY_DST,
            mapped_at_creation: false,
        });
        let group_layout = gpu.device.create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
            label: Some("viewport"),
            entries: &[wgpu::BindGroupLayoutEntry {
                binding: 0,
                visibility: ShaderStages::VERTEX,
                ty: wgpu::BindingType::Buffer {
                    ty: wgpu::BufferBindingType::Uniform,
                    has_dynamic_offset: false,
                    min_binding_size: None,
                },
                count: None,
            }],
        });
        let bind_group = gpu.device.create_bind_group(&wgpu::BindGroupDescriptor {
            label: Some("viewport"),
            layout: &group_layout,
            entries: &[wgpu::BindGroupEntry { binding: 0, resource: buffer.as_entire_binding() }],
        });
        let layout = layout_of(gpu, &[Some(&group_layout)]);
        Self { buffer, bind_group, group_layout, layout }
    }

    #[allow(clippy::cast_precision_loss)] // sides are below 2^15
    pub fn set_size(&self, gpu: &Gpu, size: [u32; 2]) {
        let uniform = [size[0] as f32, size[1] as f32, 0.0, 0.0];
        gpu.queue.write_buffer(&self.buffer, 0, bytemuck::cast_slice(&uniform));
    }

    pub fn pipeline(&self, gpu: &Gpu, parts: &PipelineParts<'_>) -> RenderPipeline {
        Self::pipeline_in(gpu, &self.layout, parts)
    }

    /// A pipeline that reads a group of its own beside the target's size.
    pub fn pipeline_with(
        &self,
        gpu: &Gpu,
        group: &BindGroupLayout,
        parts: &PipelineParts<'_>,
    ) -> RenderPipeline {
        Self::pipeline_in(gpu, &layout_of(gpu, &[Some(&self.group_layout), Some(group)]), parts)
    }

    fn pipeline_in(gpu: &Gpu, layout: &PipelineLayout, parts: &PipelineParts<'_>) -> RenderPipeline {
        let module = gpu.device.create_shader_module(wgpu::ShaderModuleDescriptor {
            label: Some(parts.label),
            source: wgpu::ShaderSource::Wgsl(parts.shader.into()),
        });
        gpu.device.create_render_pipeline(&wgpu::RenderPipelineDescriptor {
            label: Some(parts.label),
            layout: Some(layout),
            vertex: wgpu::VertexState {
                module: &module,
                entry_point: Some("vertex"),
                compilation_options: wgpu::PipelineCompilationOptions::default(),
                buffers: &[Some(VertexBufferLayout {
                    array_stride: parts.stride as u64,
                    step_mode: VertexStepMode::Vertex,
                    attributes: parts.attributes,
                })],
            },
            fragment: Some(wgpu::FragmentState {
                module: &module,
                entry_point: Some("fragment"),
                compilation_options: wgpu::PipelineCompilationOptions::default(),
                targets: &[Some(wgpu::ColorTargetState {
                    format: CANVAS_FORMAT,
                    blend: Some(parts.blend),
                    write_mask: wgpu::ColorWrites::ALL,
                })],
            }),
            primitive: wgpu::PrimitiveState::default(),
            depth_stencil: None,
            multisample: wgpu::MultisampleState::default(),
            multiview_mask: None,
            cache: None,
        })
    }
}

fn layout_of(gpu: &Gpu, groups: &[Option<&BindGroupLayout>]) -> PipelineLayout {
    gpu.device.create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
        label: Some("viewport"),
        bind_group_layouts: groups,
        immediate_size: 0,
    })
}
