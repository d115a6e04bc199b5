//! The board without a window: the same frames, drawn only when something changed, for pictures and for pages.

use std::thread;
use std::time::Duration;

use crate::canvas::{CanvasFeed, Readback};
use crate::clock::MonoClock;
use crate::connection::Connection;
use crate::gpu::{Comeback, Gpu, GpuError, Renderer};
use crate::live::LiveBoard;

/// How often pixels on their way to pages are looked after: nothing says when they have come out of the card.
const LOOK_AFTER_US: i64 = 2_000;

/// A canvas that no window shows.
pub struct Offscreen {
    renderer: Renderer,
    size: [u32; 2],
    readback: Option<Readback>,
    comeback: Comeback,
}

impl Offscreen {
    /// Opens the adapter.
    ///
    /// # Errors
    /// There is none, or the size does not fit.
    pub fn open(size: [u32; 2]) -> Result<Self, GpuError> {
        let renderer = Renderer::new(Gpu::open()?, size)?;
        let mut comeback = Comeback::default();
        comeback.drawing_with(renderer.gpu());
        Ok(Self { renderer, size, readback: None, comeback })
    }

    /// Sends what is drawn to a canvas feed's pages too.
    pub fn serve(&mut self, canvas: &CanvasFeed) {
        self.readback = Some(canvas.readback());
    }

    /// What it is drawn with.
    #[must_use]
    pub fn renderer(&self) -> &Renderer {
        &self.renderer
    }

    /// Draws until the program is interrupted or, if asked, the heat is provisional. The connection's wake has to
    /// unpark this thread.
    ///
    /// # Errors
    /// A lost device does not come back.
    pub fn run(
        &mut self,
        live: &mut LiveBoard,
        connection: &Connection,
        clock: MonoClock,
        fps: u32,
        until_provisional: bool,
    ) -> Result<(), GpuError> {
        let frame_us = 1_000_000 / i64::from(fps.max(1));
        while !connection.interrupted() {
            let began_us = clock.now_us();
            self.frame(live)?;
            if until_provisional && live.is_provisional() {
                break;
            }
            self.wait(live.next_frame_us(), began_us + frame_us, clock, connection);
        }
        Ok(())
    }

    /// Draws the next frame. A lost device is opened again and the frame painted whole.
    ///
    /// # Errors
    /// The device does not come back.
    pub fn frame(&mut self, live: &mut LiveBoard) -> Result<(), GpuError> {
        let mut outcome = self.try_frame(live);
        while matches!(outcome, Err(GpuError::Lost | GpuError::NoAdapter | GpuError::NoDevice { .. })) {
            let Some(wait) = self.comeback.next_try() else { return outcome };
            thread::sleep(wait);
            outcome = self.reopen().and_then(|()| self.try_frame(live));
        }
        self.comeback.drawn();
        outcome
    }

    fn reopen(&mut self) -> Result<(), GpuError> {
        self.renderer = Renderer::new(Gpu::open()?, self.size)?;
        self.comeback.drawing_with(self.renderer.gpu());
        self.readback.iter_mut().for_each(Readback::restart);
        Ok(())
    }

    fn try_frame(&mut self, live: &mut LiveBoard) -> Result<(), GpuError> {
        // No screen sets the pace: without the wait, slow frames would queue up.
        self.renderer.wait()?;
        live.compose(&self.renderer)?;
        let (list, fonts) = live.parts();
        self.renderer.draw(list, fonts)?;
        if let Some(readback) = &mut self.readback {
            readback.drawn(&self.renderer);
        }
        live.after_frame(&self.renderer)
    }

    /// Waits for a message or for `next_us`, and in any case until `earliest_us`. Pixels on their way to pages are
    /// looked after meanwhile.
    fn wait(&mut self, next_us: Option<i64>, earliest_us: i64, clock: MonoClock, connection: &Connection) {
        let mut woken = false;
        while !connection.interrupted() {
            let busy = self.readback.as_mut().is_some_and(|readback| readback.step(&self.renderer));
            let now_us = clock.now_us();
            let due_us = if woken { Some(earliest_us) } else { next_us.map(|at_us| at_us.max(earliest_us)) };
            let left_us = due_us.map(|at_us| at_us - now_us);
            if left_us.is_some_and(|left_us| left_us <= 0) {
                return;
            }
            let nap_us =
                if busy { Some(left_us.map_or(LOOK_AFTER_US, |us| us.min(LOOK_AFTER_US))) } else { left_us };
            match nap_us {
                None => thread::park(),
                Some(us) => thread::park_timeout(Duration::from_micros(u64::try_from(us).unwrap_or(0))),
            }
            // Who is woken before the nap was over, was woken by a message.
            woken |= nap_us.is_none_or(|us| clock.now_us() - now_us < us);
        }
    }
}
