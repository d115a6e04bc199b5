//! Pictures that no window shows: the same frames, drawn only when something changed, for files, pages and pipes.

use std::thread;
use std::time::{Duration, Instant};

use super::{LOOK_AFTER_US, Stage};
use crate::connection::Connection;
use crate::gpu::GpuError;

/// For the last picture on its way out of the card.
const LAST_COPY: Duration = Duration::from_millis(500);

impl Stage {
    /// Draws until the program is interrupted or nothing more is to be shown. The stage's wake has to unpark this
    /// thread.
    ///
    /// # Errors
    /// A lost device does not come back.
    pub fn run_offscreen(&mut self, connection: &Connection) -> Result<(), GpuError> {
        while !connection.interrupted() && !self.is_over() {
            self.take_wake();
            let now_us = self.clock.now_us();
            for at in 0..self.pictures.len() {
                if self.pictures[at].due_us(now_us).is_some_and(|due_us| due_us <= now_us) {
                    self.frame(at)?;
                }
            }
            self.nap();
        }
        self.hand_over_the_last();
        Ok(())
    }

    /// Waits for what is on its way out of the card, so that the last picture reaches pages and pipes too.
    fn hand_over_the_last(&mut self) {
        let until = Instant::now() + LAST_COPY;
        while self.copy_out() && Instant::now() < until {
            thread::sleep(Duration::from_micros(LOOK_AFTER_US.unsigned_abs()));
        }
    }

    /// Until a message comes, or the next frame is due, or pixels may have come out of the card.
    fn nap(&mut self) {
        let busy = self.copy_out();
        if self.wake.has_rung() {
            return;
        }
        let now_us = self.clock.now_us();
        let due_us = self.pictures.iter().filter_map(|picture| picture.due_us(now_us)).min();
        let left_us = due_us.map(|due_us| (due_us - now_us).max(0));
        let nap_us =
            if busy { Some(left_us.map_or(LOOK_AFTER_US, |us| us.min(LOOK_AFTER_US))) } else { left_us };
        match nap_us {
            None => thread::park(),
            Some(us) => thread::park_timeout(Duration::from_micros(u64::try_from(us).unwrap_or(0))),
        }
    }

    /// Draws the next frame of a picture that no window shows. A lost device is opened again and every picture painted
    /// whole.
    ///
    /// # Errors
    /// The device does not come back.
    pub fn frame(&mut self, at: usize) -> Result<(), GpuError> {
        let mut outcome = self.try_frame(at);
        while matches!(outcome, Err(GpuError::Lost | GpuError::NoAdapter | GpuError::NoDevice { .. })) {
            self.close();
            let Some(wait) = self.comeback.next_try() else { return outcome };
            thread::sleep(wait);
            outcome = self.open().and_then(|()| self.try_frame(at));
        }
        outcome.inspect(|()| self.comeback.drawn())
    }

    fn try_frame(&mut self, at: usize) -> Result<(), GpuError> {
        let now_us = self.clock.now_us();
        let picture = &mut self.pictures[at];
        // No screen sets the pace: without the wait, slow frames would queue up.
        picture.wait()?;
        picture.prepare(now_us)?;
        picture.finish([])
    }
}
