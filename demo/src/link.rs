//! What a hall's radio does to a phone: delay each way, now and then a message that is lost, outages, pages that are
//! loaded again. Drawn from a seed; leaves doing it to `radio`.

use std::ops::RangeInclusive;

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use crate::clock::PhoneClock;

/// How good a phone's link is. Times are microseconds of heat time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LinkQuality {
    /// Delay of a message on its way out and on its way back.
    pub delay_us: RangeInclusive<i64>,
    /// A message that takes a good deal longer, in thousandths of all.
    pub slow: u32,
    /// How much longer.
    pub slow_us: RangeInclusive<i64>,
    /// Messages to the feed that get lost, in thousandths of all.
    pub lost: u32,
    /// How long a connection lasts.
    pub lasts_us: RangeInclusive<i64>,
    /// How long an outage lasts.
    pub outage_us: RangeInclusive<i64>,
    /// Outages in which the page is loaded again, in thousandths of all.
    pub reloads: u32,
}

impl LinkQuality {
    /// A phone in a full hall: most links are fair, one in four is bad.
    #[must_use]
    pub fn draw(rng: &mut ChaCha8Rng) -> Self {
        if rng.random_ratio(1, 4) { Self::bad() } else { Self::fair() }
    }

    /// Some tens of milliseconds, an outage every few minutes.
    #[must_use]
    pub fn fair() -> Self {
        Self {
            delay_us: 8_000..=60_000,
            slow: 15,
            slow_us: 80_000..=400_000,
            lost: 2,
            lasts_us: 120_000_000..=900_000_000,
            outage_us: 1_500_000..=9_000_000,
            reloads: 200,
        }
    }

    /// Slow, with an outage every minute or two.
    #[must_use]
    pub fn bad() -> Self {
        Self {
            delay_us: 25_000..=180_000,
            slow: 60,
            slow_us: 200_000..=1_500_000,
            lost: 15,
            lasts_us: 30_000_000..=150_000_000,
            outage_us: 3_000_000..=22_000_000,
            reloads: 350,
        }
    }
}

/// The radio of one phone, drawing as it goes.
#[derive(Debug)]
pub struct Weather {
    quality: LinkQuality,
    rng: ChaCha8Rng,
}

impl Weather {
    /// Draws from `rng`.
    #[must_use]
    pub fn new(quality: LinkQuality, rng: ChaCha8Rng) -> Self {
        Self { quality, rng }
    }

    /// How long the next message is on its way, microseconds.
    pub fn delay_us(&mut self) -> i64 {
        let usual = self.draw(self.quality.delay_us.clone());
        if self.rng.random_ratio(self.quality.slow, 1_000) {
            usual + self.draw(self.quality.slow_us.clone())
        } else {
            usual
        }
    }

    /// Whether the next message to the feed is lost.
    pub fn loses(&mut self) -> bool {
        self.rng.random_ratio(self.quality.lost, 1_000)
    }

    /// How long the connection that now stands will last, microseconds.
    pub fn lasts_us(&mut self) -> i64 {
        self.draw(self.quality.lasts_us.clone())
    }

    /// How long the outage that now begins will last, microseconds.
    pub fn outage_us(&mut self) -> i64 {
        self.draw(self.quality.outage_us.clone())
    }

    /// The epoch of a new page load, if this outage is one.
    pub fn reload(&mut self) -> Option<u64> {
        self.rng.random_ratio(self.quality.reloads, 1_000).then(|| epoch(&mut self.rng))
    }

    fn draw(&mut self, range: RangeInclusive<i64>) -> i64 {
        self.rng.random_range(range)
    }
}

/// A page load's random number, below 2^53.
pub fn epoch(rng: &mut ChaCha8Rng) -> u64 {
    rng.random_range(1..1_u64 << 53)
}

/// A phone's clock: a zero of its own up to two hours before the floor's, a quartz that is up to 40 millionths off,
/// and a wall clock that is up to a minute wrong.
pub fn phone_clock(rng: &mut ChaCha8Rng, wall_ms: i64) -> PhoneClock {
    let ahead_us = rng.random_range(1_000_000..=7_200_000_000);
    PhoneClock {
        ahead_us,
        drift_ppm: rng.random_range(-40..=40),
        wall_ahead_ms: wall_ms - ahead_us / 1_000 + rng.random_range(-60_000..=60_000),
    }
}

/// The clock of the same phone's page when it is loaded again at `floor_us`: it starts anew, the quartz is the same.
#[must_use]
pub fn reloaded_clock(clock: PhoneClock, floor_us: i64) -> PhoneClock {
    let before_ms = clock.at(floor_us).div_euclid(1_000);
    let anew = PhoneClock { ahead_us: -floor_us, ..clock };
    let after_ms = anew.at(floor_us).div_euclid(1_000);
    PhoneClock { wall_ahead_ms: clock.wall_ahead_ms + before_ms - after_ms, ..anew }
}
