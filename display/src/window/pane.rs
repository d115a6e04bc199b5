//! What is remembered of one window between two events.

use std::sync::Arc;

use winit::window::Window;

use super::WindowError;
use super::shown::Shown;
use crate::stage::WindowOutput;

/// One window.
pub(super) struct Pane {
    pub output: WindowOutput,
    /// None while its monitor is away.
    pub window: Option<Arc<Window>>,
    /// None while a lost device is not open again; the window then keeps its last picture.
    pub shown: Option<Shown>,
    /// The surface has to be given the canvas even if nothing on it differs.
    pub must_present: bool,
    /// When we asked for the redraw that has not come yet, microseconds.
    pub asked_us: Option<i64>,
    pub not_before_us: i64,
    /// That its monitor is not there has been told.
    pub told: bool,
    /// That it can't be opened has been told.
    pub told_refused: bool,
}

impl Pane {
    pub fn new(output: WindowOutput) -> Self {
        Self {
            output,
            window: None,
            shown: None,
            must_present: true,
            asked_us: None,
            not_before_us: 0,
            told: false,
            told_refused: false,
        }
    }

    /// It could not be opened: that is told once, and it is tried again at the next look at the monitors.
    pub fn refused(&mut self, error: &WindowError) {
        (self.shown, self.window) = (None, None);
        if !self.told_refused {
            let output = &self.output.name;
            tracing::warn!(output, "its window can't be opened ({error}); trying again by itself");
            self.told_refused = true;
        }
    }
}
