//! When each frame is due, and which are left out because the reader is behind. Reads no clock.

use crate::plan::Fps;

/// A reader may be this far behind and still catch up without losing a frame: readers stop for a moment now and then,
/// and a pipe holds less than a frame.
const MAX_BEHIND_US: i64 = 250_000;

/// The schedule of one reader: frame N is due N periods after the first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pace {
    first_us: i64,
    fps: Fps,
    next: i64,
}

impl Pace {
    /// The first frame was taken at this time; the second is the next.
    pub fn after_first(first_us: i64, fps: Fps) -> Self {
        Self { first_us, fps, next: 1 }
    }

    /// When the next frame is due, microseconds.
    pub fn due_us(&self) -> i64 {
        self.first_us.saturating_add(self.fps.due_us(self.next))
    }

    /// The reader is ready at this time: leaves out what it is too late for, and gives how many frames that is.
    pub fn leave_out(&mut self, now_us: i64) -> u64 {
        let behind_us = now_us - self.due_us();
        if behind_us <= MAX_BEHIND_US {
            return 0;
        }
        let left_out = self.fps.frames_in(behind_us);
        self.next += left_out;
        u64::try_from(left_out).unwrap_or(0)
    }

    /// The frame that was due has been taken.
    pub fn taken(&mut self) {
        self.next += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frames_are_due_at_whole_periods_and_never_drift() {
        let mut pace = Pace::after_first(1_000, Fps::USUAL);
        let mut due = Vec::new();
        for _ in 0..60 {
            due.push(pace.due_us() - 1_000);
            assert_eq!(pace.leave_out(pace.due_us() + 900), 0);
            pace.taken();
        }
        assert_eq!(due[..4], [16_666, 33_333, 50_000, 66_666]);
        assert_eq!(due[59], 1_000_000);
    }

    /// Of 59.94 a second, 60 000 take 1001 seconds, however many of them are left out.
    #[test]
    fn a_slowed_rate_keeps_its_own_time() {
        let mut pace = Pace::after_first(500, Fps::read("59.94").unwrap());
        let mut left_out = 0;
        for _ in 1..60_000 - 100 {
            pace.taken();
        }
        assert_eq!(pace.leave_out(pace.due_us() + 100_000), 0);
        while left_out < 100 {
            left_out += pace.leave_out(pace.due_us() + 834_200);
        }
        assert_eq!((left_out, pace.due_us()), (100, 1_001_000_500));
    }

    #[test]
    fn a_reader_that_is_a_little_behind_catches_up_and_one_far_behind_loses_frames() {
        let mut pace = Pace::after_first(0, Fps::read("50").unwrap());
        assert_eq!(pace.due_us(), 20_000);
        assert_eq!(pace.leave_out(270_000), 0, "a quarter of a second behind");
        // A second and a bit behind: the frames of that time are gone, and the one of now is sent.
        assert_eq!(pace.leave_out(1_025_000), 50);
        assert_eq!(pace.due_us(), 1_020_000);
        pace.taken();
        assert_eq!((pace.due_us(), pace.leave_out(1_041_000)), (1_040_000, 0));
    }
}
