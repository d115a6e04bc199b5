//! Intervals of shares: between which shares the true one lies, as far as so many observations tell.

use statrs::distribution::{ContinuousCDF, Normal};

/// The confidence of every interval here.
pub const CONFIDENCE: f64 = 0.95;

/// A lower and an upper end, both in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

impl Interval {
    /// Whether a value lies between the ends.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

/// How many standard errors an interval reaches to either side: 1.96 for 95 %.
#[must_use]
pub fn reach() -> f64 {
    Normal::standard().inverse_cdf(f64::midpoint(1.0, CONFIDENCE))
}

/// The interval of a share by E. B. Wilson (1927), without a correction for continuity: `hits` of `of` observations.
/// It keeps its confidence with few observations and with shares near 0, as no-rep rates are. None without
/// observations; more hits than observations are taken for as many.
#[must_use]
pub fn wilson(hits: u32, of: u32) -> Option<Interval> {
    if of == 0 {
        return None;
    }
    let (count, z) = (f64::from(of), reach());
    let share = f64::from(hits.min(of)) / count;
    let square = z * z;
    let scale = 1.0 + square / count;
    let middle = (share + square / (2.0 * count)) / scale;
    let side = z * (share * (1.0 - share) / count + square / (4.0 * count * count)).sqrt() / scale;
    // With no hit, and with nothing but hits, an end is the share itself, which the roots miss by their last digit.
    let low = if hits == 0 { 0.0 } else { (middle - side).max(0.0) };
    let high = if hits >= of { 1.0 } else { (middle + side).min(1.0) };
    Some(Interval { low, high })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn none_and_all_are_ends_themselves() {
        for of in 1..500 {
            let (none, all) = (wilson(0, of).unwrap(), wilson(of, of).unwrap());
            assert!(none.holds(0.0) && all.holds(1.0), "{of}: {none:?} {all:?}");
            assert_eq!(
                (none.low.to_bits(), all.high.to_bits()),
                (0.0_f64.to_bits(), 1.0_f64.to_bits()),
                "{of}"
            );
        }
    }
}
