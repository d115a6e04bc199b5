//! Time in the demo. The floor has one clock, which runs as fast as the heat does; each phone has a clock of its
//! own with another zero and another rate. Everything is in microseconds of heat time.

use std::time::Duration;

use tokio::time::Instant;

/// Real speed, in thousandths.
pub const REAL_SPEED_MILLI: u32 = 1_000;

/// The floor's clock: true time of the simulation.
#[derive(Clone, Copy, Debug)]
pub struct FloorClock {
    started: Instant,
    speed_milli: u32,
}

impl FloorClock {
    /// Starts at 0 now. `speed_milli`: heat time per real time, in thousandths.
    #[must_use]
    pub fn start(speed_milli: u32) -> Self {
        Self { started: Instant::now(), speed_milli: speed_milli.max(1) }
    }

    /// Now, microseconds of heat time.
    #[must_use]
    pub fn now_us(&self) -> i64 {
        let scaled = self.started.elapsed().as_micros() * u128::from(self.speed_milli) / 1_000;
        i64::try_from(scaled).unwrap_or(i64::MAX)
    }

    /// The real moment at which the clock shows `us`; its start for what lies before.
    #[must_use]
    pub fn instant_of(&self, us: i64) -> Instant {
        let us = u64::try_from(us).unwrap_or(0);
        // Rounded up, so that who wakes then finds the moment come.
        let real_us = (u128::from(us) * 1_000).div_ceil(u128::from(self.speed_milli));
        self.started + Duration::from_micros(u64::try_from(real_us).unwrap_or(u64::MAX))
    }

    /// Heat time that passes in a span of real time, microseconds.
    #[must_use]
    pub fn heat_us(&self, real: Duration) -> i64 {
        i64::try_from(real.as_micros() * u128::from(self.speed_milli) / 1_000).unwrap_or(i64::MAX)
    }

    /// Heat time per real time, in thousandths.
    #[must_use]
    pub fn speed_milli(&self) -> u32 {
        self.speed_milli
    }
}

/// A phone's monotonic clock against the floor's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PhoneClock {
    /// What it shows when the floor's clock shows 0, microseconds.
    pub ahead_us: i64,
    /// How much faster it runs, millionths.
    pub drift_ppm: i64,
    /// Its wall clock minus its monotonic clock, milliseconds.
    pub wall_ahead_ms: i64,
}

impl PhoneClock {
    /// What it shows, microseconds.
    #[must_use]
    pub fn at(self, floor_us: i64) -> i64 {
        self.ahead_us + floor_us + floor_us / 1_000 * self.drift_ppm / 1_000
    }

    /// The floor's time when it shows `phone_us`; a few microseconds off at most.
    #[must_use]
    pub fn floor_us(self, phone_us: i64) -> i64 {
        let since = phone_us - self.ahead_us;
        since - since / 1_000 * self.drift_ppm / 1_000
    }

    /// What its wall clock shows, Unix milliseconds.
    #[must_use]
    pub fn wall_ms(self, floor_us: i64) -> i64 {
        self.at(floor_us).div_euclid(1_000) + self.wall_ahead_ms
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_phone_drifts_and_the_way_back_agrees() {
        let clock = PhoneClock { ahead_us: 7_000_000, drift_ppm: 50, wall_ahead_ms: 1_000 };
        assert_eq!(clock.at(0), 7_000_000);
        // Ten minutes at 50 millionths are 30 ms.
        assert_eq!(clock.at(600_000_000), 7_000_000 + 600_000_000 + 30_000);
        assert!((clock.floor_us(clock.at(600_000_000)) - 600_000_000).abs() <= 5);
        assert_eq!(clock.wall_ms(0), 8_000);
    }

    #[test]
    fn a_fast_floor_reaches_its_moments_sooner() {
        let clock = FloorClock::start(40_000);
        assert_eq!(clock.instant_of(1_000_000) - clock.started, Duration::from_millis(25));
        // Rounded up: who wakes then finds the moment come.
        assert_eq!(clock.instant_of(1) - clock.started, Duration::from_micros(1));
        assert_eq!(clock.instant_of(-5), clock.started);
        assert_eq!(clock.heat_us(Duration::from_millis(10)), 400_000);
    }
}
