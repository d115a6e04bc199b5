//! The board in a window, full screen unless told otherwise. Draws only when something changed; F toggles the
//! full screen, Esc leaves.

mod practice;
mod shown;

use std::sync::Arc;

use thiserror::Error;
use winit::application::ApplicationHandler;
use winit::dpi::PhysicalSize;
use winit::error::{EventLoopError, OsError};
use winit::event::{ElementState, KeyEvent, WindowEvent};
use winit::event_loop::{ActiveEventLoop, ControlFlow, EventLoop, EventLoopProxy};
use winit::keyboard::{Key, KeyCode, NamedKey, PhysicalKey};
use winit::window::{Fullscreen, Window, WindowAttributes, WindowId};

use crate::clock::MonoClock;
use crate::connection::Connection;
use crate::gpu::{Comeback, GpuError};
use crate::live::LiveBoard;
use practice::Fault;
pub use practice::Practice;
use shown::Shown;

/// Pause before a surface that gave no picture is asked again, microseconds.
const ASK_SURFACE_AGAIN_US: i64 = 100_000;
/// Size of a window that is not full screen, if none is told.
const WINDOW_SIZE: [u32; 2] = [1280, 720];

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
    /// Nothing to draw with.
    #[error(transparent)]
    Gpu(#[from] GpuError),
}

/// Something changed: draw.
#[derive(Clone, Copy, Debug)]
pub struct Wake;

/// How the window opens and when it closes by itself.
#[derive(Clone, Debug)]
pub struct WindowOptions {
    /// A frame instead of the full screen.
    pub windowed: bool,
    /// Size in pixels when not full screen.
    pub size: Option<[u32; 2]>,
    /// Most frames a second.
    pub fps: u32,
    /// Close when the heat is provisional.
    pub until_provisional: bool,
    /// Faults on demand.
    pub practice: Option<Practice>,
}

/// The desktop's event loop; its wake goes to the connection.
pub struct Desktop {
    events: EventLoop<Wake>,
}

impl Desktop {
    /// Connects to the desktop.
    ///
    /// # Errors
    /// There is none.
    pub fn connect() -> Result<Self, WindowError> {
        Ok(Self { events: EventLoop::with_user_event().build()? })
    }

    /// Wakes the window from another thread.
    #[must_use]
    pub fn waker(&self) -> EventLoopProxy<Wake> {
        self.events.create_proxy()
    }

    /// Shows the board until somebody leaves it.
    ///
    /// # Errors
    /// No window, or nothing to draw with.
    pub fn run(
        self,
        live: LiveBoard,
        connection: &Connection,
        clock: MonoClock,
        options: WindowOptions,
    ) -> Result<(), WindowError> {
        let mut app = App {
            live,
            connection,
            clock,
            options,
            window: None,
            shown: None,
            changed: true,
            must_present: true,
            asked: false,
            not_before_us: 0,
            comeback: Comeback::default(),
            open_at_us: 0,
            failed: None,
        };
        self.events.run_app(&mut app)?;
        app.failed.map_or(Ok(()), Err)
    }
}

struct App<'a> {
    live: LiveBoard,
    connection: &'a Connection,
    clock: MonoClock,
    options: WindowOptions,
    window: Option<Arc<Window>>,
    /// None while a lost device is not open again; the window then keeps its last picture.
    shown: Option<Shown>,
    /// A message came since the last frame.
    changed: bool,
    /// The surface has to be given the canvas even if nothing on it differs.
    must_present: bool,
    /// We asked for the next redraw ourselves.
    asked: bool,
    not_before_us: i64,
    comeback: Comeback,
    /// When a lost device is opened again.
    open_at_us: i64,
    failed: Option<WindowError>,
}

impl ApplicationHandler<Wake> for App<'_> {
    fn resumed(&mut self, desktop: &ActiveEventLoop) {
        if self.window.is_none() {
            let window =
                self.attributes(desktop).and_then(|attributes| Ok(desktop.create_window(attributes)?));
            match window {
                Ok(window) => {
                    window.set_cursor_visible(false);
                    self.window = Some(Arc::new(window));
                    if let Err(error) = self.open(desktop) {
                        self.fail(desktop, error);
                    }
                }
                Err(error) => self.fail(desktop, error),
            }
        }
    }

    fn user_event(&mut self, _: &ActiveEventLoop, _: Wake) {
        self.changed = true;
    }

    fn window_event(&mut self, desktop: &ActiveEventLoop, _: WindowId, event: WindowEvent) {
        match event {
            WindowEvent::CloseRequested => desktop.exit(),
            WindowEvent::Resized(size) => self.resized(size),
            WindowEvent::Occluded(false) => self.must_present = true,
            WindowEvent::KeyboardInput { event, .. } => self.key(desktop, &event),
            WindowEvent::RedrawRequested => {
                // One that we did not ask for comes from the desktop: what was on the window is gone.
                self.must_present |= !self.asked;
                self.asked = false;
                self.redraw(desktop);
            }
            _ => {}
        }
    }

    fn about_to_wait(&mut self, desktop: &ActiveEventLoop) {
        let over = self.options.until_provisional && self.live.is_provisional();
        if over || self.connection.interrupted() {
            desktop.exit();
            return;
        }
        let now_us = self.clock.now_us();
        let due_us = if self.changed || self.must_present { Some(now_us) } else { self.live.next_frame_us() };
        let at_us = due_us.map(|at_us| at_us.max(self.not_before_us));
        match (at_us, &self.shown) {
            (Some(at_us), Some(shown)) if at_us <= now_us => {
                self.asked = true;
                shown.window().request_redraw();
                desktop.set_control_flow(ControlFlow::Wait);
            }
            (Some(at_us), Some(_)) => {
                desktop.set_control_flow(ControlFlow::WaitUntil(self.clock.instant_at(at_us)));
            }
            (_, None) if self.window.is_some() => {
                if now_us >= self.open_at_us {
                    self.open_again(desktop);
                }
                desktop.set_control_flow(ControlFlow::WaitUntil(self.clock.instant_at(self.open_at_us)));
            }
            _ => desktop.set_control_flow(ControlFlow::Wait),
        }
    }
}

