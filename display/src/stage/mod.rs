//! Everything that one process shows: its pictures on one device, and the outputs that their pixels go to. Windows are
//! left to [`window`](crate::window); who draws when nobody has a window is here.

mod offscreen;
mod painted;
mod setup;

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

pub use painted::Painted;
pub use setup::{Cast, SetupError, WindowOutput, find_theme, set_up};

use crate::canvas::CanvasFeed;
use crate::clock::MonoClock;
use crate::frames::Frames;
use crate::gpu::{Comeback, Gpu, GpuError};

/// How often pixels on their way out of the card are looked after: nothing says when they have come.
pub(crate) const LOOK_AFTER_US: i64 = 2_000;

/// Wakes the thread that draws. Whoever rings it has changed something first.
#[derive(Clone)]
pub struct Wake {
    rung: Arc<AtomicBool>,
    call: Arc<dyn Fn() + Send + Sync>,
}

impl Wake {
    /// `call` is called at every ring, from whatever thread rings.
    #[must_use]
    pub fn new(call: impl Fn() + Send + Sync + 'static) -> Self {
        Self { rung: Arc::default(), call: Arc::new(call) }
    }

    /// Something changed.
    pub fn ring(&self) {
        self.rung.store(true, Ordering::Release);
        (self.call)();
    }

    fn has_rung(&self) -> bool {
        self.rung.load(Ordering::Acquire)
    }

    fn take(&self) -> bool {
        self.rung.swap(false, Ordering::AcqRel)
    }
}

/// An output that lives on threads of its own.
pub enum Served {
    /// Pages in browsers.
    Pages(CanvasFeed),
    /// Raw frames.
    Frames(Frames),
}

/// Pictures, and where they go.
pub struct Stage {
    /// The pictures.
    pub pictures: Vec<Painted>,
    served: Vec<(String, Served)>,
    /// Outputs beside the served ones: as long as there are any, there is something to show.
    windows: usize,
    gpu: Option<Gpu>,
    comeback: Comeback,
    clock: MonoClock,
    wake: Wake,
    until_provisional: bool,
}

impl Stage {
    /// A stage without a device yet. `wake` is what everything rings that changes something.
    #[must_use]
    pub fn new(pictures: Vec<Painted>, clock: MonoClock, wake: Wake) -> Self {
        Self {
            pictures,
            served: Vec::new(),
            windows: 0,
            gpu: None,
            comeback: Comeback::default(),
            clock,
            wake,
            until_provisional: false,
        }
    }

    /// The display's clock.
    #[must_use]
    pub fn clock(&self) -> MonoClock {
        self.clock
    }

    /// Opens the best adapter for drawing without a window.
    ///
    /// # Errors
    /// There is none, or a picture does not fit.
    pub fn open(&mut self) -> Result<(), GpuError> {
        self.open_with(Gpu::open()?).map(|_| ())
    }

    /// Draws everything with this adapter from now on, anew. Gives whether that is software in place of a GPU.
    ///
    /// # Errors
    /// A picture does not fit.
    pub fn open_with(&mut self, gpu: Gpu) -> Result<bool, GpuError> {
        let software_instead = self.comeback.drawing_with(&gpu);
        self.pictures.iter_mut().try_for_each(|picture| picture.open(&gpu))?;
        self.gpu = Some(gpu);
        Ok(software_instead)
    }

    /// What everything is drawn with; none while a lost device is not open again.
    #[must_use]
    pub fn gpu(&self) -> Option<&Gpu> {
        self.gpu.as_ref()
    }

    /// The device is gone: nothing is drawn until another is opened.
    pub fn close(&mut self) {
        self.gpu = None;
        self.pictures.iter_mut().for_each(Painted::close);
    }

    /// How it stands with a lost device.
    pub fn comeback(&mut self) -> &mut Comeback {
        &mut self.comeback
    }

    /// Takes note of what has changed since the last time: every picture may look different.
    pub fn take_wake(&mut self) {
        if self.wake.take() {
            self.pictures.iter_mut().for_each(Painted::change);
        }
    }

    /// Hands over what has come out of the card. Gives whether it has to be called again within a few milliseconds.
    pub fn copy_out(&mut self) -> bool {
        // Each of them has to be asked.
        self.pictures.iter_mut().fold(false, |busy, picture| picture.copy_out() | busy)
    }

    /// Nothing more is to be shown: the heat is provisional where that was asked for, or every reader is gone for good.
    #[must_use]
    pub fn is_over(&self) -> bool {
        let provisional = || self.pictures.iter().all(Painted::is_provisional);
        let ended = |(_, served): &(String, Served)| match served {
            Served::Frames(frames) => frames.is_over(),
            Served::Pages(_) => false,
        };
        let unread = self.windows == 0 && !self.served.is_empty() && self.served.iter().all(ended);
        (self.until_provisional && provisional()) || unread
    }

    /// What each output that is served has cost, a line each.
    #[must_use]
    pub fn figures(&self) -> Vec<String> {
        let line = |(name, served): &(String, Served)| match served {
            Served::Pages(canvas) if self.served.len() == 1 => format!("canvas: {}", canvas.figures()),
            Served::Pages(canvas) => format!("canvas {name}: {}", canvas.figures()),
            Served::Frames(frames) => format!("frames {name}: {}", frames.figures()),
        };
        self.served.iter().map(line).collect()
    }
}
