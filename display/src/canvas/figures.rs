//! What the canvas feed has cost: bytes and time of each encoding, for the line at the end and for benchmarks.

use std::collections::VecDeque;
use std::fmt;
use std::time::Duration;

use super::picture::Encoded;

/// Encodings of each kind that are remembered: over a minute at the fastest pace.
const MAX_SAMPLES: usize = 8_192;

/// Encodings so far.
#[derive(Debug, Default)]
pub(super) struct Samples {
    frames: u64,
    changes: Kind,
    wholes: Kind,
}

#[derive(Debug, Default)]
struct Kind {
    count: u64,
    bytes: u64,
    /// Bytes and microseconds.
    latest: VecDeque<[u64; 2]>,
}

impl Samples {
    /// The picture changed.
    pub fn frame(&mut self) {
        self.frames += 1;
    }

    /// A frame was encoded for one page or more.
    pub fn encoding(&mut self, encoded: Encoded, took: Duration) {
        let kind = if encoded.whole { &mut self.wholes } else { &mut self.changes };
        kind.count += 1;
        kind.bytes += encoded.bytes as u64;
        if kind.latest.len() == MAX_SAMPLES {
            kind.latest.pop_front();
        }
        let took_us = u64::try_from(took.as_micros()).unwrap_or(u64::MAX);
        kind.latest.push_back([encoded.bytes as u64, took_us]);
    }

    pub fn figures(&self) -> Figures {
        Figures { frames: self.frames, changes: self.changes.spread(), wholes: self.wholes.spread() }
    }
}

impl Kind {
    fn spread(&self) -> Spread {
        let sorted = |which: usize| {
            let mut values: Vec<u64> = self.latest.iter().map(|sample| sample[which]).collect();
            values.sort_unstable();
            values
        };
        let (bytes, took) = (sorted(0), sorted(1));
        Spread {
            count: self.count,
            bytes: self.bytes,
            bytes_median: permille(&bytes, 500),
            bytes_p99: permille(&bytes, 990),
            encode_us_median: permille(&took, 500),
            encode_us_p99: permille(&took, 990),
        }
    }
}

/// The value below or at which that many thousandths of the sorted values lie; 0 of none.
fn permille(sorted: &[u64], permille: usize) -> u64 {
    let rank = (sorted.len() * permille).div_ceil(1_000).max(1);
    sorted.get(rank - 1).copied().unwrap_or(0)
}

/// What the canvas feed has cost.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Figures {
    /// Pictures that differed from the one before and were copied out of the card.
    pub frames: u64,
    /// Encodings of what changed.
    pub changes: Spread,
    /// Encodings of the whole picture, for pages that came or fell far behind.
    pub wholes: Spread,
}

/// Encodings of one kind; the spread is over the latest 8,192.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Spread {
    /// How many there were. Pages at the same frame share one.
    pub count: u64,
    /// Bytes of all of them.
    pub bytes: u64,
    /// Bytes on the wire for each page, median.
    pub bytes_median: u64,
    /// Bytes, 99th percentile.
    pub bytes_p99: u64,
    /// Time of the encoder's thread, microseconds, median.
    pub encode_us_median: u64,
    /// Microseconds, 99th percentile.
    pub encode_us_p99: u64,
}

impl fmt::Display for Figures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { frames, changes, wholes } = self;
        write!(
            f,
            "{frames} frames; changes {changes}; whole pictures {wholes}; {} bytes of changes in all",
            changes.bytes
        )
    }
}

impl fmt::Display for Spread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { count, bytes: _, bytes_median, bytes_p99, encode_us_median, encode_us_p99 } = self;
        write!(
            f,
            "encoded {count} times, median {bytes_median} bytes in {encode_us_median} µs, \
             p99 {bytes_p99} bytes and {encode_us_p99} µs"
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_medians_and_99th_percentiles_of_each_kind() {
        let mut samples = Samples::default();
        for number in 1..=200 {
            let encoded = Encoded { whole: false, bytes: number };
            samples.encoding(encoded, Duration::from_micros(1_000 + number as u64));
        }
        samples.encoding(Encoded { whole: true, bytes: 90_000 }, Duration::from_millis(5));
        let Figures { changes, wholes, .. } = samples.figures();
        assert_eq!((changes.count, changes.bytes_median, changes.bytes_p99), (200, 100, 198));
        assert_eq!((changes.encode_us_median, changes.encode_us_p99), (1_100, 1_198));
        assert_eq!((wholes.count, wholes.bytes_median, wholes.encode_us_p99), (1, 90_000, 5_000));
        assert_eq!((changes.bytes, wholes.bytes), (200 * 201 / 2, 90_000));
        assert_eq!(Samples::default().figures(), Figures::default());
    }

    #[test]
    fn only_the_latest_are_remembered() {
        let mut samples = Samples::default();
        for number in 0..3 * MAX_SAMPLES {
            let bytes = if number < MAX_SAMPLES { 1 } else { 2 };
            samples.encoding(Encoded { whole: false, bytes }, Duration::ZERO);
        }
        assert_eq!(samples.changes.latest.len(), MAX_SAMPLES);
        assert_eq!(samples.figures().changes.bytes_median, 2);
    }
}
