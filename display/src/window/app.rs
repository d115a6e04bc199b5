//! The loop of a desktop: what each event means for the windows and their pictures, and when to draw.

use std::sync::Arc;

use winit::application::ApplicationHandler;
use winit::dpi::PhysicalSize;
use winit::event::{ElementState, KeyEvent, WindowEvent};
use winit::event_loop::{ActiveEventLoop, ControlFlow};
use winit::keyboard::{Key, KeyCode, NamedKey, PhysicalKey};
use winit::monitor::MonitorHandle;
use winit::window::WindowId;

use super::attributes::attributes;
use super::lookout::Lookout;
use super::monitors::{Step, in_words, step};
use super::pane::Pane;
use super::practice::{Fault, Practice};
use super::shown::{Shown, Wanted};
use super::{WindowError, Woken};
use crate::connection::Connection;
use crate::gpu::{Gpu, GpuError};
use crate::stage::{LOOK_AFTER_US, Stage, WindowOutput};

/// Pause before a surface that gave no picture is asked again, microseconds.
const ASK_SURFACE_AGAIN_US: i64 = 100_000;
/// A window that takes no frame for this long can't be seen; the other outputs of its picture go on without it.
const HIDDEN_AFTER_US: i64 = 250_000;

pub(super) struct App<'a> {
    stage: &'a mut Stage,
    connection: &'a Connection,
    practice: Option<Practice>,
    windows: Vec<Pane>,
    /// The desktop has said that windows may be opened.
    resumed: bool,
    /// Windows have been opened: one that can't be from now on does not end the others.
    has_shown: bool,
    /// When a lost device is opened again.
    open_at_us: i64,
    lookout: Lookout,
    failed: Option<WindowError>,
}

/// What became of asking for a redraw.
enum Asked {
    /// The desktop will say.
    Now,
    /// It was asked for at this time, and has not come; others wait for it.
    At(i64),
    /// There is no window.
    Nobody,
}

impl<'a> App<'a> {
    pub fn new(
        stage: &'a mut Stage,
        windows: Vec<WindowOutput>,
        connection: &'a Connection,
        practice: Option<Practice>,
    ) -> Self {
        let windows = windows.into_iter().map(Pane::new).collect();
        let (open_at_us, lookout) = (0, Lookout::default());
        let (resumed, has_shown) = (false, false);
        Self { stage, connection, practice, windows, resumed, has_shown, open_at_us, lookout, failed: None }
    }

    /// Why it ended, if that was not asked for.
    pub fn end(self) -> Result<(), WindowError> {
        self.failed.map_or(Ok(()), Err)
    }
}

impl ApplicationHandler<Woken> for App<'_> {
    fn resumed(&mut self, desktop: &ActiveEventLoop) {
        self.resumed = true;
        self.look_at_monitors(desktop);
        if self.stage.gpu().is_none()
            && let Err(error) = self.open(desktop)
        {
            self.fail(desktop, error);
        }
    }

    fn user_event(&mut self, _: &ActiveEventLoop, _: Woken) {
        self.stage.take_wake();
    }

    fn window_event(&mut self, desktop: &ActiveEventLoop, id: WindowId, event: WindowEvent) {
        let is_it = |pane: &Pane| pane.window.as_ref().is_some_and(|window| window.id() == id);
        let Some(at) = self.windows.iter().position(is_it) else { return };
        match event {
            WindowEvent::CloseRequested => desktop.exit(),
            WindowEvent::Resized(size) => self.resized(at, size),
            WindowEvent::Occluded(false) => self.windows[at].must_present = true,
            WindowEvent::KeyboardInput { event, .. } => self.key(desktop, at, &event),
            WindowEvent::RedrawRequested => {
                let pane = &mut self.windows[at];
                // One that we did not ask for comes from the desktop: what was on the window is gone.
                pane.must_present |= pane.asked_us.take().is_none();
                let picture = pane.output.picture;
                self.redraw(desktop, picture);
            }
            _ => {}
        }
    }

    fn about_to_wait(&mut self, desktop: &ActiveEventLoop) {
        if self.stage.is_over() || self.connection.interrupted() {
            desktop.exit();
            return;
        }
        let now_us = self.stage.clock().now_us();
        if self.resumed && now_us >= self.lookout.next_us() {
            self.look_at_monitors(desktop);
        }
        if self.stage.gpu().is_none() && self.resumed && now_us >= self.open_at_us {
            self.open_again(desktop);
        }
        let mut next_us = self.draw_due(desktop, now_us);
        if self.stage.gpu().is_none() {
            next_us = Some(self.open_at_us);
        }
        if self.windows.iter().any(|pane| pane.output.plan.monitor.is_some()) {
            let look_us = self.lookout.next_us();
            next_us = Some(next_us.map_or(look_us, |us| us.min(look_us)));
        }
        if self.stage.copy_out() {
            let look_us = now_us + LOOK_AFTER_US;
            next_us = Some(next_us.map_or(look_us, |us| us.min(look_us)));
        }
        desktop.set_control_flow(match next_us {
            Some(next_us) => ControlFlow::WaitUntil(self.stage.clock().instant_at(next_us)),
            None => ControlFlow::Wait,
        });
    }
}

