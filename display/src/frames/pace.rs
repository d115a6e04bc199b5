//! When each frame is due, and which are left out because the reader is behind. Reads no clock.

/// A reader may be this far behind and still catch up without losing a frame: readers stop for a moment now and then,
/// and a pipe holds less than a frame.
const MAX_BEHIND_US: i64 = 250_000;

/// The schedule of one reader: frame N is due N periods after the first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pace {
    first_us: i64,
    fps: i64,
    next: i64,
}

impl Pace {
    /// The first frame was taken at this time; the second is the next.
    pub fn after_first(first_us: i64, fps: u32) -> Self {
        Self { first_us, fps: i64::from(fps.max(1)), next: 1 }
    }

    /// When the next frame is due, microseconds.
    pub fn due_us(&self) -> i64 {
        self.first_us.saturating_add(self.next.saturating_mul(1_000_000) / self.fps)
    }

    /// The reader is ready at this time: leaves out what it is too late for, and gives how many frames that is.
    pub fn leave_out(&mut self, now_us: i64) -> u64 {
        let behind_us = now_us - self.due_us();
        if behind_us <= MAX_BEHIND_US {
            return 0;
        }
        let left_out = behind_us * self.fps / 1_000_000;
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
        let mut pace = Pace::after_first(1_000, 60);
        let mut due = Vec::new();
        for _ in 0..60 {
            due.push(pace.due_us() - 1_000);
            assert_eq!(pace.leave_out(pace.due_us() + 900), 0);
            pace.taken();
        }
        assert_eq!(due[..4], [16_666, 33_333, 50_000, 66_666]);
        assert_eq!(due[59], 1_000_000);
    }

    #[test]
    fn a_reader_that_is_a_little_behind_catches_up_and_one_far_behind_loses_frames() {
        let mut pace = Pace::after_first(0, 50);
        assert_eq!(pace.due_us(), 20_000);
        assert_eq!(pace.leave_out(270_000), 0, "a quarter of a second behind");
        // A second and a bit behind: the frames of that time are gone, and the one of now is sent.
        assert_eq!(pace.leave_out(1_025_000), 50);
        assert_eq!(pace.due_us(), 1_020_000);
        pace.taken();
        assert_eq!((pace.due_us(), pace.leave_out(1_041_000)), (1_040_000, 0));
    }
}
