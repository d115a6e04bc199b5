//! Paints a draw list: compares it with the last one, prepares what is damaged, renders it onto the canvas in one
//! submission, and trims the caches. What lives long (pipelines, atlas, buffers, canvas) is made once; what
//! belongs to a frame is gathered into the same memory again.

use cosmic_text::FontSystem;
use fivemark_scene::draw::{DrawList, LAYERS, Rgba, Shape};
use wgpu::{CommandEncoderDescriptor, TextureView};

use super::blit::Blit;
use super::boxes::BoxPass;
use super::canvas::{Canvas, Pixels, read_texture};
use super::damage::{Damage, PxRect};
use super::device::{Gpu, GpuError};
use super::foreign;
use super::frame_buffer::{FrameBuffer, QuadIndices};
use super::images::ImagePass;
use super::paths::PathPass;
use super::solid::{MAX_SIDE_PX, SolidPass};
use super::text::TextPass;
use super::viewport::Viewport;
use super::visible::Visible;

/// What a frame repainted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Drawn {
    /// Rectangles; 0 when nothing differed and nothing was done.
    pub rects: usize,
    /// Pixels in them.
    pub pixels: i64,
}

/// Where a layer's images, its steps of boxes and its paths start among the frame's.
#[derive(Clone, Copy, Debug, Default)]
struct LayerMark {
    images: usize,
    boxes: usize,
    paths: u32,
}

/// Paints draw lists onto its canvas.
pub struct Renderer {
    gpu: Gpu,
    canvas: Canvas,
    damage: Damage,
    visible: Visible,
    viewport: Viewport,
    images: ImagePass,
    solids: SolidPass,
    boxes: BoxPass,
    quads: QuadIndices,
    frame: FrameBuffer,
    paths: PathPass,
    text: TextPass,
    /// Starts of the layers and, last, the end.
    marks: [LayerMark; LAYERS.len() + 1],
    /// Painted first, in place of the lists' own ground.
    ground: Option<Rgba>,
    prepared: bool,
    last_submission: Option<wgpu::SubmissionIndex>,
}

impl Renderer {
    /// A renderer with an empty canvas of this size.
    ///
    /// # Errors
    /// The size is more than the adapter can hold.
    pub fn new(gpu: Gpu, size: [u32; 2]) -> Result<Self, GpuError> {
        let canvas = make_canvas(&gpu, size)?;
        let viewport = Viewport::new(&gpu);
        viewport.set_size(&gpu, size);
        Ok(Self {
            canvas,
            damage: Damage::default(),
            visible: Visible::default(),
            images: ImagePass::new(&gpu, &viewport),
            solids: SolidPass::new(&gpu, &viewport),
            boxes: BoxPass::new(&gpu, &viewport),
            quads: QuadIndices::new(&gpu),
            frame: FrameBuffer::new(&gpu),
            paths: PathPass::new(&gpu, &viewport),
            text: TextPass::new(&gpu),
            viewport,
            marks: [LayerMark::default(); LAYERS.len() + 1],
            ground: None,
            prepared: false,
            last_submission: None,
            gpu,
        })
    }

    /// The adapter that is drawn with.
    #[must_use]
    pub fn gpu(&self) -> &Gpu {
        &self.gpu
    }

    /// Paints `list` onto the canvas, where it differs from the list before.
    ///
    /// # Errors
    /// The device was lost, or the list's size is more than it can hold.
    pub fn draw(&mut self, list: &DrawList, fonts: &mut FontSystem) -> Result<Drawn, GpuError> {
        let drawn = self.prepare(list, fonts)?;
        self.submit([]);
        Ok(drawn)
    }

    /// Compares, gathers and uploads. [`Renderer::submit`] must follow.
    ///
    /// # Errors
    /// As [`Renderer::draw`].
    pub fn prepare(&mut self, list: &DrawList, fonts: &mut FontSystem) -> Result<Drawn, GpuError> {
        if self.gpu.is_lost() {
            return Err(GpuError::Lost);
        }
        if list.size != self.canvas.size {
            self.canvas = make_canvas(&self.gpu, list.size)?;
            self.viewport.set_size(&self.gpu, list.size);
            self.damage.forget();
        }
        let rects = self.damage.next(list);
        self.prepared = !rects.is_empty();
        if !self.prepared {
            return Ok(Drawn::default());
        }
        self.visible.find(list.size, &list.items, rects);
        self.solids.begin(rects, self.ground.unwrap_or(list.clear));
        self.images.begin();
        self.boxes.begin();
        self.paths.begin();
        self.text.begin(&self.gpu, list.size);
        let mut mark = LayerMark::default();
        for (index, parts) in self.visible.layers.iter().enumerate() {
            self.marks[index] = mark;
            for part in &parts.images {
                if let Shape::Image(image) = &list.items[part.item].shape {
                    self.images.push(&self.gpu, image, part.within);
                }
            }
            for part in &parts.boxes {
                if let Shape::Box(shape) = &list.items[part.item].shape {
                    self.boxes.push(shape, part.rect, part.within);
                }
            }
            for part in &parts.paths {
                if let Shape::Path(shape) = &list.items[part.item].shape {
                    self.paths.push(shape, part.within);
                }
            }
            self.text.prepare(&self.gpu, fonts, index, &list.items, &parts.texts);
            mark = LayerMark {
                images: self.images.mark(),
                boxes: self.boxes.end_layer(&mut self.solids),
                paths: self.paths.mark(),
            };
        }
        self.marks[LAYERS.len()] = mark;
        self.quads.reserve(&self.gpu, self.solids.quads().max(self.boxes.quads()).max(self.images.quads()));
        self.frame.begin();
        self.solids.place(&mut self.frame);
        self.images.place(&mut self.frame);
        self.boxes.place(&mut self.frame);
        self.paths.place(&mut self.frame);
        self.frame.upload(&self.gpu, |bytes| {
            self.solids.write(bytes);
            self.images.write(bytes);
            self.boxes.write(bytes);
            self.paths.write(bytes);
        });
        Ok(Drawn { rects: rects.len(), pixels: rects.iter().map(|rect| rect.area()).sum() })
    }

