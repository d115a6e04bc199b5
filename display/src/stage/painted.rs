//! One picture on its canvas: laid out and painted once a frame, however many outputs show it.

use std::sync::Arc;

use fivemark_scene::draw::Rgba;
use wgpu::TextureView;

use crate::gpu::blit::Blit;
use crate::gpu::damage::PxRect;
use crate::gpu::{Drawn, Gpu, GpuError, Renderer};
use crate::live::LivePicture;
use crate::plan::Fps;
use crate::readback::{Readback, Tap};

/// A picture that is shown.
pub struct Painted {
    live: LivePicture,
    ground: Option<Rgba>,
    /// None while there is no device.
    renderer: Option<Renderer>,
    readback: Readback,
    /// There is a frame on the canvas.
    drawn: bool,
    /// A message came since the last frame.
    changed: bool,
    turns: Turns,
}

/// When frames have their turn: at most one in each step of time.
#[derive(Clone, Copy, Debug)]
struct Turns {
    fps: Fps,
    /// When the first frame since the last pause was drawn.
    since_us: i64,
    /// Steps from then to the next turn.
    steps: i64,
    /// The next turn.
    not_before_us: i64,
}

impl Painted {
    /// Shows this picture at most `fps` times a second, on a ground of one colour if there is one.
    #[must_use]
    pub fn new(live: LivePicture, ground: Option<Rgba>, fps: Fps) -> Self {
        Self {
            live,
            ground,
            renderer: None,
            readback: Readback::default(),
            drawn: false,
            changed: true,
            turns: Turns::new(fps),
        }
    }

    /// Gives its pixels to an output.
    pub fn add(&mut self, tap: Arc<dyn Tap>) {
        self.readback.add(tap);
    }

    /// Whether there are outputs beside windows.
    #[must_use]
    pub fn is_tapped(&self) -> bool {
        self.readback.is_tapped()
    }

    /// Width and height, pixels.
    #[must_use]
    pub fn size(&self) -> [u32; 2] {
        self.live.size()
    }

    /// Changes the size, pixels.
    pub fn resize(&mut self, size: [u32; 2]) {
        self.live.resize(size);
        self.changed = true;
    }

    /// What it is drawn with; none while there is no device.
    #[must_use]
    pub fn renderer(&self) -> Option<&Renderer> {
        self.renderer.as_ref()
    }

    /// The heat is provisional and its last picture file is taken.
    #[must_use]
    pub fn is_provisional(&self) -> bool {
        self.live.is_provisional()
    }

    /// Draws the next frame as soon as its turn comes.
    pub(super) fn change(&mut self) {
        self.changed = true;
    }

    /// Paints on this device from now on, anew.
    pub(super) fn open(&mut self, gpu: &Gpu) -> Result<(), GpuError> {
        let mut renderer = Renderer::new(gpu.clone(), self.live.size())?;
        renderer.set_ground(self.ground);
        self.readback.restart();
        (self.renderer, self.drawn, self.changed) = (Some(renderer), false, true);
        Ok(())
    }

    pub(super) fn close(&mut self) {
        self.renderer = None;
    }

    /// When the next frame is due, microseconds of the display's clock; a time that has passed means at once. None:
    /// not before a message.
    #[must_use]
    pub fn due_us(&self, now_us: i64) -> Option<i64> {
        let due_us = if self.changed { Some(now_us) } else { self.live.next_frame_us() };
        due_us.map(|due_us| due_us.max(self.turns.not_before_us))
    }

    /// Lays the next frame out and uploads it. [`Painted::finish`] must follow.
    ///
    /// # Errors
    /// The device was lost.
    pub fn prepare(&mut self, now_us: i64) -> Result<Drawn, GpuError> {
        self.turns.drawn(now_us);
        self.changed = false;
        let renderer = self.renderer.as_mut().ok_or(GpuError::Lost)?;
        self.live.compose(renderer)?;
        let (list, fonts) = self.live.parts();
        renderer.prepare(list, fonts)
    }

    /// Paints what was prepared, and copies the canvas onto surfaces.
    ///
    /// # Errors
    /// The device was lost.
    pub fn finish<'a>(
        &mut self,
        onto: impl IntoIterator<Item = (&'a mut Blit, &'a TextureView)>,
    ) -> Result<(), GpuError> {
        let renderer = self.renderer.as_mut().ok_or(GpuError::Lost)?;
        renderer.submit(onto);
        self.readback.drawn(renderer);
        self.drawn = true;
        self.live.after_frame(renderer)
    }

    /// Waits until the last frame is painted.
    pub(super) fn wait(&mut self) -> Result<(), GpuError> {
        self.renderer.as_mut().map_or(Ok(()), Renderer::wait)
    }

    /// Hands over what has come out of the card, and copies what changed. Gives whether it has to be called again soon.
    pub(super) fn copy_out(&mut self) -> bool {
        let Some(renderer) = self.renderer.as_ref().filter(|_| self.drawn) else { return false };
        // A ground of one colour is painted everywhere.
        let extent = match self.ground {
            Some(_) => PxRect::of_size(self.live.size()),
            None => PxRect::around(self.live.extent()),
        };
        self.readback.step(renderer, extent)
    }
}

impl Turns {
    fn new(fps: Fps) -> Self {
        Self { fps, since_us: 0, steps: 0, not_before_us: 0 }
    }

    /// A frame is drawn now.
    fn drawn(&mut self, now_us: i64) {
        // One that a desktop asks for before its turn takes no other frame's turn.
        if now_us < self.not_before_us {
            return;
        }
        // Frames that follow each other keep a steady step, however late each of them begins.
        self.steps += 1;
        if now_us >= self.since_us + self.fps.due_us(self.steps) {
            (self.since_us, self.steps) = (now_us, 1);
        }
        self.not_before_us = self.since_us + self.fps.due_us(self.steps);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frames_keep_their_step_and_one_before_its_turn_puts_none_off() {
        let mut turns = Turns::new(Fps::read("50").expect("a rate"));
        for (now_us, next_us) in [
            (1_000_000, 1_020_000),
            // Late, but within its step.
            (1_025_000, 1_040_000),
            // Before their turn.
            (1_026_000, 1_040_000),
            (1_039_999, 1_040_000),
            (1_040_000, 1_060_000),
            // After a pause.
            (2_000_000, 2_020_000),
        ] {
            turns.drawn(now_us);
            assert_eq!(turns.not_before_us, next_us, "after a frame at {now_us}");
        }
    }

    #[test]
    fn frames_of_a_slowed_rate_do_not_creep_ahead_of_it() {
        let mut turns = Turns::new(Fps::read("59.94").expect("a rate"));
        turns.drawn(1_000_000);
        for _ in 1..60_000 {
            turns.drawn(turns.not_before_us);
        }
        assert_eq!(turns.not_before_us, 1_000_000 + 1_001_000_000);
    }
}
