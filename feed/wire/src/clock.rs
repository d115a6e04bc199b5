//! The clock-offset estimator: four stamps an exchange, the least delay of the last eight wins
//! (RFC 5905 section 8, with erratum 5020 for the sign of theta; the eight-stage filter is section 10).

use crate::from_client::Offset;

/// Samples kept; the filter of RFC 5905 section 10 has eight stages.
pub const SAMPLES: usize = 8;

/// One exchange.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Exchange {
    /// Client's clock at sending, microseconds.
    pub t1_us: i64,
    /// Feed's clock at receipt.
    pub t2_us: i64,
    /// Feed's clock at its answer.
    pub t3_us: i64,
    /// Client's clock at receipt.
    pub t4_us: i64,
}

impl Exchange {
    /// theta = ((t2 − t1) + (t3 − t4)) / 2: what to add to the client's clock. Halves are cut toward minus infinity.
    #[must_use]
    pub fn offset_us(self) -> i64 {
        let out = i128::from(self.t2_us) - i128::from(self.t1_us);
        let back = i128::from(self.t3_us) - i128::from(self.t4_us);
        clamp((out + back).div_euclid(2))
    }

    /// delta = (t4 − t1) − (t3 − t2): time on the road, both ways; never below 0.
    #[must_use]
    pub fn delay_us(self) -> i64 {
        let round = i128::from(self.t4_us) - i128::from(self.t1_us);
        let inside = i128::from(self.t3_us) - i128::from(self.t2_us);
        clamp((round - inside).max(0))
    }
}

fn clamp(value: i128) -> i64 {
    i64::try_from(value).unwrap_or(if value < 0 { i64::MIN } else { i64::MAX })
}

/// Keeps the last eight exchanges of one clock and answers with the best.
#[derive(Clone, Debug, Default)]
pub struct Estimator {
    samples: [Option<Offset>; SAMPLES],
    next: usize,
}

impl Estimator {
    /// Takes in one exchange.
    pub fn add(&mut self, exchange: Exchange) {
        self.samples[self.next] =
            Some(Offset { add_us: exchange.offset_us(), delay_us: exchange.delay_us() });
        self.next = (self.next + 1) % SAMPLES;
    }

    /// The sample with the least delay; none before the first exchange. Its error is at most half its delay.
    #[must_use]
    pub fn best(&self) -> Option<Offset> {
        self.samples.iter().flatten().min_by_key(|sample| sample.delay_us).copied()
    }
}
