//! A window with what is needed to draw on it: its surface and the copy onto it. Knows nothing of when to draw.

use std::sync::Arc;

use wgpu::{
    CompositeAlphaMode, CurrentSurfaceTexture, PresentMode, Surface, SurfaceConfiguration, SurfaceTexture,
    TextureFormat, TextureUsages, TextureView,
};
use winit::raw_window_handle::{HasWindowHandle, RawWindowHandle};
use winit::window::{Fullscreen, Window};

use super::WindowError;
use crate::excerpt::Cutout;
use crate::gpu::blit::Blit;
use crate::gpu::{Gpu, GpuError};

/// Fields are dropped in this order: the surface must go before its window.
pub(super) struct Shown {
    acquired: Option<Acquired>,
    blit: Blit,
    surface: Surface<'static>,
    config: SurfaceConfiguration,
    gpu: Gpu,
    /// What the surface says at the next frame in place of the truth.
    pretended: Option<CurrentSurfaceTexture>,
    window: Arc<Window>,
}

/// A picture of the surface that is being drawn on.
struct Acquired {
    view: TextureView,
    texture: SurfaceTexture,
    suboptimal: bool,
}

/// How a window is to be shown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    /// With real transparency.
    pub clear: bool,
    /// Its screen sets the pace. Only one window's does: to wait for each would add the waits up.
    pub paces: bool,
}

impl Shown {
    pub fn open(gpu: &Gpu, window: Arc<Window>, wanted: Wanted) -> Result<Self, WindowError> {
        let surface = gpu.surface(window.clone())?;
        let size = window.inner_size();
        let size = [size.width.max(1), size.height.max(1)];
        gpu.check_size(size)?;
        if wanted.clear && gpu.software && is_on_x11(&window) {
            // Such a window is reported as possible, and then shows nothing at all.
            return Err(WindowError::NoTransparency("software Vulkan under X11 shows nothing there"));
        }
        let config = configuration(&surface, gpu, size, wanted)
            .ok_or(WindowError::NoTransparency("it offers opaque windows only"))?;
        surface.configure(&gpu.device, &config);
        let blit = Blit::new(gpu, config.format);
        Ok(Self { acquired: None, blit, surface, config, gpu: gpu.clone(), pretended: None, window })
    }

    /// Shows this of the canvas from now on.
    pub fn copy(&self, cutout: &Cutout) {
        let straight = self.config.alpha_mode == CompositeAlphaMode::PostMultiplied;
        self.blit.copy(&self.gpu, cutout, straight);
    }

    /// Takes the device away, as a driver does.
    pub fn destroy_device(&self) {
        self.gpu.device.destroy();
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
        self.surface.configure(&self.gpu.device, &self.config);
    }

    pub fn toggle_full_screen(&self) {
        let full = self.window.fullscreen().is_none();
        self.window.set_fullscreen(full.then_some(Fullscreen::Borderless(None)));
    }

    /// Takes the surface's next picture. False: it gives none now, so the window will not be up to date.
    pub fn acquire(&mut self) -> Result<bool, GpuError> {
        let (texture, suboptimal) = match self.surface_texture() {
            Ok(acquired) => acquired,
            Err(error) => return error.map_or(Ok(false), Err),
        };
        let view = texture.texture.create_view(&wgpu::TextureViewDescriptor::default());
        self.acquired = Some(Acquired { view, texture, suboptimal });
        Ok(true)
    }

    /// What to copy the canvas with, and onto what; none if nothing was acquired.
    pub fn onto(&mut self) -> Option<(&mut Blit, &TextureView)> {
        self.acquired.as_ref().map(|acquired| (&mut self.blit, &acquired.view))
    }

    /// Shows what was drawn on the acquired picture.
    pub fn present(&mut self) {
        let Some(Acquired { view, texture, suboptimal }) = self.acquired.take() else { return };
        drop(view);
        self.window.pre_present_notify();
        self.gpu.queue.present(texture);
        if suboptimal {
            self.surface.configure(&self.gpu.device, &self.config);
        }
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
                    self.surface.configure(&self.gpu.device, &self.config);
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

fn is_on_x11(window: &Window) -> bool {
    let handle = window.window_handle().map(|handle| handle.as_raw());
    matches!(handle, Ok(RawWindowHandle::Xlib(_) | RawWindowHandle::Xcb(_)))
}

/// None: the surface can't be transparent, and should be.
fn configuration(
    surface: &Surface<'_>,
    gpu: &Gpu,
    size: [u32; 2],
    wanted: Wanted,
) -> Option<SurfaceConfiguration> {
    let able = surface.get_capabilities(&gpu.adapter);
    // One that takes values as they are, so that the window shows the canvas bit for bit.
    let format = [TextureFormat::Bgra8Unorm, TextureFormat::Rgba8Unorm]
        .into_iter()
        .find(|format| able.formats.contains(format))
        .or_else(|| able.formats.first().copied())
        .unwrap_or(TextureFormat::Bgra8Unorm);
    let unpaced = able.present_modes.contains(&PresentMode::Mailbox) && !wanted.paces;
    Some(SurfaceConfiguration {
        usage: TextureUsages::RENDER_ATTACHMENT,
        format,
        color_space: wgpu::SurfaceColorSpace::Auto,
        width: size[0],
        height: size[1],
        present_mode: if unpaced { PresentMode::Mailbox } else { PresentMode::Fifo },
        desired_maximum_frame_latency: 2,
        alpha_mode: alpha_mode(&able.alpha_modes, wanted.clear)?,
        view_formats: Vec::new(),
    })
}

/// How a surface's alpha is taken; none if it should be and can't.
fn alpha_mode(able: &[CompositeAlphaMode], clear: bool) -> Option<CompositeAlphaMode> {
    use CompositeAlphaMode::{Auto, Inherit, Opaque, PostMultiplied, PreMultiplied};
    if clear {
        return [PreMultiplied, PostMultiplied, Inherit].into_iter().find(|mode| able.contains(mode));
    }
    Some(if able.contains(&Opaque) { Opaque } else { Auto })
}

#[cfg(test)]
mod tests {
    use super::*;
    use CompositeAlphaMode::{Auto, Inherit, Opaque, PostMultiplied, PreMultiplied};

    #[test]
    fn a_window_is_opaque_unless_it_should_be_clear_and_can_be() {
        let all = [Opaque, PreMultiplied, PostMultiplied, Inherit];
        assert_eq!(alpha_mode(&all, false), Some(Opaque));
        assert_eq!(alpha_mode(&all[1..], false), Some(Auto));
        assert_eq!(alpha_mode(&all, true), Some(PreMultiplied));
        assert_eq!(alpha_mode(&[Opaque, PostMultiplied], true), Some(PostMultiplied));
        assert_eq!(alpha_mode(&[Opaque, Inherit], true), Some(Inherit));
        assert_eq!(alpha_mode(&[Opaque], true), None);
    }
}
