//! Finding something to draw with: a real GPU before a software one, and words for people when there is none.
//! Only Vulkan is asked: OpenGL was tried on one maker's driver and drew boards without their text, and every
//! machine that lacks a GPU for Vulkan can have Mesa's software Vulkan instead.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use thiserror::Error;
use wgpu::{
    Adapter, Backends, Device, DeviceType, Instance, InstanceDescriptor, InstanceFlags, Queue, Surface,
};

/// Why there is nothing to draw with, or no longer.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum GpuError {
    /// Neither hardware nor software.
    #[error(
        "no graphics adapter was found, neither a GPU nor a software one (Vulkan was asked); \
         install the software one with `apt-get install mesa-vulkan-drivers libvulkan1`, or the GPU's own driver"
    )]
    NoAdapter,
    /// A window that can't be drawn to.
    #[error("the window can't be drawn to: {reason}")]
    NoSurface {
        /// What the driver says.
        reason: String,
    },
    /// An adapter that will not open.
    #[error("the graphics adapter {adapter} could not be opened: {reason}")]
    NoDevice {
        /// Its name.
        adapter: String,
        /// What the driver says.
        reason: String,
    },
    /// More pixels than the adapter can hold in one picture.
    #[error("{width}x{height} pixels are more than {adapter} can draw; the most is {most} on each side")]
    TooLarge {
        /// Asked for.
        width: u32,
        /// Asked for.
        height: u32,
        /// Name of the adapter.
        adapter: String,
        /// What it can do.
        most: u32,
    },
    /// The device went away: driver restart, unplugged, out of memory.
    #[error("the graphics device was lost; it is opened again")]
    Lost,
}

/// What measuring a frame on the GPU's own clock takes; asked for where the adapter has it, and costs nothing unused.
pub const TIMESTAMPS: wgpu::Features =
    wgpu::Features::TIMESTAMP_QUERY.union(wgpu::Features::TIMESTAMP_QUERY_INSIDE_ENCODERS);

/// An open adapter. Clones are the same device.
#[derive(Clone, Debug)]
pub struct Gpu {
    /// Makes surfaces for windows that come later.
    instance: Instance,
    /// Kept for surfaces.
    pub adapter: Adapter,
    /// Makes resources.
    pub device: Device,
    /// Takes work.
    pub queue: Queue,
    /// The adapter in words, for logs: name, interface, and that it is software if it is.
    pub name: String,
    /// It draws with the processor.
    pub software: bool,
    lost: Arc<AtomicBool>,
}

/// How the desktop is told to the interface to its adapters; none without a desktop.
pub type DesktopHandle = Box<dyn wgpu::wgt::WgpuHasDisplayHandle>;

impl Gpu {
    /// Opens the best adapter for drawing without a window: hardware before software.
    ///
    /// # Errors
    /// None is found, or none opens.
    pub fn open() -> Result<Self, GpuError> {
        Self::choose(None, |_| Ok(None)).map(|(gpu, _)| gpu)
    }

    /// Opens the best adapter that can show on a desktop's windows. `window`, if there is one already, is one of
    /// them.
    ///
    /// # Errors
    /// None is found, or none opens.
    pub fn open_on(
        desktop: DesktopHandle,
        window: Option<impl Into<wgpu::SurfaceTarget<'static>>>,
    ) -> Result<Self, GpuError> {
        let make = |instance: &Instance| window.map(|window| instance.create_surface(window)).transpose();
        // The surface only chooses the adapter; a window has one of its own when it is drawn on.
        Self::choose(Some(desktop), make).map(|(gpu, _)| gpu)
    }

