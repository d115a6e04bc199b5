//! A window with what is needed to draw on it: surface, device, renderer. Knows nothing of when to draw.

use std::sync::Arc;

use wgpu::{
    CompositeAlphaMode, CurrentSurfaceTexture, PresentMode, Surface, SurfaceConfiguration, SurfaceTexture,
    TextureFormat, TextureUsages,
};
use winit::event_loop::ActiveEventLoop;
use winit::window::{Fullscreen, Window};

use super::WindowError;
use crate::gpu::blit::Blit;
use crate::gpu::{Gpu, GpuError, Renderer};
use crate::live::LiveBoard;

/// Fields are dropped in this order: the surface must go before its window.
pub(super) struct Shown {
    blit: Blit,
    renderer: Renderer,
    surface: Surface<'static>,
    config: SurfaceConfiguration,
    /// What the surface says at the next frame in place of the truth.
    pretended: Option<CurrentSurfaceTexture>,
    window: Arc<Window>,
}

impl Shown {
    pub fn open(desktop: &ActiveEventLoop, window: Arc<Window>) -> Result<Self, WindowError> {
        let (gpu, surface) = Gpu::open_for(Box::new(desktop.owned_display_handle()), |instance| {
            instance.create_surface(window.clone())
        })?;
        let size = window.inner_size();
        let size = [size.width.max(1), size.height.max(1)];
        gpu.check_size(size)?;
        let config = configuration(&surface, &gpu, size);
        surface.configure(&gpu.device, &config);
        let blit = Blit::new(&gpu, config.format);
        let renderer = Renderer::new(gpu, size)?;
        Ok(Self { blit, renderer, surface, config, pretended: None, window })
    }

    /// What is drawn with.
    pub fn gpu(&self) -> &Gpu {
        self.renderer.gpu()
    }

    /// Takes the device away, as a driver does.
    pub fn destroy_device(&self) {
        self.gpu().device.destroy();
    }

    /// Has the surface say this at the next frame.
    pub fn pretend(&mut self, outcome: Option<CurrentSurfaceTexture>) {
        self.pretended = outcome;
    }

    pub fn window(&self) -> &Window {
        &self.window
    }

    pub fn size(&self) -> [u32; 2] {
        [self.config.width, self.config.height]
    }

    pub fn resize(&mut self, size: [u32; 2]) {
        [self.config.width, self.config.height] = size;
        self.surface.configure(&self.renderer.gpu().device, &self.config);
    }

    pub fn toggle_full_screen(&self) {
        let full = self.window.fullscreen().is_none();
        self.window.set_fullscreen(full.then_some(Fullscreen::Borderless(None)));
    }

    /// Draws the next frame and shows it if anything differs. False: the surface gave no picture to draw on, so
    /// the canvas is up to date and the window is not.
    pub fn frame(&mut self, live: &mut LiveBoard, must_present: bool) -> Result<bool, GpuError> {
        live.compose(&self.renderer)?;
        let (list, fonts) = live.parts();
        let drawn = self.renderer.prepare(list, fonts)?;
        let mut shown = true;
        if drawn.rects > 0 || must_present {
            shown = self.present()?;
        }
        live.after_frame(&self.renderer)?;
        Ok(shown)
    }

    fn present(&mut self) -> Result<bool, GpuError> {
        let texture = match self.surface_texture() {
            Ok(texture) => texture,
            Err(error) => {
                self.renderer.submit(None);
                return error.map_or(Ok(false), Err);
            }
        };
        let suboptimal = texture.1;
        let view = texture.0.texture.create_view(&wgpu::TextureViewDescriptor::default());
        self.renderer.submit(Some((&mut self.blit, &view)));
        self.window.pre_present_notify();
        self.renderer.gpu().queue.present(texture.0);
        if suboptimal {
            self.surface.configure(&self.renderer.gpu().device, &self.config);
        }
        Ok(true)
    }

    /// The next picture of the surface, and whether it should be configured anew afterwards. An error of none
    /// means to ask again later.
    fn surface_texture(&mut self) -> Result<(SurfaceTexture, bool), Option<GpuError>> {
        for _ in 0..2 {
            let outcome = self.pretended.take().unwrap_or_else(|| self.surface.get_current_texture());
            match outcome {
                CurrentSurfaceTexture::Success(texture) => return Ok((texture, false)),
                CurrentSurfaceTexture::Suboptimal(texture) => return Ok((texture, true)),
                CurrentSurfaceTexture::Outdated => {
                    self.surface.configure(&self.renderer.gpu().device, &self.config);
                }
                CurrentSurfaceTexture::Timeout | CurrentSurfaceTexture::Occluded => return Err(None),
                CurrentSurfaceTexture::Lost | CurrentSurfaceTexture::Validation => {
                    return Err(Some(GpuError::Lost));
                }
            }
        }
        Err(None)
    }
}

fn configuration(surface: &Surface<'_>, gpu: &Gpu, size: [u32; 2]) -> SurfaceConfiguration {
    let able = surface.get_capabilities(&gpu.adapter);
    // One that takes values as they are, so that the window shows the canvas bit for bit.
    let format = [TextureFormat::Bgra8Unorm, TextureFormat::Rgba8Unorm]
        .into_iter()
        .find(|format| able.formats.contains(format))
        .or_else(|| able.formats.first().copied())
        .unwrap_or(TextureFormat::Bgra8Unorm);
    let alpha_mode = if able.alpha_modes.contains(&CompositeAlphaMode::Opaque) {
        CompositeAlphaMode::Opaque
    } else {
        CompositeAlphaMode::Auto
    };
    SurfaceConfiguration {
        usage: TextureUsages::RENDER_ATTACHMENT,
        format,
        color_space: wgpu::SurfaceColorSpace::Auto,
        width: size[0],
        height: size[1],
        present_mode: PresentMode::Fifo,
        desired_maximum_frame_latency: 2,
        alpha_mode,
        view_formats: Vec::new(),
    }
}
