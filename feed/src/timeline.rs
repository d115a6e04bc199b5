//! The feed's own time: milliseconds since its journal was made, on the machine's boot-time clock, so that no step
//! of the wall clock reaches a result. Carries it over restarts; leaves timers to the runtime.

use std::time::{Duration, SystemTime, UNIX_EPOCH};

use fivemark_engine::time::HeatMs;
use serde::{Deserialize, Serialize};

/// One real second per second of heat time, in thousandths.
pub const REAL_SPEED_MILLI: u32 = 1_000;
/// The fastest rehearsal, in thousandths.
pub const MAX_SPEED_MILLI: u32 = 1_000_000;

/// What the machine's clocks say at one moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Names the boot: times of two boots cannot be compared.
    pub boot_id: String,
    /// Boot-time clock, microseconds; runs on while the machine sleeps.
    pub boot_us: i64,
    /// Wall clock, Unix milliseconds.
    pub wall_ms: i64,
}

impl Reading {
    /// Reads the clocks now.
    #[must_use]
    pub fn now() -> Self {
        // Without the file every start counts as a new boot: safe, and flagged.
        let boot_id = std::fs::read_to_string("/proc/sys/kernel/random/boot_id").unwrap_or_default();
        Self { boot_id: boot_id.trim().to_owned(), boot_us: boot_us(), wall_ms: wall_ms() }
    }
}

/// Ties feed time to the machine's clocks; one is written to the journal at each start.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Anchor {
    /// Feed time at this moment, microseconds.
    pub feed_us: i64,
    /// The boot.
    pub boot_id: String,
    /// Boot-time clock at this moment, microseconds.
    pub boot_us: i64,
    /// Wall clock at this moment, Unix milliseconds.
    pub wall_ms: i64,
    /// How fast feed time runs from here, in thousandths.
    pub speed_milli: u32,
}

/// The last moment that the journal knows of, from its last entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LastSeen {
    /// Feed time, milliseconds.
    pub at_ms: i64,
    /// Wall clock, Unix milliseconds.
    pub wall_ms: i64,
}

/// The anchor of a start, and whether a reboot made it doubtful.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Continued {
    /// Where feed time goes on.
    pub anchor: Anchor,
    /// The machine was restarted in between: feed time was carried over by the wall clock, and is in doubt.
    pub in_doubt: bool,
}

impl Anchor {
    /// The anchor of a new journal.
    #[must_use]
    pub fn first(now: Reading, speed_milli: u32) -> Self {
        Self { feed_us: 0, boot_id: now.boot_id, boot_us: now.boot_us, wall_ms: now.wall_ms, speed_milli }
    }

    /// Goes on from an earlier start. Within one boot the boot-time clock carries feed time over; after a reboot
    /// the wall clock does, never to before what the journal has seen.
    #[must_use]
    pub fn continued(&self, last: Option<LastSeen>, now: Reading, speed_milli: u32) -> Continued {
        let same_boot = !now.boot_id.is_empty() && now.boot_id == self.boot_id && now.boot_us >= self.boot_us;
        let feed_us = if same_boot {
            self.feed_us_at(now.boot_us)
        } else {
            let (feed_us, wall_ms) = match last {
                Some(last) => (last.at_ms.saturating_mul(1_000), last.wall_ms),
                None => (self.feed_us, self.wall_ms),
            };
            let passed_us = now.wall_ms.saturating_sub(wall_ms).max(0).saturating_mul(1_000);
            feed_us.saturating_add(scaled(passed_us, self.speed_milli))
        };
        let seen_us = last.map_or(0, |last| last.at_ms.saturating_mul(1_000));
        let anchor = Self {
            feed_us: feed_us.max(seen_us),
            boot_id: now.boot_id,
            boot_us: now.boot_us,
            wall_ms: now.wall_ms,
            speed_milli,
        };
        Continued { anchor, in_doubt: !same_boot }
    }

    fn feed_us_at(&self, boot_us: i64) -> i64 {
        self.feed_us.saturating_add(scaled(boot_us.saturating_sub(self.boot_us), self.speed_milli))
    }
}

