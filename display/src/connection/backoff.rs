//! How long to wait before the next attempt: longer each time, bounded, and different on every screen, so that a
//! hall full of them does not knock at a restarted feed all at once.

use std::time::Duration;

use rand::{Rng, RngExt};

/// First wait, milliseconds: a feed that restarts is back in about this time.
pub const FIRST_MS: u64 = 250;
/// Longest wait, milliseconds: nobody in the hall should wait longer for a board after the network is back.
pub const LONGEST_MS: u64 = 5_000;
/// Wait after the feed refused the join, milliseconds: somebody has to change a key first.
pub const REFUSED_MS: u64 = 10_000;

/// Waits that double up to a bound.
#[derive(Clone, Debug)]
pub struct Backoff<R> {
    random: R,
    next_ms: u64,
}

impl<R: Rng> Backoff<R> {
    /// Starts with the shortest wait.
    pub fn new(random: R) -> Self {
        Self { random, next_ms: FIRST_MS }
    }

    /// The connection stood: the next wait is the shortest again.
    pub fn reset(&mut self) {
        self.next_ms = FIRST_MS;
    }

    /// The wait after a failed attempt or a lost connection, half of it at random.
    pub fn after_failure(&mut self) -> Duration {
        let wait_ms = self.next_ms;
        self.next_ms = (self.next_ms * 2).min(LONGEST_MS);
        self.spread(wait_ms)
    }

    /// The wait after a refused join.
    pub fn after_refusal(&mut self) -> Duration {
        self.spread(REFUSED_MS)
    }

    fn spread(&mut self, wait_ms: u64) -> Duration {
        Duration::from_millis(self.random.random_range(wait_ms / 2..=wait_ms))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;

    #[test]
    fn waits_double_to_the_bound_and_start_over() {
        let mut backoff = Backoff::new(rand_chacha::ChaCha8Rng::seed_from_u64(5));
        for most_ms in [250, 500, 1_000, 2_000, 4_000, 5_000, 5_000] {
            let wait_ms = backoff.after_failure().as_millis();
            assert!((most_ms / 2..=most_ms).contains(&wait_ms), "{wait_ms} of {most_ms}");
        }
        backoff.reset();
        assert!(backoff.after_failure().as_millis() <= u128::from(FIRST_MS));
        let refused_ms = backoff.after_refusal().as_millis();
        assert!((5_000..=10_000).contains(&refused_ms), "{refused_ms}");
    }

    #[test]
    fn two_screens_wait_differently() {
        let waits = |seed| {
            let mut backoff = Backoff::new(rand_chacha::ChaCha8Rng::seed_from_u64(seed));
            (0..6).map(|_| backoff.after_failure()).collect::<Vec<_>>()
        };
        assert_eq!(waits(1), waits(1));
        assert_ne!(waits(1), waits(2));
    }
}
