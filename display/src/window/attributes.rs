//! How a window opens: its title, size and place, and whether it fills its monitor.

use winit::dpi::{PhysicalPosition, PhysicalSize};
use winit::event_loop::ActiveEventLoop;
use winit::monitor::MonitorHandle;
use winit::window::{Fullscreen, Window, WindowAttributes};

use crate::stage::WindowOutput;

/// Size of a window that is not full screen, if neither it nor its picture has one.
const WINDOW_SIZE: [u32; 2] = [1280, 720];

/// The window of an output whose picture has this size, on a monitor if it asks for one.
pub(super) fn attributes(
    desktop: &ActiveEventLoop,
    output: &WindowOutput,
    picture: [u32; 2],
    monitor: Option<&MonitorHandle>,
) -> WindowAttributes {
    let title = format!("Fivemark {}", output.name);
    let attributes = Window::default_attributes().with_title(title).with_transparent(output.clear);
    if output.plan.full_screen {
        return full_screen(attributes, desktop, monitor);
    }
    let usual = if output.leads { WINDOW_SIZE } else { output.excerpt.of(picture).size() };
    let [width, height] = output.plan.size.unwrap_or(usual);
    let attributes = attributes.with_inner_size(PhysicalSize::new(width, height));
    let from = monitor.map_or(PhysicalPosition::new(0, 0), MonitorHandle::position);
    match (output.plan.at, monitor) {
        // A window that is put at a place is part of a wall, and has no frame around it.
        (Some([x, y]), _) => {
            attributes.with_position(PhysicalPosition::new(from.x + x, from.y + y)).with_decorations(false)
        }
        (None, Some(_)) => attributes.with_position(from),
        (None, None) => attributes,
    }
}

fn full_screen(
    attributes: WindowAttributes,
    desktop: &ActiveEventLoop,
    monitor: Option<&MonitorHandle>,
) -> WindowAttributes {
    // Without a window manager nobody makes it full screen; then at least it is as large as the screen.
    let any = || desktop.primary_monitor().or_else(|| desktop.available_monitors().next());
    let attributes = match monitor.cloned().or_else(any) {
        Some(screen) => attributes.with_inner_size(screen.size()),
        None => attributes,
    };
    let attributes = match monitor {
        Some(monitor) => attributes.with_position(monitor.position()),
        None => attributes,
    };
    attributes.with_fullscreen(Some(Fullscreen::Borderless(monitor.cloned())))
}
