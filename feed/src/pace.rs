//! How fast something may go on: a bucket of tokens that fills at a steady rate. Reads no clock.

use std::time::{Duration, Instant};

/// A bucket of tokens, one for each time.
#[derive(Clone, Debug)]
pub struct Pace {
    tokens: f64,
    burst: f64,
    per_second: f64,
    filled: Instant,
}

impl Pace {
    /// `burst` times at once, and `per_second` more for each second that has passed.
    #[must_use]
    pub fn new(per_second: f64, burst: f64, now: Instant) -> Self {
        Self { tokens: burst, burst, per_second, filled: now }
    }

    /// Takes a token; false if there is none.
    pub fn take(&mut self, now: Instant) -> bool {
        self.fill(now);
        let enough = self.tokens >= 1.0;
        if enough {
            self.tokens -= 1.0;
        }
        enough
    }

    /// Puts a token back that was taken for nothing.
    pub fn give_back(&mut self) {
        self.tokens = (self.tokens + 1.0).min(self.burst);
    }

    /// How long until there is a token; nothing if there is one.
    pub fn wait(&mut self, now: Instant) -> Duration {
        self.fill(now);
        Duration::try_from_secs_f64((1.0 - self.tokens) / self.per_second).unwrap_or(Duration::ZERO)
    }

    /// Whether it is as full as at first.
    pub fn is_full(&mut self, now: Instant) -> bool {
        self.fill(now);
        self.tokens >= self.burst
    }

    fn fill(&mut self, now: Instant) {
        let passed = now.saturating_duration_since(self.filled).as_secs_f64();
        self.filled = self.filled.max(now);
        self.tokens = (self.tokens + passed * self.per_second).min(self.burst);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_burst_is_taken_and_then_the_rate_holds() {
        let start = Instant::now();
        let mut pace = Pace::new(50.0, 500.0, start);
        assert_eq!((0..600).filter(|_| pace.take(start)).count(), 500);
        assert_eq!(pace.wait(start), Duration::from_millis(20));
        let later = start + Duration::from_secs(2);
        assert_eq!((0..600).filter(|_| pace.take(later)).count(), 100);
        pace.give_back();
        assert!(pace.take(later) && !pace.take(later));
        assert!(
            !pace.is_full(later + Duration::from_secs(9)) && pace.is_full(later + Duration::from_secs(10))
        );
    }
}