    /// The surface of a window.
    ///
    /// # Errors
    /// This adapter can't show on it.
    pub fn surface(
        &self,
        window: impl Into<wgpu::SurfaceTarget<'static>>,
    ) -> Result<Surface<'static>, GpuError> {
        let refused = |reason| GpuError::NoSurface { reason };
        let surface = self.instance.create_surface(window).map_err(|error| refused(error.to_string()))?;
        if self.adapter.is_surface_supported(&surface) {
            return Ok(surface);
        }
        Err(refused(format!("{} does not reach its monitor; all windows share one adapter", self.name)))
    }

    fn choose(
        desktop: Option<DesktopHandle>,
        make: impl FnOnce(&Instance) -> Result<Option<Surface<'static>>, wgpu::CreateSurfaceError>,
    ) -> Result<(Self, Option<Surface<'static>>), GpuError> {
        let instance = instance(desktop);
        let surface = make(&instance).map_err(|error| GpuError::NoSurface { reason: error.to_string() })?;
        let adapters = adapters(&instance, surface.as_ref());
        let gpus = adapters.iter().any(|adapter| adapter.get_info().device_type != DeviceType::Cpu);
        let gpu = first_that_opens(adapters, |adapter| Self::open_adapter(&instance, adapter, gpus))?;
        Ok((gpu, surface))
    }

    /// `gpus`: there are any.
    fn open_adapter(instance: &Instance, adapter: Adapter, gpus: bool) -> Result<Self, GpuError> {
        let info = adapter.get_info();
        let software = info.device_type == DeviceType::Cpu;
        let why = match (software, gpus) {
            (false, _) => "",
            (true, false) => ", software: no GPU was found",
            (true, true) => ", software: no GPU could be opened",
        };
        let name = format!("{} ({}{why})", info.name, info.backend);
        let descriptor = wgpu::DeviceDescriptor {
            label: Some("display"),
            required_features: adapter.features() & TIMESTAMPS,
            required_limits: wgpu::Limits::downlevel_defaults().using_resolution(adapter.limits()),
            ..Default::default()
        };
        let (device, queue) = pollster::block_on(adapter.request_device(&descriptor))
            .map_err(|error| GpuError::NoDevice { adapter: name.clone(), reason: error.to_string() })?;
        let lost = Arc::new(AtomicBool::new(false));
        let on_lost = lost.clone();
        device.set_device_lost_callback(move |reason, message| {
            // Destroyed is what it is called, too, when we are done with it.
            if reason != wgpu::DeviceLostReason::Destroyed {
                tracing::error!(?reason, message, "the graphics device was lost");
            }
            on_lost.store(true, Ordering::Release);
        });
        let on_error = lost.clone();
        device.on_uncaptured_error(Arc::new(move |error: wgpu::Error| {
            // Out of memory and driver faults alike: what is on the device can't be trusted, so it is rebuilt. A
            // device that is gone refuses everything; the first refusal says enough.
            if !on_error.swap(true, Ordering::AcqRel) {
                tracing::error!(%error, "the graphics device refused work");
            }
        }));
        tracing::info!(adapter = name, driver = info.driver_info, "drawing with this adapter");
        Ok(Self { instance: instance.clone(), adapter, device, queue, name, software, lost })
    }

    /// Whether the device has gone away and has to be opened anew.
    #[must_use]
    pub fn is_lost(&self) -> bool {
        self.lost.load(Ordering::Acquire)
    }

    /// Whether a picture of this size fits.
    ///
    /// # Errors
    /// It has no pixels or more than the adapter can hold.
    pub fn check_size(&self, size: [u32; 2]) -> Result<(), GpuError> {
        let most = self.device.limits().max_texture_dimension_2d;
        if size.iter().all(|side| (1..=most).contains(side)) {
            return Ok(());
        }
        Err(GpuError::TooLarge { width: size[0], height: size[1], adapter: self.name.clone(), most })
    }
}

fn instance(desktop: Option<DesktopHandle>) -> Instance {
    let mut descriptor = match desktop {
        Some(desktop) => InstanceDescriptor::new_with_display_handle(desktop),
        None => InstanceDescriptor::new_without_display_handle(),
    };
    descriptor.backends = Backends::VULKAN;
    // The validation layers of a development machine would be loaded otherwise, and slow every frame.
    descriptor.flags = InstanceFlags::empty().with_env();
    Instance::new(descriptor)
}

/// Those that can show on the surface, hardware before software.
fn adapters(instance: &Instance, surface: Option<&Surface<'_>>) -> Vec<Adapter> {
    let mut adapters = pollster::block_on(instance.enumerate_adapters(Backends::VULKAN));
    adapters.retain(|adapter| surface.is_none_or(|shown| adapter.is_surface_supported(shown)));
    adapters.sort_by_key(rank);
    adapters
}

/// The first adapter that opens, or the trouble with the best one.
fn first_that_opens<A, T>(
    adapters: impl IntoIterator<Item = A>,
    mut open: impl FnMut(A) -> Result<T, GpuError>,
) -> Result<T, GpuError> {
    let mut first = None;
    for adapter in adapters {
        match open(adapter) {
            Ok(opened) => return Ok(opened),
            Err(error) => {
                tracing::warn!("{error}");
                first.get_or_insert(error);
            }
        }
    }
    Err(first.unwrap_or(GpuError::NoAdapter))
}

fn rank(adapter: &Adapter) -> u8 {
    match adapter.get_info().device_type {
        DeviceType::DiscreteGpu => 0,
        DeviceType::IntegratedGpu => 1,
        DeviceType::VirtualGpu => 2,
        DeviceType::Other => 3,
        DeviceType::Cpu => 4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_adapter_that_does_not_open_gives_way_to_the_next() {
        let refused = |name: &str| GpuError::NoDevice { adapter: name.into(), reason: "busy".into() };
        let open = |(name, opens): (&'static str, bool)| if opens { Ok(name) } else { Err(refused(name)) };
        for (adapters, expected) in [
            (vec![("card", true), ("software", true)], Ok("card")),
            (vec![("card", false), ("software", true)], Ok("software")),
            (vec![("card", false), ("software", false)], Err(refused("card"))),
            (vec![], Err(GpuError::NoAdapter)),
        ] {
            assert_eq!(first_that_opens(adapters, open), expected);
        }
    }
}