    /// Paints what was prepared and copies the canvas onto these surfaces, in one submission.
    pub fn submit<'a>(&mut self, onto: impl IntoIterator<Item = (&'a mut Blit, &'a TextureView)>) {
        let mut onto = onto.into_iter().peekable();
        if !self.prepared && onto.peek().is_none() {
            return;
        }
        let mut encoder =
            foreign(|| self.gpu.device.create_command_encoder(&CommandEncoderDescriptor::default()));
        self.record(&mut encoder);
        for (blit, surface) in onto {
            foreign(|| blit.record(&self.gpu, &mut encoder, &self.canvas.view, surface));
        }
        self.last_submission = Some(foreign(|| self.gpu.queue.submit([encoder.finish()])));
    }

    /// Records the painting of what was prepared, in place of [`Renderer::submit`]: for a caller that puts more into
    /// the same submission, and submits it. Records nothing when nothing was prepared.
    pub fn record(&mut self, encoder: &mut wgpu::CommandEncoder) {
        if std::mem::take(&mut self.prepared) {
            foreign(|| self.paint(encoder));
            self.text.trim();
            self.paths.trim();
        }
    }

    fn paint(&self, encoder: &mut wgpu::CommandEncoder) {
        let mut pass = encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
            label: Some("canvas"),
            color_attachments: &[Some(wgpu::RenderPassColorAttachment {
                view: &self.canvas.view,
                depth_slice: None,
                resolve_target: None,
                ops: wgpu::Operations { load: wgpu::LoadOp::Load, store: wgpu::StoreOp::Store },
            })],
            depth_stencil_attachment: None,
            timestamp_writes: None,
            occlusion_query_set: None,
            multiview_mask: None,
        });
        pass.set_bind_group(0, &self.viewport.bind_group, &[]);
        self.quads.bind(&mut pass);
        self.solids.draw_clears(&mut pass, &self.frame);
        for layer in 0..LAYERS.len() {
            let (from, to) = (self.marks[layer], self.marks[layer + 1]);
            // The paths and the text of the layer before have bound their own.
            pass.set_bind_group(0, &self.viewport.bind_group, &[]);
            self.quads.bind(&mut pass);
            self.images.draw(&mut pass, &self.frame, from.images..to.images);
            self.boxes.draw(&mut pass, &self.frame, &self.solids, from.boxes..to.boxes);
            self.paths.draw(&mut pass, &self.frame, from.paths..to.paths);
            self.text.draw(&mut pass, layer);
        }
    }

    /// Paints this colour where lists would leave their own ground, from the next frame on.
    pub fn set_ground(&mut self, ground: Option<Rgba>) {
        self.ground = ground;
        self.damage.forget();
    }

    /// Forgets what the canvas shows: the next frame is painted whole.
    pub fn repaint(&mut self) {
        self.damage.forget();
    }

    /// What the last frame repainted: disjoint rectangles, none when nothing differed.
    #[must_use]
    pub fn repainted(&self) -> &[PxRect] {
        self.damage.rects()
    }

    /// The canvas, for copies out of it.
    #[must_use]
    pub fn texture(&self) -> &wgpu::Texture {
        &self.canvas.texture
    }

    /// Waits until the last frame is painted, so that frames never queue up where no screen sets the pace.
    ///
    /// # Errors
    /// The device was lost.
    pub fn wait(&mut self) -> Result<(), GpuError> {
        let Some(submission_index) = self.last_submission.take() else { return Ok(()) };
        let wait = wgpu::PollType::Wait { submission_index: Some(submission_index), timeout: None };
        foreign(|| self.gpu.device.poll(wait)).map(|_| ()).map_err(|_| GpuError::Lost)
    }

    /// The canvas's pixels.
    ///
    /// # Errors
    /// The device was lost.
    pub fn pixels(&self) -> Result<Pixels, GpuError> {
        read_texture(&self.gpu, &self.canvas.texture)
    }
}

/// Textures may be larger than the shaders' coordinates reach.
fn make_canvas(gpu: &Gpu, size: [u32; 2]) -> Result<Canvas, GpuError> {
    let target = PxRect::of_size(size);
    let most = i32::try_from(MAX_SIDE_PX).unwrap_or(i32::MAX);
    if target.right > most || target.bottom > most {
        return Err(GpuError::TooLarge {
            width: size[0],
            height: size[1],
            adapter: gpu.name.clone(),
            most: MAX_SIDE_PX,
        });
    }
    Canvas::new(gpu, size)
}
