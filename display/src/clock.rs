//! The display's own clock and what it tells of the feed's: a monotonic origin, and the offset that the exchanges
//! with the feed give. Sends nothing itself.

use std::time::{Duration, Instant};

use fivemark_wire::clock::{Estimator, Exchange};

/// The feed's time as shown may be this far behind before it is set back in one step, microseconds. Below it, the
/// shown time waits until it is caught up: a clock that people watch never runs backwards.
const MAX_WAIT_US: i64 = 1_000_000;

/// A monotonic clock in whole microseconds since it was made.
#[derive(Clone, Copy, Debug)]
pub struct MonoClock {
    origin: Instant,
}

impl MonoClock {
    /// Starts at 0.
    #[must_use]
    pub fn start() -> Self {
        Self { origin: Instant::now() }
    }

    /// Microseconds since the start.
    #[must_use]
    pub fn now_us(&self) -> i64 {
        i64::try_from(self.origin.elapsed().as_micros()).unwrap_or(i64::MAX)
    }

    /// The moment `at_us` of this clock, as timers take it. Before the start counts as the start.
    #[must_use]
    pub fn instant_at(&self, at_us: i64) -> Instant {
        self.origin + Duration::from_micros(u64::try_from(at_us).unwrap_or(0))
    }
}

/// From the display's monotonic clock to the feed's.
#[derive(Clone, Debug)]
pub struct FeedClock {
    speed_milli: u32,
    estimator: Estimator,
    /// Rough offset from a message's own time, until the first exchange.
    rough_add_us: Option<i64>,
}

impl Default for FeedClock {
    fn default() -> Self {
        Self { speed_milli: 1_000, estimator: Estimator::default(), rough_add_us: None }
    }
}

impl FeedClock {
    /// How fast feed time runs, thousandths.
    #[must_use]
    pub fn speed_milli(&self) -> u32 {
        self.speed_milli
    }

    /// A stamp for an exchange: the monotonic clock at the feed's speed, microseconds.
    #[must_use]
    pub fn stamp_us(&self, mono_us: i64) -> i64 {
        stamp_us(mono_us, self.speed_milli)
    }

    /// Starts over on another stream or at another speed: old exchanges say nothing about it. The rough offset
    /// stays as it was until a message of the new stream comes.
    pub fn restart(&mut self, speed_milli: u32) {
        *self = Self { speed_milli, ..Self::default() };
    }

    /// A message of feed time `at_ms` came at `mono_us`: the feed's clock is at least there.
    pub fn heard(&mut self, at_ms: i64, mono_us: i64) {
        let add_us = at_ms.saturating_mul(1_000).saturating_sub(self.stamp_us(mono_us));
        self.rough_add_us = Some(self.rough_add_us.map_or(add_us, |known| known.max(add_us)));
    }

    /// Takes in an exchange.
    pub fn exchanged(&mut self, exchange: Exchange) {
        self.estimator.add(exchange);
    }

    /// The feed's time at `mono_us`, microseconds; 0 before anything was heard.
    #[must_use]
    pub fn feed_us(&self, mono_us: i64) -> i64 {
        self.add_us().map_or(0, |add_us| self.stamp_us(mono_us).saturating_add(add_us))
    }

    /// When the monotonic clock stands where the feed's time is `feed_us`, microseconds; none before anything was
    /// heard.
    #[must_use]
    pub fn mono_us(&self, feed_us: i64) -> Option<i64> {
        let stamp_us = i128::from(feed_us) - i128::from(self.add_us()?);
        let mono_us = stamp_us * 1_000 / i128::from(self.speed_milli.max(1));
        Some(i64::try_from(mono_us).unwrap_or(if mono_us < 0 { i64::MIN } else { i64::MAX }))
    }

    fn add_us(&self) -> Option<i64> {
        self.estimator.best().map(|best| best.add_us).or(self.rough_add_us)
    }
}

/// The monotonic clock at a feed's speed (thousandths), microseconds.
#[must_use]
pub fn stamp_us(mono_us: i64, speed_milli: u32) -> i64 {
    let scaled = i128::from(mono_us) * i128::from(speed_milli) / 1_000;
    i64::try_from(scaled).unwrap_or(i64::MAX)
}

/// Keeps a shown time from running backwards when an estimate is corrected.
#[derive(Clone, Copy, Debug, Default)]
pub struct Forward {
    last_us: i64,
}

impl Forward {
    /// The time to show for this estimate.
    pub fn show(&mut self, estimate_us: i64) -> i64 {
        if estimate_us < self.last_us && self.last_us - estimate_us < MAX_WAIT_US {
            return self.last_us;
        }
        self.last_us = estimate_us;
        estimate_us
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feed_time_follows_the_best_exchange_at_the_feeds_speed() {
        let mut clock = FeedClock::default();
        clock.restart(2_000);
        assert_eq!(clock.stamp_us(1_500_000), 3_000_000);
        clock.exchanged(Exchange { t1_us: 0, t2_us: 700, t3_us: 700, t4_us: 400 });
        clock.exchanged(Exchange { t1_us: 1_000, t2_us: 1_600, t3_us: 1_600, t4_us: 1_100 });
        // The second has the smaller delay: 100 against 400. ((1600 − 1000) + (1600 − 1100)) / 2 = 550.
        assert_eq!(clock.feed_us(1_000_000), 2_000_550);
        assert_eq!(clock.mono_us(2_000_550), Some(1_000_000));
    }

    #[test]
    fn a_message_gives_a_rough_time_until_the_first_exchange() {
        let mut clock = FeedClock::default();
        assert_eq!(clock.feed_us(5_000), 0);
        assert_eq!(clock.mono_us(5_000), None);
        clock.heard(90_000, 1_000_000);
        assert_eq!(clock.feed_us(1_250_000), 90_250_000);
        clock.heard(90_000, 2_000_000);
        assert_eq!(clock.feed_us(2_000_000), 91_000_000, "an older message does not set the clock back");
    }

    #[test]
    fn a_shown_time_waits_rather_than_runs_back() {
        let mut forward = Forward::default();
        assert_eq!(forward.show(10_000_000), 10_000_000);
        assert_eq!(forward.show(9_950_000), 10_000_000);
        assert_eq!(forward.show(10_010_000), 10_010_000);
        assert_eq!(forward.show(2_000_000), 2_000_000, "another heat's clock is shown at once");
    }
}
