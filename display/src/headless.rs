//! The board without a window: the same frames, drawn only when something changed, for pictures.

use std::thread;
use std::time::Duration;

use crate::clock::MonoClock;
use crate::connection::Connection;
use crate::gpu::{Gpu, GpuError, Renderer};
use crate::live::LiveBoard;

/// Times in a row that a lost device is opened again before the program gives up.
const MAX_REOPENINGS: u32 = 5;
/// Before the second time and each later one: a driver that restarts needs a moment.
const REOPEN_AFTER: Duration = Duration::from_millis(500);

/// Draws until the program is interrupted or, if asked, the heat is provisional. The connection's wake has to
/// unpark this thread.
///
/// # Errors
/// There is no adapter, the size does not fit, or a lost device does not come back.
pub fn run(
    live: &mut LiveBoard,
    connection: &Connection,
    clock: MonoClock,
    size: [u32; 2],
    fps: u32,
    until_provisional: bool,
) -> Result<(), GpuError> {
    let frame_us = 1_000_000 / i64::from(fps.max(1));
    let mut output = Offscreen::open(size)?;
    while !connection.interrupted() {
        let began_us = clock.now_us();
        output.frame(live)?;
        if until_provisional && live.is_provisional() {
            break;
        }
        wait(live.next_frame_us(), began_us + frame_us, clock, connection);
    }
    Ok(())
}

/// A canvas that no window shows.
pub struct Offscreen {
    renderer: Renderer,
    size: [u32; 2],
}

impl Offscreen {
    /// Opens the adapter.
    ///
    /// # Errors
    /// There is none, or the size does not fit.
    pub fn open(size: [u32; 2]) -> Result<Self, GpuError> {
        Ok(Self { renderer: Renderer::new(Gpu::open()?, size)?, size })
    }

    /// What it is drawn with.
    #[must_use]
    pub fn renderer(&self) -> &Renderer {
        &self.renderer
    }

    /// Draws the next frame. A lost device is opened again and the frame painted whole.
    ///
    /// # Errors
    /// The device does not come back.
    pub fn frame(&mut self, live: &mut LiveBoard) -> Result<(), GpuError> {
        for attempt in 1..=MAX_REOPENINGS {
            match self.try_frame(live) {
                Err(GpuError::Lost) => {
                    tracing::warn!(attempt, "opening the graphics device again");
                    if attempt > 1 {
                        thread::sleep(REOPEN_AFTER);
                    }
                    *self = Self::open(self.size)?;
                }
                done => return done,
            }
        }
        self.try_frame(live)
    }

    fn try_frame(&mut self, live: &mut LiveBoard) -> Result<(), GpuError> {
        // No screen sets the pace: without the wait, slow frames would queue up.
        self.renderer.wait()?;
        live.compose(&self.renderer)?;
        let (list, fonts) = live.parts();
        self.renderer.draw(list, fonts)?;
        live.after_frame(&self.renderer)
    }
}

/// Waits for a message or for `next_us`, and in any case until `earliest_us`.
fn wait(next_us: Option<i64>, earliest_us: i64, clock: MonoClock, connection: &Connection) {
    let micros = |us: i64| Duration::from_micros(u64::try_from(us).unwrap_or(0));
    match next_us.map(|at_us| at_us - clock.now_us()) {
        None => thread::park(),
        Some(left_us) if left_us > 0 => thread::park_timeout(micros(left_us)),
        Some(_) => {}
    }
    let early_us = earliest_us - clock.now_us();
    if early_us > 0 && !connection.interrupted() {
        thread::sleep(micros(early_us));
    }
}
