//! The feed's own time: milliseconds since its journal was made, on the machine's boot-time clock, so that no step
//! of the wall clock reaches a result. Ties it to a machine's clocks; how it goes on after a reboot is `restart`'s.

use std::sync::Arc;
use std::time::Duration;

use fivemark_engine::time::HeatMs;
use serde::{Deserialize, Serialize};
use tokio::sync::SetOnce;

use crate::machine::Machine;

/// One real second per second of heat time, in thousandths.
pub const REAL_SPEED_MILLI: u32 = 1_000;
/// The fastest rehearsal, in thousandths.
pub const MAX_SPEED_MILLI: u32 = 1_000_000;

/// What the machine's clocks say at one moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Names the boot.
    pub boot_id: String,
    /// Boot-time clock, microseconds.
    pub boot_us: i64,
    /// Wall clock, Unix milliseconds.
    pub wall_ms: i64,
}

impl Reading {
    /// Reads the clocks now.
    #[must_use]
    pub fn of(machine: &dyn Machine) -> Self {
        Self { boot_id: machine.boot_id(), boot_us: machine.boot_us(), wall_ms: machine.wall_ms() }
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

impl Anchor {
    /// Feed time is `feed_us` as the machine's clocks read `now`.
    #[must_use]
    pub fn at(feed_us: i64, now: Reading, speed_milli: u32) -> Self {
        Self { feed_us, boot_id: now.boot_id, boot_us: now.boot_us, wall_ms: now.wall_ms, speed_milli }
    }

    /// Feed time at a moment of the boot-time clock of the same boot, microseconds.
    #[must_use]
    pub fn feed_us_at(&self, boot_us: i64) -> i64 {
        self.feed_us.saturating_add(scaled(boot_us.saturating_sub(self.boot_us), self.speed_milli))
    }
}

/// A span of real time as feed time.
#[must_use]
pub fn scaled(span_us: i64, speed_milli: u32) -> i64 {
    let scaled = i128::from(span_us) * i128::from(speed_milli) / 1_000;
    i64::try_from(scaled).unwrap_or(i64::MAX)
}

/// The running clock of one start. Until it is set nobody may ask it for the time: connections wait for
/// [`FeedClock::known`].
#[derive(Clone, Debug)]
pub struct FeedClock {
    anchor: Arc<SetOnce<Anchor>>,
    machine: Arc<dyn Machine>,
    speed_milli: u32,
}

impl FeedClock {
    /// A clock that is still to be set.
    #[must_use]
    pub fn new(machine: Arc<dyn Machine>, speed_milli: u32) -> Self {
        Self { anchor: Arc::default(), machine, speed_milli }
    }

    /// Sets the clock going from an anchor of this boot. Only the first time has an effect.
    pub fn set(&self, anchor: Anchor) {
        // Set already means going already.
        drop(self.anchor.set(anchor));
    }

    /// Whether the clock goes.
    #[must_use]
    pub fn is_known(&self) -> bool {
        self.anchor.initialized()
    }

    /// Waits until the clock goes.
    pub async fn known(&self) {
        self.anchor.wait().await;
    }

    /// Feed time now, microseconds; 0 as long as it is not known.
    #[must_use]
    pub fn now_us(&self) -> i64 {
        self.anchor.get().map_or(0, |anchor| anchor.feed_us_at(self.machine.boot_us()))
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
        let real_us = left_us.max(0) * 1_000 / i128::from(self.speed_milli.max(1));
        Duration::from_micros(u64::try_from(real_us).unwrap_or(u64::MAX))
    }

    /// How fast feed time runs, in thousandths.
    #[must_use]
    pub fn speed_milli(&self) -> u32 {
        self.speed_milli
    }

    /// The machine's boot-time clock, microseconds.
    #[must_use]
    pub fn boot_us(&self) -> i64 {
        self.machine.boot_us()
    }

    /// The same in milliseconds.
    #[must_use]
    pub fn boot_ms(&self) -> i64 {
        self.machine.boot_us() / 1_000
    }

    /// The machine's wall clock, Unix milliseconds.
    #[must_use]
    pub fn wall_ms(&self) -> i64 {
        self.machine.wall_ms()
    }

    /// What all of the machine's clocks say now.
    #[must_use]
    pub fn reading(&self) -> Reading {
        Reading::of(self.machine.as_ref())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rehearsal_runs_faster_than_the_machine() {
        let now = Reading { boot_id: "a".to_owned(), boot_us: 1_000_000, wall_ms: 0 };
        let anchor = Anchor::at(5_000_000, now, 10_000);
        assert_eq!(anchor.feed_us_at(3_000_000), 25_000_000);
        assert_eq!(anchor.feed_us_at(i64::MAX), i64::MAX, "no overflow");
    }
}
