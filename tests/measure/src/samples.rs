//! Samples of one quantity, and what is said of them: the median and the 99th percentile, by nearest rank.

/// Measured values, in one unit.
#[derive(Clone, Debug, Default)]
pub struct Samples(Vec<f64>);

impl Samples {
    /// Adds one.
    pub fn push(&mut self, value: f64) {
        self.0.push(value);
    }

    /// Adds those of another time.
    pub fn extend(&mut self, others: Self) {
        self.0.extend(others.0);
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// The value that half of them do not exceed; none without samples.
    pub fn median(&self) -> Option<f64> {
        self.percentile(50)
    }

    /// The value that 99 in 100 do not exceed; none without samples.
    pub fn p99(&self) -> Option<f64> {
        self.percentile(99)
    }

    fn percentile(&self, percent: usize) -> Option<f64> {
        let mut sorted = self.0.clone();
        sorted.sort_by(f64::total_cmp);
        let rank = (sorted.len() * percent).div_ceil(100).max(1);
        sorted.get(rank - 1).copied()
    }
}

impl FromIterator<f64> for Samples {
    fn from_iter<I: IntoIterator<Item = f64>>(values: I) -> Self {
        Self(values.into_iter().collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentiles_are_by_nearest_rank() {
        let hundred: Samples = (1..=100).rev().map(f64::from).collect();
        assert_eq!((hundred.median(), hundred.p99()), (Some(50.0), Some(99.0)));
        let one: Samples = [7.0].into_iter().collect();
        assert_eq!((one.median(), one.p99()), (Some(7.0), Some(7.0)));
        assert_eq!(Samples::default().median(), None);
    }
}
