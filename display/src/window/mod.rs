//! Pictures in windows, on as many monitors as there are. Draws only when something changed; F toggles the full screen
//! of a window, Esc leaves the program.

mod app;
mod attributes;
mod list;
mod lookout;
mod monitors;
mod pane;
mod practice;
mod shown;

use thiserror::Error;
use winit::error::{EventLoopError, OsError};
use winit::event_loop::{EventLoop, EventLoopProxy};

use crate::connection::Connection;
use crate::gpu::GpuError;
use crate::stage::{Stage, WindowOutput};
use app::App;
pub use practice::Practice;

/// Why there is no window.
#[derive(Debug, Error)]
pub enum WindowError {
    /// Neither X11 nor Wayland.
    #[error(
        "no window can be opened here: {0}; start it on a desktop (DISPLAY or WAYLAND_DISPLAY set), \
         or use --headless with --pictures"
    )]
    NoDesktop(#[from] EventLoopError),
    /// The desktop refused.
    #[error("the desktop refused a window: {0}")]
    Refused(#[from] OsError),
    /// A clear window, where there is none.
    #[error(
        "no window can be transparent here: {0}; give the picture a colour for the mixer to key out instead, such as \
         --background '#00ff00' (in a screens file: background = \"#00ff00\")"
    )]
    NoTransparency(&'static str),
    /// Nothing to draw with.
    #[error(transparent)]
    Gpu(#[from] GpuError),
}

/// Something changed: draw.
#[derive(Clone, Copy, Debug)]
pub struct Woken;

/// The desktop's event loop; its waker is the stage's wake.
pub struct Desktop {
    events: EventLoop<Woken>,
}

impl Desktop {
    /// Connects to the desktop.
    ///
    /// # Errors
    /// There is none.
    pub fn connect() -> Result<Self, WindowError> {
        Ok(Self { events: EventLoop::with_user_event().build()? })
    }

    /// Wakes the windows from another thread.
    #[must_use]
    pub fn waker(&self) -> EventLoopProxy<Woken> {
        self.events.create_proxy()
    }

    /// Shows the stage in these windows until somebody leaves.
    ///
    /// # Errors
    /// No window, or nothing to draw with.
    pub fn run(
        self,
        stage: &mut Stage,
        windows: Vec<WindowOutput>,
        connection: &Connection,
        practice: Option<Practice>,
    ) -> Result<(), WindowError> {
        let mut app = App::new(stage, windows, connection, practice);
        self.events.run_app(&mut app)?;
        app.end()
    }

    /// The monitors, a line each: number, name, size and place in pixels.
    ///
    /// # Errors
    /// The desktop goes away.
    pub fn monitors(self) -> Result<Vec<String>, WindowError> {
        list::monitors(self.events)
    }
}
