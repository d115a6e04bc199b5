//! When to look at which monitors there are, and, under X11, how to see them as they are now. winit keeps a list of
//! them there that it forgets only when a message of RandR reaches it, and none does (as of 0.30.13): Xlib drops the
//! messages of extensions that nobody has announced to it. winit also forgets the list when a property of the name
//! `RESOURCE_MANAGER` changes on a window of its own. So that is what is done, on a window that nobody sees, when
//! RandR tells a connection of ours that something has changed.

use winit::event_loop::ActiveEventLoop;

/// Between two looks, microseconds: desktops say so late, or not at all.
const LOOK_EVERY_US: i64 = 2_000_000;
/// From asking winit to list the monitors anew to the look at its list, microseconds.
const LOOK_AGAIN_US: i64 = 100_000;

/// Looks at the monitors.
#[derive(Default)]
pub(super) struct Lookout {
    next_us: i64,
    #[cfg(target_os = "linux")]
    watch: Watch,
}

impl Lookout {
    /// When to look next.
    pub fn next_us(&self) -> i64 {
        self.next_us
    }

    /// The monitors are looked at now: prepares the next look, which is soon if they have changed.
    pub fn look(&mut self, desktop: &ActiveEventLoop, now_us: i64) {
        let stale = self.is_stale(desktop);
        self.next_us = now_us + if stale { LOOK_AGAIN_US } else { LOOK_EVERY_US };
    }

    #[cfg(target_os = "linux")]
    fn is_stale(&mut self, desktop: &ActiveEventLoop) -> bool {
        if let Watch::Unopened = self.watch {
            self.watch =
                x11::Watcher::open(desktop).map_or(Watch::None, |watcher| Watch::Open(Box::new(watcher)));
        }
        match &self.watch {
            Watch::Open(watcher) => watcher.look(),
            Watch::None | Watch::Unopened => false,
        }
    }

    #[cfg(not(target_os = "linux"))]
    fn is_stale(&mut self, _: &ActiveEventLoop) -> bool {
        false
    }
}

#[cfg(target_os = "linux")]
#[derive(Default)]
enum Watch {
    #[default]
    Unopened,
    /// winit hears of monitors by itself, or nothing can be watched.
    None,
    Open(Box<x11::Watcher>),
}

#[cfg(target_os = "linux")]
mod x11 {
    use winit::dpi::PhysicalSize;
    use winit::event_loop::ActiveEventLoop;
    use winit::raw_window_handle::{HasDisplayHandle, HasWindowHandle, RawDisplayHandle, RawWindowHandle};
    use winit::window::Window;
    use x11rb::connection::Connection;
    use x11rb::errors::ConnectionError;
    use x11rb::protocol::randr::{ConnectionExt as _, NotifyMask};
    use x11rb::protocol::xproto::{AtomEnum, PropMode};
    use x11rb::rust_connection::RustConnection;
    use x11rb::wrapper::ConnectionExt as _;

    pub struct Watcher {
        connection: RustConnection,
        /// Kept open, and never shown.
        _window: Window,
        /// Its number.
        id: u32,
    }

    impl Watcher {
        /// None if this is not X11, or if it can't be watched, which is told.
        pub fn open(desktop: &ActiveEventLoop) -> Option<Self> {
            let RawDisplayHandle::Xlib(_) = desktop.display_handle().ok()?.as_raw() else { return None };
            let watcher = Self::try_open(desktop);
            if watcher.is_none() {
                tracing::warn!("monitors that are plugged in or unplugged from now on can't be noticed here");
            }
            watcher
        }

        fn try_open(desktop: &ActiveEventLoop) -> Option<Self> {
            let (connection, screen) = x11rb::connect(None).ok()?;
            let root = connection.setup().roots.get(screen)?.root;
            let of = NotifyMask::SCREEN_CHANGE | NotifyMask::CRTC_CHANGE | NotifyMask::OUTPUT_CHANGE;
            connection.randr_select_input(root, of).ok()?.check().ok()?;
            let attributes =
                Window::default_attributes().with_visible(false).with_inner_size(PhysicalSize::new(1, 1));
            let window = desktop.create_window(attributes).ok()?;
            let RawWindowHandle::Xlib(handle) = window.window_handle().ok()?.as_raw() else { return None };
            let id = u32::try_from(handle.window).ok()?;
            Some(Self { connection, _window: window, id })
        }

        /// Whether winit's list is not true any more; it has been asked to make another.
        pub fn look(&self) -> bool {
            self.try_look().unwrap_or_else(|error| {
                tracing::debug!("monitors can't be watched: {error}");
                false
            })
        }

        fn try_look(&self) -> Result<bool, ConnectionError> {
            let mut changed = false;
            while self.connection.poll_for_event()?.is_some() {
                changed = true;
            }
            if changed {
                let (name, kind) = (AtomEnum::RESOURCE_MANAGER, AtomEnum::STRING);
                self.connection.change_property8(PropMode::REPLACE, self.id, name, kind, b"")?;
                self.connection.flush()?;
            }
            Ok(changed)
        }
    }
}