impl App<'_> {
    fn attributes(&self, desktop: &ActiveEventLoop) -> Result<WindowAttributes, WindowError> {
        let attributes = Window::default_attributes().with_title("Fivemark board");
        if self.options.windowed || self.options.size.is_some() {
            let [width, height] = self.options.size.unwrap_or(WINDOW_SIZE);
            return Ok(attributes.with_inner_size(PhysicalSize::new(width, height)));
        }
        // Without a window manager nobody makes it full screen; then at least it is as large as the screen.
        let screen = desktop.primary_monitor().or_else(|| desktop.available_monitors().next());
        let attributes = match screen {
            Some(screen) => attributes.with_inner_size(screen.size()),
            None => attributes,
        };
        Ok(attributes.with_fullscreen(Some(Fullscreen::Borderless(None))))
    }

    fn fail(&mut self, desktop: &ActiveEventLoop, error: WindowError) {
        self.failed = Some(error);
        desktop.exit();
    }

    fn resized(&mut self, size: PhysicalSize<u32>) {
        let size = [size.width, size.height];
        // A window that is put away has no pixels; it keeps its last size until it comes back.
        if let Some(shown) = &mut self.shown
            && !size.contains(&0)
        {
            shown.resize(size);
            self.live.resize(size);
            self.must_present = true;
        }
    }

    fn key(&mut self, desktop: &ActiveEventLoop, event: &KeyEvent) {
        if event.state != ElementState::Pressed || event.repeat {
            return;
        }
        if event.logical_key == Key::Named(NamedKey::Escape) {
            desktop.exit();
            return;
        }
        // By its place too, for keyboards of other scripts.
        let letter = matches!(&event.logical_key, Key::Character(text) if text.eq_ignore_ascii_case("f"));
        if let Some(shown) = &self.shown
            && (letter || event.physical_key == PhysicalKey::Code(KeyCode::KeyF))
        {
            shown.toggle_full_screen();
        }
    }

    fn redraw(&mut self, desktop: &ActiveEventLoop) {
        let now_us = self.clock.now_us();
        self.not_before_us = now_us + 1_000_000 / i64::from(self.options.fps.max(1));
        self.changed = false;
        let Some(shown) = &mut self.shown else { return };
        match self.options.practice.as_ref().and_then(Practice::next) {
            Some(Fault::Device) => shown.destroy_device(),
            Some(fault) => shown.pretend(fault.outcome()),
            None => {}
        }
        match shown.frame(&mut self.live, self.must_present) {
            Ok(true) => {
                self.must_present = false;
                self.comeback.drawn();
            }
            Ok(false) => {
                self.must_present = true;
                self.not_before_us = now_us + ASK_SURFACE_AGAIN_US;
            }
            Err(GpuError::Lost) => self.lose(desktop, GpuError::Lost.into()),
            Err(error) => self.fail(desktop, error.into()),
        }
    }

    /// Opens a device and a surface on the window.
    fn open(&mut self, desktop: &ActiveEventLoop) -> Result<(), WindowError> {
        let Some(window) = &self.window else { return Ok(()) };
        let shown = Shown::open(desktop, Arc::clone(window))?;
        if self.comeback.drawing_with(shown.gpu()) {
            window.set_title("Fivemark board · in software");
        }
        self.live.resize(shown.size());
        self.must_present = true;
        self.shown = Some(shown);
        Ok(())
    }

    /// The device or its surface is gone: everything on it is made again, at once or a little later. The window
    /// stays.
    fn lose(&mut self, desktop: &ActiveEventLoop, error: WindowError) {
        self.shown = None;
        match self.comeback.next_try() {
            Some(wait) => {
                let wait_us = i64::try_from(wait.as_micros()).unwrap_or(i64::MAX);
                self.open_at_us = self.clock.now_us().saturating_add(wait_us);
            }
            None => self.fail(desktop, error),
        }
    }

    fn open_again(&mut self, desktop: &ActiveEventLoop) {
        if let Err(error) = self.open(desktop) {
            tracing::warn!("{error}");
            self.lose(desktop, error);
        }
    }
}