fn scaled(span_us: i64, speed_milli: u32) -> i64 {
    let scaled = i128::from(span_us) * i128::from(speed_milli) / 1_000;
    i64::try_from(scaled).unwrap_or(i64::MAX)
}

/// The running clock of one start.
#[derive(Clone, Debug)]
pub struct FeedClock {
    anchor: Anchor,
}

impl FeedClock {
    /// A clock that goes on from an anchor of this boot.
    #[must_use]
    pub fn new(anchor: Anchor) -> Self {
        Self { anchor }
    }

    /// Feed time now, microseconds.
    #[must_use]
    pub fn now_us(&self) -> i64 {
        self.anchor.feed_us_at(boot_us())
    }

    /// Feed time now, milliseconds, cut down.
    #[must_use]
    pub fn now(&self) -> HeatMs {
        HeatMs(self.now_us().div_euclid(1_000))
    }

    /// Real time until a moment of feed time; zero if it has come.
    #[must_use]
    pub fn until(&self, moment: HeatMs) -> Duration {
        let left_us = i128::from(moment.0) * 1_000 - i128::from(self.now_us());
        let real_us = left_us.max(0) * 1_000 / i128::from(self.anchor.speed_milli.max(1));
        Duration::from_micros(u64::try_from(real_us).unwrap_or(u64::MAX))
    }

    /// How fast feed time runs, in thousandths.
    #[must_use]
    pub fn speed_milli(&self) -> u32 {
        self.anchor.speed_milli
    }
}

/// The boot-time clock, milliseconds.
#[must_use]
pub fn boot_ms() -> i64 {
    boot_us() / 1_000
}

/// The wall clock, Unix milliseconds.
#[must_use]
pub fn wall_ms() -> i64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    i64::try_from(since.as_millis()).unwrap_or(i64::MAX)
}

fn boot_us() -> i64 {
    let time = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
    time.tv_sec.saturating_mul(1_000_000).saturating_add(time.tv_nsec / 1_000)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(boot: &str, boot_us: i64, wall_ms: i64) -> Reading {
        Reading { boot_id: boot.to_owned(), boot_us, wall_ms }
    }

    #[test]
    fn within_a_boot_the_boot_clock_carries_time_over_whatever_the_wall_clock_does() {
        let first = Anchor::first(reading("a", 5_000_000, 1_000_000), REAL_SPEED_MILLI);
        let next = first.continued(None, reading("a", 65_000_000, 0), REAL_SPEED_MILLI);
        assert_eq!(next.anchor.feed_us, 60_000_000);
        assert!(!next.in_doubt);
    }

    #[test]
    fn a_rehearsal_keeps_its_time_when_its_speed_changes() {
        let first = Anchor::first(reading("a", 0, 0), 10_000);
        let next = first.continued(None, reading("a", 2_000_000, 2_000), REAL_SPEED_MILLI);
        assert_eq!(next.anchor.feed_us, 20_000_000);
        let third = next.anchor.continued(None, reading("a", 3_000_000, 3_000), REAL_SPEED_MILLI);
        assert_eq!(third.anchor.feed_us, 21_000_000);
    }

    #[test]
    fn after_a_reboot_the_wall_clock_carries_time_over_and_it_is_in_doubt() {
        let first = Anchor::first(reading("a", 5_000_000, 1_000_000), REAL_SPEED_MILLI);
        let last = LastSeen { at_ms: 30_000, wall_ms: 1_030_000 };
        let next = first.continued(Some(last), reading("b", 100, 1_045_000), REAL_SPEED_MILLI);
        assert_eq!(next.anchor.feed_us, 45_000_000);
        assert!(next.in_doubt);
    }

    #[test]
    fn time_never_goes_back_before_what_was_journalled() {
        let first = Anchor::first(reading("a", 0, 1_000_000), REAL_SPEED_MILLI);
        let last = LastSeen { at_ms: 30_000, wall_ms: 1_030_000 };
        let next = first.continued(Some(last), reading("b", 100, 500), REAL_SPEED_MILLI);
        assert_eq!(next.anchor.feed_us, 30_000_000);
    }
}
