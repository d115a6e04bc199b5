//! Finding something to draw with: a real GPU before a software one, and words for people when there is none.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use thiserror::Error;
use wgpu::{Adapter, Backend, Backends, Device, DeviceType, Instance, InstanceDescriptor, InstanceFlags, Queue};

/// Why there is nothing to draw with, or no longer.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum GpuError {
    /// Neither hardware nor software.
    #[error(
        "no graphics adapter was found, neither a GPU nor a software one ({looked_at} looked at); \
         install the software one with `apt-get install mesa-vulkan-drivers libvulkan1`, or the GPU's own driver"
    )]
    NoAdapter {
        /// Which interfaces were asked.
        looked_at: String,
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

/// An open adapter.
#[derive(Debug)]
pub struct Gpu {
    /// Kept for surfaces.
    pub adapter: Adapter,
    /// Makes resources.
    pub device: Device,
    /// Takes work.
    pub queue: Queue,
    /// The adapter in words, for logs: name, interface, and that it is software if it is.
    pub name: String,
    lost: Arc<AtomicBool>,
}

/// The interface to the system's adapters. `WGPU_BACKEND` narrows the choice (`vulkan`, `gl`).
#[must_use]
pub fn new_instance(display: Option<Box<dyn wgpu::wgt::WgpuHasDisplayHandle>>) -> Instance {
    let mut descriptor = match display {
        Some(display) => InstanceDescriptor::new_with_display_handle(display),
        None => InstanceDescriptor::new_without_display_handle(),
    };
    descriptor.backends = backends();
    // The validation layers of a development machine would be loaded otherwise, and slow every frame.
    descriptor.flags = InstanceFlags::empty().with_env();
    Instance::new(descriptor)
}

fn backends() -> Backends {
    Backends::from_env().unwrap_or(Backends::VULKAN | Backends::GL)
}

impl Gpu {
    /// Opens the best adapter: hardware before software, Vulkan before GL. With a surface, one that can show on it.
    ///
    /// # Errors
    /// None found, or it does not open.
    pub fn open(instance: &Instance, surface: Option<&wgpu::Surface<'_>>) -> Result<Self, GpuError> {
        let mut adapters = pollster::block_on(instance.enumerate_adapters(backends()));
        adapters.retain(|adapter| surface.is_none_or(|surface| adapter.is_surface_supported(surface)));
        adapters.sort_by_key(|adapter| rank(&adapter.get_info()));
        let mut refused = None;
        for adapter in adapters {
            match Self::open_adapter(adapter) {
                Ok(gpu) => return Ok(gpu),
                Err(error) => refused = refused.or(Some(error)),
            }
        }
        Err(refused.unwrap_or_else(|| GpuError::NoAdapter { looked_at: words(backends()) }))
    }

    fn open_adapter(adapter: Adapter) -> Result<Self, GpuError> {
        let info = adapter.get_info();
        let software = info.device_type == DeviceType::Cpu;
        let name = format!(
            "{} ({}{})",
            info.name,
            info.backend,
            if software { ", software: no GPU was found" } else { "" }
        );
        let descriptor = wgpu::DeviceDescriptor {
            label: Some("display"),
            required_limits: wgpu::Limits::downlevel_defaults().using_resolution(adapter.limits()),
            ..Default::default()
        };
        let (device, queue) = pollster::block_on(adapter.request_device(&descriptor))
            .map_err(|error| GpuError::NoDevice { adapter: name.clone(), reason: error.to_string() })?;
        let lost = Arc::new(AtomicBool::new(false));
        let on_lost = lost.clone();
        device.set_device_lost_callback(move |reason, message| {
            if reason != wgpu::DeviceLostReason::Destroyed {
                tracing::error!(?reason, message, "the graphics device was lost");
                on_lost.store(true, Ordering::Release);
            }
        });
        let on_error = lost.clone();
        device.on_uncaptured_error(Arc::new(move |error: wgpu::Error| {
            // Out of memory and driver faults alike: what is on the device can't be trusted, so it is rebuilt.
            tracing::error!(%error, "the graphics device refused work");
            on_error.store(true, Ordering::Release);
        }));
        tracing::info!(adapter = name, driver = info.driver_info, "drawing with this adapter");
        Ok(Self { adapter, device, queue, name, lost })
    }

    /// Whether the device has gone away and has to be opened anew.
    #[must_use]
    pub fn is_lost(&self) -> bool {
        self.lost.load(Ordering::Acquire)
    }

    /// Marks the device as gone, as the driver does. Drills use it to practise the recovery.
    pub fn mark_lost(&self) {
        self.lost.store(true, Ordering::Release);
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

fn rank(info: &wgpu::AdapterInfo) -> (u8, u8) {
    let kind = match info.device_type {
        DeviceType::DiscreteGpu => 0,
        DeviceType::IntegratedGpu => 1,
        DeviceType::VirtualGpu => 2,
        DeviceType::Other => 3,
        DeviceType::Cpu => 4,
    };
    (kind, u8::from(info.backend != Backend::Vulkan))
}

fn words(backends: Backends) -> String {
    let names = [(Backends::VULKAN, "Vulkan"), (Backends::GL, "GL")];
    let asked: Vec<&str> =
        names.iter().filter(|(bit, _)| backends.contains(*bit)).map(|(_, name)| *name).collect();
    asked.join(" and ")
}
