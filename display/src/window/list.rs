//! Names the monitors, for people to choose from.

use winit::application::ApplicationHandler;
use winit::event::WindowEvent;
use winit::event_loop::{ActiveEventLoop, EventLoop};
use winit::window::WindowId;

use super::{WindowError, Woken};

/// One line for each monitor. A desktop tells them only to a program that runs its events.
pub(super) fn monitors(events: EventLoop<Woken>) -> Result<Vec<String>, WindowError> {
    let mut list = List(Vec::new());
    events.run_app(&mut list)?;
    Ok(list.0)
}

struct List(Vec<String>);

impl ApplicationHandler<Woken> for List {
    fn resumed(&mut self, desktop: &ActiveEventLoop) {
        let primary = desktop.primary_monitor();
        self.0 = (1..)
            .zip(desktop.available_monitors())
            .map(|(number, monitor)| {
                let (size, place) = (monitor.size(), monitor.position());
                let name = monitor.name().map_or_else(|| "without a name".into(), |name| format!("`{name}`"));
                let first = if primary.as_ref() == Some(&monitor) { ", the primary one" } else { "" };
                format!("{number}  {name}  {}x{} at {},{}{first}", size.width, size.height, place.x, place.y)
            })
            .collect();
        desktop.exit();
    }

    fn window_event(&mut self, _: &ActiveEventLoop, _: WindowId, _: WindowEvent) {}
}