impl App<'_> {
    /// Has every picture drawn that is due, and gives when the next one is.
    fn draw_due(&mut self, desktop: &ActiveEventLoop, now_us: i64) -> Option<i64> {
        let mut next_us: Option<i64> = None;
        self.stage.gpu()?;
        for picture in 0..self.stage.pictures.len() {
            let panes = self.windows.iter().filter(|pane| pane.output.picture == picture);
            let owed =
                panes.filter(|pane| pane.must_present && pane.shown.is_some() && pane.asked_us.is_none());
            let owed_us = owed.map(|pane| pane.not_before_us.max(now_us)).min();
            let due_us = self.stage.pictures[picture].due_us(now_us);
            let Some(at_us) = due_us.into_iter().chain(owed_us).min() else { continue };
            if at_us > now_us {
                next_us = Some(next_us.map_or(at_us, |us| us.min(at_us)));
                continue;
            }
            let hidden_at_us = match self.ask_for_redraw(picture, now_us) {
                Asked::Now => continue,
                Asked::At(asked_us) => asked_us + HIDDEN_AFTER_US,
                Asked::Nobody => now_us,
            };
            if hidden_at_us <= now_us {
                self.redraw(desktop, picture);
            } else {
                next_us = Some(next_us.map_or(hidden_at_us, |us| us.min(hidden_at_us)));
            }
        }
        next_us
    }

    /// Has the desktop say when it takes the next frame of a picture; it does not while the window can't be seen.
    fn ask_for_redraw(&mut self, picture: usize, now_us: i64) -> Asked {
        let mut panes = self.windows.iter_mut().filter(|pane| pane.output.picture == picture);
        let Some(pane) = panes.find(|pane| pane.shown.is_some()) else { return Asked::Nobody };
        let waited_for = panes.next().is_some() || self.stage.pictures[picture].is_tapped();
        pane.shown.iter().for_each(|shown| shown.window().request_redraw());
        match pane.asked_us {
            Some(asked_us) if waited_for => Asked::At(asked_us),
            _ => {
                pane.asked_us = Some(now_us);
                Asked::Now
            }
        }
    }

    fn redraw(&mut self, desktop: &ActiveEventLoop, picture: usize) {
        if let Some(fault) = self.practice.as_ref().and_then(Practice::next)
            && let Some(shown) = self.windows.iter_mut().find_map(|pane| pane.shown.as_mut())
        {
            match fault {
                Fault::Device => shown.destroy_device(),
                fault => shown.pretend(fault.outcome()),
            }
        }
        match self.try_redraw(picture) {
            Ok(()) => self.stage.comeback().drawn(),
            Err(GpuError::Lost) => self.lose(desktop, GpuError::Lost.into()),
            Err(error) => self.fail(desktop, error.into()),
        }
    }

    /// Draws the next frame of a picture, and shows it in its windows if anything differs.
    fn try_redraw(&mut self, picture: usize) -> Result<(), GpuError> {
        if self.stage.gpu().is_none() {
            return Ok(());
        }
        let now_us = self.stage.clock().now_us();
        let painted = &mut self.stage.pictures[picture];
        let drawn = painted.prepare(now_us)?;
        let panes = || |pane: &&mut Pane| pane.output.picture == picture;
        let mut lost = Ok(());
        for pane in self.windows.iter_mut().filter(panes()) {
            let Some(shown) = &mut pane.shown else { continue };
            // One that can't be seen takes no picture, and would hold up the others.
            if pane.asked_us.is_some() {
                pane.must_present |= drawn.rects > 0;
                continue;
            }
            if drawn.rects == 0 && !pane.must_present {
                continue;
            }
            match shown.acquire() {
                Ok(true) => pane.must_present = false,
                Ok(false) => {
                    pane.must_present = true;
                    pane.not_before_us = now_us + ASK_SURFACE_AGAIN_US;
                }
                Err(error) => lost = Err(error),
            }
        }
        let onto = self.windows.iter_mut().filter(panes());
        let finished = painted.finish(onto.filter_map(|pane| pane.shown.as_mut()?.onto()));
        for shown in self.windows.iter_mut().filter(panes()).filter_map(|pane| pane.shown.as_mut()) {
            shown.present();
        }
        lost.and(finished)
    }

    fn fail(&mut self, desktop: &ActiveEventLoop, error: WindowError) {
        self.failed = Some(error);
        desktop.exit();
    }

    fn resized(&mut self, at: usize, size: PhysicalSize<u32>) {
        let size = [size.width, size.height];
        let pane = &mut self.windows[at];
        // A window that is put away has no pixels; it keeps its last size until it comes back.
        if let Some(shown) = &mut pane.shown
            && !size.contains(&0)
        {
            shown.resize(size);
            self.fit(at);
        }
    }

    /// Fits window and picture to each other: a picture without a size of its own takes the window's.
    fn fit(&mut self, at: usize) {
        let pane = &mut self.windows[at];
        let Some(shown) = &pane.shown else { return };
        let painted = &mut self.stage.pictures[pane.output.picture];
        if pane.output.leads {
            painted.resize(pane.output.excerpt.turn.size(shown.size()));
        }
        shown.copy(&pane.output.excerpt.of(painted.size()));
        pane.must_present = true;
    }

    fn key(&mut self, desktop: &ActiveEventLoop, at: usize, event: &KeyEvent) {
        if event.state != ElementState::Pressed || event.repeat {
            return;
        }
        if event.logical_key == Key::Named(NamedKey::Escape) {
            desktop.exit();
            return;
        }
        // By its place too, for keyboards of other scripts.
        let letter = matches!(&event.logical_key, Key::Character(text) if text.eq_ignore_ascii_case("f"));
        if let Some(shown) = &self.windows[at].shown
            && (letter || event.physical_key == PhysicalKey::Code(KeyCode::KeyF))
        {
            shown.toggle_full_screen();
        }
    }

    /// Opens what may be opened and closes what has lost its monitor.
    fn look_at_monitors(&mut self, desktop: &ActiveEventLoop) {
        self.lookout.look(desktop, self.stage.clock().now_us());
        let monitors: Vec<MonitorHandle> = desktop.available_monitors().collect();
        let names: Vec<Option<String>> = monitors.iter().map(MonitorHandle::name).collect();
        for at in 0..self.windows.len() {
            let pane = &mut self.windows[at];
            let name = &pane.output.name;
            match step(pane.output.plan.monitor.as_ref(), &names, pane.window.is_some()) {
                Step::Stay => {
                    if let (None, Some(wanted), false) = (&pane.window, &pane.output.plan.monitor, pane.told)
                    {
                        let there = in_words(&names);
                        tracing::warn!(output = name, "waiting for the monitor {wanted}: {there}");
                        pane.told = true;
                    }
                }
                Step::Close => {
                    tracing::warn!(output = name, "its monitor is gone; the window comes back with it");
                    (pane.shown, pane.window, pane.told) = (None, None, true);
                }
                Step::Open(monitor) => {
                    let monitor = monitor.and_then(|at| monitors.get(at));
                    match self.open_window(desktop, at, monitor) {
                        Ok(()) => self.windows[at].told_refused = false,
                        Err(error) if self.has_shown => self.windows[at].refused(&error),
                        Err(error) => return self.fail(desktop, error),
                    }
                }
            }
        }
    }

    fn open_window(
        &mut self,
        desktop: &ActiveEventLoop,
        at: usize,
        monitor: Option<&MonitorHandle>,
    ) -> Result<(), WindowError> {
        let output = &self.windows[at].output;
        let picture = self.stage.pictures[output.picture].size();
        let window = desktop.create_window(attributes(desktop, output, picture, monitor))?;
        window.set_cursor_visible(false);
        let pane = &mut self.windows[at];
        pane.window = Some(Arc::new(window));
        if pane.told {
            tracing::info!(output = pane.output.name, "its monitor is there");
            pane.told = false;
        }
        // Before the first device is open, it is chosen for the windows.
        if let Some(gpu) = self.stage.gpu().cloned() { self.show(&gpu, at) } else { Ok(()) }
    }

    /// Opens a device, and a surface on every window.
    fn open(&mut self, desktop: &ActiveEventLoop) -> Result<(), WindowError> {
        let first = self.windows.iter().find_map(|pane| pane.window.clone());
        let gpu = Gpu::open_on(Box::new(desktop.owned_display_handle()), first)?;
        let software_instead = self.stage.open_with(gpu.clone())?;
        for at in 0..self.windows.len() {
            if self.windows[at].window.is_some() {
                self.show(&gpu, at)?;
            }
            if let (true, Some(window)) = (software_instead, &self.windows[at].window) {
                window.set_title(&format!("Fivemark {} · in software", self.windows[at].output.name));
            }
        }
        self.has_shown |= self.windows.iter().any(|pane| pane.shown.is_some());
        Ok(())
    }

    /// Opens a surface on a window.
    fn show(&mut self, gpu: &Gpu, at: usize) -> Result<(), WindowError> {
        let paces = self.windows.iter().all(|pane| pane.shown.is_none());
        let pane = &mut self.windows[at];
        let Some(window) = &pane.window else { return Ok(()) };
        let wanted = Wanted { clear: pane.output.clear, paces };
        pane.shown = Some(Shown::open(gpu, Arc::clone(window), wanted)?);
        pane.asked_us = None;
        self.fit(at);
        Ok(())
    }

    /// The device or a surface is gone: everything on it is made again, at once or a little later. The windows
    /// stay.
    fn lose(&mut self, desktop: &ActiveEventLoop, error: WindowError) {
        self.windows.iter_mut().for_each(|pane| pane.shown = None);
        self.stage.close();
        match self.stage.comeback().next_try() {
            Some(wait) => {
                let wait_us = i64::try_from(wait.as_micros()).unwrap_or(i64::MAX);
                self.open_at_us = self.stage.clock().now_us().saturating_add(wait_us);
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
